"""Cleanouts, condensate, gas test pressure, shields: the small rules."""

import math
from fractions import Fraction

from .said import say
from .tables import Absent, Book, Cell, Override, find, need, rows

CLEANOUTS = "dwv/06_cleanouts"
CONDENSATE = "dwv/11_condensate"
PROTECTION = "dwv/08_protection_framing"
TESTS = "dwv/07_tests"


def cleanouts_wanted(
    book: Book, turns_deg: list[float], length_ft: float
) -> tuple[int, tuple[Cell, ...]]:
    """Cleanouts of a horizontal drain.

    IPC 708 and IRC P3005.2.4 as practice reads them: one for every turn over 45
    degrees and one for each full 40 ft; a straight run one in 100 ft. UPC 707.4: one
    at the upper end, one more for each further 100 ft or part of it, one for each
    135 degrees of turns passed.
    """
    if book.code == "UPC":
        spacing = need(CLEANOUTS, book, item="max_interval")
        turn = need(CLEANOUTS, book, item="cleanout_when_aggregate_turn_over")
        upper = need(CLEANOUTS, book, item="upper_terminal")
        further = max(math.ceil(length_ft / spacing.number - 1e-9) - 1, 0)
        total = sum(turns_deg)
        by_turn = max(math.ceil(total / turn.number - 1e-9) - 1, 0)
        return 1 + further + by_turn, (upper, spacing, turn)
    if total_rule := book.setting("cleanout_total_turn"):
        return _by_total_turn(book, total_rule, turns_deg, length_ft)
    turn = need(CLEANOUTS, book, item="cleanout_at_turn_over")
    each = need(CLEANOUTS, book, item="one_cleanout_per_developed_length")
    by_turn = sum(angle > turn.number for angle in turns_deg)
    if not by_turn:
        spacing = need(CLEANOUTS, book, item="max_interval")
        return math.ceil(length_ft / spacing.number - 1e-9), (turn, spacing)
    return by_turn + math.floor(length_ft / each.number + 1e-9), (turn, each)


def _by_total_turn(
    book: Book, rule: Override, turns_deg: list[float], length_ft: float
) -> tuple[int, tuple[Cell, ...]]:
    """A city that counts turns in total, as the UPC does, under another book."""
    spacing = need(CLEANOUTS, book, item="max_interval")
    local = book.local(rule, "degrees")
    straight = math.ceil(length_ft / spacing.number - 1e-9)
    by_turn = max(math.ceil(sum(turns_deg) / local.number - 1e-9) - 1, 0)
    return straight + by_turn, (local, spacing)


def cleanout_spacing(book: Book) -> Cell:
    """Longest distance between cleanouts of a horizontal drain in feet."""
    return need(CLEANOUTS, book, item="max_interval")


def condensate_steps() -> list[tuple[float, float, Cell]]:
    """(tons up to, least pipe in., cell) of IMC Table 307.2.2, ascending."""
    book = Book("IPC")
    steps = []
    for row in rows(CONDENSATE):
        if row["item"] != "drain_pipe_min" or row["code"] != "IMC":
            continue
        words = row["condition"].replace("tons", "").split()
        up_to = float(words[-1])
        cell = Cell(
            row["id"], row["code"], row["edition"], row["table_section"],
            row["condition"], row["value"], row["unit"], row["provenance"], row["note"],
        )  # fmt: skip
        cell = book.amended(cell)
        steps.append((up_to, cell.number, cell))
    return sorted(steps, key=lambda step: step[0])


def condensate_size(book_code: str, tons: float) -> tuple[float, tuple[Cell, ...]]:
    """Least condensate drain for so many tons of cooling (IMC 307.2.2, UPC 814.3)."""
    steps = condensate_steps()
    for position, (up_to, size, cell) in enumerate(steps):
        if tons <= up_to:
            if book_code == "UPC":
                row = next(r for r in rows(CONDENSATE) if r["code"] == "UPC")
                upc = Cell(
                    row["id"], "UPC", row["edition"], row["table_section"],
                    row["condition"], row["value"], row["unit"], row["provenance"],
                )  # fmt: skip
                return float(upc.value.split(";")[position]), (upc, cell)
            return size, (cell,)
    raise Absent(say("condensate_ends", tons=steps[-1][0]))


def condensate_slope() -> Cell:
    """Least slope of a condensate drain in in./ft (IMC 307.2.1)."""
    row = next(r for r in rows(CONDENSATE) if r["item"] == "min_slope")
    return Cell(
        row["id"], row["code"], row["edition"], row["table_section"], row["item"],
        row["value"], row["unit"], row["provenance"], row["note"],
    )  # fmt: skip


def gas_test(
    working_psi: float, book: Book | None = None, *, code: str = "IFGC"
) -> tuple[float, Cell]:
    """Gas test pressure in psig: 1-1/2 times working, at least 3.

    code is IFGC (406.4.1) or UPC (1213.3, from memory).
    """
    row = next(
        r for r in rows(TESTS) if r["code"] == code and r["test"] == "air_or_inert"
    )
    cell = Cell(
        row["id"], row["code"], row["edition"], row["table_section"], row["test"],
        row["value"], row["unit"], row["provenance"], row["note"],
    )  # fmt: skip
    if book is not None:
        cell = book.amended(cell)
    return max(1.5 * working_psi, cell.number), cell


def head_cell() -> Cell:
    """psi for each foot of water: 0.433."""
    row = next(r for r in rows(TESTS) if r["test"] == "head_to_pressure")
    return Cell(
        row["id"], row["code"], row["edition"], row["table_section"], row["test"],
        row["value"], row["unit"], row["provenance"], row["note"],
    )  # fmt: skip


def psi_of_inches(inches_wc: float) -> float:
    """psi of a gas pressure in inches of water, at 27.7 in. a pound.

    The trade calls 7 in. a quarter and 14 in. a half pound: within 2 percent of a
    quarter pound the nominal figure is used, as the published example does.
    """
    psi = inches_wc / 27.7
    nominal = round(psi * 4) / 4
    if nominal and abs(psi - nominal) <= 0.02 * nominal:
        return nominal
    return psi


def shield_trigger(book: Book) -> Cell:
    """Distance from pipe to framing edge under which a plate is needed, in inches."""
    return need(PROTECTION, book, item="distance_from_edge_trigger", topic="shield")


def shield_beyond(book: Book) -> Cell | None:
    """How far a plate reaches past the pipe on each side (UPC 312.9), or None."""
    return find(PROTECTION, book, item="plate_beyond_pipe", topic="shield")


def fraction(text: str) -> float:
    """A figure that the table prints as a fraction, such as 1/3 of the depth."""
    return float(Fraction(text))
