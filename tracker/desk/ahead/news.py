"""What a draft changes, as HTML: drawn here, for there may be hundreds of rows."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.template.defaultfilters import date as date_text
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from tracker.desk.ahead.differences import Difference
from tracker.desk.templatetags.desk import lot_label, w
from tracker.people.models import Crew
from tracker.planning.models import CrewNotice


class News:
    """Rows of differences in the reader's language; each date is worded once."""

    def __init__(self) -> None:
        self.days: dict[date | None, str] = {None: ""}
        self.afternoon = escape(w("afternoon"))
        self.not_told = escape(w("not told"))
        self.later = escape(w("later, not told yet"))

    def by_crew(
        self, found: Mapping[str, list[Difference]]
    ) -> list[tuple[str, int, SafeString]]:
        """Crew, number of rows, rows of its table."""
        return [(crew, len(rows), self._table(rows)) for crew, rows in found.items()]

    def by_lot(self, found: Mapping[str, list[Difference]]) -> SafeString:
        items = "".join(
            f"<li><strong>{escape(lot_label(lot))}</strong>: "
            + "; ".join(
                f"{escape(one.phase)} {self._was(one)} → {self._now(one)}"
                for one in rows
            )
            + "</li>"
            for lot, rows in found.items()
        )
        return mark_safe(items)  # noqa: S308 (every text is escaped)

    def _table(self, rows: Iterable[Difference]) -> SafeString:
        drawn = "".join(
            f'<tr><th scope="row" class="short">{escape(lot_label(one.strip.lot))}</th>'
            f"<td>{escape(one.phase)}</td>"
            f'<td class="short">{self._was(one)}</td>'
            f'<td class="short">{self._now(one)}</td></tr>'
            for one in rows
        )
        return mark_safe(drawn)  # noqa: S308 (every text is escaped)

    def _was(self, one: Difference) -> str:
        if one.was_day is None:
            return self.not_told
        return self._said(one.was_crew, one.was_day, one.was_half)

    def _now(self, one: Difference) -> str:
        if one.now_day is None:
            return self.later
        return self._said(one.strip.crew, one.now_day, one.now_half)

    def _said(self, crew: str, day: date, half: int) -> str:
        if day not in self.days:
            self.days[day] = escape(date_text(day, "D j M"))
        part = f" {self.afternoon}" if half else ""
        return f"{escape(crew)}, {self.days[day]}{part}"


@dataclass(frozen=True)
class NoticeLine:
    """A notice to a crew with its changes in words."""

    notice: CrewNotice
    changes: list[dict[str, str]]


def notice_lines(notices: Iterable[CrewNotice]) -> list[NoticeLine]:
    """Each change as lot, phase code, was and now; another crew is named."""
    notices = list(notices)
    crews = dict(Crew.objects.values_list("pk", "name")) if notices else {}
    said = _Said(crews)
    return [
        NoticeLine(
            notice,
            [
                {
                    "lot": lot_label(one["lot"]),
                    "phase": one["phase"],
                    "was": said.words(one["was"], notice.crew_id) or said.not_told,
                    "now": said.words(one["now"], notice.crew_id) or said.later,
                }
                for one in notice.changes
            ],
        )
        for notice in notices
    ]


class _Said:
    """What crews were told, in the reader's language; each date is worded once."""

    def __init__(self, crews: Mapping[int, str]) -> None:
        self.crews = crews
        self.days: dict[str, str] = {}
        self.afternoon = w("afternoon")
        self.not_told, self.later = w("not told"), w("later, not told yet")
        self.helping = w("helping another crew")

    def words(self, said: Mapping[str, Any] | None, own: int) -> str:
        """Day, half and a crew other than `own`; empty when nothing was said."""
        if not said:
            return ""
        start = said["start"]
        if start not in self.days:
            self.days[start] = str(date_text(date.fromisoformat(start), "D j M"))
        text = self.days[start]
        if said.get("helps"):
            return f"{text} ({self.helping})"
        if said["half"]:
            text += f" {self.afternoon}"
        if said["crew"] != own:
            text += f" ({self.crews.get(said['crew'], '?')})"
        return text
