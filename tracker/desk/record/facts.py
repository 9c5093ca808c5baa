"""A fact of the log in words, English or Spanish. Pure: payload in, sentence out."""

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from tracker.desk.lot.rooms import said_value
from tracker.desk.record.columns import column_text, value_text
from tracker.desk.spanish import in_language

Names = Mapping[str, str]

# Sentences whose fields are plain values of the payload.
PLAIN = {
    "lot_made": "lot made, plan {plan}",
    "lot_retired": "lot taken off the street: {reason}",
    "lot_restored": "lot back on the street: {reason}",
    "started": "work started",
    "work_done": "work done",
    "reopened": "work reopened: {reason}",
    "broken_off": "broken off, {quarters_left} quarter days left",
    "on_test": "put on test",
    "off_test": "taken off test",
    "unplanned": "taken off the plan",
    "helper_lent": "a second crew was sent",
    "walked": "walked: good",
    "item_removed": "item taken off the list",
    "item_changed": "item changed, version {version}",
    "correction_opened": "correction for {owed_by}: {text}",
    "correction_done": "correction said done",
    "correction_closed": "correction accepted",
    "correction_reopened": "correction reopened: {reason}",
    "hold_set": "hold, waits for {owed_by}: {text}",
    "hold_lifted": "hold lifted",
    "gate_overridden": "gate overridden ({gate}): {reason}",
    "item_added": "item added by hand",
    "material_used": "material used written down, {lines} lines",
    "date_proposed": "{what}: {date} asked for",
    "date_proposal_accepted": "the date asked for was accepted",
    "date_proposal_declined": "the date asked for was declined: {reason}",
    "purchase_order": "purchase order {number}",
    "extra_priced": "extra priced: {amount}",
    "extra_waived": "changes not billed: {reason}",
    "billed": "billed on invoice {invoice}",
    "piece_paid": "crew paid: {amount}",
    "visit_fee": "fee of a visit",
    "visit_fee_paid": "fee of a visit paid",
}
# Money is for owner and office alone.
MONEY = (
    "purchase_order",
    "extra_priced",
    "extra_waived",
    "billed",
    "piece_paid",
    "visit_fee",
    "visit_fee_paid",
)
ANSWERS = {
    "tick": "done",
    "photo": "photo",
    "note": "note: {text}",
    "not_done": "not done, waits for {owed_by}: {text}",
    "undo": "took an answer back",
    "reject": "proof rejected: {reason}",
    "settle": "settled: {reason}",
}


def fact_text(
    kind: str, payload: Mapping[str, Any], names: Names, language: str
) -> str:
    """What happened, as a sentence; an unknown kind is shown as it is."""
    special = SPECIAL.get(kind)
    if special is not None:
        return special(payload, names, language)
    text = PLAIN.get(kind)
    return _filled(text, payload, names, language) if text else kind


def _filled(text: str, payload: Mapping[str, Any], names: Names, language: str) -> str:
    shown = _Blank(
        (key, _shown(value, names, language)) for key, value in payload.items()
    )
    return in_language(text, language).format_map(shown)


class _Blank(dict[str, Any]):
    """Fields that the payload lacks are a dash: old facts know less."""

    def __missing__(self, key: str) -> str:
        return "–"


def _shown(value: Any, names: Names, language: str) -> Any:
    if value in (None, ""):
        return "–"
    if isinstance(value, str):
        return names.get(value) or in_language(value, language)
    return value


def _day(text: Any) -> str:
    try:
        return date.fromisoformat(str(text)).isoformat()
    except ValueError:
        return "–"


def _entry(payload: Mapping[str, Any], names: Names, language: str) -> str:
    answer = str(payload.get("answer"))
    if answer == "measure":
        value = payload.get("value")
        if not isinstance(value, int | float):
            return in_language("measured", language)
        measured = said_value(value, str(payload.get("unit", "")))
        return f"{in_language('measured', language)} {measured}"
    if answer == "test":
        passed = payload.get("passed")
        return in_language("test held" if passed else "test failed", language)
    return _filled(ANSWERS.get(answer, answer), payload, names, language)


def _date_said(payload: Mapping[str, Any], names: Names, language: str) -> str:
    text = "{what} {date} ({status}), said by {said_by}"
    fields = {
        "what": _shown(f"date.{payload.get('what')}", names, language),
        "date": _day(payload.get("date")),
        "status": _shown(payload.get("status"), names, language),
        "said_by": payload.get("said_by") or "–",
    }
    said = in_language(text, language).format(**fields)
    part = payload.get("part")
    return f"{_shown(part, names, language)}: {said}" if part else said


def _part_said(payload: Mapping[str, Any], names: Names, language: str) -> str:
    ready = payload.get("ready")
    text = "{part}: ready" if ready else "{part}: not ready"
    return _filled(text, payload, names, language)


def _planned(payload: Mapping[str, Any], names: Names, language: str) -> str:
    text = in_language("planned for {start} to {end}", language)
    return text.format(start=_day(payload.get("start")), end=_day(payload.get("end")))


def _called(payload: Mapping[str, Any], names: Names, language: str) -> str:
    return _filled("called in: {inspection}, for {for_date}", payload, names, language)


def _call_cancelled(payload: Mapping[str, Any], names: Names, language: str) -> str:
    return _filled("call cancelled: {inspection}", payload, names, language)


def _result(payload: Mapping[str, Any], names: Names, language: str) -> str:
    text = _filled("{inspection}: {result} on {on}", payload, names, language)
    words = payload.get("words")
    return f"{text}. {words}" if words else text


def _changed(payload: Mapping[str, Any], names: Names, language: str) -> str:
    parts = []
    for name, pair in payload.get("changed", {}).items():
        old, new = (
            names.get(str(value)) or value_text(value, language) for value in pair
        )
        parts.append(f"{column_text(name, language)}: {old} → {new}")
    return in_language("details changed:", language) + " " + ", ".join(parts)


def _plan_chosen(payload: Mapping[str, Any], names: Names, language: str) -> str:
    def shown(codes: Any) -> str:
        return " + ".join(str(code or "–") for code in codes or ())

    before, after = shown(payload.get("before")), shown(payload.get("after"))
    return f"{in_language('plan chosen', language)}: {before} → {after}"


SPECIAL: dict[str, Callable[[Mapping[str, Any], Names, str], str]] = {
    "entry": _entry,
    "date_said": _date_said,
    "part_said": _part_said,
    "planned": _planned,
    "called_in": _called,
    "call_cancelled": _call_cancelled,
    "result": _result,
    "lot_changed": _changed,
    "plan_chosen": _plan_chosen,
}
