"""How each figure of a book is held against a record.

A measure answers (met, reason): met is None when a reading is missing. It answers
None where the figure does not apply to this test.
"""

import math
from collections.abc import Callable, Mapping

from inspections.pipe_tests.books import Need
from inspections.pipe_tests.physics import foot_of_head
from inspections.pipe_tests.records import TestRecord
from inspections.pipe_tests.verdicts import Reason, because

Answer = tuple[bool | None, Reason] | None
Measure = Callable[[TestRecord, Need], Answer]

SMALL_VOLUME_CUFT = 10.0
WC_PER_PSI = 27.7  # inches of water per psi, as the fuel gas code counts
# Readings are decimals of tape and gauge; this swallows binary rounding only.
ROUNDING = 1e-9


def at_least(measured: float, needed: float) -> bool:
    return measured >= needed - ROUNDING


def _head(record: TestRecord, need: Need) -> Answer:
    head = record.head_ft
    if head is None and record.start_psig is not None:
        head = foot_of_head(record.start_psig)
    if head is None:
        return None, because("no_head")
    return at_least(head, need.number), because(
        "head", found=f"{head:.4g}", needed=f"{need.number:g}"
    )


def _pressure(record: TestRecord, need: Need) -> Answer:
    if record.start_psig is None:
        return None, because("no_start")
    end, slack = record.end_psig, record.gauge_mark_psi or 0
    enough = at_least(record.start_psig, need.number)
    if enough and end is not None and not at_least(end + slack, need.number):
        return None, because("ended_low", found=f"{end:g}", needed=f"{need.number:g}")
    return enough, because(
        "pressure", found=f"{record.start_psig:g}", needed=f"{need.number:g}"
    )


def _water_column(record: TestRecord, need: Need) -> Answer:
    if record.start_psig is None:
        return None, because("no_start")
    inches = record.start_psig * WC_PER_PSI
    return at_least(inches, need.number), because(
        "column", found=f"{inches:.3g}", needed=f"{need.number:g}"
    )


def _working(record: TestRecord, need: Need) -> Answer:
    if record.working_psig is None:
        return None, because("no_working")
    if record.start_psig is None:
        return None, because("no_start")
    needed = need.number * record.working_psig
    return at_least(record.start_psig, needed), because(
        "working",
        found=f"{record.start_psig:g}",
        needed=f"{needed:.4g}",
        times=f"{need.number:g}",
    )


def _depth(record: TestRecord, need: Need) -> Answer:
    if record.depth_in is None:
        return None, because("no_depth")
    return at_least(record.depth_in, need.number), because(
        "depth", found=f"{record.depth_in:g}", needed=f"{need.number:g}"
    )


def _is_small(record: TestRecord) -> bool:
    """The short gas test: one dwelling, or a small volume."""
    small = record.volume_cuft is not None and record.volume_cuft < SMALL_VOLUME_CUFT
    return record.dwelling or small


def _minutes(record: TestRecord, need: Need) -> Answer:
    if need.when == "small" and not _is_small(record):
        return None
    return _held(record, need.number)


def _minutes_by_volume(record: TestRecord, need: Need) -> Answer:
    if _is_small(record):
        return None
    if record.volume_cuft is None:
        return None, because("no_volume")
    return _held(record, need.number * math.ceil(record.volume_cuft / 500))


def _held(record: TestRecord, needed: float) -> Answer:
    if record.minutes is None:
        return None, because("no_minutes")
    return at_least(record.minutes, needed), because(
        "minutes", found=f"{record.minutes:g}", needed=f"{needed:g}"
    )


def _mark(record: TestRecord, need: Need) -> Answer:
    pressure = record.start_psig
    if pressure is None:
        return None  # a column of water needs no gauge; else the pressure is missed
    span = "to_10" if pressure <= 10 else "to_100"
    if need.when not in (span, "") or (need.when and pressure > 100):
        return None
    if record.gauge_mark_psi is None:
        return None, because("no_marks")
    return record.gauge_mark_psi <= need.number + ROUNDING, because(
        "marks", found=f"{record.gauge_mark_psi:g}", needed=f"{need.number:g}"
    )


def _top(record: TestRecord, need: Need) -> Answer:
    if record.start_psig is None:
        return None
    if record.gauge_top_psi is None:
        return None, because("no_range")
    most = need.number * record.start_psig
    return record.gauge_top_psi <= most + ROUNDING, because(
        "range",
        found=f"{record.gauge_top_psi:g}",
        needed=f"{most:.4g}",
        times=f"{need.number:g}",
    )


MEASURES: Mapping[str, Measure] = {
    "head_ft": _head,
    "pressure_psi": _pressure,
    "pressure_wc": _water_column,
    "vacuum_psi": _pressure,
    "times_working": _working,
    "depth_in": _depth,
    "minutes": _minutes,
    "minutes_per_500_cuft": _minutes_by_volume,
    "mark_psi": _mark,
    "top_times": _top,
}
