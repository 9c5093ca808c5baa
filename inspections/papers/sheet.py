"""The inspection sheet of a lot phase: what is up for inspection, room by room."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from inspections.models import PipeTest
from inspections.papers.pdf import pdf_of, qr_of
from inspections.pipe_tests.verdicts import because
from inspections.standing import LotStanding, standing_of
from phases.loaded import local_date
from phases.models import CheckItem, LotPhase
from tracker.sites.models import Company, InspectionKind
from tracker.words import say

READINGS = (
    ("head_ft", "head", "ft"),
    ("start_psig", "start", "psi"),
    ("end_psig", "end", "psi"),
    ("start_f", "at", "F"),
    ("end_f", "to", "F"),
    ("minutes", "held", "min"),
    ("gauge_top_psi", "gauge to", "psi"),
    ("gauge_mark_psi", "marked every", "psi"),
    ("depth_in", "depth", "in"),
)


STATES = {"open": "not yet", "not_done": "not done"}


def inspection_sheet(phase: LotPhase, *, now: datetime, address: str) -> bytes:
    """PDF for the inspector: permit and plan, kinds, tests with their data, rooms."""
    lot = phase.lot
    standing = standing_of(lot, now=now)
    needed = standing.required.get(phase.pk) or ()
    kinds = [standing.kinds[code] for code in needed if code in standing.kinds]
    tests = [test for test in standing.tests if test.lot_phase_id == phase.pk]
    items = phase.items.filter(removed_at=None).order_by("walk_order", "key")
    return pdf_of(
        "inspections/sheet.html",
        {
            "company": Company.get(),
            "lot": lot,
            "phase": phase,
            "office": lot.subdivision.jurisdiction,
            "today": local_date(now, lot),
            "kinds": [
                {
                    "kind": kind,
                    "request": standing.asked.get(kind.code),
                    "result": standing.latest.get(kind.code),
                    "said": _result(standing, kind),
                }
                for kind in kinds
            ],
            "tests": [_test(test) for test in tests],
            "caution": _cautions(tests),
            "options": ", ".join(str(option) for option in lot.options.all()),
            "rooms": _rooms(items),
            "qr": qr_of(address),
            "book": f"{lot.subdivision.code_book} {lot.subdivision.edition}".strip(),
        },
    )


def _result(standing: LotStanding, kind: InspectionKind) -> str:
    """`partly passed (drain)`: the last result, with what passed of a partial."""
    row = standing.latest.get(kind.code)
    if row is None:
        return ""
    passed = [part[7:] for part in row.passed_parts if part.startswith("system:")]
    said = row.result.replace("_", " ")
    return f"{said} ({', '.join(passed)})" if passed else said


def _test(test: PipeTest) -> dict[str, Any]:
    return {
        "test": test,
        "system": say(because(test.system)),
        "medium": say(because(test.medium)),
        "data": _data(test.readings),
    }


def _cautions(tests: list[PipeTest]) -> str:
    """Each caution of any of the tests, once."""
    return " ".join(dict.fromkeys(say(r) for test in tests for r in test.cautions))


def _data(readings: dict[str, Any]) -> str:
    said = [
        f"{word} {readings[name]:g} {unit}"
        for name, word, unit in READINGS
        if readings.get(name) is not None
    ]
    material = str(readings.get("material", "")).replace("_", " ")
    return ", ".join([material, *said])


def _rooms(items: Iterable[CheckItem]) -> list[dict[str, Any]]:
    """Rooms in walk order, each with its items and their sizes."""
    rooms: dict[str, dict[str, Any]] = {}
    for item in items:
        spec = item.spec
        room = rooms.setdefault(
            item.room_key, {"name": spec.get("room_en") or "Whole house", "items": []}
        )
        room["items"].append(
            {
                "text": spec.get("text_en", item.key),
                "size": _size(spec),
                "quantity": spec.get("quantity", 1),
                "state": STATES.get(item.state, item.state),
            }
        )
    return list(rooms.values())


def _size(spec: dict[str, Any]) -> str:
    """The size, and the book in which it was checked from an accepted outline."""
    book = spec.get("checked")
    size = str(spec.get("size", ""))
    return f"{size}, checked {book}" if book else size
