"""Crews for a pace: what the crews can keep, held against the flow, and the page."""

import random

import pytest
from django.urls import reverse
from django.utils import timezone

from tests.planning.problems import PHASES, crew, lot, phase, problem
from tests.planning.scene import MORNING, owner, planned, street, two_crews
from tracker.desk.ahead.load import weeks_of
from tracker.desk.ahead.pace import kept, needs, rate_to_meet
from tracker.planning.core.problem_json import read_problem


def one_week(rate, days, skills):
    """So many houses a day, all wanted this week, by crews with these skills."""
    return read_problem(
        problem(
            crews=[crew(f"C{n}", phases=sorted(one)) for n, one in enumerate(skills)],
            lots=[
                lot(
                    f"{name} {n}",
                    phase(
                        name, crew_quarters=4 * takes * 5 * rate / 10, need_by_day=-9
                    ),
                )
                for name, takes in days.items()
                for n in range(10)
            ],
            rain_exposed_phases=[],
        )
    )


@pytest.mark.parametrize("seed", range(40))
def test_the_pace_kept_is_where_the_weeks_flow_first_leaves_work(seed):
    """The load by week sends crews by augmenting paths; the pace asks for cuts."""
    dice = random.Random(seed)
    days = {name: dice.choice((0.5, 1, 1.5, 3)) for name in PHASES}
    skills = [set(dice.sample(PHASES, dice.randint(1, 3))) for _ in range(5)]
    skills.append(set(PHASES) - set().union(*skills) or {"trim"})
    base = one_week(2, days, skills)  # the mean of each phase is then its days
    most = kept(base)
    assert most is not None

    for share, work_left in ((0.999, False), (1.02, True)):
        (week,) = weeks_of(one_week(share * most.rate, days, skills), 1)
        assert any(c.short > 1e-6 for c in week.phases.values()) == work_left
    others = set(PHASES) - set(most.phases)
    more = kept(one_week(2, days, [*skills, others or {"trim"}]))
    # A crew for other phases than those that hold the pace helps nothing.
    assert more is not None
    assert (more.rate > most.rate) == (not others)


def test_a_crew_of_two_phases_is_counted_in_both_but_keeps_one_pace():
    both = [lot("L", phase("rough", crew_quarters=8), phase("topout", crew_quarters=4))]
    read = read_problem(problem(crews=[crew("A")], lots=both))

    assert [(one.there, one.crews) for one in needs(read, 0.5)] == [(1, 1), (1, 0.5)]
    most = kept(read)
    assert most is not None
    assert (most.rate, most.phases) == (1 / 3, ("rough", "topout"))


def test_faster_crews_need_fewer_days_and_keep_more():
    work = [lot("L", phase("rough", crew_quarters=8))]
    crews = [crew("A", speed=1.0), crew("B", speed=3.0)]
    read = read_problem(problem(crews=crews, lots=work))

    (one,) = needs(read, 3)
    assert (one.days, one.crews, one.whole, one.missing) == (1, 3, 3, 1)
    most = kept(read)
    assert most is not None
    assert most.rate == 2


def test_a_rate_is_impossible_where_the_last_must_be_done_before_the_first():
    assert rate_to_meet(5, 10, 10) is None
    assert rate_to_meet(1, 10, 10) == 0
    assert rate_to_meet(5, 10, 18) == 0.5


def test_without_open_work_there_is_no_pace():
    waits = [lot("L", phase("rough", status="awaiting_inspection"))]
    read = read_problem(problem(lots=waits))

    assert (kept(read), needs(read, 1)) == (None, [])


@pytest.fixture
def page(client, db, monkeypatch):
    monkeypatch.setattr(timezone, "now", lambda: MORNING)
    who = owner()
    client.force_login(who.member)
    street(who, 3)
    two_crews()
    planned(who)
    return client


def shown(client, asked=""):
    answer = client.get(f"{reverse('desk:load')}{asked}")
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_load_page_answers_for_a_pace_typed_in(page):
    found = shown(page, "?houses=60")

    assert "Crews that 60.0 houses a week need" in found
    assert "keep up with only" in found
    assert 'class="badge bad"' in found.split("Crews for a pace", 1)[1]


def test_the_load_page_takes_the_pace_from_the_day_of_the_last_house(page):
    late = shown(page, "?by=2027-03-01")
    soon = shown(page, "?by=2026-03-02")

    assert "3 houses, the first passed on" in late
    assert "the last due on Mon 1 Mar" in late
    assert "No pace does it" in soon
    assert "houses a week need" not in soon


def test_a_pace_that_is_no_number_is_told_beside_its_field(page):
    found = shown(page, "?houses=many&by=soon")

    assert found.count('class="field wrong"') == 2


def test_the_pace_is_told_in_spanish(page):
    page.cookies["django_language"] = "es"

    found = shown(page, "?houses=4.5")

    assert "Cuadrillas que piden 4,5 casas por semana" in found
    assert 'value="4.5"' in found
