"""The package's data against the reference, cell by cell; bores and equations.

Sources: shared/reference/dwv and supply (each row names its own); the IFGC equation
findings of supply/README.md; 211 printed friction values of friction_reference.csv;
pipe sizes of the independent library `fluids` (NPS schedule 40, ASME B36.10).
"""

import csv
from statistics import median

import fluids
import pytest

from phases.sizing import gas, shields, water
from phases.sizing.nominal import inches
from phases.sizing.tables import DATA, rows
from tests.sizing.reference import REFERENCE, table

# Our own: outside diameters, and what a local amendment sets or why it sets nothing.
OWN = {"pipe_od", "amendment_cells", "amendment_notes"}
FILES = sorted(
    str(path.relative_to(DATA).with_suffix("")) for path in DATA.rglob("*.csv")
)


def test_the_reference_stands_beside_the_checkout():
    assert (REFERENCE / "dwv" / "examples.json").is_file()
    assert len(FILES) == 32


@pytest.mark.parametrize("name", [file for file in FILES if file not in OWN])
def test_every_cell_in_the_package_equals_the_reference(name):
    assert [dict(row) for row in rows(name)] == table(name)


@pytest.mark.parametrize("name", FILES)
def test_every_figure_keeps_its_provenance(name):
    for row in rows(name):
        words = [value for key, value in row.items() if "provenance" in key]
        assert not words or all(words), row
    with (DATA / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        assert next(csv.reader(file))


def cells_of(*names):
    found = []
    for name in names:
        found += gas.table(name).entries
    return found


def errors(entries, drop):
    return [
        abs(gas.equation_cfh(e.bore_in, e.length_ft, drop) / e.capacity - 1)
        for e in entries
    ]


# supply/README.md: "median error 0.1 percent or less per table, largest 1.2 percent".
@pytest.mark.parametrize(
    ("name", "drop"),
    [("402.4(1)", 0.3), ("402.4(2)", 0.5), ("402.4(3)", 3.0), ("402.4(4)", 6.0),
     ("402.4(20)", 0.3), ("402.4(21)", 0.5)],
)  # fmt: skip
def test_the_gas_equation_reproduces_every_cell_of_the_low_pressure_tables(name, drop):
    found = errors(cells_of(name), drop)

    assert len(found) >= 48
    assert median(found) <= 0.0012
    assert max(found) <= 0.013


def test_the_2_psi_equation_reproduces_the_polyethylene_table():
    found = [
        abs(
            gas.equation_2psi_cfh(e.bore_in, e.length_ft, inlet_psi=2, drop_psi=1)
            / e.capacity
            - 1
        )
        for e in cells_of("402.4(22)")
    ]

    assert len(found) == 48
    assert median(found) <= 0.0015
    assert max(found) <= 0.0055


def test_the_2_psi_equation_is_unsafe_for_steel_and_never_fills_between_its_rows():
    # README: up to 13 percent over for Schedule 40 at 2 psi.
    over = [
        gas.equation_2psi_cfh(e.bore_in, e.length_ft, inlet_psi=2, drop_psi=1)
        / e.capacity
        - 1
        for e in cells_of("402.4(5)")
    ]

    assert 0.10 < max(over) < 0.14
    assert gas.between_rows(gas.table("402.4(5)"), "3/4", 35) is None
    assert gas.between_rows(gas.table("402.4(15)"), "EHD 18", 35) is None


def test_between_two_rows_the_equation_never_leaves_the_cells_beside_it():
    steel = gas.table("402.4(2)")
    for size in steel.sizes:
        for short, long in zip(steel.lengths, steel.lengths[1:], strict=False):
            value = gas.between_rows(steel, size, (short + long) / 2)
            assert (
                gas.capacity(steel, size, long).capacity
                <= value
                <= gas.capacity(steel, size, short).capacity
            )


# README: PEX, CPVC, PVC charts within 1 to 2.5 percent (CPVC 2 in. 5 percent).
LIMITS = {
    "PEX SDR-9": 0.06,
    "PEX SDR-9, sheet bore": 0.06,
    "CPVC CTS SDR-11": 0.055,
    "PVC Schedule 40": 0.035,
    "PVC class 315 (SDR 13.5)": 0.025,
    "copper type L": 0.035,
}


def test_friction_equals_the_printed_values_within_what_the_reference_found():
    by_material = {}
    counted = 0
    for row in table("supply/friction_reference"):
        c = 138.0 if row["material"].startswith("copper") else 150.0
        loss = float(row["loss"])
        if row["unit"] == "ft/100 ft":
            loss /= 2.31
        found = water.friction_psi_per_100ft(
            float(row["flow_gpm"]), float(row["inner_diameter_in"]), c
        )
        counted += 1
        if row["confidence"] == "high":
            by_material.setdefault(row["material"], []).append(abs(found / loss - 1))

    assert counted == 211
    assert set(by_material) <= set(LIMITS)
    for material, found in by_material.items():
        assert median(found) <= 0.025, material
        # Values printed with one figure are coarse: nine of ten must lie close.
        close = sum(error <= LIMITS[material] for error in found)
        assert close / len(found) >= 0.9, (material, sorted(found)[-6:])


@pytest.mark.parametrize(
    ("material", "size", "gpm"),
    [("PEX SDR-9", "1/2", 3), ("PEX SDR-9", "1", 15), ("CPVC CTS SDR-11", "3/4", 8),
     ("PVC Schedule 40", "1-1/2", 30)],
)  # fmt: skip
def test_hazen_williams_stands_where_the_reference_says_against_darcy(
    material, size, gpm
):
    # README: Darcy, smooth wall, gives 2 to 12 percent more at 60 F (fluids library).
    bore, c, _ = water.pipe(material, size)
    metre = bore * 0.0254
    speed = gpm * 3.785411784e-3 / 60 / (3.141592653589793 * metre**2 / 4)
    density, viscosity = 999.0, 1.12e-3
    factor = fluids.friction_factor(
        Re=fluids.Reynolds(V=speed, D=metre, rho=density, mu=viscosity), eD=0
    )
    pascal = factor * 30.48 / metre * density * speed**2 / 2

    darcy = pascal / 6894.757

    ratio = darcy / water.friction_psi_per_100ft(gpm, bore, c)
    assert 1.0 <= ratio <= 1.13


@pytest.mark.parametrize(
    "size", ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "4", "6"]
)
def test_outside_diameters_of_pipe_equal_the_fluids_library(size):
    _, _, outside, _ = fluids.nearest_pipe(NPS=inches(size), schedule="40")

    od, _ = shields.outside_diameter(inches(size), "PVC")

    assert od == pytest.approx(outside / 0.0254, abs=0.006)


@pytest.mark.parametrize("size", ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2"])
def test_schedule_40_bores_equal_the_fluids_library(size):
    _, inside, _, _ = fluids.nearest_pipe(NPS=inches(size), schedule="40")

    bore, _, _ = water.pipe("PVC Schedule 40", size)

    assert bore == pytest.approx(inside / 0.0254, abs=0.012)


@pytest.mark.parametrize("size", ["1/2", "3/4", "1"])
def test_tube_is_an_eighth_over_its_nominal_and_sdr_9_leaves_the_printed_bore(size):
    # ASTM F876: wall is the outside diameter over nine, at least 0.070 in.
    od, _ = shields.outside_diameter(inches(size), "PEX SDR-9")
    bores = {
        row["size_in"]: float(row["inner_diameter_in"])
        for row in table("supply/pipe_dimensions")
        if row["material"] == "PEX SDR-9, at minimum wall"
    }

    assert od == inches(size) + 0.125
    assert bores[size] == pytest.approx(od - 2 * max(od / 9, 0.070), abs=0.003)
