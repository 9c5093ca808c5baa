"""More of the `size` command: the checks that no printed example names."""

import pytest

from phases.sizing.cases import size


def ask(check, **inputs):
    return size({"id": "x", "check": check, "inputs": inputs})


def result(check, **inputs):
    return ask(check, **inputs)["result"]


def test_a_stack_is_not_held_to_an_interval_load_that_nobody_gave():
    whole = result("stack", code="IPC", stack_in=3, dfu=48, branch_intervals=2)
    heavy = result(
        "stack", code="IPC", stack_in=3, dfu=48, branch_intervals=2, interval_dfu=24
    )

    assert (whole["passes"], whole["max_dfu"]) == (True, 48)
    assert (heavy["passes"], heavy["per_interval_limit"]) == (False, 20)
    assert heavy["min_stack_in"] == 4


def test_a_hybrid_system_of_steel_is_read_in_both_tables():
    found = result(
        "gas_hybrid",
        material="Schedule 40 metallic pipe",
        high_side={
            "inlet_psi": 2, "drop_psi": 1, "table": "402.4(5)",
            "section_A": {"length_ft": 60, "load_cfh": 300},
        },
        low_side={
            "drop_in_wc": 0.5, "table": "402.4(2)",
            "section_B": {"length_ft": 20, "load_cfh": 100},
            "section_C": {"length_ft": 30, "load_cfh": 200},
        },
        regulator_loss_in_wc=4,
    )  # fmt: skip

    assert found["size_in"] == {"A": "1/2", "B": "1/2", "C": "1"}
    assert (found["total_cfh"], found["capacity_of_A_cfh"]) == (300, 615)
    assert found["regulator_loss_passes"]


@pytest.mark.parametrize(
    ("check", "inputs", "key", "value"),
    [
        ("head_to_pressure", {"head_ft": 1}, "psi", 0.43),
        ("gas_test_pressure", {"code": "IFGC", "working_psi": 5}, "required_psig", 7.5),
        ("gas_test_pressure", {"working_in_wc": 7}, "working_psi", 0.25),
        ("condensate_size", {"tons": [15, 10]}, "min_pipe_in", 1),
        ("shield_plate_width", {"code": "UPC", "pipe_nominal_in": 2}, "min_plate_in",
         5.375),
        ("cleanouts", {"code": "UPC", "turns_deg": [90, 90],
                       "developed_length_ft": 120}, "cleanouts", 3),
        ("cleanouts", {"code": "IRC", "turns_deg": [], "developed_length_ft": 101},
         "cleanouts", 2),
        ("aggregate_vent_area", {"code": "UPC", "sewer_in": 4, "vent_in": 3},
         "vents_needed", 2),
        ("aggregate_vent_area", {"code": "UPC", "sewer_in": 4,
                                 "vents_in": [3, 2, 1.5]}, "passes", False),
        ("aggregate_vent_area", {"code": "IRC", "sewer_in": 4, "vent_in": 2},
         "two_vents_pass", True),
        ("vent_table", {"code": "UPC", "dfu": 24, "vent_in": "2", "closets": 1,
                        "developed_length_ft": 121}, "passes", False),
        ("wet_vent", {"code": "IPC", "pipe_in": 2, "dfu": 5}, "passes", False),
        ("building_drain", {"code": "UPC", "dfu": 36}, "min_pipe_in", 4),
        ("building_drain", {"code": "IPC", "dfu": 42}, "min_pipe_in", 2.5 + 0.5),
        ("min_slope", {"code": "IRC", "pipe_in": 3}, "min_slope_in_per_ft", 0.125),
        ("min_slope", {"code": "UPC", "pipe_in": 3}, "min_slope_in_per_ft", 0.25),
        ("water_demand", {"code": "IPC", "wsfu": 15}, "gpm", 17.5),
        ("pipe_volume", {"material": "copper M", "size_in": "3/4", "limit_gal": 0.5},
         "longest_ft", 18.66),
        ("peak_hour_demand", {"uses": {"shower": 2, "bath": 1}}, "peak_hour_gal", 33),
        ("tankless_flow", {"input_btu_h": 150000, "efficiency": 0.82, "rise_f": 45},
         "flow_gpm", 5.46),
    ],
)  # fmt: skip
def test_a_check_reads_its_table(check, inputs, key, value):
    assert result(check, **inputs)[key] == value


@pytest.mark.parametrize(
    ("check", "inputs", "words"),
    [
        ("vent_table", {"code": "IPC", "dfu": 9, "vent_in": 2}, "no vent length table"),
        ("horizontal_branch", {"code": "IRC", "dfu": 161}, "carries 161 units"),
        ("trap_arm_fall", {"code": "IRC", "trap_arm_in": 6, "slope_in_per_ft": 0.25,
                           "length_ft": 3}, "no trap arm of 6 in."),
        ("water_size_table", {"meter_and_service_in": "5/8", "length_ft": 40,
                              "wsfu": 5}, "no 5/8 in. meter"),
        ("water_size_table", {"meter_and_service_in": "3/4", "length_ft": 501,
                              "wsfu": 5}, "ends at 500 ft"),
        ("gas_longest_length", {"material": "CSST", "table": "402.4(16)",
                                "outlets_btu_h": {"A": 1}, "longest_length_ft": 9},
         "402.4(16) is not in the reference"),
        ("gas_longest_length", {"material": "steel", "outlets_btu_h": {"A": 9e8},
                                "longest_length_ft": 9}, "No size of table"),
    ],
)  # fmt: skip
def test_what_the_reference_does_not_hold_is_refused_with_a_reason(
    check, inputs, words
):
    answer = ask(check, **inputs)

    assert set(answer) == {"id", "refused"}
    assert words in answer["refused"]


def test_inputs_that_no_check_knows_are_named_not_hidden():
    answer = ask("head_to_pressure", head_ft=10, mood="good")

    assert answer["ignored"] == ["mood"]


def test_every_answer_names_its_cells_with_provenance():
    answer = ask("individual_vent", code="UPC", fixture="water_closet")

    assert answer["source"] == "UPC 2024 908.1.2"
    assert [(c["id"], c["value"]) for c in answer["cells"]] == [("VNT-023", "2")]
    assert answer["provenance"] == "published"
    memory = ask("condensate_size", code="UPC", tons=3)
    assert memory["provenance"] == "memory"


@pytest.mark.parametrize("case_id", [float("nan"), {"a": 1}, [[1]], float("inf")])
def test_an_id_that_cannot_be_printed_is_worded(case_id):
    answer = size({"id": case_id, "check": "head_to_pressure", "inputs": {}})

    assert isinstance(answer["id"], str)
    assert answer["error"]["key"] == "head_ft"


def test_a_long_value_is_cut_in_the_message():
    answer = ask("head_to_pressure", head_ft="9" * 5000)

    assert len(answer["error"]["message"]) < 120


def test_a_pressure_given_both_ways_is_taken_in_inches():
    found = result("gas_test_pressure", working_in_wc=14, working_psi=0.5)

    assert found["required_psig"] == 3
