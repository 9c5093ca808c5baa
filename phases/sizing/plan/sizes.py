"""Sizes of every fixture's pipes, for stub-out list, phone and inspection sheet."""

from dataclasses import dataclass, replace
from typing import Any

from ..outline.model import LEAVES
from .check import PlanReport


@dataclass(frozen=True, slots=True)
class FixtureSizes:
    """Nominal sizes at one fixture; blank where it has no such pipe.

    number counts fixtures of a kind in a room from 1. checked is False for a guess
    that nobody accepted and for a pipe with a failed check: then the size is not to
    be shown as checked. book names book and edition.
    """

    room: str
    kind: str
    number: int
    drain: str = ""
    vent: str = ""
    cold: str = ""
    hot: str = ""
    gas: str = ""
    checked: bool = False
    book: str = ""


# Checks of the place around a fixture: they say nothing of its pipes.
_OF_PLACE = frozenset({"clearance", "standpipe"})


def failed_pipes(report: PlanReport) -> frozenset[str]:
    """Pipes with a failed check: their sizes are not to be shown as checked."""
    return frozenset(
        finding.where
        for finding in report.findings
        if finding.verdict == "fail" and finding.check not in _OF_PLACE
    )


def fixture_sizes(report: PlanReport) -> tuple[FixtureSizes, ...]:
    """One entry a fixture, in the order of the outline."""
    found: dict[tuple[str, str, int], FixtureSizes] = {}
    failed = failed_pipes(report)
    counters: dict[tuple[str, str, str], int] = {}
    for system, root in report.outline.systems():
        for leaf in root.walk():
            if leaf.role not in LEAVES:
                continue
            side = system
            if system == "water":
                side = "hot" if leaf.key.endswith("-hot") else "cold"
            counter = (side, leaf.room, leaf.fixture)
            counters[counter] = counters.get(counter, 0) + 1
            key = (leaf.room, leaf.fixture, counters[counter])
            entry = found.get(key) or FixtureSizes(
                *key, checked=report.checked, book=report.book.title
            )
            sized: dict[str, Any] = {side: leaf.size}
            entry = replace(entry, **sized)
            if system == "drain":
                entry = replace(entry, vent=leaf.vent_size)
            if leaf.key in failed:
                entry = replace(entry, checked=False)
            found[key] = entry
    return tuple(found.values())
