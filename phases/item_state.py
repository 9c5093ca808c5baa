"""What the entries of one check item amount to. Pure: entries in, state out.

Rules (each has a test of its own):
- entries count in server order; a person may undo his own, a lead may reject one;
- the later answer wins, except that a tick never stands in for a measurement, a
  photo or a test that the item asks for, nor mends a failed one or a correction;
- two people's different measurements are a conflict until someone settles it;
- a photo counts once its bytes have arrived.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

OPEN, PROVEN, FAILED = "open", "proven", "failed"
NOT_DONE, CONFLICT, REJECTED = "not_done", "conflict", "rejected"

ANSWERS = (
    "tick",
    "measure",
    "photo",
    "test",
    "note",
    "not_done",
    "undo",
    "reject",
    "settle",
)
_PROOFS = ("tick", "measure", "photo", "test", "settle")


@dataclass(frozen=True)
class Need:
    """What an item asks for; limits in its own unit (lengths: sixteenths of an inch).

    `advisory` limits come from memory alone: outside them is shown, never failed.
    """

    proof: str = "tick"
    photos: int = 0
    unit: str = ""
    least: float | None = None
    most: float | None = None
    advisory: bool = False

    def off_by(self, value: float) -> float:
        """How far outside the limits: negative too little, positive too much."""
        if self.least is not None and value < self.least:
            return value - self.least
        if self.most is not None and value > self.most:
            return value - self.most
        return 0


@dataclass(frozen=True)
class Entry:
    no: int
    op: str
    person: int | None
    answer: str
    version: int
    on: date
    payload: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class ItemState:
    state: str
    value: float | None = None
    off: float = 0
    photos: tuple[str, ...] = ()
    person: int | None = None
    no: int | None = None
    proven_on: date | None = None
    version: int | None = None
    missing: tuple[str, ...] = ()
    reason: str = ""


def live_entries(entries: Iterable[Entry]) -> tuple[list[Entry], Entry | None]:
    """Entries that nobody took back, and the latest rejection."""
    live: dict[str, Entry] = {}
    rejection = None
    for entry in entries:
        if entry.answer == "undo":
            target = live.get(str(entry.payload.get("of")))
            if target is not None and target.person == entry.person:
                del live[target.op]
        elif entry.answer == "reject":
            if live.pop(str(entry.payload.get("of")), None) is not None:
                rejection = entry
        else:
            live[entry.op] = entry
    return list(live.values()), rejection


def item_state(
    need: Need,
    entries: Iterable[Entry],
    *,
    arrived: Collection[str],
    open_correction: bool = False,
) -> ItemState:
    """State of an item from its entries, given in server order."""
    live, rejection = live_entries(entries)
    measured = _measured(need, live)
    photos = tuple(dict.fromkeys(e.payload["sha"] for e in live if e.answer == "photo"))
    found = _proof_entries(need, live, measured, arrived)
    missing = tuple(part for part, entry in found.items() if entry is None)
    proofs = [e for e in live if e.answer in _PROOFS]
    last = proofs[-1] if proofs else None
    facts = {
        "value": measured.value,
        "off": measured.off,
        "photos": photos,
        "person": last.person if last else None,
        "no": last.no if last else None,
        "version": last.version if last else None,
        "missing": missing,
    }
    if measured.conflict:
        return ItemState(CONFLICT, **facts, reason="conflict")
    waiting = [e for e in live if e.answer == "not_done"]
    if waiting and (last is None or waiting[-1].no > last.no):
        return ItemState(NOT_DONE, **facts, reason=waiting[-1].payload.get("text", ""))
    if open_correction:
        return ItemState(FAILED, **facts, reason="correction")
    if measured.failed or _test_failed(live):
        return ItemState(FAILED, **facts, reason="off" if measured.failed else "test")
    if not missing:
        used = [entry for entry in found.values() if entry is not None]
        return ItemState(PROVEN, **facts, proven_on=max(entry.on for entry in used))
    if rejection is not None and (last is None or last.no < rejection.no):
        return ItemState(REJECTED, **facts, reason=rejection.payload.get("reason", ""))
    return ItemState(OPEN, **facts)


@dataclass(frozen=True)
class _Measured:
    value: float | None = None
    off: float = 0
    failed: bool = False
    conflict: bool = False
    entry: Entry | None = None


def _measured(need: Need, live: list[Entry]) -> _Measured:
    latest: dict[int | None, Entry] = {}
    settled: Entry | None = None
    for entry in live:
        if entry.answer == "measure":
            latest.pop(entry.person, None)
            latest[entry.person] = entry
        elif entry.answer == "settle":
            settled = entry
    if not latest and settled is None:
        return _Measured()
    after = [e for e in latest.values() if settled is None or e.no > settled.no]
    if settled is not None and not after:
        value = settled.payload.get("value")
        if value is None and latest:
            value = list(latest.values())[-1].payload["value"]
        off = need.off_by(value) if value is not None else 0
        return _Measured(value, off, entry=settled)
    values = {e.payload["value"] for e in after}
    last = after[-1]
    value = last.payload["value"]
    off = need.off_by(value)
    failed = off != 0 and not need.advisory
    return _Measured(value, off, failed=failed, conflict=len(values) > 1, entry=last)


def _test_failed(live: list[Entry]) -> bool:
    tests = [e for e in live if e.answer == "test"]
    return bool(tests) and not tests[-1].payload.get("passed")


def _proof_entries(
    need: Need, live: list[Entry], measured: _Measured, arrived: Collection[str]
) -> dict[str, Entry | None]:
    """Each part of the need with the entry that meets it, or None."""
    found: dict[str, Entry | None] = {}
    if need.proof == "measure":
        found["measure"] = measured.entry if measured.value is not None else None
    elif need.proof == "test":
        tests = [e for e in live if e.answer == "test" and e.payload.get("passed")]
        found["test"] = tests[-1] if tests else None
    elif need.proof == "no_list":
        # Nobody has said what must be here, so nothing can prove it.
        found["list"] = None
    elif need.proof != "photo":
        found["tick"] = next((e for e in live if e.answer == "tick"), None)
    wanted = max(need.photos, 1 if need.proof == "photo" else 0)
    if wanted:
        first: dict[str, Entry] = {}
        for entry in live:
            if entry.answer == "photo" and entry.payload["sha"] in arrived:
                first.setdefault(entry.payload["sha"], entry)
        shots = sorted(first.values(), key=lambda e: e.on)
        found["photo"] = shots[wanted - 1] if len(shots) >= wanted else None
    return found
