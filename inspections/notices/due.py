"""What is to be noticed now of one lot, one reason at a time."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import chain

from inspections.calls import Call, calls_of
from inspections.models import Forecast
from inspections.notices.moments import (
    EVENING,
    LAST_CHANCE,
    MORNING,
    warning_now,
)
from inspections.offices import AskByPhone
from inspections.pipe_tests import frost_warning
from inspections.rules import SYSTEMS, Reason, stands, system_named
from inspections.standing import LotStanding
from inspections.timing import Deadline
from phases.models import LotPhase

DAY = timedelta(days=1)
PLANNED_AHEAD = timedelta(days=3)
PERMIT_DAYS = (7, 30)
# Reasons that the lead of the crew is told of too.
FOR_LEADS = ("not_on_test", "frost")


@dataclass(frozen=True)
class Due:
    """One thing to notice: `subject` tells two of the same reason apart."""

    standing: LotStanding
    phase: LotPhase | None
    reason: str
    subject: str
    words: Reason
    due_at: datetime | None = None

    @property
    def about(self) -> str:
        return f"phase{self.phase.pk}" if self.phase else f"lot{self.standing.lot.pk}"


def due_of(
    standing: LotStanding, forecasts: list[Forecast], *, now: datetime
) -> Iterator[Due]:
    """Everything to notice of one lot. Several kinds of a phase share one notice."""
    calls = list(calls_of(standing, now=now))
    by_phase: dict[int, list[Call]] = defaultdict(list)
    for call in calls:
        by_phase[call.phase.pk].append(call)
    for group in by_phase.values():
        open_calls = [call for call in group if call.request is None]
        asked = [call for call in group if call.request is not None]
        yield from _propose(standing, open_calls)
        yield from _call_in_by(standing, open_calls, now)
        yield from _cover_too_early(standing, group)
        yield from _no_result(standing, asked, now)
        yield from _not_on_test(standing, asked, now)
    yield from _permit(standing)
    yield from _frost(standing, forecasts)


def _codes(calls: list[Call]) -> list[str]:
    return [call.kind.code for call in calls]


def _day(call: Call) -> object:
    """The day a call gets, or that the office has to be asked for it."""
    if isinstance(call.first, AskByPhone):
        what = [{"code": f"unknown_{key}"} for key in call.first.unknown]
        return {"code": "ask_by_phone", "what": what}
    return call.inspect_on.isoformat() if call.inspect_on else "?"


def _propose(standing: LotStanding, calls: list[Call]) -> Iterator[Due]:
    for again in (False, True):
        ready = [call for call in calls if call.ready and call.again is again]
        if not ready:
            continue
        words = {"kinds": _codes(ready), "date": _day(ready[0])}
        if again:
            rule = [said for call in ready for said in call.again_rule]
            words["rule"] = {"code": "again_rule", "said": rule} if rule else ""
        reason = "reinspect" if again else "propose"
        last = ready[0].last
        subject = str(last.pk) if again and last else "proven"
        due = min((c.call_by for c in ready if c.call_by), default=None)
        yield Due(
            standing, ready[0].phase, reason, subject, {"code": reason, **words}, due
        )
    planned = [call for call in calls if not call.ready and _soon(call)]
    if planned:
        words = {"kinds": _codes(planned), "date": _day(planned[0])}
        yield Due(
            standing,
            planned[0].phase,
            "propose",
            "planned",
            {"code": "propose_planned", **words},
        )


def _soon(call: Call) -> bool:
    """The planned finish gives a date, and it comes within a few days."""
    ends = [phase.planned_end for phase in call.phases if phase.work == "planned"]
    today = call.standing.today
    return any(end and today <= end <= today + PLANNED_AHEAD for end in ends)


def _call_in_by(
    standing: LotStanding, calls: list[Call], now: datetime
) -> Iterator[Due]:
    for again in (False, True):
        dated = [
            (call.deadline.call_in_by, call)
            for call in calls
            if isinstance(call.deadline, Deadline) and call.again is again
        ]
        due = [(by, call) for by, call in dated if warning_now(by, now)]
        if not due:
            continue
        by, call = min(due, key=lambda pair: pair[0])
        kinds = [each for _, each in due]
        missing = [r for each in kinds for r in each.missing]
        words: Reason = {
            "code": "call_in_by_not_ready" if missing else "call_in_by",
            "kinds": _codes(kinds),
            "by": f"{by:%Y-%m-%d %H:%M}",
            "cover": call.cover.isoformat() if call.cover else "",
        }
        if missing:
            words["missing"] = missing
        reason = "recall_by" if again else "call_in_by"
        yield Due(standing, call.phase, reason, str(warning_now(by, now)), words, by)


def _cover_too_early(standing: LotStanding, calls: list[Call]) -> Iterator[Due]:
    late = [c for c in calls if c.cover_too_early and c.cover]
    if not late:
        return
    worst = max(late, key=lambda c: _on(c) or date.min)
    cover, first = worst.cover, _on(worst)
    assert cover is not None
    assert first is not None
    if cover < standing.today:
        return
    words = {
        "code": "cover_too_early",
        "kinds": _codes(late),
        "cover": cover.isoformat(),
        "first": first.isoformat(),
        "options": _options(worst, first),
    }
    # Said as soon as it can be known, and once more when the cover is near.
    near = standing.today >= cover - DAY
    yield Due(
        standing, worst.phase, "cover_too_early", "near" if near else "seen", words
    )


def _on(call: Call) -> date | None:
    return call.request.for_date if call.request else call.inspect_on


def _options(call: Call, first: date) -> list[Reason]:
    options: list[Reason] = []
    if call.call_by is not None and call.request is None:
        by = f"{call.call_by:%Y-%m-%d %H:%M}"
        options.append({"code": "option_call", "by": by, "date": first.isoformat()})
    after = (first + DAY).isoformat()
    options.append({"code": "option_ask_cover", "date": after})
    options.append({"code": "option_partial"})
    options.append({"code": "option_phone"})
    return options


def _no_result(
    standing: LotStanding, calls: list[Call], now: datetime
) -> Iterator[Due]:
    local = now.astimezone(standing.office.zone) if standing.office else now
    visits: dict[object, list[Call]] = defaultdict(list)
    for call in calls:
        assert call.request is not None
        on = call.request.for_date
        if on < local.date() or (on == local.date() and local.time() >= EVENING):
            visits[call.request.visit or call.request.pk].append(call)
    for visit, missing in visits.items():
        asked = missing[0].request
        assert asked is not None
        words = {
            "code": "no_result",
            "kinds": _codes(missing),
            "date": asked.for_date.isoformat(),
        }
        yield Due(standing, missing[0].phase, "no_result", str(visit), words)


def _not_on_test(
    standing: LotStanding, calls: list[Call], now: datetime
) -> Iterator[Due]:
    local = now.astimezone(standing.office.zone) if standing.office else now
    today, time = local.date(), local.time()
    when = {}
    if time >= LAST_CHANCE:
        when["eve"] = today + DAY
    if MORNING <= time < EVENING:
        when["morning"] = today
    for subject, on in when.items():
        down = {
            call.kind.code: [
                word for word in call.tests if not _is_up(standing, call, word)
            ]
            for call in calls
            if call.request is not None and call.request.for_date == on
        }
        kinds = [code for code, systems in down.items() if systems]
        if not kinds:
            continue
        words = {
            "code": "not_on_test",
            "kinds": kinds,
            "date": on.isoformat(),
            "systems": [
                system_named(word)
                for word in dict.fromkeys(chain.from_iterable(down.values()))
            ],
        }
        yield Due(standing, calls[0].phase, "not_on_test", subject, words)


def _is_up(standing: LotStanding, call: Call, word: str) -> bool:
    """A recorded test stands; or the lead said on test and recorded none at all."""
    test = call.tests.get(word)
    if test is not None:
        return stands(test)
    system = SYSTEMS.get(word, word)
    said = any(phase.on_test for phase in call.phases)
    return said and not any(t.system == system for t in standing.tests)


def _permit(standing: LotStanding) -> Iterator[Due]:
    ends = standing.permit_ends
    if ends is None or ends < standing.today:
        return
    left = (ends - standing.today).days
    for days in PERMIT_DAYS:
        if left <= days:
            number = standing.lot.permit_number or "?"
            words = {"code": "permit_ends", "number": number, "date": ends.isoformat()}
            yield Due(standing, None, "permit_ends", f"{days} days", words)
            return


def _frost(standing: LotStanding, forecasts: list[Forecast]) -> Iterator[Due]:
    for test in standing.tests:
        if not test.is_up:
            continue
        for forecast in forecasts:
            if frost_warning(medium=test.medium, forecast_low_f=forecast.low_f):
                words = {
                    "code": "frost",
                    "low": f"{forecast.low_f:g}",
                    "date": forecast.on.isoformat(),
                }
                phase = next(p for p in standing.phases if p.pk == test.lot_phase_id)
                yield Due(standing, phase, "frost", forecast.on.isoformat(), words)
                break
