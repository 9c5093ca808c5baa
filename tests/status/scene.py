"""A builder with a house, an office and a link, for the tests of the builder's page."""

from datetime import timedelta

from django.utils import timezone

from phases.actions.dates import say_date
from phases.actions.work import plan_phase
from phases.log import Who
from tests.factories import (
    make_builder,
    make_crew,
    make_lot,
    make_member,
    make_plan,
    make_subdivision,
    make_superintendent,
    phase_of,
)
from tracker.status.actions.links import make_link


def now():
    """Links live by the clock of the request, so these tests go by it too."""
    return timezone.now()


def day(after=0, *, at=None):
    """A day counted from today on the lots of these tests."""
    return ((at or now()) + timedelta(days=after)).date()


class Scene:
    """One builder, one subdivision (in UTC: its today is the test's), one house."""

    def __init__(self, **builder_fields):
        self.office = make_member("office")
        self.builder = make_builder(**builder_fields)
        self.place = make_subdivision(builder=self.builder, time_zone="UTC")
        self.plan = make_plan(builder=self.builder)
        self.lot = self.house()
        self.superintendent = make_superintendent(self.builder)

    def house(self, **fields):
        return make_lot(
            subdivision=self.place, plan=self.plan, by=self.office, **fields
        )

    def link(self, **fields):
        """The address of a shared link."""
        fields.setdefault("now", now())
        _, secret = make_link(self.builder, by=self.office, **fields)
        return f"/b/{secret}/"

    def personal(self, **fields):
        return self.link(superintendent=self.superintendent, **fields)

    def phase(self, code="topout", lot=None):
        return phase_of(lot or self.lot, code)

    def says(self, code, what, on, **fields):
        phase = self.phase(code)
        fields.setdefault("who", Who(member=self.office))
        return say_date(phase.lot, what=what, date=on, phase=phase, now=now(), **fields)

    def plans(self, code, start, end=None, crew=None):
        return plan_phase(
            self.phase(code),
            crew=crew or make_crew(),
            start=start,
            end=end or start,
            who=Who(member=self.office),
            now=now(),
        )
