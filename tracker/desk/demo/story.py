"""One lot, event by event, until the day that is today."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from phases.actions.dates import say_date
from phases.actions.holds import append_hold
from phases.log import Log, Who
from phases.models import LotPhase
from tracker.desk.demo import scenario
from tracker.desk.demo.calendar import at, plus
from tracker.desk.demo.outcome import close_in, finish, inspect
from tracker.desk.demo.proofs import answer_items
from tracker.sites.models import Lot

if TYPE_CHECKING:
    from tracker.desk.demo.season import Season


# Builder's working days between a pass and the next phase: common practice.
GAPS = {"underground": 13, "rough": 2, "topout": 24}


class Story:
    """One lot, event by event, until the day that is today."""

    def __init__(self, season: Season, log: Log, lot: Lot) -> None:
        self.season, self.log, self.lot = season, log, lot
        self.rng, self.world, self.today = season.rng, season.world, season.today
        self.office = season.world.office
        self.super = Who(superintendent=lot.superintendent)
        self.covers: dict[int, date] = {}
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

    def who(self, member, day: date, hour: int, minute: int = 0) -> Who:
        moment = at(day, hour, minute)
        self.log.now = min(moment + timedelta(minutes=20), self.season.now)
        return Who(member=member, happened_at=min(moment, self.season.now))

    def past(self, day: date, hour: int = 0) -> bool:
        return at(day, hour) <= self.season.now

    # one phase

    def _phase(self, phase: LotPhase, ready: date) -> date | None:
        code = phase.kind.code
        said = plus(ready, -8)
        crew, first, last = self._booked(phase, ready)
        start, end = date.fromordinal(first // 2), date.fromordinal(last // 2)
        if self.past(said):
            self.say(phase, "ready", ready, said)
            self.say(phase, "need_by", plus(ready, 10), said)
        if self.past(said) and phase.kind.conceals_en:
            # What rough builds is closed in with the walls, after top out. Most
            # builders move the date when our crew comes late; some do not.
            ahead = 20 if code == "rough" else 8
            late = plus(end, ahead - 2) if self.rng.random() < 0.9 else ready
            self.say(phase, "cover", max(plus(ready, ahead), late), said)
        if self.past(ready, 7):
            self._say_parts(phase, plus(ready, -1))
        told = plus(start, -4)
        if not self.past(told) or self.lot.plan is None:
            return None
        who = self.who(self.office, told, 9)
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
        if not self.past(start, 8):
            return None
        lead = self.world.leads[crew]
        plumber = self.world.plumbers[crew]
        self.log.append(
            "started", lot=self.lot, phase=phase, who=self.who(plumber, start, 8)
        )
        self._maybe_hold(phase, plumber, start)
        done = answer_items(self, phase, lead, plumber, first, last)
        if not self.past(end, 15) or not done:
            return None
        finish(self, phase, lead, end)
        passed = inspect(self, phase, lead, end)
        if passed is None:
            return None
        covered = close_in(self, phase, passed)
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

    def say(self, phase: LotPhase, what: str, date: date, said: date, **more) -> None:
        moment = at(said, 8)
        self.log.now = min(moment, self.season.now)
        if what == "cover":
            self.covers[phase.pk] = date
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
        owed_by, text = self.rng.choice(scenario.HOLDS[phase.kind.code])
        who = self.who(plumber, day, 9)
        hold = append_hold(
            self.log, self.lot, phase=phase, owed_by=owed_by, text=text, who=who
        )
        if day < plus(self.today, -3):
            hold.lifted_on, hold.lifted_by = plus(day, 1), self.super.name
            hold.save(update_fields=["lifted_on", "lifted_by"])
            who = self.who(self.office, plus(day, 1), 8)
            self.log.append(
                "hold_lifted",
                lot=self.lot,
                phase=phase,
                who=who,
                hold=str(hold.pk),
                note="",
            )
