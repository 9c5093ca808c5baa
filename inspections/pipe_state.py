"""A test on the pipe as its facts leave it: readings, verdict and life."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from inspections.models import PipeTest
from inspections.office import office_of_lot
from inspections.offices import why_test_refused
from inspections.pipe_tests import (
    TestEvent,
    TestLife,
    TestRecord,
    Verdict,
    amendments_from,
    judge,
    life_of_test,
)
from inspections.pipe_tests.judge import AID
from inspections.pipe_tests.life import KINDS, PHOTO
from inspections.pipe_tests.verdicts import CONFIRM, Check, because
from phases.models import Fact, LotPhase
from tracker.sites.models import Lot

FACT = "pipe_test"
READ, CAPS = "read", "caps_left"
COLUMNS = [field.name for field in PipeTest._meta.fields if not field.primary_key]
AGAIN = {"it lost pressure": "test_lost", "it was disturbed": "test_disturbed"}


def judged(lot: Lot, record: TestRecord) -> Verdict:
    """The verdict under the lot's code book, its office's amendments and refusals."""
    subdivision = lot.subdivision
    office = subdivision.jurisdiction
    own = office_of_lot(lot)
    refuses = own and why_test_refused(
        own.record,
        system=record.system,
        medium=record.medium,
        plastic=record.plastic,
    )
    if not subdivision.code_book or not subdivision.edition.isdigit():
        why = because("no_code_book")
        return Verdict(because("no_book"), (Check("no rule", CONFIRM, why),), (AID,))
    return judge(
        record,
        book=subdivision.code_book,
        edition=int(subdivision.edition),
        amendments=amendments_from(office.amendments if office else ()),
        office_refuses=refuses or None,
    )


def refresh_tests(phase: LotPhase) -> list[PipeTest]:
    """Derive and store the tests of one lot phase from its facts, in their order."""
    by_test: dict[str, list[Fact]] = defaultdict(list)
    facts = phase.facts.filter(kind=FACT).order_by("no")
    for fact in facts.select_related("by", "superintendent"):
        by_test[fact.payload["test"]].append(fact)
    tests = [_derive(phase, test, said) for test, said in by_test.items()]
    PipeTest.objects.bulk_create(
        tests, update_conflicts=True, unique_fields=["pk"], update_fields=COLUMNS
    )
    return tests


def _derive(phase: LotPhase, test_id: str, facts: list[Fact]) -> PipeTest:
    first = facts[0].payload
    readings: dict[str, Any] = {"material": first["material"]}
    caps, photo = 0, ""
    for fact in facts:
        readings.update(fact.payload.get("readings", {}))
        caps = fact.payload.get("caps", caps)
        photo = fact.payload.get("photo", "") or photo
    record = TestRecord(system=first["system"], medium=first["medium"], **readings)
    verdict = judged(phase.lot, record)
    life = life_of(facts)
    down = _last(facts, "taken_down")
    return PipeTest(
        id=UUID(test_id),
        lot_phase=phase,
        system=record.system,
        medium=record.medium,
        readings=readings,
        outcome=verdict.outcome,
        sentence=verdict.sentence,
        said=verdict.said,
        caution=verdict.caution,
        cautions=list(verdict.cautions),
        provenance=list(verdict.provenance),
        put_up_at=facts[0].happened_at,
        put_up_by=facts[0].who,
        is_up=life.up_since is not None,
        photo=photo,
        inspected_at=life.inspected_at,
        down_at=down.happened_at if down and life.up_since is None else None,
        down_by=life.down_by,
        test_again=AGAIN.get(life.test_again, ""),
        caps_left=caps,
    )


def life_of(facts: Iterable[Fact]) -> TestLife:
    return life_of_test(
        TestEvent(f.payload["event"], f.happened_at, f.who)
        for f in facts
        if f.payload["event"] in KINDS
    )


def _last(facts: list[Fact], event: str) -> Fact | None:
    found = [fact for fact in facts if fact.payload["event"] == event]
    return found[-1] if found else None


def rebuild_tests(*, now: datetime) -> int:
    """Derive every test again from the log; returns how many there are."""
    from phases.log import writing

    count = 0
    with writing(now=now):
        phases = LotPhase.objects.filter(facts__kind=FACT).distinct()
        for phase in phases.select_related("lot__subdivision__jurisdiction"):
            count += len(refresh_tests(phase))
    return count


__all__ = ["CAPS", "FACT", "PHOTO", "READ", "judged", "rebuild_tests", "refresh_tests"]
