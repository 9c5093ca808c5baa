"""An office read from its JSON values; every complaint names its key."""

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

from inspections.dates import Malformed, fields, parse_rules
from inspections.dates.reading import KEYS
from inspections.offices.records import (
    BLOCKS,
    RENEWED_BY,
    VISIT_REASONS,
    DateRules,
    OfficeRecord,
    PermitLife,
    Promise,
    Reinspection,
    TestRefused,
    VisitLimit,
)

UNKNOWN = "unknown"
RECORD_KEYS = (
    "reinspection",
    "permit",
    "turned_away_when",
    "who_may_ask",
    "tests_refused",
    "ride_together",
    "must_pass_first",
    "visit_limit",
    "cancel_by",
    "notes",
    "source",
)
# Stands in for a lead that is not known, so that the other rules can be read.
NO_LEAD = {"unit": "inspection_days", "amount": 0}


def parse_office(
    rules: object, record: object = None, *, by_kind: object = None
) -> OfficeRecord:
    """An office from three JSON objects; raises `Malformed` with the first wrong key.

    rules    the keys of `parse_rules`; any but `timezone` may be "unknown"; `within`
             (unit, amount, first) may stand in place of `lead`
    record   the keys of `RECORD_KEYS`, each optional
    by_kind  kind of inspection to the rules that differ for it
    """
    usual = _rules_object(rules, "rules")
    kinds = _mapping(by_kind, "by_kind")
    given = fields.an_object(
        {} if record is None else record, "record", allowed=RECORD_KEYS
    )
    return OfficeRecord(
        usual=_date_rules(usual, "rules"),
        by_kind={
            kind: _date_rules(
                _merged(usual, _rules_object(own, f"by_kind.{kind}")),
                f"by_kind.{kind}",
            )
            for kind, own in kinds.items()
        },
        reinspection=_reinspection(given.get("reinspection")),
        permit=_permit(given.get("permit")),
        turned_away_when=_some_of(given, "turned_away_when", BLOCKS),
        who_may_ask=frozenset(_texts(given.get("who_may_ask"), "record.who_may_ask")),
        tests_refused=_tests_refused(given.get("tests_refused")),
        ride_together=_ride_together(given.get("ride_together")),
        must_pass_first={
            kind: tuple(_texts(first, f"record.must_pass_first.{kind}"))
            for kind, first in _mapping(
                given.get("must_pass_first"), "record.must_pass_first"
            ).items()
        },
        visit_limit=_visit_limit(given.get("visit_limit")),
        cancel_by=None
        if given.get("cancel_by") is None
        else fields.a_time(given["cancel_by"], "record.cancel_by"),
        notes=tuple(_texts(given.get("notes"), "record.notes")),
        source=fields.a_text(given["source"], "record.source")
        if "source" in given
        else "",
    )


def _rules_object(value: object, key: str) -> Mapping[str, Any]:
    given = fields.an_object(value, key, allowed=(*KEYS, "within"))
    if "lead" in given and "within" in given:
        raise Malformed(f"{key}.within", "within_or_lead")
    return given


def _merged(usual: Mapping[str, Any], own: Mapping[str, Any]) -> dict[str, Any]:
    """A kind's own lead or promise takes the place of the usual one."""
    merged = dict(usual)
    if "lead" in own or "within" in own:
        merged.pop("lead", None)
        merged.pop("within", None)
    return merged | dict(own)


def _date_rules(given: Mapping[str, Any], key: str) -> DateRules:
    unknown = {name for name, value in given.items() if value == UNKNOWN}
    known = {name: given[name] for name in given if name not in unknown}
    within = _promise(known.pop("within", None), f"{key}.within")
    if "lead" in unknown or within is not None:
        known["lead"] = NO_LEAD
    return DateRules(parse_rules(known, key=key), within, frozenset(unknown))


def _promise(value: object, key: str) -> Promise | None:
    if value is None:
        return None
    given = fields.an_object(
        value, key, allowed=("unit", "amount", "first"), required=("unit", "amount")
    )
    if given["unit"] not in ("inspection_days", "hours"):
        known = '"inspection_days", "hours"'
        raise Malformed(f"{key}.unit", "one_of", known=known)
    return Promise(
        given["unit"],
        fields.a_whole_number(given["amount"], f"{key}.amount", least=1, most=8784),
        fields.a_whole_number(given.get("first", 0), f"{key}.first", least=0, most=30),
    )


def _mapping(value: object, key: str) -> Mapping[str, Any]:
    if value is None:
        return {}
    if not isinstance(value, dict):
        raise Malformed(key, "an_object", value=fields.shown(value))
    return value


def _texts(value: object, key: str) -> list[str]:
    if value is None:
        return []
    return [fields.a_text(text, key) for text in fields.a_list(value, key)]


def _some_of(
    given: Mapping[str, Any], name: str, known: tuple[str, ...], key: str = "record"
) -> frozenset[str]:
    texts = _texts(given.get(name), f"{key}.{name}")
    for text in texts:
        if text not in known:
            listed = ", ".join(known)
            raise Malformed(f"{key}.{name}", "uses", known=listed, value=repr(text))
    return frozenset(texts)


def _reinspection(value: object) -> Reinspection | None:
    if value is None:
        return None
    key = "record.reinspection"
    given = fields.an_object(
        value,
        key,
        allowed=("reasons", "amount", "from_visit", "pay_first"),
        required=("reasons", "amount"),
    )
    pay_first = given.get("pay_first", False)
    if not isinstance(pay_first, bool):
        raise Malformed(f"{key}.pay_first", "true_or_false")
    return Reinspection(
        reasons=_some_of(given, "reasons", VISIT_REASONS, key),
        amount=_money(given["amount"], f"{key}.amount"),
        from_visit=fields.a_whole_number(
            given.get("from_visit", 1), f"{key}.from_visit", least=1, most=20
        ),
        pay_first=pay_first,
    )


def _money(value: object, key: str) -> Decimal | None:
    if value == UNKNOWN:
        return None
    try:
        amount = Decimal(fields.a_text(value, key))
    except InvalidOperation:
        amount = Decimal("NaN")
    if not (amount.is_finite() and 0 <= amount < 100_000):
        raise Malformed(key, "an_amount")
    return amount


def _permit(value: object) -> PermitLife | None:
    if value is None:
        return None
    key = "record.permit"
    given = fields.an_object(
        value, key, allowed=("days", "renewed_by"), required=("days",)
    )
    renewed_by = given.get("renewed_by", "nothing")
    if renewed_by not in RENEWED_BY:
        known = ", ".join(RENEWED_BY)
        raise Malformed(f"{key}.renewed_by", "one_of", known=known)
    days = fields.a_whole_number(given["days"], f"{key}.days", least=1, most=3660)
    return PermitLife(days, renewed_by)


def _tests_refused(value: object) -> tuple[TestRefused, ...]:
    key = "record.tests_refused"
    refused = []
    for item in [] if value is None else fields.a_list(value, key):
        given = fields.an_object(
            item,
            key,
            allowed=("system", "medium", "material"),
            required=("system", "medium"),
        )
        texts = {name: fields.a_text(given[name], f"{key}.{name}") for name in given}
        if texts.get("material", "any") not in ("any", "plastic"):
            raise Malformed(f"{key}.material", "one_of", known='"any", "plastic"')
        refused.append(TestRefused(**texts))
    return tuple(refused)


def _ride_together(value: object) -> tuple[frozenset[str], ...]:
    key = "record.ride_together"
    groups = [] if value is None else fields.a_list(value, key)
    together = tuple(frozenset(_texts(group, key)) for group in groups)
    if any(len(group) < 2 for group in together):
        raise Malformed(key, "two_kinds")
    return together


def _visit_limit(value: object) -> VisitLimit | None:
    if value is None:
        return None
    key = "record.visit_limit"
    parts = ("visits", "penalty")
    given = fields.an_object(value, key, allowed=parts, required=parts)
    return VisitLimit(
        fields.a_whole_number(given["visits"], f"{key}.visits", least=1, most=20),
        fields.a_text(given["penalty"], f"{key}.penalty"),
    )
