"""Did it hold: what fell, what temperature explains of it, what is left for a leak."""

from inspections.pipe_tests.physics import explained_end, psi_per_degree
from inspections.pipe_tests.records import TestRecord
from inspections.pipe_tests.verdicts import (
    CONFIRM,
    FAIL,
    PASS,
    Check,
    Reason,
    because,
)

# Common practice: a test thermometer reads to about a degree, a gauge to one mark.
THERMOMETER_F = 1.0
USUAL_MARK_PSI = 0.1
LONG_HOLD_MINUTES = 6 * 60
HOLD = "hold"
PHYSICS = "ideal gas in a fixed volume, absolute pressure and temperature"


def judge_hold(record: TestRecord) -> Check:
    """The one check of the hold itself; what leaked or lost its pressure fails."""
    if record.leak_seen:
        return Check(HOLD, FAIL, because("leak"))
    if record.gaseous or record.medium in ("vacuum", "smoke"):
        return _gas_hold(record)
    return _water_hold(record)


def _mark(record: TestRecord) -> float:
    return record.gauge_mark_psi or USUAL_MARK_PSI


def _water_hold(record: TestRecord) -> Check:
    """Water hardly yields: the column or the gauge stands, or something leaks."""
    if record.head_ft is not None and record.end_head_ft is not None:
        fell = record.head_ft - record.end_head_ft
        if fell > 0:
            return Check(HOLD, FAIL, because("water_fell", fell=f"{fell:.3g}"))
    if record.start_psig is not None and record.end_psig is not None:
        fell = record.start_psig - record.end_psig
        if fell > _mark(record):
            return Check(HOLD, FAIL, because("fell", fell=f"{fell:.3g}"))
    if record.leak_seen is None:
        return Check(HOLD, CONFIRM, because("no_leak_word"))
    return Check(HOLD, PASS, because("tight"))


def _gas_hold(record: TestRecord) -> Check:
    if record.air_added:
        return Check(HOLD, FAIL, because("air_added"))
    if record.start_psig is None or record.end_psig is None:
        return Check(HOLD, CONFIRM, because("no_pressures"))
    fell = record.start_psig - record.end_psig
    if record.medium in ("vacuum", "smoke"):
        if fell > _mark(record):
            return Check(HOLD, FAIL, because("lost", fell=f"{fell:.3g}"))
        return Check(HOLD, PASS, because("held"))
    if record.start_f is None or record.end_f is None:
        return _without_temperature(record, fell)
    tight = explained_end(
        start_psig=record.start_psig,
        start_f=record.start_f,
        end_f=record.end_f,
        elevation_ft=record.elevation_ft,
    )
    doubt = _mark(record) + THERMOMETER_F * psi_per_degree(
        start_psig=record.start_psig,
        start_f=record.start_f,
        elevation_ft=record.elevation_ft,
    )
    outcome, then = _explained(
        record, fell=fell, lost=tight - record.end_psig, doubt=doubt
    )
    shown = because(
        "gas_law",
        start=f"{record.start_psig:g}",
        start_f=f"{record.start_f:g}",
        tight=f"{tight:.2f}",
        end_f=f"{record.end_f:g}",
        end=f"{record.end_psig:g}",
        then=then,
    )
    return Check(HOLD, outcome, shown, PHYSICS)


def _without_temperature(record: TestRecord, fell: float) -> Check:
    if fell <= _mark(record):
        return Check(HOLD, PASS, because("end", found=f"{record.end_psig:g}"))
    return Check(
        HOLD,
        CONFIRM,
        because("no_temperature", fell=f"{fell:.3g}"),
    )


def _explained(
    record: TestRecord, *, fell: float, lost: float, doubt: float
) -> tuple[str, Reason | str]:
    """`lost` is what the temperature leaves unexplained, `doubt` what readings hide."""
    if lost > doubt and fell > _mark(record):
        return FAIL, because("unexplained", lost=f"{lost:.2f}")
    if lost > doubt:
        return CONFIRM, because("warming", lost=f"{lost:.2f}")
    if -lost > doubt:
        return CONFIRM, because("too_warm")
    long = (record.minutes or 0) > LONG_HOLD_MINUTES
    if fell > _mark(record):
        return PASS, because("weather_explained" if long else "explained")
    return PASS, because("weather") if long else ""
