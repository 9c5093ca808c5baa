"""A calendar feed (RFC 5545) of the days that are known of a builder's houses."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Count, Max
from icalendar import Calendar, Event

from phases.models import Fact, LotPhase
from tracker.sites.models import BuilderDate, Lot
from tracker.status.houses import House
from tracker.status.words import plain, text

# Half a day as a calendar shows it: common practice.
HALVES = ((time(7, 0), time(12, 0)), (time(12, 0), time(17, 0)))
PAST_DAYS = 60
PLANNED, CALLED = ("planned", "unplanned"), ("called_in", "call_cancelled", "result")


@dataclass(frozen=True)
class Said:
    """How often a date was said, and when last: SEQUENCE and LAST-MODIFIED."""

    times: int = 0
    last: datetime | None = None


Key = tuple[int, str]


@dataclass(frozen=True)
class Entry:
    """One day or visit; `key` is the phase and what its date is of."""

    key: Key
    uid: str
    title: str
    start: date | datetime
    end: date | datetime
    note: str = ""

    @property
    def first_day(self) -> date:
        return self.start.date() if isinstance(self.start, datetime) else self.start

    @property
    def last_day(self) -> date:
        return self.end.date() if isinstance(self.end, datetime) else self.end


def feed(
    houses: Iterable[House], *, name: str, host: str, language: str, names_crews: bool
) -> bytes:
    """The feed as bytes; the same facts give the same bytes.

    A day that was moved keeps its UID and gets a higher SEQUENCE.
    """
    houses = list(houses)
    said = _said(houses)
    calendar = Calendar()
    calendar.add("prodid", "-//Plumbrow//Builder calendar//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", timedelta(hours=4), {"VALUE": "DURATION"})
    for house in houses:
        since = house.today - timedelta(days=PAST_DAYS)
        name_of = house.name(language)
        for entry in _entries(house, language, names_crews):
            if entry.last_day >= since:
                word = said.get(entry.key, Said())
                calendar.add_component(_event(entry, house, word, host, name_of))
    _add_time_zones(calendar)
    return calendar.to_ical()


def _add_time_zones(calendar: Calendar) -> None:
    """VTIMEZONE of each zone used, for the years that the events touch."""
    years = [event.start.year for event in calendar.events]
    if years:
        calendar.add_missing_timezones(
            first_date=date(min(years) - 1, 1, 1), last_date=date(max(years) + 2, 1, 1)
        )


def _said(houses: list[House]) -> Mapping[Key, Said]:
    lots = [house.lot.pk for house in houses]
    found: dict[Key, Said] = {}
    phases = {(h.lot.pk, p.kind.code): p.pk for h in houses for p in h.phases}
    facts = Fact.objects.filter(lot__in=lots, kind__in=PLANNED + CALLED)
    for row in (
        facts.order_by()
        .values("lot_phase", "kind")
        .annotate(times=Count("pk"), last=Max("recorded_at"))
    ):
        what = "visit" if row["kind"] in PLANNED else "inspection"
        _add(found, (row["lot_phase"], what), row)
    dates = BuilderDate.objects.filter(lot__in=lots, what__in=("ready", "cover"))
    for row in (
        dates.order_by()
        .values("lot", "phase", "what")
        .annotate(times=Count("pk"), last=Max("recorded_at"))
    ):
        phase = phases.get((row["lot"], row["phase"]))
        if phase is not None:
            _add(found, (phase, row["what"]), row)
    return found


def _add(found: dict[Key, Said], key: Key, row: Mapping[str, object]) -> None:
    before = found.get(key, Said())
    last = row["last"] if before.last is None else max(before.last, row["last"])
    found[key] = Said(before.times + row["times"], last)


def _entries(house: House, language: str, names_crews: bool) -> Iterable[Entry]:
    for line in house.lines:
        phase = line.phase
        kind = phase.kind.name_es if language == "es" else phase.kind.name_en
        if phase.planned_start:
            crew = str(phase.crew) if names_crews and phase.crew else ""
            start, end = _visit(phase, house.lot)
            yield Entry(
                (phase.pk, "visit"),
                f"visit-{phase.pk}",
                f"{kind}, {text('visit', language)}",
                start,
                end,
                note=f"{text('crew', language)}: {crew}" if crew else "",
            )
        for what, on in (("ready", phase.ready_date), ("cover", phase.cover_date)):
            if on:
                title = f"{kind}, {text(what, language)}"
                yield _day((phase.pk, what), f"{what}-{phase.pk}", title, on)
    yield from _inspections(house, language)


def _inspections(house: House, language: str) -> Iterable[Entry]:
    """One event a kind, however many phases it proves."""
    shown: set[int] = set()
    for line in house.lines:
        for seen in line.inspections:
            if seen.kind.pk in shown:
                continue
            shown.add(seen.kind.pk)
            name = seen.kind.name_es if language == "es" else seen.kind.name_en
            yield _day(
                (line.phase.pk, "inspection"),
                f"inspection-{house.lot.pk}-{seen.kind.pk}",
                f"{name}, {text('inspection', language)}",
                seen.on,
                note=plain(seen.state, language),
            )


def _day(key: Key, uid: str, title: str, on: date, note: str = "") -> Entry:
    return Entry(key, uid, title, on, on + timedelta(days=1), note)


def _visit(phase: LotPhase, lot: Lot) -> tuple[datetime, datetime]:
    """From the half-day it starts on to the end of its last day (or of that half)."""
    zone = ZoneInfo(lot.subdivision.time_zone)
    first, last = phase.planned_start, phase.planned_end or phase.planned_start
    opens, closes = HALVES[1 if phase.planned_half else 0]
    if last > first:
        closes = HALVES[1][1]
    return datetime.combine(first, opens, zone), datetime.combine(last, closes, zone)


def _event(entry: Entry, house: House, said: Said, host: str, name: str) -> Event:
    lot = house.lot
    event = Event()
    event.add("uid", f"{entry.uid}@{host}")
    event.add("sequence", max(said.times - 1, 0))
    # The stamp is the time of the last word, not of the request: an unchanged feed
    # stays the same to the byte.
    stamp = said.last or datetime.combine(entry.first_day, time(), UTC)
    event.add("dtstamp", stamp.astimezone(UTC))
    event.add("last-modified", stamp.astimezone(UTC))
    event.add("summary", f"{name}: {entry.title}")
    event.add("dtstart", entry.start)
    event.add("dtend", entry.end)
    place = (lot.address, str(lot.subdivision))
    event.add("location", ", ".join(part for part in place if part))
    if entry.note:
        event.add("description", entry.note)
    event.add("transp", "TRANSPARENT")
    return event
