"""From tables to a plan check: figures of the site, code book, outline, report.

The pure sums stand in `phases.sizing`; a report is kept in memory by its content, so
asking again for the same outline, figures and book costs nothing.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date
from functools import lru_cache
from typing import Any

from phases.catalogue import Demand, House
from phases.models import PlanOutline
from phases.sizing import gas
from phases.sizing.amendments import (
    Adoption,
    NoBook,
    book_in_force,
    why_not_override,
)
from phases.sizing.outline import Outline, OutlineError, Problem, parse
from phases.sizing.outline.guess import guess
from phases.sizing.outline.kinds import BATHING_KINDS, CLOSET_KINDS, KINDS
from phases.sizing.outline.site import Placed, Site, placed_in
from phases.sizing.plan.check import PlanReport, check_plan
from phases.sizing.plan.extras import Clearance, Extras, HeaterFacts
from phases.sizing.plan.extras_text import parse_extras
from phases.sizing.said import say
from phases.sizing.tables import CODES, Book, Override
from tracker.sites import models as sites

MOST_TEXT = 60_000
SIXTEENTHS = 16
CENTRED = ("closet", "bidet")
WATER_MATERIALS = ("PEX SDR-9", "copper type L", "copper type K", "CPVC CTS SDR-11")
MATERIALS = {
    "water_material": WATER_MATERIALS,
    "service_material": (*WATER_MATERIALS, "PVC Schedule 40"),
    "drain_material": ("PVC", "ABS"),
}
# Figures of a site that the house itself does not give.
FIGURES = tuple(f.name for f in fields(Site) if f.name not in ("storeys", "foundation"))


@dataclass(frozen=True)
class Piping:
    """How a plan with some options is piped: stored, or guessed from its rooms.

    problem says why there is no outline (a table that ends, a text nobody can read).
    """

    options: str
    site: Site
    extras: Extras
    text: str = ""
    outline: Outline | None = None
    stored: PlanOutline | None = None
    problem: str = ""

    @property
    def is_guess(self) -> bool:
        return self.outline is None or self.outline.guess


def options_key(codes: Iterable[str]) -> str:
    """The options of an outline as one text: sorted codes with commas."""
    return ",".join(sorted(set(codes)))


def site_of(storeys: int, foundation: str, figures: Mapping[str, Any]) -> Site:
    """Figures of house and lot; what nobody entered is common practice.

    The gas table says the material of the house's gas pipe.
    """
    known = {name: figures[name] for name in FIGURES if name in figures}
    if "gas_table" in known:
        known["gas_material"] = gas.table(known["gas_table"]).material
    return Site(storeys=storeys or 1, foundation=foundation or "slab", **known)


def baths_of(house: House) -> float:
    """Full baths count one, closets without tub or shower half (common practice)."""
    found = 0.0
    for room in house.rooms:
        kinds = {fixture.kind for fixture in room.fixtures}
        if kinds & CLOSET_KINDS:
            found += 1.0 if kinds & BATHING_KINDS else 0.5
    return found


def extras_of(house: House, demands: Iterable[Demand]) -> Extras:
    """Extras as the plan gives them: baths, and what a tankless heater gets."""
    heater = {d.outlet for d in demands if d.kind == "tankless_gas"}
    return Extras(
        baths=baths_of(house),
        heater=HeaterFacts(
            has_vent="sleeve" in heater, has_condensate="condensate" in heater
        ),
        clear=clearances_of(house),
    )


def clearances_of(house: House) -> tuple[Clearance, ...]:
    """Centre lines of closets and bidets as the plan places them along their wall.

    From the finished side wall, and to the nearest other one on the same wall; keys are
    those that a guess gives the fixtures.
    """
    found = []
    for room in house.rooms:
        placed: list[tuple[str, str, tuple[str, str], int]] = []
        counts: Counter[str] = Counter()
        for fixture in room.fixtures:
            for copy in range(fixture.quantity):
                counts[fixture.kind] += 1
                number = counts[fixture.kind]
                key = f"{room.key}-{fixture.kind}{'' if number == 1 else f'-{number}'}"
                known = fixture.along is not None and fixture.kind in CENTRED
                if known and not copy:
                    wall = (fixture.wall, fixture.along_from)
                    placed.append((key, fixture.kind, wall, fixture.along or 0))
        for key, kind, wall, along in placed:
            others = [
                abs(along - other)
                for name, _, its_wall, other in placed
                if name != key and its_wall == wall
            ]
            nearest = min(others) / SIXTEENTHS if others else None
            side = along / SIXTEENTHS
            found.append(Clearance(key, kind, side_in=side, next_in=nearest))
    return tuple(found)


@lru_cache(maxsize=256)
def guessed(placed: tuple[Placed, ...], site: Site, book: Book) -> Outline:
    """First guess of an outline. Raises LookupError where a table ends before it."""
    return guess(placed, site=site, book=book)


def guess_of(house: House, site: Site, book: Book) -> Outline:
    """Guess from the house's rooms. Raises LookupError, or ValueError without pipes."""
    placed = placed_in(house.rooms)
    if not any(_piped(item) for item in placed):
        raise ValueError(say("no_pipes"))
    return guessed(placed, site, book)


def _piped(item: Placed) -> bool:
    kind = KINDS[item.kind]
    return kind.drain or kind.hot or kind.cold or bool(kind.appliance)


@lru_cache(maxsize=512)
def outline_from(text: str, is_guess: bool, accepted_by: str) -> Outline:
    """The outline of a text. Raises OutlineError that names every bad line."""
    if len(text) > MOST_TEXT:
        raise OutlineError(
            [Problem("text", "", say("too_many_letters", most=MOST_TEXT))]
        )
    outline = parse(text, guess=is_guess)
    if not any(outline.systems()):
        raise OutlineError([Problem("line 1", "", say("empty_outline"))])
    return outline.accepted(by=accepted_by) if accepted_by else outline


def stored_outline(row: PlanOutline) -> Outline:
    """The outline of a stored version, accepted where it was accepted."""
    name = row.accepted_name if row.is_accepted else ""
    return outline_from(row.text, row.is_guess, name)


def stored_piping(row: PlanOutline, *, storeys: int, foundation: str) -> Piping:
    """A stored version with its figures, for a house of the plan."""
    return Piping(
        row.options,
        site_of(storeys, foundation, row.site),
        parse_extras(row.extras),
        row.text,
        stored_outline(row),
        row,
    )


@lru_cache(maxsize=512)
def report_of(outline: Outline, site: Site, extras: Extras, book: Book) -> PlanReport:
    """Every check of an outline in a book; kept by content."""
    return check_plan(outline, book=book, site=site, extras=extras)


# books


def overrides_of(
    office: sites.Jurisdiction | None, code: str
) -> tuple[tuple[Override, ...], tuple[str, ...]]:
    """Local amendments for a book, and what cannot be used, in words."""
    found: list[Override] = []
    unused: list[str] = []
    for row in office.amendments if office else ():
        cell = str(row.get("cell", ""))
        if not cell or cell.startswith("test."):
            continue
        note = str(row.get("note", "")).strip() or str(office)
        override = Override(cell, str(row.get("value", "")), note)
        if row.get("book", code) != code:
            continue
        if why := why_not_override(override, code=code):
            unused.append(f"{cell}: {why}")
        else:
            found.append(override)
    return tuple(found), tuple(unused)


def notes_of(office: sites.Jurisdiction | None) -> tuple[str, ...]:
    """Local rules that no figure of ours holds, each with its reason, to be read."""
    found = []
    for row in office.amendments if office else ():
        if row.get("cell") or {"code", "edition", "effective"} <= row.keys():
            continue
        words = [str(row.get(name, "")).strip() for name in ("note", "reason")]
        if text := " ".join(filter(None, words)):
            found.append(text)
    return tuple(found)


def _adoptions(office: sites.Jurisdiction | None) -> list[Adoption]:
    return [
        Adoption(row["code"], int(row["edition"]), date.fromisoformat(row["effective"]))
        for row in (office.amendments if office else ())
        if {"code", "edition", "effective"} <= row.keys()
    ]


def book_of(subdivision: sites.Subdivision, *, on: date | None = None) -> Book:
    """The book in force on the permit's date, with its office's amendments.

    Without adoptions of the office, or without a permit's date, it is the book of the
    subdivision. Raises NoBook where none is entered.
    """
    office = subdivision.jurisdiction
    adopted = _adoptions(office)
    if adopted and on is not None:
        book = book_in_force(adopted, on=on)
    elif subdivision.code_book in CODES and subdivision.edition.isdigit():
        book = Book(subdivision.code_book, int(subdivision.edition))
    else:
        raise NoBook(say("no_book_for", street=subdivision.name))
    return replace(book, overrides=overrides_of(office, book.code)[0])


# a lot


def accepted_for(lot: sites.Lot, codes: Iterable[str]) -> PlanOutline | None:
    """The outline in force for a lot's plan and exactly its options; one statement."""
    return (
        PlanOutline.objects.in_force()
        .filter(plan=lot.plan_id, options=options_key(codes))
        .latest_first()
        .first()
    )


def lot_report(lot: sites.Lot, house: House, codes: Iterable[str]) -> PlanReport | None:
    """The checked report of a lot's house; None where nobody accepted an outline."""
    row = accepted_for(lot, codes)
    if row is None:
        return None
    try:
        book = book_of(lot.subdivision, on=lot.permit_issued_on)
        piping = stored_piping(row, storeys=house.storeys, foundation=house.foundation)
    except (NoBook, ValueError):
        return None
    assert piping.outline is not None
    return report_of(piping.outline, piping.site, piping.extras, book)
