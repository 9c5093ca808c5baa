"""The supply table as a case, and a sheet of fixtures with its cold and hot rows."""

import re
from typing import Any

from .. import supply
from ..nominal import inches, nominal, tidy
from ..tables import Absent, Book, Cell, rows
from .answer import PRESSURE, Answer
from .inputs import BadInput, Inputs, check_number, shown

_ALIASES = {
    "water closet": "water closet, 1.6 gpf gravity tank",
    "toilet": "water closet, 1.6 gpf gravity tank",
    "bathtub": "bathtub or combination",
    "tub": "bathtub or combination",
    "shower": "shower, each head",
    "washing machine": "clothes washer",
    "clothes washer": "clothes washer",
    "laundry tub": "laundry sink",
    "hose bibb": "hose bibb, first",
    "hose bibb first": "hose bibb, first",
    "hose bibb added": "hose bibb, each additional",
    "hose bibb additional": "hose bibb, each additional",
    "service sink": "mop or service basin, private",
    "lawn sprinkler": "lawn sprinkler, each head",
}
_COLD = ("water closet", "hose bibb", "lawn sprinkler", "urinal", "ice maker")
_HOT = ("dishwasher",)


def water_size_table(given: Inputs) -> Answer:
    """Mains of the supply table against a load, or the rows of a fixture sheet."""
    if given.has("fixtures"):
        return _fixture_sheet(given)
    book = given.book(default="IPC")
    meter = nominal(given.size("meter_and_service_in", "meter_in", "service_in"))
    length = given.length("length_ft", "developed_length_ft")
    units = given.number("wsfu", "wsfu_total", "total_wsfu", "load_wsfu", default=0.0)
    names = supply.pressure_ranges(book.code)
    if given.has("pressure_psi", "static_psi", "main_psi"):
        psi = given.length("pressure_psi", "static_psi", "main_psi")
        names = (supply.pressure_range(book.code, psi),)
    elif given.has("pressure_range_psi"):
        names = (_group(given, names, book),)
    result, cells = _mains(book, meter, length, units, names)
    limit = {k: v for k, v in result.items() if k.startswith("max_wsfu")}
    if given.has("distribution_in", "main_in"):
        main = nominal(given.size("distribution_in", "main_in"))
        if f"distribution_{main}_ok" not in result:
            raise Absent(f"The {book.code} table has no {main} in. on {meter} in.")
        result["passes"] = result[f"distribution_{main}_ok"]
        result["max_wsfu"] = result[f"max_wsfu_{main}"]
    return Answer(result, limit, cells, caution=PRESSURE)


def _group(given: Inputs, names: tuple[str, ...], book: Book) -> str:
    """A pressure group as the table prints it: `46-60`, `46 to 60 psi`, [46, 60]."""
    value = given.values["pressure_range_psi"]
    text = "-".join(map(str, value)) if isinstance(value, list) else str(value)
    text = text.lower().replace("psi", "").replace(" to ", "-").strip()
    text = re.sub(r"\s*[-–]\s*", "-", text)
    if text not in names:
        raise BadInput(
            "pressure_range_psi",
            f"pressure_range_psi: {book.code} has the groups {', '.join(names)}, "
            f"not {shown(value)}.",
        )
    return text


def _mains(
    book: Book, meter: str, length: float, units: float, names: tuple[str, ...]
) -> tuple[dict[str, Any], tuple[Cell, ...]]:
    """Every main behind a meter, held against the worst of the pressure groups."""
    worst: dict[str, supply.Choice] = {}
    for name in names:
        for choice in supply.choices(book.code, name, length):
            if choice.meter != meter:
                continue
            known = worst.get(choice.main)
            if known is None or choice.units < known.units:
                worst[choice.main] = choice
    if not worst:
        raise Absent(f"The {book.code} supply table has no {meter} in. meter.")
    result: dict[str, Any] = {}
    fitting = None
    for main, choice in sorted(worst.items(), key=lambda entry: inches(entry[0])):
        passes = units <= choice.units
        result[f"distribution_{main}_ok"] = passes
        result[f"max_wsfu_{main}"] = tidy(choice.units)
        fitting = fitting or (main if passes else None)
    result["min_distribution_in"] = fitting
    return result, tuple(choice.cell for choice in worst.values())


def unit_row(name: str, where: str) -> tuple[str, Cell]:
    """The UPC 610.3 row of a fixture word."""
    word = name.strip().lower().replace("_", " ")
    listed = {
        row["fixture"]: row for row in rows("supply/wsfu") if row["code"] == "UPC"
    }
    key = word if word in listed else _ALIASES.get(word, "")
    row = listed.get(key)
    if row is None or row["unit"] == "rule":
        known = ", ".join(sorted(listed))
        raise BadInput(
            where, f"{where}: UPC 610.3 lists no {name!r}. It lists: {known}."
        )
    cell = Cell(
        f"wsfu/UPC/{key}", row["code"], row["edition"], row["table_section"], key,
        row["total"], row["unit"], row["provenance"], row["note"],
    )  # fmt: skip
    return key, Book("UPC").amended(cell)


def _fixture_sheet(given: Inputs) -> Answer:
    """Cold and hot rows, the full value on both sides; pressure behind a regulator."""
    key, values = given.mapping("fixtures")
    cold: dict[str, float | int] = {}
    hot: dict[str, float | int] = {}
    cells: list[Cell] = []
    for name, count in values.items():
        where = f"{key}.{name}"
        row, cell = unit_row(name, where)
        units = check_number(count, where) * cell.number
        cells.append(cell)
        if not row.startswith(_HOT):
            cold[name] = tidy(units)
        if not row.startswith(_COLD):
            hot[name] = tidy(units)
    result: dict[str, Any] = {
        "cold_rows": cold,
        "hot_rows": hot,
        "cold_total": tidy(sum(cold.values())),
        "hot_total": tidy(sum(hot.values())),
    }
    if given.has("regulator_setting_psi"):
        setting = given.length("regulator_setting_psi")
        factor = given.length("regulator_factor", default=0.8)
        result["regulated_pressure_psi"] = tidy(setting * factor)
    if given.has("height_ft"):
        per_ft = given.length("psi_per_ft", default=0.5)
        result["static_psi"] = tidy(given.number("height_ft") * per_ft)
    given.has("psi_per_ft")
    notes = ("The full unit value stands on the cold and on the hot side.",)
    return Answer(result, None, tuple(cells), caution=PRESSURE, notes=notes)
