"""Rain and days off: what is drawn of them, and what is left out of durations."""

import html
import re
from dataclasses import replace
from datetime import date, timedelta

import pytest
import time_machine
from django.urls import reverse

from tests.factories import make_crew
from tests.planning.histories import MONDAY, houses, worked
from tests.planning.problems import crew as crew_json
from tests.planning.problems import lot as lot_json
from tests.planning.problems import phase, problem
from tests.planning.scene import MORNING, day, owner, street, two_crews
from tracker.people.models import CrewDayOff
from tracker.planning.actions.settings import say_rain, take_rain_back
from tracker.planning.adapter import problem_of
from tracker.planning.core.draws import draw_passes
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.season import Spread
from tracker.planning.core.solve import Effort, solve
from tracker.planning.past import _learned
from tracker.planning.then import Was, problem_then

pytestmark = pytest.mark.django_db
EARLIER = MORNING - timedelta(days=28)  # MONDAY: 20 working days before the morning


@pytest.fixture
def who():
    return owner()


def february(*days):
    return [date(2026, 2, number) for number in days]


def off(crew, day, said):
    row = CrewDayOff(crew=crew, date=day)
    row._history_date = said
    row.save()


def season():
    return problem_of(now=MORNING).season


def test_rain_of_the_past_is_the_share_that_is_drawn(who):
    """5 of 20 working days: (5 + 40 x 0.06) / (20 + 40) = 0.123.

    A Saturday is no working day, one day was taken back, one is still to come.
    """
    say_rain(february(2, 3, 9, 10, 14, 24, 25), who=who, now=EARLIER)
    say_rain([day(2)], who=who, now=EARLIER)
    take_rain_back(date(2026, 2, 25), who=who, now=EARLIER)

    assert season().rain_share == 0.123


def test_rain_counts_since_the_first_was_entered_and_is_assumed_before(who):
    """1 of the 5 working days since the 23rd: (1 + 2.4) / (5 + 40) = 0.076."""
    assert season().rain_share == 0.06

    say_rain(february(24), who=who, now=EARLIER + timedelta(days=21))

    assert season().rain_share == 0.076


def test_days_off_at_short_notice_are_the_share_of_crew_days_that_is_drawn(who):
    """3 of 2 x 20 crew-days: (3 + 80 x 0.02) / (40 + 80) = 0.038; a holiday told two
    weeks ahead was in every plan.
    """
    ditch, frame = two_crews()
    assert season().absence_share == 0.02

    off(ditch, date(2026, 2, 18), EARLIER)
    for crew, number in ((ditch, 4), (ditch, 11), (frame, 12)):
        said = EARLIER + timedelta(days=number - 3)
        off(crew, date(2026, 2, number), said)

    assert season().absence_share == 0.038


def test_what_is_learned_is_drawn(who):
    """One exposed day of work from today: both let it be with 0.94 x 0.98 = 0.921."""
    raw = problem(
        crews=[crew_json("A")],
        lots=[lot_json("E1", phase("underground", inspected=False))],
        rain_exposed_phases=["underground"],
    )
    read = read_problem(raw)
    plan = solve(read, Effort(iterations=10))
    learned = replace(season(), durations={"underground": Spread(1, 0)})

    passes = draw_passes(read, plan, learned, 20_000, 1)[0]

    assert (passes == 0).mean() == pytest.approx(0.9212, abs=0.006)
    dry = draw_passes(read, plan, replace(learned, rain_share=0.0), 20_000, 1)[0]
    assert (dry == 0).mean() == pytest.approx(0.98, abs=0.004)


@pytest.mark.parametrize(
    ("code", "rain", "free", "took"),
    [
        ("underground", True, False, 8),
        ("rough", True, False, 12),  # under a roof
        ("rough", False, True, 8),
        ("underground", True, True, 8),
    ],
)
def test_days_that_stopped_work_are_no_slowness(who, code, rain, free, took):
    """From Monday to Wednesday evening; rain or a day off on the Tuesday between."""
    ditch = make_crew(name="Ditch")
    (lot,) = houses(who, 1, 8)
    worked(lot, code, ditch, 12)
    if rain:
        say_rain(february(3), who=who, now=EARLIER)
    if free:
        off(ditch, date(2026, 2, 3), EARLIER)

    assert _learned(MORNING).speeds == {ditch.pk: round(72 / (took + 64), 2)}


def test_the_past_knows_the_rain_and_the_days_off_that_were_said_by_then(who):
    ditch = make_crew(name="Ditch")
    (lot,) = street(who)
    cut = MONDAY
    say_rain(february(3), who=who, now=EARLIER - timedelta(days=1))
    say_rain(february(4), who=who, now=EARLIER + timedelta(days=2))
    off(ditch, date(2026, 2, 5), EARLIER - timedelta(days=1))
    off(ditch, date(2026, 2, 6), EARLIER + timedelta(days=2))
    was = Was(
        phase=1,
        lot=lot.pk,
        code="underground",
        plan=lot.plan_id,
        place=lot.subdivision,
        crew=ditch,
        known=cut,
        start=cut,
        half=0,
        quarters=4,
        passed=None,
    )
    kinds = {lot.subdivision.jurisdiction_id: []}

    then, *_ = problem_then([was], cut, kinds, _learned(EARLIER))

    assert then.rain_days == {1}
    assert then.rain_exposed_phases == {"underground"}
    # Presidents Day is the 16th.
    assert sorted(then.crews[0].days_off)[:2] == [3, 10]


def test_the_page_of_the_odds_says_what_is_counted_on_and_what_is_assumed(who, client):
    say_rain(february(2, 3, 9, 10, 24), who=who, now=EARLIER)
    client.force_login(who.member)

    with time_machine.travel(MORNING, tick=False):
        text = client.get(reverse("desk:look-ahead-calibration")).content.decode()

    words = " ".join(re.sub(r"<[^>]+>", " ", text).split())
    assert "slip, by 1 to 3 working days 25.0 % 25.0 % nothing yet: assumed" in words
    # (5 + 40 x 0.06) / (20 + 40)
    assert "stops exposed work 12.3 % 6.0 % 20 working days" in words
    assert "a week's notice 2.0 % 2.0 % nothing yet: assumed" in html.unescape(words)
