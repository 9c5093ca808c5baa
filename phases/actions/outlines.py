"""Piping outlines: guessed, edited, accepted by a named person, withdrawn.

A version is never changed. What a lot shows as checked comes from the last version
that was accepted for exactly its options; accepting or withdrawing brings the check
items of those lots up to date, by the rules of any other change of the plan.
"""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from phases import rules
from phases.actions.items import sync_items
from phases.catalogue import House, stub_out_list
from phases.catalogue.options import apply_options
from phases.house_of import catalogue_now, plan_of
from phases.log import Who, writing
from phases.models import PlanOutline
from phases.plan_check import (
    extras_of,
    guess_of,
    options_key,
    outline_from,
    site_of,
)
from phases.sizing.outline import OutlineError, show
from phases.sizing.plan.extras_text import parse_extras, show_extras
from phases.sizing.tables import Book
from tracker.errors import Refused
from tracker.sites.models import Lot, Plan


def latest_outline(plan: Plan, options: str) -> PlanOutline | None:
    """The newest version of a plan with exactly these options (`A,B`)."""
    found = PlanOutline.objects.filter(plan=plan, options=options)
    return found.latest_first().first()


def keep_guess(
    plan: Plan,
    codes: Iterable[str],
    *,
    book: Book,
    who: Who,
    now: datetime,
    house: House | None = None,
    figures: Mapping[str, Any] | None = None,
) -> PlanOutline:
    """Keep the guess from rooms and fixtures as the next version, marked as one.

    house saves reading the plan again: its rooms with these options.
    """
    rules.check(rules.why_not_office(who.member))
    codes = list(codes)
    if house is None:
        base, options = plan_of(plan)
        house = apply_options(base, [options[code] for code in codes])
    figures = dict(figures or {})
    try:
        site = site_of(house.storeys, house.foundation, figures)
        outline = guess_of(house, site, book)
    except (LookupError, ValueError) as error:
        raise Refused("no_guess", why=error.args[0]) from error
    extras = extras_of(house, stub_out_list(house, catalogue_now()))
    with writing(now=now):
        return _add(
            plan,
            options_key(codes),
            who=who,
            now=now,
            text=show(outline),
            site=figures,
            extras=show_extras(extras),
            book=book.code,
            edition=book.edition,
            is_guess=True,
        )


def save_outline(
    plan: Plan,
    codes: Iterable[str],
    *,
    text: str,
    extras: str,
    site: Mapping[str, Any],
    book: Book,
    who: Who,
    now: datetime,
    base_version: int | None = None,
) -> PlanOutline:
    """Keep an edited outline as the next version; nobody has accepted it yet.

    base_version is the version that the editor had before him: a newer one refuses.
    Text and figures without a change add no version.
    """
    rules.check(rules.why_not_office(who.member))
    try:
        outline_from(text, False, "")
        parse_extras(extras)
    except OutlineError as error:
        raise Refused("outline_unreadable", problems=str(error)) from error
    key = options_key(codes)
    with writing(now=now):
        last = latest_outline(plan, key)
        if last and base_version is not None and last.version > base_version:
            raise Refused("outline_changed_meanwhile", version=last.version)
        same = last and (last.text, last.extras, last.site) == (text, extras, {**site})
        if last and same and not last.is_guess:
            return last
        return _add(
            plan,
            key,
            who=who,
            now=now,
            text=text,
            site=dict(site),
            extras=extras,
            book=book.code,
            edition=book.edition,
        )


def accept_outline(
    outline: PlanOutline, *, name: str, who: Who, now: datetime
) -> PlanOutline:
    """A named person takes the newest version as how the plan is piped.

    From then on its sizes are checked ones: they go to the lots' check items.
    """
    rules.check(rules.why_not_office(who.member))
    if len(name.strip()) < 3:
        raise Refused("outline_name_needed")
    with writing(now=now):
        outline = PlanOutline.objects.select_related("plan").get(pk=outline.pk)
        if outline.is_accepted:
            raise Refused("outline_accepted", name=outline.accepted_name)
        last = latest_outline(outline.plan, outline.options)
        if last is None or last.pk != outline.pk:
            raise Refused("outline_not_latest")
        outline.accepted_by = who.member
        outline.accepted_name = name.strip()[:120]
        outline.accepted_at = now
        outline.withdrawn_by = outline.withdrawn_at = None
        outline.withdrawn_reason = ""
        outline.save()
        bring_lots(outline.plan, outline.options, who=who, now=now)
        return outline


def withdraw_outline(
    outline: PlanOutline, *, reason: str, who: Who, now: datetime
) -> PlanOutline:
    """Take an acceptance back; an accepted version before it is in force again."""
    rules.check(rules.why_not_office(who.member))
    if not reason.strip():
        raise Refused("reason_needed")
    with writing(now=now):
        outline = PlanOutline.objects.select_related("plan").get(pk=outline.pk)
        if not outline.is_accepted:
            raise Refused("outline_not_accepted")
        outline.withdrawn_by = who.member
        outline.withdrawn_at = now
        outline.withdrawn_reason = reason.strip()[:200]
        outline.save()
        bring_lots(outline.plan, outline.options, who=who, now=now)
        return outline


def bring_lots(plan: Plan, options: str, *, who: Who, now: datetime) -> int:
    """Bring the open lots with exactly these options up to date; how many."""
    lots = (
        Lot.objects.open()
        .filter(plan=plan)
        .select_related("subdivision__jurisdiction", "plan")
        .prefetch_related("options")
    )
    changed = [
        lot
        for lot in lots
        if options_key(option.code for option in lot.options.all()) == options
    ]
    catalogue = catalogue_now() if changed else None
    with writing(now=now) as log:
        for lot in changed:
            sync_items(log, lot, who=who, catalogue=catalogue)
    return len(changed)


def _add(
    plan: Plan, options: str, *, who: Who, now: datetime, **fields: Any
) -> PlanOutline:
    last = latest_outline(plan, options)
    return PlanOutline.objects.create(
        plan=plan,
        options=options,
        version=(last.version if last else 0) + 1,
        made_by=who.member,
        made_at=now,
        **fields,
    )
