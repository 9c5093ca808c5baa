"""One test record against one book: pass, fail or confirm, and why."""

from collections.abc import Callable, Sequence

from inspections.pipe_tests.books import Amendment, Need, maker_refusal, needs
from inspections.pipe_tests.hold import judge_hold
from inspections.pipe_tests.measures import MEASURES
from inspections.pipe_tests.records import TestRecord
from inspections.pipe_tests.verdicts import (
    CONFIRM,
    FAIL,
    PASS,
    Check,
    Reason,
    Verdict,
    because,
    named,
)

AID = because("aid")
STORED_ENERGY = because("stored_energy")


def judge(
    record: TestRecord,
    *,
    book: str,
    edition: int,
    amendments: Sequence[Amendment] = (),
    office_refuses: Reason | None = None,
) -> Verdict:
    """The verdict on a test under `book` (IRC, IPC, UPC) of `edition`.

    `fail`: a published or local rule is not met, or the pipe leaked. `confirm`: a
    reading is missing, only a figure from memory is not met, or the fall has another
    explanation that a person must confirm. `office_refuses` is the office's own
    refusal of such a test, a reason. Raises ValueError for an unknown book.
    """
    asked = needs(
        book=book,
        edition=edition,
        system=record.system,
        medium=record.medium,
        amendments=amendments,
    )
    checks = [
        *_refusals(record, asked, office_refuses),
        *_figures(record, asked),
        judge_hold(record),
    ]
    if not any(need.topic not in ("mark_psi", "media", "no_plastic") for need in asked):
        checks.append(
            Check(
                "no rule",
                CONFIRM,
                because(
                    "no_rule",
                    book=f"{book} {edition}",
                    system=named(record.system),
                    medium=named(record.medium),
                ),
            )
        )
    title = because("book_amended" if amendments else "book", book=f"{book} {edition}")
    return Verdict(title, tuple(checks), _cautions(record))


def _cautions(record: TestRecord) -> tuple[Reason, ...]:
    said = [AID]
    if record.gaseous:
        said.append(STORED_ENERGY)
    if record.gaseous and record.plastic and record.system == "dwv":
        said.append(because("shatters"))
    if record.medium in ("oxygen", "fuel_gas"):
        said.append(because("never"))
    return tuple(said)


def _refusals(
    record: TestRecord, asked: Sequence[Need], office_refuses: Reason | None
) -> list[Check]:
    checks = []
    if office_refuses:
        checks.append(Check("office", FAIL, office_refuses, "the office's record"))
    for need in asked:
        if need.topic == "media" and record.medium not in need.value.split():
            why = because("medium", medium=named(record.medium))
            checks.append(Check("medium", FAIL, why, need.provenance))
    if record.gaseous and record.plastic:
        checks += _air_on_plastic(record, asked)
    return checks


def _air_on_plastic(record: TestRecord, asked: Sequence[Need]) -> list[Check]:
    """Refused where book or local rule says so; else the makers' word is shown."""
    what = {"medium": named(record.medium), "system": named(record.system)}
    rules = [need for need in asked if need.topic == "no_plastic"]
    refused = [need for need in rules if need.value == "refused"]
    if refused:
        return [
            Check(
                "plastic",
                FAIL if need.may_fail else CONFIRM,
                because("plastic", **what),
                need.provenance,
            )
            for need in refused
        ]
    if record.system != "dwv":
        return []
    maker = maker_refusal()
    return [
        Check(
            "plastic",
            CONFIRM,
            because("plastic_maker", **what),
            maker.provenance,
        )
    ]


def _figures(record: TestRecord, asked: Sequence[Need]) -> list[Check]:
    checks = []
    for need in asked:
        measure = MEASURES.get(need.topic)
        if measure is not None:
            check = _figure(record, need, measure)
            if check is not None:
                checks.append(check)
    return checks


def _figure(
    record: TestRecord,
    need: Need,
    measure: Callable[[TestRecord, Need], tuple[bool | None, Reason] | None],
) -> Check | None:
    measured = measure(record, need)
    if measured is None:
        return None
    good, why = measured
    if good is None:
        outcome = CONFIRM
    elif good:
        outcome = PASS
    else:
        outcome = FAIL if need.may_fail else CONFIRM
    return Check(need.topic, outcome, why, need.provenance)
