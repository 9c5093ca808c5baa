"""Members, crews and phones, in a fixed number of SQL statements."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from tracker.people.models import Crew, Device, Member


@dataclass(frozen=True)
class CrewPeople:
    crew: Crew | None
    members: tuple[Member, ...]


def by_crew() -> list[CrewPeople]:
    """Who goes with whom; those without a crew come first."""
    members: dict[int | None, list[Member]] = defaultdict(list)
    for member in Member.objects.order_by("-is_active", "name"):
        members[member.crew_id].append(member)
    crews: Iterable[Crew] = Crew.objects.order_by("-is_active", "name")
    found = [CrewPeople(None, tuple(members[None]))] if members[None] else []
    return found + [CrewPeople(crew, tuple(members[crew.pk])) for crew in crews]


def phones() -> list[Device]:
    """Every phone that was let in, those in use first."""
    rows = Device.objects.select_related("member")
    return sorted(
        rows, key=lambda row: (row.revoked_at is not None, row.member.name, row.name)
    )
