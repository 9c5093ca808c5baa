"""The odds held against the contractor's own past."""

from datetime import timedelta

import pytest
import time_machine
from django.urls import reverse

from inspections.actions import call_in, record_result
from phases.actions.work import plan_phase, start_work, work_done
from tests.factories import kind_of, phase_of, prove_phase
from tests.planning.scene import MORNING, day, owner, street, two_crews
from tracker.planning.past import calibrated

pytestmark = pytest.mark.django_db
LATER = MORNING + timedelta(days=56)


def told_and_passed(lot, crew, who, *, pass_on):
    """A day's work told today for Thursday, that passes on the given working day."""
    phase = phase_of(lot, "underground")
    plan_phase(phase, crew=crew, start=day(3), end=day(3), who=who, now=MORNING)
    begun = MORNING + timedelta(days=3, hours=1)
    start_work(phase, who=who, now=begun)
    prove_phase(phase, who=who, now=begun)
    work_done(phase, who=who, now=begun + timedelta(hours=8))
    if pass_on is None:
        return
    kind = kind_of(lot, "ground")
    at = MORNING + timedelta(days=(day(pass_on) - MORNING.date()).days)
    call_in(lot, kind, for_date=day(pass_on), who=who, now=begun + timedelta(days=1))
    record_result(lot, kind, result="passed", on=day(pass_on), who=who, now=at)


def covered(who, days):
    lots = street(who, len(days))
    crew, _ = two_crews()
    for lot, pass_on in zip(lots, days, strict=True):
        told_and_passed(lot, crew, who, pass_on=pass_on)
    return calibrated(now=LATER, today=LATER.date())


def test_work_that_passed_as_soon_as_it_could_is_within_what_was_promised():
    found = covered(owner(), [5])

    assert found.cases == 1
    assert found.promise.covered == 1.0


def test_work_that_passed_far_too_late_or_never_is_not():
    found = covered(owner(), [28, None])

    assert found.cases == 2
    assert [one.covered for one in found.points] == [0.0] * 10


def test_work_told_too_lately_to_have_passed_is_no_case():
    who = owner()
    lots = street(who, 1)
    crew, _ = two_crews()
    told_and_passed(lots[0], crew, who, pass_on=5)
    soon = MORNING + timedelta(days=14)

    assert calibrated(now=soon, today=soon.date()).cases == 0


@pytest.mark.parametrize(
    ("pass_on", "said", "unsaid"),
    [
        (5, "dates are too careful: of what was promised at 80 %, 100 %", "too early"),
        (
            None,
            "dates are too early: of what was promised at 80 %, only 0 %",
            "careful",
        ),
    ],
)
def test_the_page_tells_dates_too_early_from_dates_too_careful(
    client, pass_on, said, unsaid
):
    """Twenty that passed long before one crew could do them all, or never."""
    who = owner()
    covered(who, [pass_on] * 20)
    client.force_login(who.member)

    with time_machine.travel(LATER, tick=False):
        text = client.get(reverse("desk:look-ahead-calibration")).content.decode()

    assert said in text
    assert unsaid not in text
