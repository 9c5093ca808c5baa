"""Hot water: flow at a rise, peak hour, first-hour rating, volume and wait."""

from functools import cache

from .said import say
from .tables import Absent, Cell, rows

HEATER = "supply/water_heater"
VOLUME = "supply/hot_water_volume"
OZ_PER_GAL = 128.0


def _cell(row: object) -> Cell:
    assert isinstance(row, dict)
    return Cell(
        f"water_heater/{row['edition']}/{row['topic']}/{row['item']}", row["code"],
        row["edition"], row["table_section"], row["item"], row["value"], row["unit"],
        row["provenance"], row["note"],
    )  # fmt: skip


@cache
def heat_constant() -> Cell:
    """Btu/h that lift one gpm by one degree F: 500.4."""
    return _cell(next(row for row in rows(HEATER) if row["topic"] == "heat"))


def flow_gpm(input_btu_h: float, *, efficiency: float, rise_f: float) -> float:
    """gpm that a heater lifts by a rise."""
    return input_btu_h * efficiency / (heat_constant().number * rise_f)


def input_needed_btu_h(gpm: float, *, efficiency: float, rise_f: float) -> float:
    """Burner input for a flow and a rise."""
    return heat_constant().number * gpm * rise_f / efficiency


@cache
def gallons_per_use(edition: str = "older") -> dict[str, Cell]:
    """Gallons for each use in the peak hour, by the DOE worksheet edition."""
    return {
        row["item"]: _cell(row)
        for row in rows(HEATER)
        if row["topic"] == "gallons per use in peak hour" and row["edition"] == edition
    }


@cache
def first_hour_needed(baths: float, bedrooms: int, edition: int) -> Cell:
    """Least first-hour rating in gallons by baths and bedrooms (UPC 501.1).

    Bedrooms outside the table read its nearest row. Raises Absent past 3-1/2 baths.
    """
    band = next(
        (
            (low, high)
            for low, high in ((1.0, 1.5), (2.0, 2.5), (3.0, 3.5))
            if low <= max(baths, 1.0) <= high
        ),
        None,
    )
    if band is None:
        raise Absent(say("no_first_hour", baths=baths))
    span = "2018-2021" if edition >= 2018 else "2003-2015"
    prefix = f"{band[0]:g} to {band[1]:g} baths"
    listed: dict[int, Cell] = {}
    for row in rows(HEATER):
        if row["topic"] != "minimum first-hour rating" or row["edition"] != span:
            continue
        if row["item"].startswith(prefix):
            listed[int(row["item"].split(", ")[1].split()[0])] = _cell(row)
    nearest = min(max(bedrooms, min(listed)), max(listed))
    return listed[nearest]


_MATERIALS = {
    "pex": "PEX CTS SDR-11", "cpvc": "CPVC CTS SDR-11",
}  # fmt: skip


@cache
def volume_oz_per_ft(material: str, size: str) -> Cell:
    """Fluid ounces of water in a foot of tube (IPC 2009 E202.1)."""
    word = material.lower()
    wanted = {"pex sdr-9": "PEX CTS SDR-11"}.get(word, material)
    for row in rows(VOLUME):
        names = (row["material"], row["material"].replace("copper ", "copper type "))
        if row["size_in"] != size:
            continue
        if wanted in names or row["material"].lower().startswith(f"{word} "):
            return Cell(
                f"hot_water_volume/{row['material']}/{size}", row["code"],
                row["edition"], row["table_section"], f"{row['material']} {size}",
                row["volume_oz_per_ft"], "fl oz/ft", row["provenance"], row["note"],
            )  # fmt: skip
    raise Absent(say("no_volume", material=material, size=size))


def wait_s(volume_gal: float, flow: float) -> float:
    """Seconds until the water standing in the pipe has left (plug flow)."""
    return volume_gal / flow * 60
