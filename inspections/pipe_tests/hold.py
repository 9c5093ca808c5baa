"""Did it hold: what fell, what temperature explains of it, what is left for a leak."""

from inspections.pipe_tests.physics import explained_end, psi_per_degree
from inspections.pipe_tests.records import TestRecord
from inspections.pipe_tests.verdicts import CONFIRM, FAIL, PASS, Check

# Common practice: a test thermometer reads to about a degree, a gauge to one mark.
THERMOMETER_F = 1.0
USUAL_MARK_PSI = 0.1
LONG_HOLD_MINUTES = 6 * 60
HOLD = "hold"
PHYSICS = "ideal gas in a fixed volume, absolute pressure and temperature"


def judge_hold(record: TestRecord) -> Check:
    """The one check of the hold itself; what leaked or lost its pressure fails."""
    if record.leak_seen:
        return Check(HOLD, FAIL, "a leak was seen")
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
            return Check(HOLD, FAIL, f"the water fell by {fell:.3g} ft")
    if record.start_psig is not None and record.end_psig is not None:
        fell = record.start_psig - record.end_psig
        if fell > _mark(record):
            return Check(HOLD, FAIL, f"the pressure fell by {fell:.3g} psi")
    if record.leak_seen is None:
        return Check(HOLD, CONFIRM, "nobody wrote down whether it leaked")
    return Check(HOLD, PASS, "no leak seen")


def _gas_hold(record: TestRecord) -> Check:
    if record.air_added:
        return Check(HOLD, FAIL, "pressure was added during the hold: start it again")
    if record.start_psig is None or record.end_psig is None:
        return Check(HOLD, CONFIRM, "start and end pressure are both needed")
    fell = record.start_psig - record.end_psig
    if record.medium in ("vacuum", "smoke"):
        if fell > _mark(record):
            return Check(HOLD, FAIL, f"{fell:.3g} psi were lost")
        return Check(HOLD, PASS, "it held")
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
    shown = (
        f"{record.start_psig:g} psi at {record.start_f:g} F would be {tight:.2f} psi "
        f"at {record.end_f:g} F in a tight pipe; {record.end_psig:g} psi was read"
    )
    lost = tight - record.end_psig
    return _with_temperature(record, fell=fell, lost=lost, doubt=doubt, shown=shown)


def _without_temperature(record: TestRecord, fell: float) -> Check:
    if fell <= _mark(record):
        return Check(HOLD, PASS, f"{record.end_psig:g} psi at the end")
    return Check(
        HOLD,
        CONFIRM,
        f"the pressure fell by {fell:.3g} psi and no temperatures were written down: "
        "write both down and hold it again",
    )


def _with_temperature(
    record: TestRecord, *, fell: float, lost: float, doubt: float, shown: str
) -> Check:
    """`lost` is what the temperature leaves unexplained, `doubt` what readings hide."""
    if lost > doubt and fell > _mark(record):
        words = f"{shown}: {lost:.2f} psi are lost that no temperature explains"
        return Check(HOLD, FAIL, words, PHYSICS)
    if lost > doubt:
        words = f"{shown}: warming may hide a leak of {lost:.2f} psi"
        return Check(HOLD, CONFIRM, words, PHYSICS)
    if -lost > doubt:
        words = f"{shown}: more than warming explains, read gauge and thermometer again"
        return Check(HOLD, CONFIRM, words, PHYSICS)
    if (record.minutes or 0) > LONG_HOLD_MINUTES:
        shown += "; over so long the weather moves the gauge too"
    if fell > _mark(record):
        shown += ": temperature alone explains the fall"
    return Check(HOLD, PASS, shown, PHYSICS)
