"""What the tests of the office pages start from."""

from django.test import Client

from phases.log import Who
from tests.factories import (
    NOW,
    make_builder,
    make_crew,
    make_jurisdiction,
    make_lot,
    make_member,
    make_plan,
    make_subdivision,
    phase_of,
)


def signed_in(role="office", *, language="en", **fields):
    """A client of a member of this role, and the member."""
    member = make_member(role, language=language, **fields)
    client = Client()
    client.force_login(member)
    client.cookies["django_language"] = language
    return client, member


class Street:
    """A builder with one street, an office that inspects, a crew and a lead of it."""

    def __init__(self, lots=1, fixtures=("closet",)):
        self.builder = make_builder()
        self.jurisdiction = make_jurisdiction()
        self.subdivision = make_subdivision(self.builder, self.jurisdiction)
        self.plan = make_plan(self.builder, fixtures)
        self.crew = make_crew()
        self.office = Who(member=make_member("office"))
        self.lead = Who(member=make_member("lead", crew=self.crew))
        self.lots = [self.lot() for _ in range(lots)]

    def lot(self, **fields):
        fields.setdefault("plan", self.plan)
        return make_lot(self.subdivision, by=self.office.member, position=1, **fields)

    def phase(self, code="topout", place=0):
        return phase_of(self.lots[place], code)


__all__ = ["NOW", "Street", "signed_in"]
