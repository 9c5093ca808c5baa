"""Loads on branches, building drains and stacks for the `size` command."""

from typing import Any

from .. import drainage, fixtures
from ..drainage import BRANCH, BUILDING, STACK
from ..nominal import plain, tidy
from ..tables import Absent, Book, Cell
from .answer import SEWER_GAS, Answer
from .inputs import BadInput, Inputs, check_count, check_number
from .vent import known_fixture
from .words import number_word

SIZES = ("pipe_in", "size_in", "drain_in", "branch_in", "stack_in", "sewer_in")


def _loads(given: Inputs, book: Book) -> tuple[float, int, list[str], list[Cell]]:
    """Units, closets, fixture keys and cells of `fixtures` or of `dfu`."""
    closets = given.count("closets", "water_closets", default=0)
    if not given.has("fixtures"):
        # A size alone asks what it may carry.
        nothing = 0.0 if given.has(*SIZES) else None
        units = given.number("dfu", "total_dfu", "load_dfu", default=nothing)
        return units, closets, [], []
    key, listed = given.items("fixtures")
    units, keys, cells = 0.0, [], []
    for position, entry in enumerate(listed):
        where = f"{key}[{position}]"
        if isinstance(entry, str):
            entry = {"key": entry}
        if not isinstance(entry, dict):
            raise BadInput(where, f"{where}: give an object with key and count.")
        name = entry.get("key", entry.get("fixture"))
        if not isinstance(name, str):
            raise BadInput(f"{where}.key", f"{where}.key: name the fixture.")
        count_key = "quantity" if "quantity" in entry else "count"
        count = check_count(entry.get(count_key, 1), f"{where}.{count_key}")
        each_key = "dfu" if "dfu" in entry else "dfu_each"
        if each_key in entry:
            each = check_number(entry[each_key], f"{where}.{each_key}")
        else:
            name = known_fixture(name, f"{where}.key", book)
            cell = fixtures.load(book, name)
            cells.append(cell)
            each = cell.number
        units += count * each
        closets += count * fixtures.closets_in(name)
        keys += [name] * min(count, 1)
    return units, closets, keys, cells


def _least_for(book: Book, keys: list[str]) -> float:
    """The largest fixture drain among the fixtures, UPC's 2 in. branches included."""
    sizes = [0.0]
    for key in keys:
        if key in fixtures.known(book.code):
            sizes.append(fixtures.fixture_drain_in(book, key))
            sizes.append(2.0 if fixtures.needs_two_inch_branch(book, key) else 0.0)
    return max(sizes)


def horizontal_branch(given: Inputs) -> Answer:
    """Every branch size of the book's table against a load."""
    book = given.book()
    units, closets, keys, cells = _loads(given, book)
    slope = given.length("slope_in_per_ft") if given.has("slope_in_per_ft") else None
    part = BRANCH
    at_least = _least_for(book, keys)
    result: dict[str, Any] = {"total_dfu": tidy(units)}
    for size in drainage.sizes(book, drainage.column_of(book, part)):
        found = drainage.capacity(book, part, size, slope_in_per_ft=slope)
        if found is None:
            continue
        name = plain(size)
        small = size < at_least or (closets and size < 3)
        result[f"{name}_in_limit"] = tidy(found.units)
        result[f"{name}_in_passes"] = not small and found.carries(
            units, closets=closets
        )
        cells.extend(found.cells)
    chosen = drainage.least_size(
        book, part, units, slope_in_per_ft=slope, closets=closets, at_least_in=at_least
    )
    if units or closets or not given.has(*SIZES):
        result["min_pipe_in"] = tidy(chosen.size_in)
    if given.has(*SIZES):
        name = plain(given.size(*SIZES))
        if f"{name}_in_limit" not in result:
            raise Absent(f"{book.code} lists no horizontal branch of {name} in.")
        result["passes"] = result[f"{name}_in_passes"]
        result["max_dfu"] = result[f"{name}_in_limit"]
    if alternative := _alternative(book, units, chosen.size_in, closets, at_least):
        result["alternative"] = alternative
    limit = {"max_dfu": tidy(chosen.units), "pipe_in": tidy(chosen.size_in)}
    return Answer(result, limit, tuple(cells), caution=SEWER_GAS)


def _alternative(
    book: Book, units: float, chosen_in: float, closets: int, at_least_in: float
) -> str:
    """Two or more drains of the largest size that is too small alone."""
    if closets:
        return ""
    smaller = [
        size
        for size in drainage.sizes(book, drainage.column_of(book, BRANCH))
        if at_least_in <= size < chosen_in
    ]
    for size in reversed(smaller):
        found = drainage.capacity(book, BRANCH, size)
        if found is None or not found.units or units <= found.units:
            continue
        number = drainage.split_load(units, found.units)
        each = units / number
        share = (
            f"{each:g} dfu each"
            if each == int(each)
            else (f"at most {found.units:g} dfu each")
        )
        return f"{number_word(number)} {plain(size)} in. drains, {share}"
    return ""


def building_drain(given: Inputs) -> Answer:
    """Smallest building drain or sewer for a load at a slope."""
    book = given.book()
    units, closets, keys, cells = _loads(given, book)
    slope = given.length("slope_in_per_ft", default=0.25)
    chosen = drainage.least_size(
        book, BUILDING, units, slope_in_per_ft=slope, closets=closets,
        at_least_in=_least_for(book, keys),
    )  # fmt: skip
    slope_cell = drainage.least_slope(book, chosen.size_in)
    result: dict[str, Any] = {
        "total_dfu": tidy(units),
        "min_pipe_in": tidy(chosen.size_in),
        "max_dfu": tidy(chosen.units),
        "slope_passes": slope >= slope_cell.number - 1e-9,
    }
    if given.has(*SIZES):
        size = given.size(*SIZES)
        found = drainage.capacity(book, BUILDING, size, slope_in_per_ft=slope)
        result["passes"] = bool(found and found.carries(units, closets=closets)) and (
            slope >= drainage.least_slope(book, size).number - 1e-9
        )
        result["max_dfu"] = tidy(found.units) if found else None
        if not units and not closets:
            del result["min_pipe_in"]
    limit = {"max_dfu": tidy(chosen.units), "min_slope_in_per_ft": slope_cell.number}
    return Answer(result, limit, (*cells, *chosen.cells, slope_cell), caution=SEWER_GAS)


def min_slope(given: Inputs) -> Answer:
    """Least slope of a drain size."""
    book = given.book()
    size = given.size("pipe_in", "drain_in", "size_in")
    cell = drainage.least_slope(book, size)
    result: dict[str, Any] = {"min_slope_in_per_ft": cell.number}
    if given.has("slope_in_per_ft"):
        result["passes"] = given.length("slope_in_per_ft") >= cell.number - 1e-9
    limit = {"min_slope_in_per_ft": cell.number}
    return Answer(result, limit, (cell,), caution=SEWER_GAS)


def branch_and_stack(given: Inputs) -> Answer:
    """A branch from one group and the stack that floors of branches drop into."""
    book = given.book()
    groups = [
        check_number(value, key)
        for key, value in given.values.items()
        if (key.endswith("group_dfu") or key == "branch_dfu") and given.has(key)
    ]
    # Without a figure of its own a connection brings what its groups bring.
    connection = given.number(
        "connection_dfu", "interval_dfu", "per_interval_dfu",
        default=sum(groups) if groups else None,
    )  # fmt: skip
    floors = given.count("floors", "branch_intervals", "intervals", least=1)
    branch_load = max(groups, default=connection)
    result: dict[str, Any] = {}
    cells: list[Cell] = []
    for size in drainage.sizes(book, drainage.column_of(book, BRANCH)):
        found = drainage.capacity(book, BRANCH, size)
        if found is None:
            continue
        result[f"branch_{plain(size)}_in_limit"] = tidy(found.units)
        result[f"branch_{plain(size)}_in_passes"] = found.carries(branch_load)
    branch = drainage.least_size(book, BRANCH, branch_load)
    result["branch_pipe_in"] = tidy(branch.size_in)
    cells.extend(branch.cells)
    stack, stack_cells = stack_result(
        book, connection, connection * floors, floors, at_least_in=branch.size_in
    )
    result |= stack
    limit = {"branch_dfu": branch.units, "whole_stack_dfu": stack["whole_stack_limit"]}
    return Answer(result, limit, (*cells, *stack_cells), caution=SEWER_GAS)


def stack_result(
    book: Book, interval: float | None, whole: float, floors: int, *,
    at_least_in: float = 0.0, closets: int = 0, fixed_in: float | None = None,
) -> tuple[dict[str, Any], tuple[Cell, ...]]:  # fmt: skip
    """Stack size and its limits: one interval, three intervals, the whole stack.

    IPC has a column for each; IRC and UPC one figure for the whole stack. The load of
    one interval is checked only where it is known.
    """
    loads = {"whole_stack": (whole, drainage.column_of(book, STACK, intervals=floors))}
    if book.code == "IPC" and interval is not None:
        three = min(interval * min(floors, 3), whole)
        loads["three_interval"] = (three, drainage.SHORT_STACK)
        loads["per_interval"] = (interval, drainage.INTERVAL)
    size = fixed_in or max(
        drainage.least_size(
            book, STACK, load, item=column, closets=closets, at_least_in=at_least_in
        ).size_in
        for load, column in loads.values()
    )
    result: dict[str, Any] = {"stack_pipe_in": tidy(size), "passes": True}
    cells: list[Cell] = []
    for name, (load, column) in loads.items():
        found = drainage.capacity(book, STACK, size, item=column)
        if found is None:
            raise Absent(f"{book.code} lists no stack of {plain(size)} in.")
        cells.extend(found.cells)
        result[f"{name}_load"] = tidy(load)
        result[f"{name}_limit"] = tidy(found.units)
        result["passes"] &= found.carries(load, closets=closets)
    if closets and size < 3:
        result["passes"] = False
    return result, tuple(cells)


INTERVALS = ("interval_dfu", "per_interval_dfu", "connection_dfu", "floor_dfu")


def _whole_load(given: Inputs, floors: int) -> float:
    """The whole stack's units: given, or those of one floor times the floors."""
    names = ("dfu", "total_dfu", "stack_dfu", "whole_stack_dfu", "load_dfu")
    if given.has(*names) or not given.has(*INTERVALS):
        return given.number(*names, default=0.0 if given.has(*SIZES) else None)
    return floors * given.number(*INTERVALS)


def stack(given: Inputs) -> Answer:
    """Least stack for a load and, where a size is given, whether that one passes."""
    book = given.book()
    closets = given.count("closets", "water_closets", default=0)
    floors = given.count(
        "branch_intervals", "intervals", "floors", "stories", default=1, least=1
    )
    if given.has("fixtures"):
        whole, closets, _, cells = _loads(given, book)
    else:
        cells = []
        whole = _whole_load(given, floors)
    interval = given.number(*INTERVALS) if given.has(*INTERVALS) else None
    least, stack_cells = stack_result(book, interval, whole, floors, closets=closets)
    found = least["stack_pipe_in"]
    result = {**least, "min_stack_in": found, "min_pipe_in": found}
    if given.has(*SIZES):
        fixed = given.size(*SIZES)
        asked, stack_cells = stack_result(
            book, interval, whole, floors, closets=closets, fixed_in=fixed
        )
        result |= {**asked, "stack_pipe_in": found}
        if not whole and not closets:
            result = {**asked}
    result["total_dfu"] = tidy(whole)
    result["max_dfu"] = result["whole_stack_limit"]
    limit = {"whole_stack_dfu": result["whole_stack_limit"]}
    return Answer(result, limit, (*cells, *stack_cells), caution=SEWER_GAS)


CHECKS = {
    "horizontal_branch": horizontal_branch,
    "building_drain": building_drain,
    "min_slope": min_slope,
    "branch_and_stack": branch_and_stack,
    "stack": stack,
}
