"""A demand as the crew reads it, in English or Spanish."""

from dataclasses import dataclass

from phases.catalogue.demand import Demand, Target
from phases.catalogue.loading import Catalogue
from phases.catalogue.measures import format_inches, format_number

LANGUAGES = ("en", "es")


@dataclass(frozen=True, slots=True)
class CrewText:
    """One item for one row of the phone: what, where, figures, tolerance."""

    what: str
    room: str
    targets: tuple[str, ...]
    tolerance: str
    reading: str
    proof: str
    handoff: str


def word(code: str, catalogue: Catalogue, *, language: str) -> str:
    """A string of the strings table. Raises KeyError for an unknown code."""
    words = catalogue.strings[code]
    return words.es if language == "es" else words.en


def say_target(target: Target, catalogue: Catalogue, *, language: str) -> str:
    """`up 80 3/4" from subfloor (80" finished)`, and so for the other axes."""
    parts = [word(f"axis.{target.axis}", catalogue, language=language)]
    if target.axis == "side":
        parts.append(format_inches(target.bare))
        if target.direction:
            parts.append(word(target.direction, catalogue, language=language))
        return " ".join(parts)
    if target.plus is None:
        parts.append(word("at_least", catalogue, language=language))
    parts.append(format_inches(target.bare))
    parts.append(word("from", catalogue, language=language))
    parts.append(word(target.bare_from, catalogue, language=language))
    if target.direction:
        parts.append(word(f"on.{target.direction}", catalogue, language=language))
    if target.bare_from != target.finished_from:
        finished = word("finished", catalogue, language=language)
        parts.append(f"({format_inches(target.finished)} {finished})")
    return " ".join(parts)


def say_tolerance(target: Target) -> str:
    """`±1/4"`, `-2" +1/2"` or, where any more is right, `-0"`; the same everywhere."""
    if target.minus == target.plus:
        return f"±{format_inches(target.minus)}"
    less = f"-{format_inches(target.minus)}"
    if target.plus is None:
        return less
    return f"{less} +{format_inches(target.plus)}"


def say_reading(demand: Demand, catalogue: Catalogue, *, language: str) -> str:
    """Limits of a reading: `pressure: at least 5 psi, 15 min`; "" where none."""
    limits = []
    for name, figure in (("at_least", demand.least), ("at_most", demand.most)):
        if figure is not None:
            said = word(name, catalogue, language=language)
            unit = word(f"unit.{demand.unit}", catalogue, language=language)
            limits.append(f"{said} {say_figure(figure, unit=demand.unit)} {unit}")
    if not limits:
        return ""
    if demand.minutes:
        limits.append(
            f"{demand.minutes} {word('minutes', catalogue, language=language)}"
        )
    head = word(f"measure.{demand.measure}", catalogue, language=language)
    return f"{head}: {', '.join(limits)}"


def say_figure(figure: float, *, unit: str) -> str:
    """A figure without its unit; inches as fractions where a tape shows them."""
    sixteenths = figure * 16
    if unit in ("in", "in/ft") and sixteenths == int(sixteenths):
        return format_number(int(sixteenths))
    return f"{figure:g}"


def crew_text(demand: Demand, catalogue: Catalogue, *, language: str) -> CrewText:
    """Everything a crew reads of one demand, in one language (en or es)."""
    if language not in LANGUAGES:
        raise ValueError(f"Language {language!r} is not known. Use en or es.")
    spanish = language == "es"
    measured = demand.target(demand.measure) or next(iter(demand.targets), None)
    handoff = demand.handoff
    return CrewText(
        what=demand.text_es if spanish else demand.text_en,
        room=demand.room_es if spanish else demand.room_en,
        targets=tuple(
            say_target(target, catalogue, language=language)
            for target in demand.targets
        ),
        tolerance=say_tolerance(measured) if measured else "",
        reading=say_reading(demand, catalogue, language=language),
        proof=word(f"proof.{demand.proof}", catalogue, language=language),
        handoff=word(f"trade.{handoff}", catalogue, language=language)
        if handoff
        else "",
    )
