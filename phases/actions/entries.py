"""Answers to check items: the facts that prove what is inside a wall."""

import math
import re
from datetime import datetime
from typing import Any

from phases import rules
from phases.actions.corrections import Finding, append_correction
from phases.actions.holds import append_hold
from phases.item_state import ANSWERS
from phases.log import Log, Who, writing
from phases.models import CheckItem, Fact, PhotoUse
from tracker.errors import Refused

_SHA = re.compile(r"[0-9a-f]{64}\Z")


def answer_item(
    item: CheckItem,
    *,
    answer: str,
    who: Who,
    now: datetime,
    version: int | None = None,
    payload: dict[str, Any] | None = None,
) -> Fact:
    """One person's dated answer to an item, tied to the version he was shown.

    payload by answer: measure {value, unit, reason?}; photo {sha}; test {passed, ...};
    note {text}; not_done {owed_by, text}; undo {of}; reject {of, reason};
    settle {value?, reason}. Raises Refused with the reason in both languages.
    """
    payload = dict(payload or {})
    _check(item, answer, who, payload)
    with writing(now=now) as log:
        item = CheckItem.objects.select_related("lot_phase__lot__subdivision").get(
            pk=item.pk
        )
        lot = item.lot_phase.lot
        if lot.retired_at is not None:
            raise Refused("lot_retired")
        if item.removed_at is not None:
            raise Refused("item_removed")
        if answer == "undo":
            _check_undo(item, who, payload)
        shown = min(version or item.version, item.version)
        fact = log.append(
            "entry",
            lot=lot,
            phase=item.lot_phase,
            item=item,
            who=who,
            answer=answer,
            version=shown,
            **payload,
        )
        _follow_up(log, item, answer, who, payload, fact, shown)
        return fact


def _check(item: CheckItem, answer: str, who: Who, payload: dict[str, Any]) -> None:
    if answer not in ANSWERS:
        raise Refused("unknown_kind", value=answer)
    needs_lead = answer in ("reject", "settle")
    rules.check((rules.why_not_lead if needs_lead else rules.why_not_work)(who.member))
    if answer in ("reject", "settle") and not str(payload.get("reason", "")).strip():
        raise Refused("reason_needed")
    if answer == "note" and not str(payload.get("text", "")).strip():
        raise Refused("reason_needed")
    if answer == "not_done" and not str(payload.get("text", "")).strip():
        raise Refused("reason_needed")
    if answer == "photo" and not _SHA.match(str(payload.get("sha", ""))):
        raise Refused("photo_missing")
    if answer == "measure" or (answer == "settle" and "value" in payload):
        value = payload.get("value")
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise Refused("value_needed")
        if not math.isfinite(value) or abs(value) > 1_000_000:
            raise Refused("bad_value", field="value", value=value)
        unit = item.spec.get("unit", "")
        if payload.setdefault("unit", unit) != unit:
            raise Refused("bad_value", field="unit", value=payload["unit"])


def _check_undo(item: CheckItem, who: Who, payload: dict[str, Any]) -> None:
    own = item.facts.filter(kind="entry", by=who.member)
    of = str(payload.get("of", ""))
    known = {str(fact.op or fact.no) for fact in own}
    if of not in known:
        raise Refused("not_your_entry")


def _follow_up(
    log: Log,
    item: CheckItem,
    answer: str,
    who: Who,
    payload: dict[str, Any],
    fact: Fact,
    shown: int,
) -> None:
    lot = item.lot_phase.lot
    follower = Who(member=who.member, device=who.device, happened_at=who.happened_at)
    if answer == "photo":
        PhotoUse.objects.create(photo_sha=payload["sha"], lot=lot, item=item, fact=fact)
    if answer == "not_done":
        append_hold(
            log,
            lot,
            phase=item.lot_phase,
            owed_by=str(payload.get("owed_by") or "another trade"),
            text=payload["text"],
            who=follower,
        )
    if answer in ("tick", "measure", "test", "photo") and shown < item.version:
        append_correction(
            log,
            lot,
            Finding(
                text="Answered on the list before it changed: check against the new.",
                text_es="Contestado con la lista anterior: revise con la nueva.",
                source="change",
                item=item,
            ),
            who=follower,
        )


def walk(
    items: list[CheckItem], *, who: Who, now: datetime, note: str = ""
) -> list[Fact]:
    """The lead found these items good on his walk."""
    rules.check(rules.why_not_walk(items, who.member))
    facts = []
    with writing(now=now) as log:
        for item in items:
            facts.append(
                log.append(
                    "walked",
                    lot=item.lot_phase.lot,
                    phase=item.lot_phase,
                    item=item,
                    who=who if not facts else Who(member=who.member, device=who.device),
                    note=note,
                )
            )
    return facts


def photo_arrived(sha: str, *, now: datetime) -> None:
    """The bytes of a photo are on the server: items it proves are looked at again."""
    with writing(now=now) as log:
        for use in PhotoUse.objects.filter(photo_sha=sha).select_related("lot"):
            log.touch(use.lot)
