"""The `size` command at the edge of every published cell: the cell passes, more fails.

Source: the cells of shared/reference/dwv and supply, each with its own provenance.
"""

import pytest

from phases.sizing.cases import size
from tests.sizing.reference import table

GAS = ("gas_schedule40", "gas_csst", "gas_csst_propane", "gas_polyethylene")
# Two names of one table, and tables of makers and older books without a number.
NUMBERED = ("402.4(", "G2413.4(")


def result(check, **inputs):
    answer = size({"id": "x", "check": check, "inputs": inputs})
    return answer.get("result", answer)


def gas_cells():
    rows = [row for name in GAS for row in table(f"supply/{name}")]
    return [row for row in rows if row["table_section"].startswith(NUMBERED)]


def sized(row, load):
    """Size and capacity of one branch at the row's length, that size alone on hand."""
    ehd = row["size"].startswith("EHD")
    unit = "load_cfh" if row["unit"] == "cfh" else "load_btu_h"
    on_hand = {"available_ehd": [int(row["size"].split()[1])]} if ehd else {
        "available_sizes_in": [row["size"]]
    }  # fmt: skip
    return result(
        "gas_branch_length", material=row["material"], table=row["table_section"],
        branch_length_ft=float(row["length_ft"]), **{unit: load}, **on_hand,
    )  # fmt: skip


def test_a_gas_cell_carries_its_figure_and_not_one_more():
    cells = gas_cells()
    wrong = []
    for row in cells:
        scale = 1 if row["unit"] == "cfh" else 1000
        capacity = float(row["capacity"]) * scale
        at, over = sized(row, capacity), sized(row, capacity + scale)
        name = row["size"].removeprefix("EHD ")
        if str(at.get("size_in", at.get("ehd"))) != name or "refused" not in over:
            wrong.append((row["table_section"], row["size"], row["length_ft"]))

    assert wrong == []
    assert len(cells) > 800


def test_between_two_rows_of_a_gas_table_the_longer_row_is_read():
    short = {"material": "steel", "table": "402.4(2)", "load_cfh": 72}

    at_50 = result("gas_branch_length", **short, branch_length_ft=50)
    past_50 = result("gas_branch_length", **short, branch_length_ft=50.1)

    assert (at_50["size_in"], at_50["capacity_cfh"]) == ("1/2", 72)
    assert (past_50["size_in"], past_50["row_ft"]) == ("3/4", 60)


def branch_rows(code, element):
    return [
        row
        for row in table("dwv/02_drain_capacity")
        if (row["code"], row["element"]) == (code, element) and row["max_dfu"]
    ]


@pytest.mark.parametrize(
    ("code", "element"),
    [("IPC", "horizontal_branch"), ("IRC", "horizontal_branch"),
     ("UPC", "drain_horizontal")],
)  # fmt: skip
def test_a_branch_carries_its_cell_and_not_one_unit_more(code, element):
    for row in branch_rows(code, element):
        size_in, most = row["pipe_size_in"], float(row["max_dfu"])
        at = result("horizontal_branch", code=code, pipe_in=float(size_in), dfu=most)
        over = result(
            "horizontal_branch", code=code, pipe_in=float(size_in), dfu=most + 1
        )
        passed_over = over.get("passes", False)
        assert (at["max_dfu"], at["passes"], passed_over) == (most, True, False), row


@pytest.mark.parametrize(
    ("code", "element", "floors"),
    [("IPC", "stack_total_3_intervals_or_less", 2),
     ("IPC", "stack_total_more_than_3_intervals", 4),
     ("IRC", "stack", 2), ("UPC", "drain_vertical", 2)],
)  # fmt: skip
def test_a_stack_alone_asks_for_its_cell(code, element, floors):
    for row in branch_rows(code, element):
        found = result(
            "stack", code=code, stack_in=float(row["pipe_size_in"]),
            branch_intervals=floors,
        )  # fmt: skip
        assert found["max_dfu"] == float(row["max_dfu"]), row


@pytest.mark.parametrize("code", ["IPC", "IRC"])
def test_a_building_drain_carries_the_cell_of_its_slope(code):
    for row in branch_rows(code, "building_drain_or_sewer"):
        found = result(
            "building_drain", code=code, pipe_in=float(row["pipe_size_in"]),
            slope_in_per_ft=float(row["slope_in_per_ft"]), dfu=float(row["max_dfu"]),
        )  # fmt: skip
        assert found["max_dfu"] == float(row["max_dfu"]), row


def test_every_column_of_the_supply_tables_passes_at_its_units_and_fails_past_them():
    for row in table("supply/supply_sizing_table"):
        code = row["code"].split("/")[0].strip()
        main, most = row["distribution_in"], float(row["max_wsfu"])
        asked = {
            "code": code, "meter_and_service_in": row["meter_and_service_in"],
            "length_ft": float(row["developed_length_ft"]), "distribution_in": main,
            "pressure_range_psi": row["pressure_range_psi"],
        }  # fmt: skip
        at = result("water_size_table", wsfu=most, **asked)
        over = result("water_size_table", wsfu=most + 0.1, **asked)
        assert (at["passes"], at["max_wsfu"], over["passes"]) == (True, most, False)


def test_a_vent_of_the_upc_table_takes_its_units_and_length():
    rows = {
        row["item"]: float(row["value"])
        for row in table("dwv/05_vents")
        if row["topic"] == "vent_table"
    }
    for size_in in ("1.25", "1.5", "2", "2.5", "3", "4"):
        dfu = rows[f"max_dfu_on_{size_in}_in_vent"]
        longest = rows[f"max_length_of_{size_in}_in_vent"]
        asked = {"code": "UPC", "vent_in": float(size_in)}

        assert result("vent_table", dfu=dfu, length_ft=longest, **asked)["passes"]
        assert not result("vent_table", dfu=dfu + 1, **asked)["passes"]
        assert not result("vent_table", length_ft=longest + 0.1, **asked)["passes"]


def test_the_worked_flows_and_inputs_of_the_heater_file_come_out_again():
    rows = [
        row for row in table("supply/water_heater") if row["topic"] == "tankless flow"
    ]
    for row in rows:
        words = row["item"].replace(",", "").split()
        found = result(
            "tankless_flow", input_btu_h=float(words[1]), efficiency=float(words[4]),
            rise_f=float(words[6]),
        )  # fmt: skip
        assert found["flow_gpm"] == float(row["value"]), row
    assert len(rows) == 16
