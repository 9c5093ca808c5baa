"""Vent, shield, test and condensate checks of the `size` command."""

from typing import Any

from .. import fixtures, odds, shields, vents
from ..nominal import plain, tidy
from ..tables import Absent, Book, Cell
from .answer import GAS, SEWER_GAS, STRUCTURE, Answer
from .inputs import BadInput, Inputs, check_number, check_size
from .words import number_word


def aggregate_vent_area(given: Inputs) -> Answer:
    """UPC: vent ends together have the nominal area of the building sewer."""
    book = given.book()
    sewer = given.size("sewer_in", "building_sewer_in")
    listed = given.items("vents_in") if given.has("vents_in") else None
    if listed is not None:
        key, values = listed
        sizes = [check_size(v, f"{key}[{at}]") for at, v in enumerate(values)]
    else:
        sizes = []
    rule = vents.area_rule(book)
    result: dict[str, Any] = {"rule_applies": rule is not None}
    if sizes:
        result["passes"] = rule is None or vents.area_enough(sewer, sizes)
    if listed is None or given.has("vent_in"):
        vent = given.size("vent_in")
        needed = vents.vents_needed(sewer, vent) if rule else 1
        result["vents_needed"] = needed
        if given.has("vents", "vent_count"):
            result["passes"] = given.count("vents", "vent_count") >= needed
        for number in range(1, 13):
            verb = "vent_passes" if number == 1 else "vents_pass"
            result[f"{number_word(number)}_{verb}"] = number >= needed
    limit = {"area_in2_nominal": tidy(sewer**2)} if rule else None
    notes = () if rule else (f"{book.code} has no rule on the total vent area.",)
    cells = (rule,) if rule else ()
    return Answer(result, limit, cells, caution=SEWER_GAS, notes=notes)


def vent_table(given: Inputs) -> Answer:
    """UPC Table 703.2: units and total length of a vent, a third of it horizontal."""
    book = given.book()
    units = given.number("dfu", "total_dfu", default=0.0)
    size = given.size("vent_in", "size_in")
    if book.code != "UPC":
        raise Absent(
            f"The reference holds no vent length table of the {book.code}; only the "
            "rule of one size up over 40 ft (see individual_vent)."
        )
    most, longest = vents.upc_row(book, size)
    length = given.number(
        "max_total_length_ft", "total_length_ft", "developed_length_ft", "length_ft",
        default=0.0,
    )  # fmt: skip
    third = longest.number / 3
    flat = given.number("horizontal_ft", "horizontal_length_ft", default=0.0)
    closets = given.count("closets", "water_closets", default=0)
    result = {
        "passes": units <= most.number
        and length <= longest.number + 1e-9
        and flat <= third + 1e-9
        and not (closets and size < 2),
        "max_dfu": tidy(most.number),
        "max_length_ft": tidy(longest.number),
        "max_horizontal_ft": tidy(third),
    }
    limit = {key: result[key] for key in ("max_dfu", "max_length_ft")}
    return Answer(result, limit, (most, longest), caution=SEWER_GAS)


def common_vent(given: Inputs) -> Answer:
    """Least vent that serves two fixtures, for one pair or a list of cases."""
    book = given.book()
    single = given.has("fixtures")
    if single:
        cases = [{"fixtures": given.items("fixtures")[1]}]
        key = ""
    else:
        key, cases = given.items("cases")
        if not cases:
            raise BadInput(key, f"{key}: give at least one case of fixtures.")
    found: list[float | int] = []
    cells: list[Cell] = []
    for at, case in enumerate(cases):
        where = "fixtures" if single else f"{key}[{at}].fixtures"
        names = case.get("fixtures") if isinstance(case, dict) else None
        size, used = vents.common_vent(book, _keys(names, where, book))
        found.append(tidy(size))
        cells.extend(used)
    result: dict[str, Any] = {"min_vent_in": found[0] if single else found}
    return Answer(result, result, tuple(cells), caution=SEWER_GAS)


def _keys(names: object, where: str, book: Book) -> list[str]:
    if not isinstance(names, list) or not names:
        raise BadInput(where, f"{where}: give a list of fixtures.")
    keys = []
    for at, name in enumerate(names):
        if not isinstance(name, str):
            raise BadInput(f"{where}[{at}]", f"{where}[{at}]: name the fixture.")
        keys.append(known_fixture(name, f"{where}[{at}]", book))
    return keys


def known_fixture(name: str, where: str, book: Book) -> str:
    """The table key of a fixture name, or BadInput naming the place."""
    try:
        return fixtures.fixture_key(name, book)
    except Absent as error:
        raise BadInput(where, f"{where}: {error}") from None


def individual_vent(given: Inputs) -> Answer:
    """Least vent of one drain: half its size, with the book's own exceptions."""
    book = given.book()
    closet = False
    if given.has("fixture"):
        name = known_fixture(given.text("fixture"), "fixture", book)
        closet = bool(fixtures.closets_in(name))
        if given.has("drain_in", "pipe_in"):
            drain = given.size("drain_in", "pipe_in")
        else:
            drain = fixtures.fixture_drain_in(book, name)
    else:
        drain = given.size("drain_in", "pipe_in")
    length = given.number(
        "developed_length_ft", "vent_length_ft", "length_ft", default=0.0
    )
    units = given.number("dfu") if given.has("dfu") else None
    size, cells = vents.least_vent(
        book, drain, closet=closet, developed_length_ft=length, units=units
    )
    result: dict[str, Any] = {"min_vent_in": tidy(size)}
    if given.has("vent_in"):
        result["passes"] = given.size("vent_in") >= size
    limit = {"min_vent_in": tidy(size)}
    return Answer(result, limit, cells, caution=SEWER_GAS)


def shield_plate_width(given: Inputs) -> Answer:
    """Least plate: outside diameter and the reach past it on each side."""
    book = given.book(default="UPC")
    reach_cell = odds.shield_beyond(book)
    cells: tuple[Cell, ...] = ()
    if given.has("pipe_od_in"):
        od = given.length("pipe_od_in")
        given.has("pipe_nominal_in")
    else:
        od, od_cell = shields.outside_diameter(
            given.size("pipe_nominal_in"), given.text("material", default="PVC")
        )
        cells = (od_cell,)
    if given.has("beyond_total_in"):
        reach = given.number("beyond_total_in") / 2
    elif given.has("beyond_each_side_in", "beyond_in") or reach_cell is None:
        reach = given.number("beyond_each_side_in", "beyond_in")
    else:
        reach = reach_cell.number
    if reach_cell is not None:
        cells = (*cells, reach_cell)
    result = {"min_plate_in": tidy(od + 2 * reach, 3)}
    notes = ("Read as the reach on each side; some inspectors read it as the total.",)
    return Answer(result, result, cells, caution=STRUCTURE, notes=notes)


def gas_test_pressure(given: Inputs) -> Answer:
    """Gas test: 1-1/2 times the working pressure, never under the floor."""
    name = given.text("code", default="IFGC").upper()
    given.edition(name)
    book = "UPC" if "UPC" in name and "IFGC" not in name else "IFGC"
    given.has("working_psi")
    if given.has("working_in_wc"):
        exact = given.length("working_in_wc") / 27.7
        working = odds.psi_of_inches(given.length("working_in_wc"))
    else:
        working = exact = given.length("working_psi")
    required, cell = odds.gas_test(working, code=book)
    result = {
        "working_psi": tidy(working, 3),
        "one_and_half_psi": tidy(1.5 * working, 4),
        "required_psig": tidy(required),
        "working_psi_exact": tidy(exact, 4),
    }
    limit = {"required_psig": tidy(required)}
    notes = ("Cities often ask 10 psi or more: see the local amendments.",)
    return Answer(result, limit, (cell,), caution=GAS, notes=notes)


def _tons(given: Inputs) -> float:
    """Tons of one unit, or the sum of a list of units on one pipe."""
    names = (
        "tons", "cooling_tons", "capacity_tons", "load_tons", "units_tons",
        "equipment_tons", "equipment_capacity_tons", "refrigeration_tons", "tonnage",
    )  # fmt: skip
    key = given.key_of(*names)
    if not isinstance(given.values[key], list):
        return given.length(*names)
    _, listed = given.items(*names)
    if not listed:
        raise BadInput(key, f"{key}: list at least one unit.")
    return sum(
        check_number(value, f"{key}[{at}]", over=0.0) for at, value in enumerate(listed)
    )


def condensate_size(given: Inputs) -> Answer:
    """Least condensate drain by tons of cooling, with slope and fall."""
    book = given.book(default="IMC")
    power = ("cooling_btu_h", "capacity_btu_h", "equipment_capacity_btu_h")
    if given.has(*power):
        tons = given.length(*power) / 12000
    else:
        tons = _tons(given)
    size, cells = odds.condensate_size(book.code, tons)
    slope_cell = odds.condensate_slope()
    result: dict[str, Any] = {
        "min_pipe_in": tidy(size),
        "min_drain_in": tidy(size),
        "pipe_in": tidy(size),
        "min_slope_in_per_ft": slope_cell.number,
    }
    passes = True
    if given.has("drain_in", "size_in"):
        passes &= given.size("drain_in", "size_in") >= size
        result["passes"] = passes
    if given.has("slope_in_per_ft"):
        passes &= given.length("slope_in_per_ft") >= slope_cell.number - 1e-9
        result["passes"] = passes
    if given.has("length_ft", "run_ft"):
        run = given.length("length_ft", "run_ft")
        result["least_fall_in"] = tidy(run * slope_cell.number, 3)
    limit = {"min_pipe_in": tidy(size), "min_slope_in_per_ft": slope_cell.number}
    notes = ("Never into a vent pipe; upstream of a trap, or by an air gap.",)
    return Answer(result, limit, (*cells, slope_cell), notes=notes)


def wet_vent(given: Inputs) -> Answer:
    """Most units on a horizontal wet vent of a size."""
    book = given.book()
    size = given.size("pipe_in", "vent_in", "size_in")
    units = given.number("dfu", "total_dfu", default=0.0)
    cell = vents.wet_vent_limit(book, size)
    most = vents.wet_vent_units(book, size)
    if cell is None or most is None:
        raise Absent(f"{book.code} lists no wet vent of {plain(size)} in.")
    bounded = most != float("inf")
    result = {"passes": units <= most, "max_dfu": tidy(most) if bounded else None}
    return Answer(result, {"max_dfu": result["max_dfu"]}, (cell,), caution=SEWER_GAS)


CHECKS = {
    "aggregate_vent_area": aggregate_vent_area,
    "vent_table": vent_table,
    "common_vent": common_vent,
    "individual_vent": individual_vent,
    "shield_plate_width": shield_plate_width,
    "gas_test_pressure": gas_test_pressure,
    "condensate_size": condensate_size,
    "wet_vent": wet_vent,
}
