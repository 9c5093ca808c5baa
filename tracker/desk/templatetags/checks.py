"""Words and badges of the plan check and the material pages."""

from collections.abc import Mapping

from django import template

from phases.material import Waste
from phases.sizing.materials import Line
from phases.sizing.outline import Problem
from phases.sizing.plan.finding import VERDICTS
from phases.sizing.said import Said
from tracker.desk.checks.sheet_form import PIPE_KINDS
from tracker.desk.checks.showing import BADGES
from tracker.desk.checks.words import item_words
from tracker.desk.spanish import in_language
from tracker.desk.templatetags.desk import reader_language

PHASE_NAMES = {
    "underground": "Underground",
    "rough": "Rough",
    "topout": "Top out",
    "trim": "Trim",
}
register = template.Library()
register.filter("badge", lambda verdict: BADGES.get(verdict, ""))


@register.filter
def count_of(counts: Mapping[str, int], word: str) -> int:
    """How many of a verdict a report has."""
    return counts.get(word, 0)


@register.filter(name="said")
def in_words(text: str) -> str:
    """A sentence, a rule or the name of a check in the reader's language."""
    language = reader_language()
    if isinstance(text, Said):
        return text.in_language(language)
    return in_language(str(text), language)


@register.filter
def told(problem: Problem) -> str:
    """A mistake of an outline with its place, in the reader's language."""
    return problem.in_language(reader_language())


@register.filter
def counted(text: str) -> str:
    """`pipes: 3` in the reader's language."""
    what, mark, number = text.rpartition(": ")
    return f"{in_language(what, reader_language())}{mark}{number}"


@register.filter
def pipe_kind(kind: str) -> str:
    """A kind of pipe in the reader's language."""
    return in_language(PIPE_KINDS.get(kind, kind), reader_language())


@register.filter
def codes(key: str) -> list[str]:
    """The options in `A,B`."""
    return [code for code in key.split(",") if code]


@register.simple_tag
def item_name(item: str) -> str:
    """An item of the material list in the reader's language."""
    return item_words(item, reader_language())


@register.simple_tag
def waste_of(line: Line, wastes: Mapping[str, Waste]) -> tuple[str, str]:
    """Where a line's waste comes from, and how many lots taught it."""
    waste = wastes.get(line.item)
    if waste is None:
        return "usual", ""
    return waste.source, str(waste.lots) if waste.lots else ""


@register.filter
def phase_name(code: str) -> str:
    """The usual name of a phase in the reader's language."""
    return in_language(PHASE_NAMES.get(code, code), reader_language())


@register.simple_tag
def verdicts() -> tuple[str, ...]:
    return VERDICTS
