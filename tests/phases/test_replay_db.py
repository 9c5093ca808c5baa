"""Stored answers against the walk, after random days of work on the database."""

import random
from datetime import date, timedelta
from itertools import count

import pytest

from inspections.actions import Found, call_in, record_result
from phases.actions.corrections import close_correction
from phases.actions.dates import say_date
from phases.actions.entries import answer_item
from phases.actions.holds import set_hold
from phases.actions.lots import choose_plan
from phases.actions.work import (
    break_off,
    plan_phase,
    reopen_work,
    say_part,
    start_work,
    work_done,
)
from phases.log import Who, writing
from phases.models import Correction, LotPhase
from phases.refresh import refresh_lots
from tests.factories import (
    NOW,
    make_crew,
    make_lot,
    make_member,
    make_option,
    make_plan,
    prove,
)
from tests.phases.replay_db import differences
from tracker.errors import Refused
from tracker.sites.models import InspectionKind

pytestmark = pytest.mark.django_db


class Days:
    """Random acts on two lots by two people whose clocks are late or wrong."""

    def __init__(self, rng):
        self.rng, self.now, self.shas = rng, NOW, count()
        plan = make_plan(fixtures=("shower", "lavatory"))
        self.option = make_option(plan, fixtures=("closet",))
        self.lots = [make_lot(plan=plan), make_lot()]
        self.people = [make_member("lead"), make_member("office")]
        self.crew = make_crew()

    def who(self):
        late = timedelta(days=self.rng.randrange(-2, 3), hours=self.rng.randrange(24))
        return Who(member=self.rng.choice(self.people), happened_at=self.now + late)

    def day(self):
        return self.now.date() + timedelta(days=self.rng.randrange(-3, 9))

    def act(self):
        lot = self.rng.choice([self.lots[0], self.lots[0], self.lots[1]])
        phase = self.rng.choice(
            list(lot.phases.select_related("kind", "lot__subdivision"))
        )
        act = self.rng.choice(
            [self.answer, self.answer, self.inspect, self.work, self.dates, self.other]
        )
        self.now += timedelta(hours=self.rng.randrange(1, 9))
        try:
            act(lot, phase)
        except Refused:
            return False
        return True

    def answer(self, lot, phase):
        items = list(phase.items.filter(removed_at=None))
        if not items:
            return
        if self.rng.random() < 0.4:
            with writing(now=self.now):
                for item in items:
                    prove(item, who=self.who(), now=self.now, unique=next(self.shas))
            return
        item = self.rng.choice(items)
        answer = self.rng.choice(["tick", "measure", "test", "note", "not_done"])
        payload = {
            "measure": {"value": self.rng.choice([1, 300, 320])},
            "test": {"passed": self.rng.random() < 0.5},
            "note": {"text": "note"},
            "not_done": {"text": "no power", "owed_by": "electrician"},
        }.get(answer, {})
        answer_item(item, answer=answer, who=self.who(), now=self.now, payload=payload)

    def inspect(self, lot, phase):
        office = InspectionKind.objects.filter(
            jurisdiction=lot.subdivision.jurisdiction
        )
        kinds = [kind for kind in office if phase.kind.code in kind.proves]
        kind = self.rng.choice(kinds)
        if self.rng.random() < 0.4:
            call_in(lot, kind, for_date=self.day(), who=self.who(), now=self.now)
            return
        result = self.rng.choice(["passed", "passed", "failed", "no_access"])
        record_result(
            lot,
            kind,
            result=result,
            on=self.day(),
            who=self.who(),
            now=self.now,
            found=[Found("No plate")] if result == "failed" else [],
        )

    def work(self, lot, phase):
        who, now = self.who(), self.now
        act = self.rng.randrange(6)
        if act == 0:
            start_work(phase, who=who, now=now)
        elif act == 1:
            break_off(phase, who=who, now=now, quarters_left=2)
        elif act == 2:
            reopen_work(phase, who=who, now=now, reason="again")
        elif act == 3:
            plan_phase(
                phase,
                crew=self.crew,
                start=self.now.date(),
                end=self.now.date(),
                who=Who(member=self.people[1]),
                now=now,
            )
        else:
            work_done(phase, who=who, now=now)

    def dates(self, lot, phase):
        for part in phase.kind.parts.all():
            ready = self.rng.random() < 0.8
            say_part(phase, part.code, ready=ready, who=self.who(), now=self.now)
        say_date(
            lot,
            phase=phase,
            what="cover",
            status=self.rng.choice(["predicted", "actual"]),
            date=self.rng.choice([None, self.day(), self.day()]),
            who=self.who(),
            now=self.now,
        )

    def other(self, lot, phase):
        if self.rng.random() < 0.5:
            for correction in Correction.objects.exclude(state="closed"):
                close_correction(correction, who=self.who(), now=self.now)
        elif self.rng.random() < 0.5:
            set_hold(lot, owed_by="builder", text="wait", who=self.who(), now=self.now)
        elif lot.plan:
            options = self.rng.choice([[], [self.option]])
            office = Who(member=self.people[1])
            choose_plan(lot, plan=lot.plan, options=options, who=office, now=self.now)


@pytest.mark.parametrize("seed", range(6))
def test_stored_answers_agree_with_the_walk_after_random_work(seed):
    days = Days(random.Random(seed))

    done = sum(days.act() for _ in range(45))

    refresh_lots([lot.pk for lot in days.lots], now=days.now)
    assert done > 20
    assert differences(now=days.now) == []


def test_the_walk_sees_a_stored_answer_that_somebody_changed():
    lot = make_lot(plan=make_plan())
    assert differences(now=NOW) == []

    LotPhase.objects.filter(lot=lot, position=1).update(
        cover="covered_proven", cover_on=date(2026, 3, 1)
    )

    assert len(differences(now=NOW)) == 1
