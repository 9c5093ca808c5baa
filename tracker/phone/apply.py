"""What each kind of operation does: one action of `phases` or `inspections` each."""

from collections.abc import Callable
from datetime import datetime
from typing import Any
from uuid import UUID

from phases.actions import corrections, entries, work
from phases.catalogue.measures import format_inches
from phases.log import Who
from phases.models import CheckItem, Correction, Fact, ItemSpec, LotPhase, Photo
from tracker.errors import Refused
from tracker.phone import pipe, results
from tracker.phone.models import Upload
from tracker.phone.operations import Op
from tracker.planning.actions.publishing import acknowledge
from tracker.planning.models import CrewNotice
from tracker.sites.models import Lot

ENTRY_KINDS = (
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
ENTRY_WORDS = (
    "value",
    "unit",
    "reason",
    "sha",
    "taken_at",
    "passed",
    "text",
    "owed_by",
    "of",
)


class Later(Exception):
    """Nothing is wrong, but something else has to come first; `code` says what."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


def apply(op: Op, *, who: Who, now: datetime) -> None:
    """Do what the operation says, once. Raises Refused, or Later when it must wait."""
    if op.kind == "plan_seen":
        return _plan_seen(op, who, now)
    lot = Lot.objects.visible_to(who.member).filter(pk=op.lot).first()
    if lot is None:
        raise Refused("no_such", what="lot")
    if lot.retired_at is not None:
        raise Refused("lot_retired")
    if op.sha:
        check_photo(op.sha)
    if op.kind in ENTRY_KINDS:
        _entry(op, lot, who=who, now=now)
    else:
        _ACTS[op.kind](op, lot, who, now)


def _plan_seen(op: Op, who: Who, now: datetime) -> None:
    """The crew's lead has read what changed; who said so first stays."""
    if op.target_kind != "notice":
        raise Refused("bad_value", field="target", value=op.target_kind)
    member = who.member
    known = CrewNotice.objects.filter(pk=int(op.target))
    notice = known.filter(crew=member.crew_id if member else None).first()
    if notice is None:
        raise Refused("no_such", what="plan notice")
    acknowledge(notice, who=who, now=now)


def check_photo(sha: str) -> None:
    """The bytes must be on the server, decoded and on disk, before they prove."""
    if Photo.objects.filter(pk=sha).exists():
        return
    if Upload.objects.filter(pk=sha, state=Upload.REFUSED).exists():
        raise Refused("photo_refused")
    raise Later("photo_missing")


def _entry(op: Op, lot: Lot, *, who: Who, now: datetime) -> None:
    item = _item(op, lot)
    if op.kind == "measure":
        _check_reading(op, item)
    entries.answer_item(
        item,
        answer=op.kind,
        who=who,
        now=now,
        version=op.version,
        payload=_known_words(op.payload),
    )


def _known_words(payload: dict[str, Any]) -> dict[str, Any]:
    """What entries know by name; anything else is kept beside, never taken for it."""
    known = {key: value for key, value in payload.items() if key in ENTRY_WORDS}
    more = {key: value for key, value in payload.items() if key not in ENTRY_WORDS}
    return {**known, "more": more} if more else known


def _check_reading(op: Op, item: CheckItem) -> None:
    """Out of tolerance needs a reason, by the limits that the person was shown."""
    value = op.payload.get("value")
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Refused("value_needed")
    shown = ItemSpec.objects.filter(item=item, version=op.version or item.version)
    spec = shown.values_list("spec", flat=True).first() or item.spec
    least, most = spec.get("least"), spec.get("most")
    low = least is not None and value < least
    high = most is not None and value > most
    if (low or high) and not str(op.payload.get("reason", "")).strip():
        off = abs(value - (least if low else most))
        raise Refused("off_needs_reason", off=_off(off, str(spec.get("unit", ""))))


def _off(off: float, unit: str) -> str:
    if unit == "in16" and off == int(off):
        return format_inches(int(off))
    return f"{off:g} {unit}".strip()


def _item(op: Op, lot: Lot) -> CheckItem:
    if op.target_kind != "item":
        raise Refused("bad_value", field="target", value=op.target_kind)
    found = CheckItem.objects.select_related("lot_phase__kind").filter(
        pk=int(op.target), lot_phase__lot=lot
    )
    if (item := found.first()) is None:
        raise Refused("no_such", what="item")
    return item


def _phase(op: Op, lot: Lot) -> LotPhase:
    if op.target_kind != "phase":
        raise Refused("bad_value", field="target", value=op.target_kind)
    found = LotPhase.objects.select_related("kind", "lot__subdivision")
    phase = found.filter(pk=int(op.target), lot=lot).first()
    if phase is None:
        raise Refused("no_such", what="phase")
    return phase


def _walk_good(op: Op, lot: Lot, who: Who, now: datetime) -> None:
    entries.walk([_item(op, lot)], who=who, now=now, note=_text(op, "note"))


def _walk_correction(op: Op, lot: Lot, who: Who, now: datetime) -> None:
    """The correction takes the operation's id, so the phone knows it before we do."""
    item = _item(op, lot) if op.target_kind == "item" else None
    finding = corrections.Finding(
        text=_text(op, "text"),
        text_es=_text(op, "text_es"),
        source="walk" if who.member and who.member.is_lead else "work",
        owed_by=_text(op, "owed_by") or "us",
        phase=item.lot_phase if item else _phase(op, lot),
        item=item,
        photo=op.sha,
        id=op.id,
    )
    corrections.open_correction(lot, finding, who=who, now=now)


def _correction_done(op: Op, lot: Lot, who: Who, now: datetime) -> None:
    if op.target_kind != "correction":
        raise Refused("bad_value", field="target", value=op.target_kind)
    found = Correction.objects.filter(pk=UUID(op.target), lot=lot).first()
    if found is None:
        raise Refused("no_such", what="correction")
    corrections.correction_done(
        found, who=who, now=now, photo=op.sha, note=_text(op, "note")
    )


def _work(op: Op, lot: Lot, who: Who, now: datetime) -> None:
    acts: dict[str, Callable[..., Fact]] = {
        "started": work.start_work,
        "done": work.work_done,
        "on_test": work.put_on_test,
        "off_test": work.take_off_test,
    }
    what = _text(op, "what")
    if what not in acts:
        raise Refused("unknown_kind", value=what)
    acts[what](_phase(op, lot), who=who, now=now)


def _inspection_result(op: Op, lot: Lot, who: Who, now: datetime) -> None:
    results.record(op, _phase(op, lot), who=who, now=now)


def _pipe_test(op: Op, lot: Lot, who: Who, now: datetime) -> None:
    if op.target_kind == "phase":
        pipe.put_up(op, _phase(op, lot), who=who, now=now)
    else:
        pipe.go_on(op, lot, who=who, now=now)


def _text(op: Op, name: str) -> str:
    value = op.payload.get(name, "")
    return value.strip()[:2000] if isinstance(value, str) else ""


_ACTS: dict[str, Callable[[Op, Lot, Who, datetime], None]] = {
    "walk_good": _walk_good,
    "walk_correction": _walk_correction,
    "correction_done": _correction_done,
    "work": _work,
    "inspection_result": _inspection_result,
    "pipe_test": _pipe_test,
}
