"""Work done, inspected with its failures, and closed in."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import TYPE_CHECKING

from django.db.models import Q

from inspections.actions import Found, Told, call_in_visit, record_result
from inspections.office import office_of_lot
from inspections.timing import First, first_day
from phases.actions.corrections import Finding, append_correction, close_correction
from phases.models import CheckItem, Correction, LotPhase
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
    last = end
    _refresh(story)
    for visit in _visits(story, phase):
        day = _one_visit(story, phase, visit, end)
        if day is None:
            return None
        last = max(last, day)
    return last


def _visits(story: Story, phase: LotPhase) -> list[list[InspectionKind]]:
    """Kinds whose last phase is this one; those that ride together in one call."""
    visits: list[list[InspectionKind]] = []
    for kind in story.season.kinds[story.lot.subdivision.jurisdiction_id]:
        if kind.proves[-1] != phase.kind.code or not _applies(story, kind):
            continue
        if visits and kind.code in visits[-1][0].rides_with:
            visits[-1].append(kind)
        else:
            visits.append([kind])
    return visits


def _applies(story: Story, kind: InspectionKind) -> bool:
    if not kind.applies_to:
        return True
    items = CheckItem.objects.filter(lot_phase__lot=story.lot)
    return items.filter(
        Q(spec__outlet__in=kind.applies_to) | Q(spec__kind__in=kind.applies_to)
    ).exists()


def _one_visit(
    story: Story, phase: LotPhase, kinds: list[InspectionKind], end: date
) -> date | None:
    """The day the last of these kinds passed; None where that is still ahead."""
    asked = plus(end, 1)
    for attempt in range(3):
        if not story.past(asked, 9) or _not_called_yet(story, asked):
            return None
        day = _inspection_day(story, kinds[0], asked)
        if not _call(story, kinds, asked, day) or not story.past(day, 14):
            return None
        kinds = _results(story, kinds, day, fail=attempt < 2)
        if not kinds:
            return day
        mended = plus(day, 1)
        _move_cover(story, phase, day, mended)
        if not story.past(mended, 15):
            return None
        _mend(story, mended)
        asked = plus(mended, 1)
    return None


def _not_called_yet(story: Story, asked: date) -> bool:
    """This morning's calls are still on the office's list, and a few of yesterday's."""
    if asked >= story.today:
        return True
    return asked == plus(story.today, -1) and story.rng.random() < 0.4


def _results(
    story: Story, kinds: list[InspectionKind], day: date, *, fail: bool
) -> list[InspectionKind]:
    """Record what the inspector said of each; those that he did not pass."""
    failed = []
    for kind in kinds:
        if fail and story.rng.random() < 0.12:
            words = story.rng.choice(scenario.FINDINGS[kind.proves[-1]])
            _result(story, kind, day, "failed", (Found(words),))
            failed.append(kind)
        else:
            _result(story, kind, day, "passed", ())
    return failed


def _move_cover(story: Story, phase: LotPhase, heard: date, mended: date) -> None:
    """Most superintendents move a cover date that a failed inspection overtook."""
    to = plus(mended, 6)
    if story.covers.get(phase.pk, to) < to and story.rng.random() < 0.85:
        story.say(phase, "cover", to, heard, status="revised")


def _mend(story: Story, day: date) -> None:
    who = story.who(story.office, day, 15)
    found = Correction.objects.filter(lot=story.lot, source="inspector")
    for correction in found.exclude(state="closed"):
        close_correction(correction, who=who, now=story.log.now)
    _refresh(story)


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


def _call(story: Story, kinds: list[InspectionKind], asked: date, day: date) -> bool:
    who = story.who(story.office, asked, 9)
    proved = {code for kind in kinds for code in kind.proves}
    phases = LotPhase.objects.filter(lot=story.lot, kind__code__in=proved)
    if any(phase.call_in_missing for phase in phases):
        # Somebody left an item unproven: it stays on Today until it is.
        return False
    number = f"{story.rng.randrange(10_000, 99_999)}"
    call_in_visit(
        story.lot,
        kinds,
        for_date=day,
        who=who,
        now=story.log.now,
        told=Told(confirmation=number),
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
    story.season.keep_photos()
    refresh_lots([story.lot.pk], now=story.log.now)
