"""Drain checks of the `size` command."""

import math
from typing import Any

from .. import drainage, odds, traps
from ..nominal import tidy
from ..tables import Absent, Book
from .answer import PRESSURE, SEWER_GAS, Answer
from .inputs import Inputs, check_number


def fall_over_run(given: Inputs) -> Answer:
    """Fall of a run, and whether a depth that is there suffices."""
    run = given.length("run_ft", "length_ft")
    slope = given.length("slope_in_per_ft")
    fall = drainage.fall_in(run, slope)
    result: dict[str, Any] = {"fall_in": tidy(fall, 3)}
    limit = None
    if given.has("depth_in", "available_fall_in"):
        depth = given.number("depth_in", "available_fall_in")
        result["passes"] = fall <= depth + 1e-9
        limit = {"depth_in": depth}
    return Answer(
        result, limit, source="Geometry: fall is run times slope.", caution=SEWER_GAS
    )


def _is_closet(given: Inputs) -> bool:
    name = given.text("fixture", default="other").lower()
    return "closet" in name or "toilet" in name


def trap_arm_fall(given: Inputs) -> Answer:
    """Fall of a trap arm against one pipe diameter, the table length, least slope."""
    size = given.size("trap_arm_in", "arm_in")
    slope = given.length("slope_in_per_ft")
    length = given.length("length_ft")
    book = given.book()
    closet = _is_closet(given)
    fall = drainage.fall_in(length, slope)
    most, fall_cell = traps.most_fall(book, size)
    longest = traps.longest(book, size, closet=closet)
    slope_cell = traps.slope_cell(book, size)
    short = closet or fall <= most + 1e-9
    within = longest.longest_ft is None or length <= longest.longest_ft + 1e-9
    steep = slope >= slope_cell.number - 1e-9
    result = {
        "fall_in": tidy(fall, 3),
        "max_fall_in": tidy(most, 3),
        "passes": short and within and steep,
        "fall_passes": short,
        "length_passes": within,
        "slope_passes": steep,
    }
    limit = {
        "max_fall_in": tidy(most, 3),
        "max_length_ft": longest.longest_ft,
        "min_slope_in_per_ft": slope_cell.number,
    }
    cells = (fall_cell, *longest.cells, slope_cell)
    return Answer(result, limit, cells, caution=SEWER_GAS)


def trap_arm_max_by_fall(given: Inputs) -> Answer:
    """Longest arm by one diameter of fall, capped by the book's table length."""
    size = given.size("trap_arm_in", "arm_in")
    slope = given.length("slope_in_per_ft")
    by_fall = traps.longest_by_fall(size, slope)
    if "physics" in given.text("code", default="physics only").lower():
        return _by_physics(size, slope, by_fall)
    book = given.book()
    cell = traps.table_length(book, size)
    _, fall_cell = traps.most_fall(book, size)
    slope_cell = traps.slope_cell(book, size)
    allowed = min(by_fall, cell.number)
    lost = cell.number - allowed
    result = {
        "max_length_ft": tidy(traps.cut(allowed)),
        "reduction_ft": tidy(traps.cut(lost)),
        "reduction_pct": round(100 * lost / cell.number),
        "length_by_fall_ft": tidy(traps.cut(by_fall)),
        "table_length_ft": tidy(cell.number),
        "slope_passes": slope >= slope_cell.number - 1e-9,
    }
    limit = {"max_length_ft": cell.number, "min_slope_in_per_ft": slope_cell.number}
    cells = (fall_cell, cell, slope_cell)
    return Answer(result, limit, cells, caution=SEWER_GAS)


def _by_physics(size: float, slope: float, by_fall: float) -> Answer:
    """Fall alone, with the IPC and IRC limits beside it: theory passes no arm."""
    result: dict[str, Any] = {"max_length_ft": tidy(traps.cut(by_fall))}
    try:
        cell = traps.table_length(Book("IPC"), size)
        slope_cell = traps.slope_cell(Book("IPC"), size)
    except Absent:
        return Answer(result, source="Geometry only.", caution=SEWER_GAS)
    too_flat = slope < slope_cell.number - 1e-9
    too_long = by_fall > cell.number + 1e-9
    result["passes"] = not (too_flat or too_long)
    limit = {"max_length_ft": cell.number, "min_slope_in_per_ft": slope_cell.number}
    notes = ("Theory only: a code caps the length and asks a least slope.",)
    return Answer(result, limit, (cell, slope_cell), "Geometry only.", SEWER_GAS, notes)


def cleanouts(given: Inputs) -> Answer:
    """Cleanouts for the turns and the developed length of a drain."""
    book = given.book()
    key, listed = given.items("turns_deg")
    turns = [
        check_number(turn, f"{key}[{position}]", most=360)
        for position, turn in enumerate(listed)
    ]
    length = given.length("developed_length_ft", "length_ft")
    number, cells = odds.cleanouts_wanted(book, turns, length)
    spacing = odds.cleanout_spacing(book)
    sharp = sum(turn > 45 for turn in turns)
    result = {
        "cleanouts": number,
        "least_by_spacing": math.ceil(length / spacing.number - 1e-9),
        "turns_over_45": sharp,
    }
    notes: tuple[str, ...] = ()
    if book.code != "UPC":
        notes = (
            "One reading of the rule: later wording asks one in 40 ft only where a "
            "run has several turns.",
        )
    limit = {"max_interval_ft": spacing.number}
    return Answer(result, limit, (*cells, spacing), caution=SEWER_GAS, notes=notes)


def head_to_pressure(given: Inputs) -> Answer:
    """Test head of water in feet as psi at the bottom, as the maker prints it."""
    head = given.length("head_ft", "height_ft")
    cell = odds.head_cell()
    exact = head * cell.number
    short = round(exact, 1)
    shown = short if abs(short - exact) <= 0.01 * exact else round(exact, 2)
    return Answer(
        {"psi": tidy(shown), "psi_exact": tidy(exact, 3)},
        None, (cell,), caution=PRESSURE,
    )  # fmt: skip


CHECKS = {
    "fall_over_run": fall_over_run,
    "trap_arm_fall": trap_arm_fall,
    "trap_arm_max_by_fall": trap_arm_max_by_fall,
    "cleanouts": cleanouts,
    "head_to_pressure": head_to_pressure,
}
