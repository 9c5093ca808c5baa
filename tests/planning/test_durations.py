"""Speeds and durations learned from facts, against numbers worked out by hand."""

from collections import defaultdict

import pytest

from tests.factories import make_crew, phase_of
from tests.planning.histories import CODES, houses, worked
from tests.planning.scene import MORNING, TODAY, owner, street
from tracker.planning.adapter import problem_of
from tracker.planning.adapter.history import learn, read_season, season_json
from tracker.planning.past import _learned
from tracker.planning.then import Was, problem_then
from tracker.sites.models import Lot

pytestmark = pytest.mark.django_db


def all_done(lots, crew, took, *, leave=0):
    pairs = [(lot, code) for lot in lots for code in CODES]
    for lot, code in pairs[: len(pairs) - leave]:
        worked(lot, code, crew, took)


def crew_of(found, name):
    return found.problem.crews[found.problem.crew_index[name]]


def was_of(lot, crew, phase=1):
    return Was(
        phase=phase,
        lot=lot.pk,
        code="rough",
        plan=lot.plan_id,
        place=lot.subdivision,
        crew=crew,
        known=TODAY,
        start=TODAY,
        half=0,
        quarters=9,
        passed=None,
    )


def job_of(found, code):
    return next(job for job in found.problem.jobs if job.phase.phase == code)


def test_slow_work_is_counted_once_in_the_speed_and_not_again_in_the_ratio():
    """30 jobs planned 8 that took 10: (240 + 64) / (300 + 64) = 0.835.

    8 / 0.84 are 10 whole quarters, which is what they took: the ratio is 1.
    """
    who = owner()
    ditch = make_crew(name="Ditch")
    all_done(houses(who, 8, 8), ditch, 10, leave=2)
    street(who)

    found = problem_of(now=MORNING)

    crew = crew_of(found, "Ditch")
    assert crew.speed == 0.84
    assert crew.quarters(8) == 10
    assert found.season.spread(job_of(found, "underground")).median == 1.0


def test_the_learned_speed_takes_the_place_of_the_set_one():
    """8 jobs planned 9 that took 12, set 0.9: (72 + 72) / (96 + 80) = 0.818."""
    who = owner()
    ditch = make_crew(name="Ditch", speed=0.9)
    all_done(houses(who, 2, 9), ditch, 12)

    assert _learned(MORNING).speeds == {ditch.pk: 0.82}


@pytest.mark.parametrize("set_speed", [0.75, 1.0, 1.5])
def test_a_crew_that_works_as_fast_as_was_set_stays_there(set_speed):
    who = owner()
    ditch = make_crew(name="Ditch", speed=set_speed)
    frame = make_crew(name="Frame", speed=set_speed)
    all_done(houses(who, 2, 12), ditch, round(12 / set_speed))
    street(who)

    found = problem_of(now=MORNING)

    assert crew_of(found, "Ditch").speed == set_speed
    assert crew_of(found, "Frame").speed == frame.speed
    assert found.season.spread(job_of(found, "rough")).median == 1.0


def test_one_very_slow_job_says_little_and_many_no_more_than_half_the_speed():
    """One planned 4 that took 16: (4 + 32) / (16 + 32) = 0.75; twelve: 0.5 at least."""
    who = owner()
    once, often = make_crew(name="Once"), make_crew(name="Often")
    first, *rest = houses(who, 4, 4)
    worked(first, "rough", once, 16)
    all_done(rest, often, 20)

    assert _learned(MORNING).speeds == {once.pk: 0.75, often.pk: 0.5}


def test_a_phase_that_takes_more_than_its_plan_whoever_does_it_has_a_ratio():
    """Rough takes 12 where 8 are planned, all else 8, of one crew: speed
    (256 + 64) / (288 + 64) = 0.91, so 9 are expected; 8 roughs at 12 / 9 against 8
    imagined at 1 have the median (4 / 3) ** 0.5 = 1.155, the rest (8 / 9) ** 0.5.
    """
    who = owner()
    ditch = make_crew(name="Ditch")
    for lot in houses(who, 8, 8):
        for code in CODES:
            worked(lot, code, ditch, 12 if code == "rough" else 8)
    street(who)

    found = problem_of(now=MORNING)

    assert crew_of(found, "Ditch").speed == 0.91
    rough = found.season.spread(job_of(found, "rough")).median
    assert rough == pytest.approx((4 / 3) ** 0.5, abs=0.001)
    other = found.season.spread(job_of(found, "topout")).median
    assert other == pytest.approx((8 / 9) ** 0.5, abs=0.001)


def test_work_of_nobody_is_held_against_a_plain_crew_and_gives_no_speed():
    who = owner()
    (lot,) = houses(who, 1, 8)
    worked(lot, "rough", None, 12)

    learned = _learned(MORNING)

    assert learned.speeds == {}
    assert learned.ratios == {("rough", lot.plan_id): (1.5,)}


def test_a_plan_has_its_own_durations_pulled_towards_the_phase_on_other_plans():
    """Planned 8, 8 roughs of one plan took 12 and 8 of another 4: speed 1.

    The first: 8 at 1.5 and 8 imagined at the others' 0.5 ** 0.5; the second likewise;
    a plan without history has the phase's (1.5 x 0.5) ** (8 / 24).
    """
    who = owner()
    ditch = make_crew(name="Ditch")
    long, short = houses(who, 8, 8), houses(who, 8, 8)
    for lots, took in ((long, 12), (short, 4)):
        for lot in lots:
            worked(lot, "rough", ditch, took)
    (other,) = street(who)
    was = [
        was_of(lot, ditch, phase=number)
        for number, lot in enumerate((long[0], short[0], other))
    ]

    problem, _, season = problem_then(was, TODAY, defaultdict(list), _learned(MORNING))

    assert problem.crews[0].speed == 1.0
    medians = [season.spread(job).median for job in problem.jobs]
    by_hand = [(1.5 * 0.5**0.5) ** 0.5, (0.5 * 1.5**0.5) ** 0.5, 0.75 ** (1 / 3)]
    assert medians == pytest.approx(by_hand, abs=1e-9)
    assert read_season(season_json(season)) == season


def test_the_problem_of_today_draws_each_lot_by_its_own_plan():
    """Rough took half again its time on one plan, and nobody has built the other."""
    who = owner()
    ditch = make_crew(name="Ditch")
    done = houses(who, 8, 8)
    for lot in done:
        worked(lot, "rough", ditch, 12)
        worked(lot, "topout", ditch, 4)
    known, unknown = street(who), street(who)
    Lot.objects.filter(pk=known[0].pk).update(plan=done[0].plan)

    found = problem_of(now=MORNING)

    names = {pk: name for name, pk in found.keys.phases.items()}
    (own,) = (names[phase_of(lot, "rough").pk] for lot in known)
    (other,) = (names[phase_of(lot, "rough").pk] for lot in unknown)
    assert found.season.durations[own].median == pytest.approx(1.5**0.5)
    assert other not in found.season.durations


def test_only_work_known_by_then_is_learned_from():
    who = owner()
    ditch = make_crew(name="Ditch")
    all_done(houses(who, 2, 8), ditch, 16)

    before = learn({}, lambda own, code: 8, now=MORNING.replace(month=2, day=1))

    assert before.speeds == {}
    assert _learned(MORNING).speeds != {}


def test_the_past_is_lived_through_with_crews_as_fast_as_was_known():
    who = owner()
    ditch = make_crew(name="Ditch", speed=0.9)
    all_done(houses(who, 2, 9), ditch, 12)
    (lot,) = street(who)
    was = was_of(lot, ditch)
    kinds = {lot.subdivision.jurisdiction_id: []}

    problem, plan, _ = problem_then([was], TODAY, kinds, _learned(MORNING))

    (now,) = (c for c in problem_of(now=MORNING).problem.crews if c.id == "Ditch")
    assert [crew.speed for crew in problem.crews] == [now.speed] == [0.82]
    assert plan.jobs[0].end_quarter == now.quarters(9) == 11
