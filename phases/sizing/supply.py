"""Meter, service and main sizes by table (IPC E201.1, IRC P2903.7, UPC 610.4)."""

from dataclasses import dataclass
from functools import cache

from .nominal import inches
from .said import say
from .tables import Absent, Cell, rows

TABLE = "supply/supply_sizing_table"


@dataclass(frozen=True, slots=True)
class Choice:
    """A column of the table at one length: sizes, most units, cell."""

    meter: str
    main: str
    units: float
    cell: Cell


@cache
def pressure_ranges(code: str) -> tuple[str, ...]:
    """Pressure groups of a book's table, lowest first."""
    found: dict[str, None] = {}
    for row in rows(TABLE):
        if code in {part.strip() for part in row["code"].split("/")}:
            found[row["pressure_range_psi"]] = None
    if not found:
        raise Absent(say("no_supply_table", book=code))
    return tuple(found)


def pressure_range(code: str, psi: float) -> str:
    """The group a pressure falls in; between two groups the lower one."""
    chosen = ""
    for name in pressure_ranges(code):
        low = float(name.removeprefix("over ").split("-")[0])
        if psi > low or (psi == low and not name.startswith("over")):
            chosen = name
    if not chosen:
        raise Absent(say("below_30_psi", psi=psi, book=code))
    return chosen


@cache
def choices(code: str, pressure: str, length_ft: float) -> tuple[Choice, ...]:
    """Every column at the next longer listed length, smallest pipes first."""
    mine = [
        row
        for row in rows(TABLE)
        if row["pressure_range_psi"] == pressure
        and code in {part.strip() for part in row["code"].split("/")}
    ]
    lengths = sorted({float(row["developed_length_ft"]) for row in mine})
    longer = [length for length in lengths if length >= length_ft - 1e-9]
    if not longer:
        raise Absent(say("supply_ends", book=code, feet=lengths[-1]))
    found = [
        Choice(
            row["meter_and_service_in"], row["distribution_in"],
            float(row["max_wsfu"]), _cell(row),
        )
        for row in mine
        if float(row["developed_length_ft"]) == longer[0]
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda c: (inches(c.meter), inches(c.main))))


def _cell(row: dict[str, str] | object) -> Cell:
    assert isinstance(row, dict)
    name = (
        f"{row['meter_and_service_in']} meter, {row['distribution_in']} main, "
        f"{row['developed_length_ft']} ft, {row['pressure_range_psi']} psi"
    )
    return Cell(
        f"supply/{row['code']}/{name}", row["code"], row["edition"],
        row["table_section"], name, row["max_wsfu"], "wsfu", row["provenance"],
        row["note"],
    )  # fmt: skip


def least_pipes(
    code: str, psi: float, length_ft: float, wsfu: float, *, meter: str | None = None
) -> Choice:
    """Smallest meter and service with the smallest main that carry the units.

    Raises Absent where no column does.
    """
    for choice in choices(code, pressure_range(code, psi), length_ft):
        if meter and choice.meter != meter:
            continue
        if wsfu <= choice.units:
            return choice
    raise Absent(say("no_supply_column", book=code, units=wsfu))


def column(
    code: str, pressure: str, length_ft: float, *, meter: str, main: str
) -> Choice:
    """The column of a main behind a meter; a main that the table shows behind smaller
    meters only is read behind the largest of those, which is no less strict.

    Raises Absent where no meter so small has that main.
    """
    found = [
        choice
        for choice in choices(code, pressure, length_ft)
        if choice.main == main and inches(choice.meter) <= inches(meter)
    ]
    if not found:
        raise Absent(say("no_main_on", book=code, main=main, meter=meter))
    return found[-1]


def strictest(code: str, pressure: str, length_ft: float, *, main: str) -> Choice:
    """The column of a main that carries least, whatever the meter.

    Branches of a guess are read here, so that a larger service never shrinks one.
    """
    found = [
        choice for choice in choices(code, pressure, length_ft) if choice.main == main
    ]
    if not found:
        raise Absent(say("no_main", book=code, main=main))
    return min(found, key=lambda choice: choice.units)
