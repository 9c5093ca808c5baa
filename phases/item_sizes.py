"""Sizes of an accepted and checked outline on the demands of a stub-out list."""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace

from phases.catalogue import Demand, House
from phases.sizing.outline.model import Node
from phases.sizing.plan.check import PlanReport
from phases.sizing.plan.sizes import FixtureSizes, failed_pipes, fixture_sizes

SIDES = ("drain", "vent", "cold", "hot", "gas")
# Demands of the whole house that show the size of one pipe: fixture and rows.
WHOLE = {
    ("building_sewer", "fall"): "sewer",
    ("building_sewer", "cleanout"): "sewer",
    ("water_service", "meter"): "service",
    ("gas_service", "meter"): "gas",
}
STACKS = {"stack", "cleanout"}


def with_sizes(
    demands: Iterable[Demand], house: House, report: PlanReport | None
) -> tuple[Demand, ...]:
    """The list with the sizes of the report, each marked with book and edition.

    A guess, or a pipe with a failed check, leaves the catalogue's size unmarked.
    """
    listed = tuple(demands)
    if report is None or not report.checked:
        return listed
    sizes = {(s.room, s.kind, s.number): s for s in fixture_sizes(report)}
    numbers = dict(_numbers(house))
    whole = _whole(report)
    made = []
    for demand in listed:
        size = _size(demand, sizes, numbers, whole)
        made.append(_sized(demand, size, report.book.title) if size else demand)
    return tuple(made)


def _numbers(house: House) -> Iterator[tuple[tuple[str, str], tuple[str, int]]]:
    """(room, fixture key) with the kind and which of its kind in the room it is."""
    for room in house.rooms:
        counts: dict[str, int] = defaultdict(int)
        for fixture in room.fixtures:
            for copy in range(1, fixture.quantity + 1):
                counts[fixture.kind] += 1
                key = fixture.key if copy == 1 else f"{fixture.key}-{copy}"
                yield (room.key, key), (fixture.kind, counts[fixture.kind])


def _whole(report: PlanReport) -> dict[str, str]:
    """Sizes of sewer, service, gas line at the meter, and of stacks by key.

    `stack` without a key is there where every stack has one size.
    """
    failed = failed_pipes(report)
    outline = report.outline
    pipes: dict[str, Node] = {}
    for system, root in outline.systems():
        if system == "gas":
            pipes["gas"] = root.children[0]
        for node in root.walk():
            if node.role in ("sewer", "service"):
                pipes[node.role] = node
            elif node.role == "stack":
                pipes[f"stack:{node.key}"] = node
    found = {
        name: node.size
        for name, node in pipes.items()
        if node.key not in failed and node.size
    }
    stacks = [name for name in pipes if name.startswith("stack:")]
    alike = {found.get(name, "") for name in stacks}
    if len(alike) == 1 and "" not in alike:
        found["stack"] = alike.pop()
    return found


def _size(
    demand: Demand,
    sizes: dict[tuple[str, str, int], FixtureSizes],
    numbers: dict[tuple[str, str], tuple[str, int]],
    whole: dict[str, str],
) -> str:
    row, _, rest = demand.key.split("/", 2)[2].partition(".")
    if demand.fixture in STACKS and demand.size:
        part = rest.partition(".")[2]
        return whole.get(f"stack:{part}") or whole.get("stack", "")
    if pipe := WHOLE.get((demand.fixture, row)):
        return whole.get(pipe, "")
    # A row that is named as its outlet is the fixture's own pipe; overflow, pan and
    # the like are others.
    number = numbers.get((demand.room, demand.fixture))
    if row != demand.outlet or row not in SIDES or number is None:
        return ""
    entry = sizes.get((demand.room, *number))
    return getattr(entry, row) if entry and entry.checked else ""


def _sized(demand: Demand, size: str, book: str) -> Demand:
    shown = size.replace("-", " ")
    texts = {}
    if demand.size and shown != demand.size:
        # Only where the text names the pipe: `3 in., capped`, not `2 in. lower`.
        old = re.compile(
            rf"(?<![\d/] )(?<![\d/]){re.escape(demand.size)}"
            r"(?= (?:in|pulg)\.(?:[,;]|$| stack| para| por))"
        )
        texts = {
            name: old.sub(shown, getattr(demand, name))
            for name in ("text_en", "text_es")
        }
    return replace(demand, size=shown, checked=book, **texts)
