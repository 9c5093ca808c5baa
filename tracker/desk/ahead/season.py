"""Line-of-balance picture of a subdivision: lots up, time across. Pure."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

PHASES = ("underground", "rough", "topout", "trim")
WIDE, ROW, TOP, LEFT, RIGHT = 1160, 18, 34, 84, 96
DASHES = {"underground": "", "rough": "9 3", "topout": "3 3", "trim": "9 3 2 3"}


@dataclass
class Dates:
    """What is known of one phase of one lot."""

    actual: date | None = None
    planned: date | None = None
    promised: date | None = None
    need_by: date | None = None
    starts: date | None = None
    squeezed: bool = False
    gate: date | None = None  # the day it can likely begin, where it is squeezed

    @property
    def last(self) -> date | None:
        return self.actual or self.planned


@dataclass
class LotLine:
    label: str
    pk: int
    phases: dict[str, Dates] = field(default_factory=dict)


@dataclass(frozen=True)
class Axis:
    first: date
    last: date

    def x(self, day: date) -> float:
        share = (day - self.first).days / max(1, (self.last - self.first).days)
        return LEFT + share * (WIDE - LEFT - RIGHT)

    def nearest(self, day: date) -> date:
        return min(max(day, self.first), self.last)

    def holds(self, day: date | None) -> bool:
        return day is not None and self.first <= day <= self.last

    @property
    def mondays(self) -> list[date]:
        days = (self.last - self.first).days
        step = 7 if days <= 150 else 28
        first = self.first + timedelta(days=(7 - self.first.weekday()) % 7)
        return [first + timedelta(days=n) for n in range(0, days, step)]


def squeeze(lots: Sequence[LotLine], waits: Mapping[str, int]) -> int:
    """Mark phases that begin before the one ahead is promised to have passed.

    There the lines come so close that the likely day of the pass, with the builder's
    days, lies behind the planned start.
    """
    count = 0
    for lot in lots:
        before: tuple[str, Dates] | None = None
        for phase in PHASES:
            now = lot.phases.get(phase)
            if now is None:
                continue
            if before and before[1].promised and now.starts and not now.actual:
                gate = _working(before[1].promised, waits.get(before[0], 0) + 1)
                now.squeezed = gate > now.starts
                now.gate = gate if now.squeezed else None
                count += now.squeezed
            before = (phase, now)
    return count


def _working(day: date, days: int) -> date:
    while days:
        day += timedelta(days=1)
        days -= day.weekday() < 5
    return day


@dataclass(frozen=True)
class Mark:
    x: float
    y: float
    kind: str
    title: str
    lot: int
    late: bool = False
    # A squeezed phase: from its planned start as far as it likely has to wait.
    from_x: float = 0.0
    wide: float = 0.0


@dataclass(frozen=True)
class Line:
    """One phase up the street: `done` really passed, `plan` from there on."""

    phase: str
    name: str
    done: str
    plan: str
    promise: str
    label_x: float
    label_y: float
    dash: str


@dataclass(frozen=True)
class Picture:
    height: int
    lines: tuple[Line, ...]
    marks: tuple[Mark, ...]
    rows: tuple[tuple[str, float], ...]
    ticks: tuple[tuple[float, date], ...]
    today_x: float | None


def picture(
    lots: Sequence[LotLine],
    axis: Axis,
    names: Mapping[str, str],
    today: date,
    say: Callable[[date], str] = date.isoformat,
) -> Picture:
    """Coordinates of everything; the first lot stands at the bottom."""
    height = TOP + ROW * len(lots) + 26
    ys = {lot.pk: height - 26 - ROW * (n + 0.5) for n, lot in enumerate(lots)}
    lines: list[Line] = []
    marks: list[Mark] = []
    for phase in PHASES:
        found = [(lot, lot.phases[phase]) for lot in lots if phase in lot.phases]
        if not found:
            continue
        lines.append(_apart(_line(phase, names[phase], found, ys, axis), lines))
        marks += _marks(phase, names[phase], found, ys, axis, say)
    return Picture(
        height=round(height),
        lines=tuple(lines),
        marks=tuple(marks),
        rows=tuple((lot.label, ys[lot.pk]) for lot in lots),
        ticks=tuple((round(axis.x(day), 1), day) for day in axis.mondays),
        today_x=round(axis.x(today), 1) if axis.holds(today) else None,
    )


def _line(
    phase: str,
    name: str,
    found: list[tuple[LotLine, Dates]],
    ys: Mapping[int, float],
    axis: Axis,
) -> Line:
    done = [(d.actual, ys[lot.pk]) for lot, d in found if d.actual]
    plan = [(d.planned, ys[lot.pk]) for lot, d in found if not d.actual and d.planned]
    promise = [
        (d.promised, ys[lot.pk]) for lot, d in found if not d.actual and d.promised
    ]
    seen = [p for p in (*done, *plan) if axis.holds(p[0])]
    end = seen[-1] if seen else (axis.last, TOP)
    return Line(
        phase=phase,
        name=name,
        done=_points(done, axis),
        plan=_points([*done[-1:], *plan], axis),
        promise=_points(promise, axis),
        label_x=round(axis.x(end[0] or axis.last) + 6, 1),
        label_y=round(end[1] - 4, 1),
        dash=DASHES[phase],
    )


def _apart(line: Line, others: Sequence[Line]) -> Line:
    """Its name a line lower where it would stand on another."""
    for other in others:
        near = abs(line.label_x - other.label_x) < 90
        if near and abs(line.label_y - other.label_y) < 12:
            line = replace(line, label_y=other.label_y + 14)
    return line


def _points(points: Sequence[tuple[date | None, float]], axis: Axis) -> str:
    return " ".join(
        f"{axis.x(day):.1f},{y:.1f}" for day, y in points if day and axis.holds(day)
    )


def _marks(
    phase: str,
    name: str,
    found: list[tuple[LotLine, Dates]],
    ys: Mapping[int, float],
    axis: Axis,
    say: Callable[[date], str],
) -> list[Mark]:
    marks = []
    for lot, dates in found:
        day, kind = dates.last, "done" if dates.actual else "plan"
        if day is None or not axis.holds(day):
            continue
        late = bool(dates.need_by and day > dates.need_by)
        title = f"{lot.label}, {name}: {say(day)}"
        if dates.promised and not dates.actual:
            title += f" (P80 {say(dates.promised)})"
        kind = "squeezed" if dates.squeezed else kind
        x, y = round(axis.x(day), 1), round(ys[lot.pk], 1)
        from_x = wide = 0.0
        if dates.gate and dates.starts:
            from_x = round(axis.x(axis.nearest(dates.starts)), 1)
            wide = round(axis.x(axis.nearest(dates.gate)) - from_x, 1)
        marks.append(Mark(x, y, kind, title, lot.pk, late, from_x, wide))
    return marks
