"""What is called in: the plan counts it as passed, the odds draw its result."""

from datetime import timedelta

import numpy as np
import pytest
from django.urls import reverse

from inspections.actions import call_in
from phases.actions.work import work_done
from phases.models import LotPhase
from tests.factories import kind_of, phase_of, prove_phase
from tests.planning.problems import city, crew, lot, phase, problem
from tests.planning.scene import MORNING, dated, day, owner, planned, street, two_crews
from tracker.planning.actions.publishing import publish
from tracker.planning.adapter import problem_of
from tracker.planning.adapter.history import read_season, season_json
from tracker.planning.core.draws import draw_passes
from tracker.planning.core.odds import odds
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.season import CERTAIN, Season, Spread
from tracker.planning.core.solve import Effort, solve
from tracker.planning.queries import promised

CALM = {
    "durations": {name: Spread(1, 0) for name in ("underground", "rough", "topout")},
    "slip_share": 0.0,
    "absence_share": 0.0,
}
DRAWS = 20_000


def waiting(ready, **over):
    """Underground is seen on day 3 and passes seven times of ten; rough follows."""
    seen = {"pass_probability": 0.7, "builder_days_after_pass": 2, "need_by_day": 3}
    raw = problem(
        crews=[crew("A")],
        jurisdictions=[city(lead_days=1, cutoff_quarter=4)],
        lots=[
            lot(
                "E1",
                phase("underground", status="passed", **{**seen, **over}),
                phase("rough", ready_day=ready, inspected=False),
            )
        ],
    )
    read = read_problem(raw)
    return read, solve(read, Effort(iterations=10))


def season(**over):
    return Season(**{**CALM, "called_in": {("E1", "underground"): 3}, **over})


def test_a_visit_that_may_fail_has_its_odds() -> None:
    """It passes on day 3 with 0.7; after a day of re-work and one of lead on day 5 with
    0.7 of the rest, 0.91 in all, then on day 7.
    """
    read, plan = waiting(6)

    under, rough = odds(read, plan, season=season(), draws=DRAWS)

    assert (under.lot, under.phase, under.planned) == ("E1", "underground", 3)
    assert (under.p50, under.p80, under.p95) == (3, 5, 7)
    assert under.on_time == pytest.approx(0.7, abs=0.01)
    assert rough.phase == "rough"


def test_what_follows_waits_for_the_visit_that_passes() -> None:
    """Rough is ready on day 6, two days behind the visit on day 3, and takes that day.
    Passed on day 5 or 7 it is ready on day 8 or 10.
    """
    read, plan = waiting(6)

    rough = draw_passes(read, plan, season(), DRAWS, 1)[0]

    shares = [(rough == day).mean() for day in (6, 8, 10)]
    assert shares == pytest.approx([0.7, 0.21, 0.063], abs=0.01)


def test_a_ready_day_far_behind_the_visit_takes_in_one_failure() -> None:
    """Ready on day 9: passed on day 5 it is ready on day 8, passed on day 7 on 10."""
    read, plan = waiting(9)

    rough = draw_passes(read, plan, season(), DRAWS, 1)[0]

    assert (rough == 9).mean() == pytest.approx(0.91, abs=0.01)


def test_nobody_waits_for_a_visit_that_passes_and_a_certain_season_is_the_plan() -> (
    None
):
    read, plan = waiting(6)
    sure = Season(
        **{**CALM, "failures": False, "called_in": {("E1", "underground"): 3}}
    )

    for chance in (sure, CERTAIN):
        passes = draw_passes(read, plan, chance, 50, 1)
        assert passes[:, 0].tolist() == [job.pass_day for job in plan.jobs]
    (only,) = odds(read, plan, season=CERTAIN, draws=50)
    assert only.phase == "rough"


def test_a_visit_again_takes_its_place_among_the_offices_visits() -> None:
    """One visit a day: what failed on day 3 is seen on 5, where E2 wanted to be."""
    raw = problem(
        crews=[crew("A")],
        jurisdictions=[city(lead_days=1, cutoff_quarter=4, daily_cap=1)],
        lots=[
            lot("E1", phase("underground", status="passed", pass_probability=0.5)),
            lot("E2", phase("rough", ready_day=4, pass_probability=1)),
        ],
    )
    read = read_problem(raw)
    plan = solve(read, Effort(iterations=10))

    rough = draw_passes(read, plan, season(), DRAWS, 1)[0]

    assert (rough == 5).mean() == pytest.approx(0.5, abs=0.015)
    assert np.isin(rough, (5, 6)).all()


def finish(lot, who, code="underground"):
    row = phase_of(lot, code)
    prove_phase(row, who=who, now=MORNING)
    work_done(row, who=who, now=MORNING)


@pytest.fixture
def called(db):
    """A lot whose underground is called in for Thursday, 0.85 to pass."""
    who = owner()
    (lot,) = street(who)
    two_crews()
    finish(lot, who)
    dated(lot, who, what="need_by", on=day(3))
    kind = kind_of(lot, "ground")
    call_in(lot, kind, for_date=day(3), who=who, now=MORNING)
    return who, lot


def test_the_problem_of_today_gives_the_odds_the_day_and_the_chance(called):
    found = problem_of(now=MORNING)

    (one,) = found.problem.lots
    under = one.phases[0]
    assert (under.status, under.pass_probability) == ("passed", 0.85)
    assert (under.need_by_day, under.priority) == (3, 2)
    assert found.season.called_in == {(one.id, "underground"): 3}
    assert read_season(season_json(found.season)) == found.season


def test_a_ready_date_ahead_of_the_visit_waits_for_it(called):
    who, lot = called
    dated(lot, who, "rough", on=day(2))

    rough = problem_of(now=MORNING).problem.lots[0].phases[1]

    assert rough.ready_day == 4


def test_the_last_phase_called_in_keeps_its_lot_and_its_promise(called):
    _who, lot = called
    lot.phases.exclude(kind__code="underground").delete()

    found = problem_of(now=MORNING)

    assert [one.phases[0].status for one in found.problem.lots] == ["passed"]
    assert found.keys.phases[found.problem.lots[0].id, "underground"]


def test_its_promise_stands_on_the_pages(called, client):
    who, lot = called
    draft = planned(who, iterations=200)
    publish(draft, who=who, now=MORNING)

    row = phase_of(lot, "underground")
    assert promised()[row.pk].on == day(3)
    assert promised()[row.pk].on_time == pytest.approx(0.85, abs=0.03)
    client.force_login(who.member)
    text = client.get(reverse("desk:look-ahead-why", args=[draft.pk])).content.decode()
    names = [
        line for line in text.split("<tr") if "Underground" in line and "%" in line
    ]
    assert len(names) == 1


def test_a_day_that_has_gone_by_unheard_is_taken_for_today(called):
    later = MORNING + timedelta(days=7)

    found = problem_of(now=later)

    assert list(found.season.called_in.values()) == [0]
    assert LotPhase.objects.filter(passed_on=None).exists()
