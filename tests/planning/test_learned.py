"""What is learned from builders and offices, against numbers worked out by hand."""

from datetime import date, timedelta

import pytest

from inspections.models import InspectionResult
from phases.actions.dates import say_date
from phases.models import LotPhase, ReadyPart
from tests.factories import kind_of, make_jurisdiction, phase_of
from tests.planning.histories import CODES, MONDAY, houses
from tests.planning.scene import (
    MORNING,
    dated,
    day,
    made_ready,
    owner,
    planned,
    street,
    two_crews,
)
from tracker.planning.adapter import problem_of
from tracker.planning.adapter.history import read_season
from tracker.planning.core.odds import odds
from tracker.planning.core.plan import read_plan
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.season import Season
from tracker.sites.models import InspectionKind

pytestmark = pytest.mark.django_db
EARLIER = MORNING - timedelta(days=28)


@pytest.fixture
def who():
    return owner()


def open_job(code):
    """The phase of the last lot as the solver and the draws get it."""
    phases = problem_of(now=MORNING).problem.lots[-1].phases
    return next(phase for phase in phases if phase.phase == code)


def slipped(who, lots, slips):
    """A ready date of each phase in turn, said again so many working days later."""
    pairs = [(lot, code) for lot in lots for code in CODES]
    for (lot, code), days in zip(pairs, slips, strict=False):
        dated(lot, who, code, on=day(0), now=EARLIER)
        if days:
            dated(lot, who, code, on=day(days), now=EARLIER + timedelta(days=7))


def test_builders_who_slip_are_learned(who):
    """4 of 10 dates slip: (4 + 8 x 0.25) / (10 + 8) = 1/3. Their median is 4 days, with
    8 imagined slips of 2 that is (16 + 16) / 12 = 2.67: drawn are 1 to 4 days.
    """
    slipped(who, houses(who, 3, 4), [3, 3, 5, 5, 0, 0, 0, 0, 0, 0])

    season = problem_of(now=MORNING).season

    assert (season.slip_share, season.slip_days) == (0.333, 4)


def test_a_date_moved_forward_or_of_one_part_is_no_slip(who):
    """0 of 2: 8 x 0.25 / (2 + 8) = 0.2, and the days are those assumed."""
    (lot,) = houses(who, 1, 4)
    dated(lot, who, "rough", on=day(9), now=EARLIER)
    dated(lot, who, "rough", on=day(4), now=EARLIER)
    dated(lot, who, "topout", on=day(4), now=EARLIER)
    part = ReadyPart.objects.filter(kind__code="topout").first()
    say_date(
        lot,
        phase=phase_of(lot, "topout"),
        part=part.code,
        what="ready",
        date=day(15),
        who=who,
        now=EARLIER,
    )

    season = problem_of(now=MORNING).season

    assert (season.slip_share, season.slip_days) == (0.2, 3)


def test_without_history_everything_is_as_assumed(who):
    season = problem_of(now=MORNING).season

    assert season == Season(
        slip_share=0.25, slip_days=3, rain_share=0.06, absence_share=0.02
    )


def visited(lot, code, results, *, on=MONDAY):
    InspectionResult.objects.bulk_create(
        InspectionResult(
            lot=lot,
            kind=kind_of(lot, code),
            result=result,
            on=on,
            recorded_by="Office",
            recorded_at=EARLIER,
        )
        for result in results
    )


def test_each_kinds_own_share_of_passes_reaches_the_job(who):
    """Ground passed 4 of 12: (4 + 8 x 0.85) / (12 + 8) = 0.54; cancelled is no visit.
    Rough, twice of two: (2 + 6.8) / 10 = 0.88. Nobody has seen a top out: 0.85.
    """
    office = make_jurisdiction()
    (lot,) = houses(who, 1, 4, office=office)
    visited(lot, "ground", ["passed"] * 4 + ["failed"] * 5 + ["no_access"] * 3)
    visited(lot, "ground", ["cancelled"] * 9)
    visited(lot, "rough", ["passed"] * 2)
    visited(lot, "topout", ["failed"] * 40, on=MONDAY - timedelta(days=400))
    street(who, office=office)
    two_crews()

    assert open_job("underground").pass_probability == 0.54
    assert open_job("rough").pass_probability == 0.88
    assert open_job("topout").pass_probability == 0.85


def test_two_kinds_of_a_phase_must_both_pass(who):
    """0.54 x 0.85 = 0.459."""
    office = make_jurisdiction(kinds=("ground", "sewer"))
    InspectionKind.objects.filter(code="sewer").update(proves=["underground"])
    (lot,) = houses(who, 1, 4, office=office)
    visited(lot, "ground", ["passed"] * 4 + ["failed"] * 8)
    street(who, office=office)
    two_crews()

    assert open_job("underground").pass_probability == 0.459


def waited(lots, code, after, *, passed, ready):
    for lot in lots:
        LotPhase.objects.filter(lot=lot, kind__code=code).update(passed_on=passed)
        LotPhase.objects.filter(lot=lot, kind__code=after).update(ready_date=ready)


def test_how_long_builders_need_after_a_pass_reaches_the_job(who):
    """Passed on Mondays and ready the Monday after, 4 free days between, 8 times:
    half of 4 and half of the 12 assumed. After top out nothing is known: 22.
    """
    lots = houses(who, 8, 4)
    monday = date(2026, 2, 9)
    waited(lots, "underground", "rough", passed=MONDAY, ready=monday)
    street(who)
    two_crews()

    assert open_job("underground").builder_days_after_pass == 8
    assert open_job("topout").builder_days_after_pass == 22


def test_the_odds_of_a_draft_are_drawn_from_the_season_that_was_learned(who):
    office = make_jurisdiction()
    lots = houses(who, 8, 4, office=office)
    slipped(who, lots, [9] * 32)
    visited(lots[0], "ground", ["failed"] * 40)
    LotPhase.objects.filter(lot__in=lots).update(passed_on=MONDAY)
    (lot,) = street(who, office=office, ready=False)
    dated(lot, who, on=day(3))
    made_ready(lot, who)
    two_crews()

    draft = planned(who, iterations=200)

    season = read_season(draft.season)
    assert season == problem_of(now=MORNING).season
    assert season.slip_days > 10
    problem, plan = read_problem(draft.problem), read_plan(draft.plan)
    drawn = [
        [one.lot, one.phase, one.p80] for one in odds(problem, plan, season=season)
    ]
    assert [[row[0], row[1], row[5]] for row in draft.odds] == drawn
    other = odds(problem, plan, season=Season())
    assert drawn != [[one.lot, one.phase, one.p80] for one in other]
