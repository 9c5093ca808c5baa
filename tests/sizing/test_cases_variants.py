"""The `size` command on shapes and units as people write them."""

import json
from copy import deepcopy

import pytest

from phases.sizing.cases import size
from tests.sizing.reference import examples


def ask(check, **inputs):
    return size({"id": "x", "check": check, "inputs": inputs})


def result(check, **inputs):
    return ask(check, **inputs)["result"]


STEEL = {"material": "Schedule 40 metallic pipe", "table": "402.4(2)"}
# Row 50 of 402.4(2): 1/2 72, 3/4 151, 1 284; row 30: 1/2 95.
WANTED = {"A": "1", "B": "1/2", "C": "3/4"}


@pytest.mark.parametrize(
    "sections",
    [
        {"A": {"load_cfh": 220, "length_ft": 50},
         "B": {"load_cfh": 75, "length_ft": 30},
         "C": {"load_btu_h": 145000, "length_ft": 50}},
        [{"name": "A", "load_cfh": 220, "branch_length_ft": 50},
         {"section": "B", "load_cfh": 75, "length_ft": 30},
         {"name": "C", "load_cfh": 145}],
        {"A": {"length_ft": 20}, "B": {"length_ft": 10, "under": "A", "load_cfh": 75},
         "C": {"length_ft": 30, "under": "A", "load_cfh": 145}},
        {"A": {"length_ft": 20, "path": ["A", "C"], "load_cfh": 220},
         "B": {"length_ft": 10, "path": ["A", "B"], "load_cfh": 75},
         "C": {"length_ft": 30, "path": ["A", "C"], "load_cfh": 145}},
    ],
)  # fmt: skip
def test_a_branch_is_sized_by_its_own_length_however_the_parts_are_written(sections):
    found = result(
        "gas_branch_length", **STEEL, sections=sections, longest_length_ft=50
    )

    assert found["size_in"] == WANTED
    assert found["row_ft"] == {"A": 50, "B": 30, "C": 50}


def test_sections_may_stand_beside_each_other_or_serve_named_outlets():
    apart = result(
        "gas_branch_length", **STEEL, section_A={"load_cfh": 220, "length_ft": 50},
        section_B={"load_cfh": 75, "length_ft": 30},
        section_C={"load_cfh": 145, "length_ft": 50},
    )  # fmt: skip
    served = result(
        "gas_branch_length", **STEEL, outlets_btu_h={"range": 75000, "dryer": 35000},
        sections={"main": {"outlets": ["range", "dryer"], "length_ft": 50},
                  "range": {"length_ft": 30}},
    )  # fmt: skip

    assert apart["size_in"] == WANTED
    assert served["cfh"] == {"main": 110, "range": 75}
    assert served["size_in"] == {"main": "3/4", "range": "1/2"}


def test_one_branch_without_a_name_has_its_figures_alone():
    found = result("gas_branch_length", **STEEL, load_cfh=75, branch_length_ft=30)

    assert found == {"cfh": 75, "size_in": "1/2", "capacity_cfh": 95, "row_ft": 30}


@pytest.mark.parametrize(
    ("sections", "key"),
    [
        ({"A": {"length_ft": 2, "under": "B", "load_cfh": 1},
          "B": {"length_ft": 2, "under": "A"}}, "sections.B.under"),
        ({"A": {"length_ft": 2, "under": "Z", "load_cfh": 1}}, "sections.A.under"),
        ({"A": {"length_m": 2, "load_cfh": 1}}, "sections.A.length_m"),
        ({"A": {"length_ft": 2, "load_kw": 1}}, "sections.A.load_kw"),
        ({"A": {"length_ft": 0, "load_cfh": 1}}, "sections.A.length_ft"),
        ({"A": {"length_ft": 2}}, "sections.A.load_btu_h"),
        ({"A": {"length_ft": 2, "path": ["Q"], "load_cfh": 1}}, "sections.A.path"),
        ([{"length_ft": 2, "load_cfh": 1}], "sections[0].section"),
        ([7], "sections[0]"),
    ],
)  # fmt: skip
def test_a_bad_section_is_named(sections, key):
    answer = ask("gas_branch_length", **STEEL, sections=sections)

    assert answer["error"]["key"] == key


@pytest.mark.parametrize(
    ("inputs", "words"),
    [
        ({"material": "semirigid copper tubing", "table": "402.4(9)"}, "402.4(9)"),
        ({"material": "copper"}, "no gas table of copper"),
        ({"material": "PA-11 polyamide"}, "no gas table of polyamide"),
    ],
)
def test_pipe_whose_table_the_reference_lacks_is_refused_not_wrong(inputs, words):
    answer = ask("gas_branch_length", load_cfh=35, branch_length_ft=30, **inputs)

    assert set(answer) == {"id", "refused"}
    assert words in answer["refused"]


@pytest.mark.parametrize(
    ("check", "inputs", "key"),
    [
        ("water_segmented_loss", {"main_psi": 55, "highest_fixture_psi": 15,
         "meter_loss_kpa": 11, "height_ft": 21}, "meter_loss_kpa"),
        ("available_pressure", {"static_psi": 68, "residual_psi": 8,
         "filter_loss_ft": 4, "height_ft": 9}, "filter_loss_ft"),
        ("tankless_flow", {"flow_lps": 0.2, "efficiency": 0.9, "rise_f": 40},
         "flow_lps"),
        ("tankless_flow", {"input_btu_h": 9e4, "efficiency": 0.9, "rise_c": 40},
         "rise_c"),
        ("tankless_flow", {"input_btu_h": 9e4, "efficiency": 0.9}, "rise_f"),
        ("tankless_flow", {"input_btu_h": 9e4, "efficiency": 1.2, "rise_f": 40},
         "efficiency"),
        ("pipe_volume", {"material": "copper M", "size_in": "3/4", "limit_gal": 1,
         "volume_ml_per_m": 9}, "volume_ml_per_m"),
        ("condensate_size", {"code": "IMC", "cooling_kw": 10}, "cooling_kw"),
        ("static_head", {"height_m": 3}, "height_m"),
        ("individual_vent", {"code": "IPC", "drain_in": 3, "developed_length_m": 20},
         "developed_length_m"),
        ("water_size_table", {"code": "UPC", "meter_and_service_in": "3/4",
         "length_ft": 60, "wsfu": 9, "pressure_range_psi": "40-50"},
         "pressure_range_psi"),
        ("common_vent", {"code": "UPC", "cases": []}, "cases"),
        ("stack", {"code": "IPC"}, "dfu"),
    ],
)  # fmt: skip
def test_a_figure_in_another_unit_is_told_and_never_left_out(check, inputs, key):
    answer = ask(check, **inputs)

    assert set(answer) == {"id", "error"}
    assert answer["error"]["key"] == key


@pytest.mark.parametrize(
    ("check", "inputs", "wanted"),
    [
        ("tankless_flow", {"input_btu_h": 180000, "efficiency_pct": 95, "rise_F": 70},
         {"flow_gpm": 4.88}),
        ("tankless_flow", {"output_btu_h": 175140, "rise_f": 70}, {"flow_gpm": 5}),
        ("static_head", {"elevation_ft": 20, "main_psi": 60},
         {"static_psi": 8.66, "available_psi": 51.34}),
        ("condensate_size", {"code": "IMC", "capacity_btu_h": 480000},
         {"min_pipe_in": 1}),
        ("branch_and_stack", {"code": "IPC", "mens_group_dfu": 36,
         "womens_group_dfu": 28, "floors": 5},
         {"whole_stack_load": 320, "three_interval_load": 192, "branch_pipe_in": 4}),
        ("shield_plate_width", {"code": "UPC", "pipe_od_in": 3.5,
         "beyond_total_in": 1.5}, {"min_plate_in": 5}),
        ("building_drain", {"code": "IPC", "pipe_in": 3, "slope_in_per_ft": 0.125},
         {"max_dfu": 36}),
        ("stack", {"code": "IPC", "stack_in": 3, "branch_intervals": 5},
         {"stack_pipe_in": 3, "max_dfu": 72}),
        ("water_size_table", {"code": "UPC", "meter_and_service_in": "3/4",
         "length_ft": 60, "wsfu": 20, "pressure_range_psi": "46 to 60 psi"},
         {"distribution_3/4_ok": True, "max_wsfu_3/4": 20}),
    ],
)  # fmt: skip
def test_a_case_is_read_as_people_write_it(check, inputs, wanted):
    found = result(check, **inputs)

    assert {key: found[key] for key in wanted} == wanted


def test_the_gas_test_of_the_upc_is_its_own_row_and_from_memory():
    answer = ask("gas_test_pressure", code="UPC", working_psi=0.25)

    assert answer["result"]["required_psig"] == 3
    assert (answer["source"], answer["provenance"]) == (
        "UPC 2018/2021 1213.3",
        "memory",
    )


def test_an_outlet_on_the_longest_run_needs_no_length_of_its_own():
    found = result(
        "gas_branch_length", **STEEL, loads_cfh={"A": 145, "B": 75},
        branch_lengths_ft={"B": 30}, longest_length_ft=50,
        sections={"main": ["A", "B"]},
    )  # fmt: skip

    assert found["row_ft"] == {"A": 50, "B": 30, "main": 50}
    assert found["size_in"] == {"A": "3/4", "B": "1/2", "main": "1"}


def test_a_chain_without_end_is_an_error_of_its_own_case():
    chain = {
        f"s{n}": {"length_ft": 1, "under": f"s{n - 1}", "load_cfh": 1}
        for n in range(1, 3000)
    }
    chain["s0"] = {"length_ft": 1, "load_cfh": 1}

    answer = ask("gas_branch_length", **STEEL, sections=chain)

    assert answer["error"]["key"] == "sections"


BAD = (
    -1, 0, 1e9, 1e300, 10**400, float("nan"), float("inf"), "x", "", None, True, [], {},
    [[]], "3/4", "1/0",
)  # fmt: skip


def places(value, way=()):
    """Every place in the inputs of an example, objects and lists too."""
    yield way
    inside = value.items() if isinstance(value, dict) else ()
    inside = enumerate(value) if isinstance(value, list) else inside
    for key, part in inside:
        yield from places(part, (*way, key))


@pytest.mark.parametrize(
    "example",
    [*examples("dwv"), *examples("supply")],
    ids=lambda example: example["id"],
)
def test_one_wrong_value_anywhere_is_an_answer_and_never_a_crash(example):
    for way in list(places(example["inputs"]))[1:]:
        for bad in BAD:
            case = deepcopy(example)
            inside = case["inputs"]
            for key in way[:-1]:
                inside = inside[key]
            inside[way[-1]] = bad

            answer = size(case)

            assert len({"result", "error", "refused"} & set(answer)) == 1, (way, bad)
            json.dumps(answer, allow_nan=False)
