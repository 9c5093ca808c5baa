"""The demo's links: what each builder was sent, and a date he moved."""

from datetime import date, datetime, timedelta

from django.urls import reverse

from phases.models import LotPhase
from tracker.people.models import Member
from tracker.sites.models import Builder, Superintendent
from tracker.status import rules
from tracker.status.actions.links import make_link
from tracker.status.actions.superintendent import say_or_propose_date
from tracker.status.models import DateProposal


def make_demo_links(*, by: Member, now: datetime) -> list[tuple[str, str]]:
    """(whose link, path of the page): one shared a builder, one personal.

    The paths are keys that nobody can be shown again: only their hashes are kept.
    """
    found = []
    for builder in Builder.objects.all():
        _, secret = make_link(builder, by=by, now=now, note="Shared with the office")
        found.append((f"{builder.name}, reads", _path(secret)))
    person = Superintendent.objects.select_related("builder").order_by("pk").first()
    if person is not None:
        _, secret = make_link(person.builder, by=by, now=now, superintendent=person)
        found.append((f"{person.name} of {person.builder.name}, acts", _path(secret)))
    return found


def _path(secret: str) -> str:
    return reverse("status:page", kwargs={"secret": secret})


def move_a_date(*, now: datetime, today: date) -> DateProposal | None:
    """A superintendent moves the ready date of a job that crews know already."""
    jobs = LotPhase.objects.filter(
        work="planned", planned_start__gt=today, ready_date__gte=today
    ).exclude(lot__superintendent=None)
    for phase in jobs.select_related("kind", "lot__superintendent", "lot__subdivision"):
        to = phase.ready_date + timedelta(days=7)
        siblings = list(LotPhase.objects.filter(lot=phase.lot).select_related("kind"))
        if rules.job_moved(siblings, phase, what="ready", date=to) is None:
            continue
        said = say_or_propose_date(
            phase,
            what="ready",
            date=to,
            was=phase.ready_date,
            by=phase.lot.superintendent,
            now=now,
        )
        if isinstance(said, DateProposal):
            return said
    return None
