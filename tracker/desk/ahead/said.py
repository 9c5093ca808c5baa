"""The planner's codes and numbers as sentences of one language."""

from collections.abc import Iterable, Mapping
from datetime import date
from itertools import groupby
from string import Formatter
from typing import Any

from django.template.defaultfilters import date as date_text

from tracker.planning.adapter.calendar import Calendar
from tracker.planning.adapter.keys import Name
from tracker.planning.adapter.labels import Label
from tracker.words import SENTENCES, say

Facts = Mapping[str, Any]
PARSE = Formatter().parse
OFFICE = ("lead", "visit_weekday", "closed", "slot_full")
MONDAY = date(2024, 1, 1)


class Sayer:
    """Says facts in a language, days as dates, phases by their names.

    `begun` is work held by the planner to its crew; `parts` are what is not ready yet
    by (lot, phase), as names.
    """

    def __init__(
        self,
        language: str,
        calendar: Calendar,
        phases: Mapping[str, str],
        *,
        begun: Iterable[Name] = (),
        parts: Mapping[Name, str] | None = None,
    ) -> None:
        self.language, self.calendar, self.phases = language, calendar, phases
        self.begun, self.parts = frozenset(begun), parts or {}
        self.known: dict[int, str] = {}

    def word(self, code: str, **fields: object) -> str:
        return say({"code": code, **fields}, self.language)

    def day(self, number: int) -> str:
        if number not in self.known:
            when = self.calendar.date_of(max(0, number))
            self.known[number] = str(date_text(when, "D j M"))
        return self.known[number]

    def gone(self, number: int) -> str:
        """A working day before day 0."""
        return str(date_text(self.calendar.date_of(number), "D j M"))

    def lot(self, name: str) -> str:
        lot = "Lote" if self.language == "es" else "Lot"
        return f"{lot} {Label(name).in_language(self.language)}"

    def phase(self, slot: str) -> str:
        return self.phases.get(slot, slot).lower()

    def count(self, days: int) -> str:
        return self.word("days_one" if days == 1 else "days_many", count=days)

    def listed(self, words: Iterable[str]) -> str:
        words = list(words)
        if len(words) < 2:
            return "".join(words)
        joint = " and "
        if self.language == "es":
            joint = " e " if words[-1].lower().startswith(("i", "hi")) else " y "
        return ", ".join(words[:-1]) + joint + words[-1]

    def days(self, numbers: Iterable[int]) -> str:
        said = [self.day(number) for number in numbers]
        return self.listed(said) if len(said) < 4 else f"{said[0]} – {said[-1]}"

    def why(self, row: Facts, told: tuple[str, str] | None = None) -> str:
        """The sentence of one job: late, or moved between the words in `told`."""
        job = {"lot": self.lot(row["lot"]), "phase": self.phase(row["phase"])}
        day = self.day(row["pass_day"])
        if row["late"]:
            late = self.count(row["late"])
            head = self.word("why_late", day=day, late=late, **job)
        elif told:
            head = self.word("why_moved", was=told[0], now=told[1], **job)
        else:
            head = self.word("why_passes", day=day, **job)
        links = self.links((row["lot"], row["phase"]), row["links"])
        said = f"{head}: {', '.join(dict.fromkeys(links))}." if links else f"{head}."
        if row["late"] and not row["possible"]:
            said += " " + self.word("why_soonest", day=self.day(row["soonest"]))
        return said

    def links(self, name: Name, links: Iterable[Facts]) -> list[str]:
        """One part of a sentence a link; all that one office says is one part."""
        found = []
        for who, group in groupby(links, key=_office):
            if who:
                parts = [self._link(name, link) for link in group]
                found.append(f"{who} {self.listed(dict.fromkeys(parts))}")
            else:
                found += [self._link(name, link) for link in group]
        return found

    def _link(self, name: Name, link: Facts) -> str:
        kind, fields = link["kind"], self._fields(link)
        if kind in OFFICE:
            return self.word(f"office_{kind}", **fields)
        about = (link.get("lot", ""), link.get("phase", ""))
        match kind:
            case "gate" if link["number"]:
                kind = "gate_wait"
            case "pin" if about in self.begun:
                kind = "begun"
            case "ready" if about in self.parts:
                kind, fields["parts"] = "ready_parts", self.parts[about]
            case "past_unproven" | "past_corrections":
                kind = f"{kind}_one" if link["number"] == 1 else kind
                fields["number"] = str(link["number"])
            case "crew_busy" if link["until"] - link["day"] <= 1:
                kind = "crew_on"
            case "drive":
                fields["lot"] = link["lot"]
        said = self.word(f"why_{kind}", **fields)
        if kind.startswith("past_") and link.get("phase"):
            return f"{fields['phase']}: {said}"
        return said

    def _fields(self, link: Facts) -> dict[str, str]:
        fields = {"who": link.get("who", "")}
        said = self.gone if link["kind"].startswith("past_") else self.day
        for name in ("day", "until", "since"):
            if name in link:
                fields[name] = said(link[name])
        if "days" in link:
            fields["days"] = self.days(link["days"])
            fields["weekdays"] = self.listed(_weekday(day) for day in link["days"])
        if "number" in link:
            fields["number"] = fields["wait"] = self.count(link["number"])
        if link.get("lot"):
            fields["lot"] = self.lot(link["lot"])
        if link.get("phase"):
            fields["phase"] = self.phase(link["phase"])
        return fields

    def remedy(self, what: Facts) -> str:
        """What would help; a day of its params is a date."""
        params = dict(what["params"])
        if "day" in params:
            day = date.fromisoformat(params["day"])
            params["day"] = str(date_text(day, "D j M"))
        if "lot" in params:
            params["lot"] = self.lot(params["lot"])
        if "phase" in params:
            params["phase"] = self.phase(params["phase"])
        return self.word(f"help_{what['code']}", **params)

    def waits(self, note: Facts, known: Mapping[str, str]) -> str:
        """What one lot waits for, or what was assumed of it; `known` names codes."""
        phase = known.get(note["phase"], self.phases.get(note["phase"], note["phase"]))
        fields: dict[str, str] = {"phase": phase.lower()}
        if "day" in note:
            fields["day"] = self.day(note["day"])
        if "forecast" in note:
            forecast = date.fromisoformat(note["forecast"])
            fields["forecast"] = str(date_text(forecast, "D j M"))
        if "days" in note:
            fields["count"] = self.count(note["days"])
        code = f"waits_{note['code']}"
        if parts := note.get("parts"):
            fields["parts"] = self.listed(known.get(one, one) for one in parts)
        elif f"{code}_bare" in SENTENCES:
            code = f"{code}_bare"
        said = self.word(code, **fields) if _fills(code, fields) else phase.lower()
        if behind := note.get("behind"):
            later = self.listed(known.get(one, one).lower() for one in behind)
            said = self.word("waits_behind", said=said, behind=later)
        return said

    def pin(self, fact: Facts) -> str:
        """Why a pin cannot be kept."""
        shown: dict[str, Any] = dict(fact)
        for key in fact.keys() & {"pin", "other"}:
            shown[key] = self.pin(fact[key])
        for key in fact.keys() & {"day", "ready", "off", "opens"}:
            shown[key] = self.day(fact[key])
        if "free_quarter" in fact:
            shown["free_quarter"] = self.day(fact["free_quarter"] // 4)
        if "lot" in fact:
            shown["lot"] = self.lot(fact["lot"])
        if "phase" in fact:
            shown["phase"] = self.phase(fact["phase"])
        return say(shown, self.language)

    def breach(self, code: str, params: Facts) -> str:
        fields: dict[str, Any] = dict(params)
        if "day" in fields:
            fields["day"] = self.day(fields["day"])
        if "until" in fields:
            fields["until"] = self.day((fields["until"] - 1) // 4)
        if "before" in fields:
            fields["before"] = self.phase(fields["before"])
        return self.word(f"breach_{code}", **fields)


def _fills(code: str, fields: Facts) -> bool:
    """Is there such a sentence for these fields? An older plan said less."""
    if code not in SENTENCES:
        return False
    return all(name in fields for _, name, _, _ in PARSE(SENTENCES[code][0]) if name)


def _office(link: Facts) -> str:
    return str(link["who"]) if link["kind"] in OFFICE else ""


def _weekday(number: int) -> str:
    day = date.fromordinal(MONDAY.toordinal() + number)
    return str(date_text(day, "D")) if 0 <= number < 5 else ""
