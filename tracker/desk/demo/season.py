"""Tells the history of the lots: 120 days of it, each lot as far as it has come."""

import bisect
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from pathlib import Path
from random import Random

from django.conf import settings

from inspections.actions import Found, call_in, record_result
from phases.actions.corrections import Finding, append_correction, close_correction
from phases.actions.dates import say_date
from phases.actions.holds import append_hold
from phases.log import Log, Who, writing
from phases.models import (
    CheckItem,
    Correction,
    LotPhase,
    Photo,
    PhotoUse,
    ReadyPart,
)
from phases.refresh import refresh_lots
from tracker.desk.demo import scenario
from tracker.desk.demo.build import World
from tracker.desk.demo.calendar import CrewBook, at, is_working, plus
from tracker.desk.demo.pictures import picture
from tracker.sites.models import InspectionKind, Lot

HISTORY_DAYS = 120
# Builder's working days between a pass and the next phase: common practice.
GAPS = {"underground": 13, "rough": 2, "topout": 24}


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

    def _starts(self) -> list[tuple[Lot, date]]:
        """Each lot with the day its first phase is ready, in order of the days."""
        first = plus(self.today, -round(HISTORY_DAYS * 5 / 7) + 2)
        days = round(HISTORY_DAYS * 5 / 7) + 40
        found = []
        for lot in self.world.lots:
            share = (lot.position - 1) / 40 if lot.position < 31 else self.rng.random()
            day = round(days * share * 1.3) + self.rng.randrange(-4, 5)
            found.append((lot, plus(first, max(0, min(day, days)))))
        return sorted(found, key=lambda pair: (pair[1], pair[0].pk))


class Story:
    """One lot, event by event, until the day that is today."""

    def __init__(self, season: Season, log: Log, lot: Lot) -> None:
        self.season, self.log, self.lot = season, log, lot
        self.rng, self.world, self.today = season.rng, season.world, season.today
        self.office = season.world.office
        self.super = Who(superintendent=lot.superintendent)
        self.phases: list[LotPhase] = list(
            lot.phases.select_related("kind", "lot__subdivision").order_by("position")
        )

    def tell(self, start: date) -> None:
        ready: date | None = start
        for phase in self.phases:
            if ready is None or ready > plus(self.today, 25):
                break
            ready = self._phase(phase, ready)

    # time

    def _who(self, member, day: date, hour: int, minute: int = 0) -> Who:
        moment = at(day, hour, minute)
        self.log.now = min(moment + timedelta(minutes=20), self.season.now)
        return Who(member=member, happened_at=min(moment, self.season.now))

    def _past(self, day: date, hour: int = 0) -> bool:
        return at(day, hour) <= self.season.now

    # one phase

    def _phase(self, phase: LotPhase, ready: date) -> date | None:
        code = phase.kind.code
        said = plus(ready, -8)
        if self._past(said):
            self._date(phase, "ready", ready, said)
            self._date(phase, "need_by", plus(ready, 9), said)
        if self._past(said) and phase.kind.conceals_en:
            # What rough builds is closed in with the walls, after top out.
            ahead = 20 if phase.kind.code == "rough" else 8
            self._date(phase, "cover", plus(ready, ahead), said)
        if self._past(ready, 7):
            self._say_parts(phase, plus(ready, -1))
        crew, first, last = self._booked(phase, ready)
        start, end = date.fromordinal(first // 2), date.fromordinal(last // 2)
        told = plus(start, -4)
        if not self._past(told) or self.lot.plan is None:
            return None
        who = self._who(self.office, told, 9)
        self.log.append(
            "planned",
            lot=self.lot,
            phase=phase,
            who=who,
            crew=crew,
            start=start.isoformat(),
            end=end.isoformat(),
            half=first % 2,
        )
        if not self._past(start, 8):
            return None
        lead = self.world.leads[crew]
        plumber = self.world.plumbers[crew]
        self.log.append(
            "started", lot=self.lot, phase=phase, who=self._who(plumber, start, 8)
        )
        self._maybe_hold(phase, plumber, start)
        done = self._answers(phase, lead, plumber, first, last)
        if not self._past(end, 15) or not done:
            return None
        self._finish(phase, lead, end)
        passed = self._inspections(phase, lead, end)
        if passed is None:
            return None
        covered = self._cover(phase, passed)
        return plus(covered or passed, GAPS.get(code, 0)) if code in GAPS else None

    def _booked(self, phase: LotPhase, ready: date) -> tuple[int, int, int]:
        code = phase.kind.code
        crews = [c for c in self.world.crews if code in c.skills]
        near = [c for c in crews if c.home_id == self.lot.subdivision_id] or crews
        quarters = phase.kind.crew_quarters
        if self.lot.plan:
            quarters = self.lot.plan.crew_quarters.get(code, quarters)
        halves = max(1, round(quarters / 2))
        pool = near if self.rng.random() < 0.5 else crews
        return self.season.book.book([c.pk for c in pool], plus(ready, 1), halves)

    def _date(self, phase: LotPhase, what: str, date: date, said: date, **more) -> None:
        moment = at(said, 8)
        self.log.now = min(moment, self.season.now)
        say_date(
            self.lot,
            phase=phase,
            what=what,
            date=date,
            who=Who(
                superintendent=self.super.superintendent,
                happened_at=self.log.now,
            ),
            now=self.log.now,
            **more,
        )

    def _say_parts(self, phase: LotPhase, day: date) -> None:
        soon = day >= plus(self.today, -2)
        for part in self.season.parts[phase.kind.code]:
            if soon and self.rng.random() < 0.2:
                continue
            who = self.super if part.owed_by == "builder" else Who(member=self.office)
            self.log.now = min(at(day, 14), self.season.now)
            self.log.append(
                "part_said",
                lot=self.lot,
                phase=phase,
                who=Who(
                    member=who.member,
                    superintendent=who.superintendent,
                    happened_at=self.log.now,
                ),
                part=part.code,
                ready=True,
            )

    def _maybe_hold(self, phase: LotPhase, plumber, day: date) -> None:
        if self.rng.random() > 0.12:
            return
        owed_by, text = self.rng.choice(scenario.HOLDS)
        who = self._who(plumber, day, 9)
        hold = append_hold(
            self.log, self.lot, phase=phase, owed_by=owed_by, text=text, who=who
        )
        if day < plus(self.today, -3):
            hold.lifted_on, hold.lifted_by = plus(day, 1), self.super.name
            hold.save(update_fields=["lifted_on", "lifted_by"])
            who = self._who(self.office, plus(day, 1), 8)
            self.log.append(
                "hold_lifted",
                lot=self.lot,
                phase=phase,
                who=who,
                hold=str(hold.pk),
                note="",
            )

    # proofs

    def _answers(self, phase: LotPhase, lead, plumber, first: int, last: int) -> bool:
        """Answer items over the booked half-days; False while the crew is at it."""
        items = list(phase.items.all())
        moments = list(_moments(first, last, len(items)))
        told = bisect.bisect_right(moments, self.season.now)
        skip = self.rng.random() < 0.12 and moments[-1].date() > plus(self.today, -12)
        for item, moment in zip(items[:told], moments[:told], strict=True):
            if skip and item.concealed and self.rng.random() < 0.05:
                continue
            self.log.now = min(moment + timedelta(minutes=15), self.season.now)
            self._answer(
                item, phase, plumber if self.rng.random() < 0.8 else lead, moment
            )
        return told == len(items)

    def _answer(
        self, item: CheckItem, phase: LotPhase, member, moment: datetime
    ) -> None:
        who = Who(member=member, happened_at=moment)
        common = {
            "lot": self.lot,
            "phase": phase,
            "item": item,
            "who": who,
            "version": 1,
        }
        if item.proof == "measure":
            value = self._measured(item)
            self.log.append(
                "entry",
                answer="measure",
                value=value,
                unit=item.spec["unit"],
                **common,
            )
        elif item.proof == "test":
            self.log.append("entry", answer="test", passed=True, **common)
        elif item.proof != "photo":
            self.log.append("entry", answer="tick", **common)
        for n in range(max(item.photos_needed, item.proof == "photo")):
            sha = self._photo(item, member, moment, n)
            fact = self.log.append("entry", answer="photo", sha=sha, **common)
            PhotoUse.objects.create(photo_sha=sha, lot=self.lot, item=item, fact=fact)

    def _measured(self, item: CheckItem) -> float:
        least, most = item.spec["least"], item.spec["most"]
        if item.spec["unit"] != "in16":
            return least if least is not None else (most or 0)
        low = least if least is not None else 0
        high = most if most is not None else low + 32
        return self.rng.randint(int(low), int(high))

    def _photo(self, item: CheckItem, member, moment: datetime, n: int) -> str:
        title = f"{self.lot.subdivision.name}, {self.lot.name}"
        line = f"{item.pk}.{n} {item.spec['room_en']}: {item.spec['text_en']}"
        sha, data, thumb = picture(item.spec["kind"], title, line)
        folder = Path(settings.MEDIA_ROOT)
        for sub, blob in (("photos", data), ("thumbs", thumb)):
            path = folder / sub / sha[:2] / f"{sha}.jpg"
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(blob)
        self.season.photos.append(
            Photo(
                sha256=sha,
                file=f"photos/{sha[:2]}/{sha}.jpg",
                thumb=f"thumbs/{sha[:2]}/{sha}.jpg",
                width=640,
                height=480,
                bytes_received=len(data),
                taken_at=moment,
                received_at=self.log.now,
                sent_by=member,
            )
        )
        return sha

    # done, inspected, covered

    def _finish(self, phase: LotPhase, lead, end: date) -> None:
        """The lead's walk: corrections found and mended, work done, on test."""
        if self.rng.random() < 0.25:
            owed_by, text, text_es = self.rng.choice(scenario.WALK_FINDINGS)
            correction = append_correction(
                self.log,
                self.lot,
                Finding(
                    text=text,
                    text_es=text_es,
                    owed_by=owed_by,
                    phase=phase,
                    due_on=plus(end, 1),
                ),
                who=self._who(lead, end, 15),
            )
            old = end < plus(self.today, -2)
            if old or self.rng.random() < 0.2:
                who = self._who(lead, end, 15, 30)
                close_correction(correction, who=who, now=self.log.now)
        for hour, kind in ((16, "work_done"), (16, "on_test")):
            if kind == "on_test" and phase.kind.code == "trim":
                continue
            who = self._who(lead, end, hour, 5 if kind == "on_test" else 0)
            self.log.append(kind, lot=self.lot, phase=phase, who=who)

    def _inspections(self, phase: LotPhase, lead, end: date) -> date | None:
        """Call in and receive the results; the day on which all had passed."""
        office = self.lot.subdivision.jurisdiction_id
        last = None
        self._refresh()
        for kind in self.season.kinds[office]:
            if kind.proves[-1] != phase.kind.code or not self._applies(kind):
                continue
            day = self._one_inspection(phase, kind, end)
            if day is None:
                return None
            last = max(last, day) if last else day
        return last or end

    def _applies(self, kind: InspectionKind) -> bool:
        if not kind.applies_to:
            return True
        return (
            CheckItem.objects.filter(
                lot_phase__lot=self.lot, spec__outlet__in=kind.applies_to
            ).exists()
            or CheckItem.objects.filter(
                lot_phase__lot=self.lot, spec__kind__in=kind.applies_to
            ).exists()
        )

    def _one_inspection(
        self, phase: LotPhase, kind: InspectionKind, end: date
    ) -> date | None:
        asked = plus(end, 1)
        for attempt in range(3):
            if not self._past(asked, 9):
                return None
            day = self._inspection_day(asked)
            if not self._call(kind, asked, day):
                return None
            if not self._past(day, 14):
                return None
            if attempt == 2 or self.rng.random() < 0.88:
                self._result(kind, day, "passed", ())
                return day
            words = self.rng.choice(scenario.FINDINGS)
            self._result(kind, day, "failed", (Found(words),))
            mended = plus(day, 1)
            if not self._past(mended, 15):
                return None
            who = self._who(self.office, mended, 15)
            for correction in Correction.objects.filter(
                lot=self.lot, source="inspector"
            ).exclude(state="closed"):
                close_correction(correction, who=who, now=self.log.now)
            self._refresh()
            asked = plus(mended, 1)
        return None

    def _inspection_day(self, asked: date) -> date:
        weekdays = {"tue": 1, "thu": 3}
        days = self.lot.subdivision.jurisdiction.rules.get("inspection_weekdays")
        allowed = {weekdays[day] for day in days} if days else set(range(5))
        day = plus(asked, 1)
        while day.weekday() not in allowed or not is_working(day):
            day = plus(day, 1)
        return day

    def _call(self, kind: InspectionKind, asked: date, day: date) -> bool:
        who = self._who(self.office, asked, 9)
        phases = LotPhase.objects.filter(lot=self.lot, kind__code__in=kind.proves)
        if any(phase.call_in_missing for phase in phases):
            # Somebody left an item unproven: it stays on Today until it is.
            return False
        call_in(
            self.lot,
            kind,
            for_date=day,
            who=who,
            now=self.log.now,
            confirmation=f"{self.rng.randrange(10_000, 99_999)}",
        )
        return True

    def _result(
        self, kind: InspectionKind, day: date, result: str, found: tuple[Found, ...]
    ) -> None:
        who = self._who(self.office, day, 14)
        record_result(
            self.lot,
            kind,
            result=result,
            on=day,
            who=who,
            now=self.log.now,
            found=found,
            inspector="R. Ames" if kind.jurisdiction_id % 2 else "T. Holloway",
        )

    def _cover(self, phase: LotPhase, passed: date) -> date | None:
        if not phase.kind.conceals_en or phase.kind.code == "rough":
            return None
        covered = plus(passed, self.rng.choice((1, 2, 2, 3)))
        closed = [phase]
        if phase.kind.code == "topout":
            closed = [p for p in self.phases if p.kind.conceals_en and p.position > 1]
        for each in closed:
            self._date(each, "cover", covered, passed, status="revised")
            if self._past(covered, 17):
                self._date(each, "cover", covered, covered, status="actual")
        return covered

    def _refresh(self) -> None:
        Photo.objects.bulk_create(self.season.photos, batch_size=500)
        self.season.photos.clear()
        refresh_lots([self.lot.pk], now=self.log.now)


def _moments(first: int, last: int, count: int) -> Iterator[datetime]:
    """Times of day over the half-days first to last, one for each of `count`."""
    slots = [s for s in range(first, last + 1) if is_working(date.fromordinal(s // 2))]
    for n in range(count):
        place = n * len(slots) * 210 // max(count, 1)
        slot = slots[place // 210]
        start = at(date.fromordinal(slot // 2), 8 if slot % 2 == 0 else 12, 15)
        yield start + timedelta(minutes=place % 210)
