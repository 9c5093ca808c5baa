"""Work done, inspected with its failures, and closed in."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import TYPE_CHECKING

from inspections.actions import Found, call_in, record_result
from inspections.office import office_of_lot
from inspections.timing import First, first_day
from phases.actions.corrections import Finding, append_correction, close_correction
from phases.models import CheckItem, Correction, LotPhase, Photo
from phases.refresh import refresh_lots
from tracker.desk.demo import scenario
from tracker.desk.demo.calendar import is_working, plus
from tracker.sites.models import InspectionKind

if TYPE_CHECKING:
    from tracker.desk.demo.story import Story


def finish(story: Story, phase: LotPhase, lead, end: date) -> None:
    """The lead's walk: corrections found and mended, work done, on test."""
    if story.rng.random() < 0.25:
        owed_by, text, text_es = story.rng.choice(scenario.WALK_FINDINGS)
        correction = append_correction(
            story.log,
            story.lot,
            Finding(
                text=text,
                text_es=text_es,
                owed_by=owed_by,
                phase=phase,
                due_on=plus(end, 1),
            ),
            who=story.who(lead, end, 15),
        )
        old = end < plus(story.today, -2)
        if old or story.rng.random() < 0.2:
            who = story.who(lead, end, 15, 30)
            close_correction(correction, who=who, now=story.log.now)
    for hour, kind in ((16, "work_done"), (16, "on_test")):
        if kind == "on_test" and phase.kind.code == "trim":
            continue
        who = story.who(lead, end, hour, 5 if kind == "on_test" else 0)
        story.log.append(kind, lot=story.lot, phase=phase, who=who)


def inspect(story: Story, phase: LotPhase, lead, end: date) -> date | None:
    """Call in and receive the results; the day on which all had passed."""
    office = story.lot.subdivision.jurisdiction_id
    last = None
    _refresh(story)
    for kind in story.season.kinds[office]:
        if kind.proves[-1] != phase.kind.code or not _applies(story, kind):
            continue
        day = _one_inspection(story, phase, kind, end)
        if day is None:
            return None
        last = max(last, day) if last else day
    return last or end


def _applies(story: Story, kind: InspectionKind) -> bool:
    if not kind.applies_to:
        return True
    return (
        CheckItem.objects.filter(
            lot_phase__lot=story.lot, spec__outlet__in=kind.applies_to
        ).exists()
        or CheckItem.objects.filter(
            lot_phase__lot=story.lot, spec__kind__in=kind.applies_to
        ).exists()
    )


def _one_inspection(
    story: Story, phase: LotPhase, kind: InspectionKind, end: date
) -> date | None:
    asked = plus(end, 1)
    for attempt in range(3):
        if not story.past(asked, 9):
            return None
        day = _inspection_day(story, kind, asked)
        if not _call(story, kind, asked, day):
            return None
        if not story.past(day, 14):
            return None
        if attempt == 2 or story.rng.random() < 0.88:
            _result(story, kind, day, "passed", ())
            return day
        words = story.rng.choice(scenario.FINDINGS)
        _result(story, kind, day, "failed", (Found(words),))
        mended = plus(day, 1)
        if not story.past(mended, 15):
            return None
        who = story.who(story.office, mended, 15)
        for correction in Correction.objects.filter(
            lot=story.lot, source="inspector"
        ).exclude(state="closed"):
            close_correction(correction, who=who, now=story.log.now)
        _refresh(story)
        asked = plus(mended, 1)
    return None


def _inspection_day(story: Story, kind: InspectionKind, asked: date) -> date:
    """About the day an office gives; by its very rules where that is still ahead."""
    weekdays = {"tue": 1, "thu": 3}
    days = story.lot.subdivision.jurisdiction.rules.get("inspection_weekdays")
    allowed = {weekdays[day] for day in days} if days else set(range(5))
    day = plus(asked, 1)
    while day.weekday() not in allowed or not is_working(day):
        day = plus(day, 1)
    return day if story.past(day, 14) else _day_given(story, kind, asked)


def _day_given(story: Story, kind: InspectionKind, asked: date) -> date:
    office = office_of_lot(story.lot)
    assert office is not None
    first = first_day(
        office.record,
        kind.code,
        now=datetime.combine(asked, time(9), tzinfo=office.zone),
        ready_on=None,
        after={},
        booked={},
    )
    assert isinstance(first, First)
    return first.inspect_on


def _call(story: Story, kind: InspectionKind, asked: date, day: date) -> bool:
    who = story.who(story.office, asked, 9)
    phases = LotPhase.objects.filter(lot=story.lot, kind__code__in=kind.proves)
    if any(phase.call_in_missing for phase in phases):
        # Somebody left an item unproven: it stays on Today until it is.
        return False
    call_in(
        story.lot,
        kind,
        for_date=day,
        who=who,
        now=story.log.now,
        confirmation=f"{story.rng.randrange(10_000, 99_999)}",
    )
    return True


def _result(
    story: Story, kind: InspectionKind, day: date, result: str, found: tuple[Found, ...]
) -> None:
    who = story.who(story.office, day, 14)
    record_result(
        story.lot,
        kind,
        result=result,
        on=day,
        who=who,
        now=story.log.now,
        found=found,
        inspector="R. Ames" if kind.jurisdiction_id % 2 else "T. Holloway",
    )


def close_in(story: Story, phase: LotPhase, passed: date) -> date | None:
    if not phase.kind.conceals_en or phase.kind.code == "rough":
        return None
    covered = plus(passed, story.rng.choice((1, 2, 2, 3)))
    closed = [phase]
    if phase.kind.code == "topout":
        closed = [p for p in story.phases if p.kind.conceals_en and p.position > 1]
    for each in closed:
        story.say(each, "cover", covered, passed, status="revised")
        if story.past(covered, 17):
            story.say(each, "cover", covered, covered, status="actual")
    return covered


def _refresh(story: Story) -> None:
    Photo.objects.bulk_create(story.season.photos, batch_size=500)
    story.season.photos.clear()
    refresh_lots([story.lot.pk], now=story.log.now)
