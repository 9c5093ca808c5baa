"""Strips, marks and walls as HTML. Positions are quarters, as CSS variables."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language

from phases.models import PhaseKind
from tracker.desk import glyph
from tracker.desk.ahead.sheet import DAY, Drive, Row, Sheet, Site, Span, Strip
from tracker.desk.spanish import in_language
from tracker.desk.templatetags.desk import lot_label

ROOM = {10: 118, 20: 60}  # dots under a day, by the days shown on a wide screen
PHASES = ("underground", "rough", "topout", "trim")


def _w(text: str, **params: object) -> str:
    return escape(in_language(text, get_language() or "en", **params))


def name_of(kind: PhaseKind | None, phase: str) -> str:
    if kind is None:
        return phase
    spanish = (get_language() or "en").startswith("es")
    return kind.name_es if spanish else kind.name_en


def symbols(kinds: Mapping[str, PhaseKind]) -> SafeString:
    """One house section a phase, defined once and used by every strip of it."""
    drawn = []
    for phase, kind in kinds.items():
        states = {
            other.glyph_part: "passed"
            for other in kinds.values()
            if other.position < kind.position
        }
        states[kind.glyph_part] = "planned"
        for part in glyph.PARTS:
            states.setdefault(part, "open")
        svg = glyph.glyph(states, size=20)
        inside = svg[svg.index(">") + 1 : -len("</svg>")]
        drawn.append(f'<symbol id="s-{phase}" viewBox="0 0 24 24">{inside}</symbol>')
    return mark_safe(f'<svg class="unseen" aria-hidden="true">{"".join(drawn)}</svg>')  # noqa: S308


@dataclass(frozen=True)
class Mark:
    """An inspection or a cover under its day; texts are escaped."""

    kind: str
    shown: str
    title: str

    @property
    def width(self) -> int:
        """Dots it takes, sign and gap included."""
        return 14 + 6 * len(self.shown)


class Pen:
    """Draws the rows of one sheet; texts are looked up once."""

    def __init__(
        self,
        sheet: Sheet,
        span: Span,
        kinds: Mapping[str, PhaseKind],
        *,
        by: str,
    ) -> None:
        self.sheet, self.span, self.by = sheet, span, by
        self.names = {p: escape(name_of(kinds.get(p), p)) for p in PHASES}
        self.glyphs = {
            p: f'<svg class="house" width="18" height="18" aria-hidden="true">'
            f'<use href="#s-{p}"/></svg>'
            for p in PHASES
        }
        self.words = {
            text: _w(text)
            for text in (
                *("late", "pinned", "changed", "inspection", "drive to", "begun"),
                *("covered on", "before it has passed", "on"),
            )
        }
        self.days = {
            n: escape(_day(sheet, n)) for n in range(span.first - 1, span.last + 1)
        }

    def row(self, row: Row) -> SafeString:
        parts = [self._off(day) for day in row.off]
        parts += [self._ghost(one) for one in row.ghosts]
        parts += [self._pin(one) for one in row.pins]
        parts += [self._drive(one) for one in row.drives if one.lost]
        parts += [self._site(one) for one in row.sites]
        parts += [self._strip(one) for one in row.strips]
        parts += self._notes(row)
        return mark_safe("".join(parts))  # noqa: S308 (every text is escaped)

    def _off(self, day: int) -> str:
        at = self.span.at(DAY * day)
        return f'<i class="off" style="--a:{at};--n:{DAY}"></i>'

    def _ghost(self, strip: Strip) -> str:
        assert strip.was is not None
        at, long = self._cut(strip.was[1], strip.was[1] + strip.end - strip.start)
        return f'<i class="ghost" style="--a:{at};--n:{long}"></i>'

    def _pin(self, strip: Strip) -> str:
        """Where a job is pinned to since this plan was made."""
        assert strip.pin is not None
        crew, day = strip.pin
        to = _w("pinned since to {crew}, {day}", crew=crew, day=_day(self.sheet, day))
        title = f"{self._name(strip)}: {to}"
        return (
            f'<i class="pin-to" style="--a:{self.span.at(DAY * day)};--n:{DAY}"'
            f' title="{title}"><b>{escape(strip.short)}</b>'
            f'<span class="unseen">. {title}</span></i>'
        )

    def _drive(self, drive: Drive) -> str:
        title = f"{self.words['drive to']} {escape(drive.place)}"
        at = self.span.at(drive.at)
        return (
            f'<i class="drive" style="--a:{at};--n:{drive.lost}" title="{title}"></i>'
        )

    def _site(self, site: Site) -> str:
        """The name of the subdivision above the strips of one stay there."""
        at, long = self._cut(site.start, site.end)
        comes = " comes" if site.comes else ""
        place = escape(site.place)
        title = f"{self.words['drive to' if comes else 'on']} {place}"
        return (
            f'<b class="site{comes}" style="--a:{at};--n:{long}" title="{title}">'
            f"{place}</b>"
        )

    def _cut(self, start: int, end: int) -> tuple[int, int]:
        """Place and length of what is shown of it."""
        start = max(start, DAY * self.span.first)
        end = min(end, DAY * self.span.last)
        return self.span.at(start), max(0, end - start)

    def _notes(self, row: Row) -> list[str]:
        """Under each day its inspections and covers, with their lots."""
        days: dict[int, list[Mark]] = defaultdict(list)
        for strip in row.walls:
            days[strip.wall or 0].append(self._wall(strip))
        for strip in row.visits:
            days[strip.visit or 0].append(self._visit(strip))
        room = ROOM.get(self.span.days, 50)
        walls = [self._standing(strip) for strip in row.walls if self.by == "lot"]
        notes = [
            f'<span class="note" style="--a:{self.span.at(DAY * day)}">'
            f"{_marks(marks, room)}</span>"
            for day, marks in days.items()
        ]
        return walls + notes

    def _standing(self, strip: Strip) -> str:
        """The wall of a lot's own row, as high as the row."""
        at = self.span.at(DAY * (strip.wall or 0))
        risk = " risk" if strip.at_risk else ""
        return f'<i class="wall{risk}" style="--a:{at}"></i>'

    def _mark(self, strip: Strip, kind: str, title: str) -> Mark:
        shown = self.names[strip.phase] if self.by == "lot" else escape(strip.short)
        return Mark(kind, shown, title)

    def _wall(self, strip: Strip) -> Mark:
        day = self.days.get(strip.wall or 0, "")
        title = f"{self._name(strip)} {self.words['covered on']} {day}"
        if strip.at_risk:
            title += f", {self.words['before it has passed']}"
        return self._mark(strip, "brick risk" if strip.at_risk else "brick", title)

    def _visit(self, strip: Strip) -> Mark:
        day = self.days.get(strip.visit or 0, "")
        title = f"{self._name(strip)}: {self.words['inspection']} {day}"
        return self._mark(strip, "visit late" if strip.late else "visit", title)

    def _name(self, strip: Strip) -> str:
        return f"{escape(strip.short)} {self.names[strip.phase]}"

    def _strip(self, strip: Strip) -> str:
        at, long = self._cut(strip.start, strip.end)
        phase, by_lot = self.names[strip.phase], self.by == "lot"
        shown = phase if by_lot else escape(strip.short)
        more = escape(strip.crew) if by_lot else phase
        classes, late, label = self._state(strip)
        data = (
            f' data-lot="{escape(strip.lot)}" data-phase="{strip.phase}"'
            f' data-crew="{escape(strip.crew)}" data-half="{strip.start // 2}"'
        )
        return (
            f'<button type="button" class="strip p-{strip.phase} w{min(long, 4)}'
            f'{classes}" style="--a:{at};--n:{long}"{data} title="{label}">'
            f"{self.glyphs[strip.phase]}"
            f"<span><b>{shown}</b><small>{late}{more}</small></span>"
            # Shown short, said whole.
            f'<i class="unseen">. {label}</i></button>'
        )

    def _state(self, strip: Strip) -> tuple[str, str, str]:
        """Classes, the mark of lateness and the whole label."""
        lot = escape(lot_label(strip.lot))
        said = [f"{lot}, {self.names[strip.phase]}", escape(strip.crew)]
        said.append(self.days.get(strip.start // DAY, ""))
        classes = late = ""
        if strip.late:
            classes += " late"
            late = f"<em>+{strip.late}</em> "
            said.append(f"{strip.late} d {self.words['late']}")
        if strip.pinned:
            classes += " pinned"
            said.append(self.words["pinned"])
        if strip.begun:
            classes += " begun"
            said.append(self.words["begun"])
        if strip.was:
            classes += " new"
            said.append(self.words["changed"])
        return classes, late, ". ".join(said)


def _marks(marks: list[Mark], room: int) -> str:
    """Marks with their lots; where that is too wide, their number by kind."""
    if sum(one.width for one in marks) > room:
        kinds: dict[str, list[Mark]] = defaultdict(list)
        for one in marks:
            kinds[one.kind].append(one)
        marks = [
            Mark(
                kind,
                f"{len(some)}×" if len(some) > 1 else "",
                "; ".join(one.title for one in some),
            )
            for kind, some in kinds.items()
        ]
    return "".join(
        f'<span class="{one.kind}" title="{one.title}"><i></i>{one.shown}'
        f'<b class="unseen">: {one.title}</b></span>'
        for one in marks
    )


def _day(sheet: Sheet, number: int) -> str:
    from django.template.defaultfilters import date as date_text

    return str(date_text(sheet.calendar.date_of(number), "D j M"))
