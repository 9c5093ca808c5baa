"""Strips, marks and walls as HTML. Positions are quarters, as CSS variables."""

from collections.abc import Mapping

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language

from phases.models import PhaseKind
from tracker.desk import glyph
from tracker.desk.ahead.sheet import DAY, Drive, Row, Sheet, Span, Strip
from tracker.desk.spanish import in_language

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


class Pen:
    """Draws the rows of one sheet; texts are looked up once."""

    def __init__(
        self,
        sheet: Sheet,
        span: Span,
        kinds: Mapping[str, PhaseKind],
        *,
        by: str,
        editable: bool,
    ) -> None:
        self.sheet, self.span, self.by, self.editable = sheet, span, by, editable
        self.names = {p: escape(name_of(kinds.get(p), p)) for p in PHASES}
        self.glyphs = {
            p: f'<svg class="house" width="18" height="18" aria-hidden="true">'
            f'<use href="#s-{p}"/></svg>'
            for p in PHASES
        }
        self.words = {
            text: _w(text)
            for text in ("late", "pinned", "changed", "inspection", "drive to")
        }
        self.cover = _w("covered on")
        self.days = {
            n: escape(_day(sheet, n)) for n in range(span.first - 1, span.last + 1)
        }

    def row(self, row: Row) -> SafeString:
        parts = [self._off(day) for day in row.off]
        parts += [self._ghost(one) for one in row.ghosts]
        parts += [self._drive(one) for one in row.drives]
        parts += [self._wall(one) for one in row.walls]
        parts += [self._strip(one) for one in row.strips]
        parts += [self._visit(one) for one in row.visits]
        return mark_safe("".join(parts))  # noqa: S308 (every text is escaped)

    def _off(self, day: int) -> str:
        at = self.span.at(DAY * day)
        return f'<i class="off" style="--a:{at};--n:{DAY}"></i>'

    def _ghost(self, strip: Strip) -> str:
        assert strip.was is not None
        at, long = self.span.at(strip.was[1]), strip.end - strip.start
        return f'<i class="ghost" style="--a:{at};--n:{long}"></i>'

    def _drive(self, drive: Drive) -> str:
        place = escape(drive.place)
        title = f"{self.words['drive to']} {place}"
        long = drive.lost or 0.3
        at = self.span.at(drive.at) - (0 if drive.lost else 0.3)
        return f'<i class="drive" style="--a:{at};--n:{long}" title="{title}"></i>'

    def _wall(self, wall: tuple[int, str]) -> str:
        day, lot = wall
        at = self.span.at(DAY * day)
        title = f"{escape(lot)} {self.cover} {self.days.get(day, '')}"
        return f'<i class="wall" style="--a:{at}" title="{title}"></i>'

    def _visit(self, strip: Strip) -> str:
        at = self.span.at(DAY * (strip.visit or 0))
        lot, phase = escape(strip.short), self.names[strip.phase]
        what = phase if self.by == "lot" else f"{lot} {phase}"
        title = f"{what}: {self.words['inspection']} {self.days.get(strip.visit or 0)}"
        late = " late" if strip.late else ""
        return (
            f'<i class="visit{late}" style="--a:{at}" title="{title}">'
            f'<b class="unseen">{title}</b></i>'
        )

    def _strip(self, strip: Strip) -> str:
        start = max(strip.start, DAY * self.span.first)
        at, long = self.span.at(start), strip.end - start
        phase = self.names[strip.phase]
        lot = escape(strip.short)
        shown = phase if self.by == "lot" else lot
        more = strip.crew if self.by == "lot" else strip.place
        said = [f"{escape(strip.lot)}, {phase}", escape(strip.crew)]
        said.append(self.days.get(strip.start // DAY, ""))
        classes = f"strip p-{strip.phase}"
        marks = ""
        if strip.late:
            classes += " late"
            marks += f'<b class="by">+{strip.late}</b>'
            said.append(f"{strip.late} d {self.words['late']}")
        if strip.pinned:
            marks += '<b class="pin" aria-hidden="true">▾</b>'
            said.append(self.words["pinned"])
        if strip.was:
            classes += " new"
            said.append(self.words["changed"])
        data = ""
        if self.editable:
            half = strip.start // 2
            data = (
                f' data-lot="{escape(strip.lot)}" data-phase="{strip.phase}"'
                f' data-crew="{escape(strip.crew)}" data-half="{half}"'
                f' data-long="{strip.end - strip.start}"'
            )
        label = ". ".join(said)
        return (
            f'<button type="button" class="{classes}" style="--a:{at};--n:{long}"'
            f'{data} title="{label}">{self.glyphs[strip.phase]}'
            f"<span><b>{shown}</b> <small>{escape(more)}</small></span>{marks}"
            # Shown short, said whole.
            f'<i class="unseen">. {label}</i></button>'
        )


def _day(sheet: Sheet, number: int) -> str:
    from django.template.defaultfilters import date as date_text

    return str(date_text(sheet.calendar.date_of(number), "D j M"))
