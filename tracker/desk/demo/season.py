"""Tells the history of the lots: 120 days of it, each lot as far as it has come."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from random import Random

from phases.log import writing
from phases.models import (
    Photo,
    ReadyPart,
)
from tracker.desk.demo.build import World
from tracker.desk.demo.calendar import CrewBook, at, plus
from tracker.desk.demo.ledger import keep_books
from tracker.desk.demo.matters import leave_matters
from tracker.desk.demo.story import Story
from tracker.sites.models import InspectionKind, Lot

HISTORY_DAYS = 120
# Working days between two starts of one subdivision: what seven crews can keep up with.
PACE = 4.7


@dataclass
class Season:
    world: World
    rng: Random
    now: datetime
    book: CrewBook = field(default_factory=CrewBook)
    photos: list[Photo] = field(default_factory=list)

    @property
    def today(self) -> date:
        return self.now.astimezone(at(date(2000, 1, 1), 0).tzinfo).date()

    def tell(self, say: Callable[[str], None]) -> None:
        self.parts = {
            code: list(ReadyPart.objects.filter(kind=kind))
            for code, kind in self.world.kinds.items()
        }
        self.kinds: dict[int, list[InspectionKind]] = {}
        for kind in InspectionKind.objects.all():
            self.kinds.setdefault(kind.jurisdiction_id, []).append(kind)
        starts = self._starts()
        for n, (lot, start) in enumerate(starts, start=1):
            with writing(now=self.now) as log:
                Story(self, log, lot).tell(start)
                self.keep_photos()
                log.now = self.now
            if n % 40 == 0:
                say(f"{n} of {len(starts)} lots told")
        leave_matters(self.world, self.rng, now=self.now, today=self.today)
        keep_books(self.world, self.rng, now=self.now, today=self.today)

    def keep_photos(self) -> None:
        """Photos count as arrived once they are kept: before a lot is refreshed."""
        Photo.objects.bulk_create(self.photos, batch_size=500)
        self.photos.clear()

    def _starts(self) -> list[tuple[Lot, date]]:
        """Each lot with the day its first phase is ready, in order of the days."""
        told = round(HISTORY_DAYS * 5 / 7)
        first = plus(self.today, -told + 2)
        found = []
        for lot in self.world.lots:
            day = round(PACE * (lot.position - 1)) + self.rng.randrange(-4, 5)
            # A lot whose plan nobody has chosen is one of the next to start.
            day = max(0, day) if lot.plan_id else told + 20
            found.append((lot, plus(first, day)))
        return sorted(found, key=lambda pair: (pair[1], pair[0].pk))
