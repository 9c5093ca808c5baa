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
from phases.refresh import refresh_lots
from tracker.desk.demo.build import World
from tracker.desk.demo.calendar import CrewBook, at, plus
from tracker.desk.demo.ledger import keep_books
from tracker.desk.demo.story import Story
from tracker.sites.models import InspectionKind, Lot

HISTORY_DAYS = 120


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
                log.now = self.now
            if n % 40 == 0:
                say(f"{n} of {len(starts)} lots told")
        Photo.objects.bulk_create(self.photos, batch_size=500)
        refresh_lots([lot.pk for lot, _ in starts], now=self.now)
        keep_books(self.world, self.rng, now=self.now, today=self.today)

    def _starts(self) -> list[tuple[Lot, date]]:
        """Each lot with the day its first phase is ready, in order of the days."""
        first = plus(self.today, -round(HISTORY_DAYS * 5 / 7) + 2)
        days = round(HISTORY_DAYS * 5 / 7) + 40
        found = []
        for lot in self.world.lots:
            share = (lot.position - 1) / 40 if lot.position < 31 else self.rng.random()
            day = round(days * share * 1.3) + self.rng.randrange(-4, 5)
            # A lot whose plan nobody has chosen is one of the next to start.
            day = max(0, min(day, days)) if lot.plan_id else days
            found.append((lot, plus(first, day)))
        return sorted(found, key=lambda pair: (pair[1], pair[0].pk))
