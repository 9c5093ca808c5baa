"""The `size` command on cases that nobody printed: other books, sizes, mistakes."""

import io
import json
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from phases.sizing.cases import CHECKS, size
from phases.sizing.cases.command import run
from tests.sizing.reference import examples

ALL = [*examples("dwv"), *examples("supply")]


def ask(check, **inputs):
    return size({"id": "x", "check": check, "inputs": inputs})


def result(check, **inputs):
    return ask(check, **inputs)["result"]


def part(found, *keys):
    return {key: found[key] for key in keys}


@pytest.mark.parametrize(
    ("code", "longest"),
    [("IPC", 6), ("IRC", 6), ("UPC", 3.5)],
)
def test_an_arm_is_held_to_the_length_of_its_own_book(code, longest):
    answer = ask(
        "trap_arm_fall", trap_arm_in=1.5, slope_in_per_ft=0.25, length_ft=5, code=code
    )

    assert answer["limit"]["max_length_ft"] == longest
    assert answer["result"]["passes"] is (longest >= 5)


def test_the_theory_of_a_flat_arm_is_said_to_fail_both_ways():
    found = result(
        "trap_arm_max_by_fall",
        trap_arm_in=2,
        slope_in_per_ft=0.125,
        code="physics only",
    )

    assert part(found, "max_length_ft", "passes") == {
        "max_length_ft": 16,
        "passes": False,
    }


def test_a_flat_arm_is_capped_by_the_table_when_a_book_is_named():
    found = result(
        "trap_arm_max_by_fall", trap_arm_in=3, slope_in_per_ft=0.125, code="IRC"
    )

    assert part(found, "max_length_ft", "length_by_fall_ft", "slope_passes") == {
        "max_length_ft": 12,
        "length_by_fall_ft": 24,
        "slope_passes": True,
    }


def test_upc_takes_three_closets_on_a_3_in_branch_and_no_fourth():
    fixtures = [{"key": "water_closet", "count": 3}]
    more = [{"key": "water_closet", "count": 4}]

    assert result("horizontal_branch", code="UPC", fixtures=fixtures)["3_in_passes"]
    assert not result("horizontal_branch", code="UPC", fixtures=more)["3_in_passes"]
    assert result("horizontal_branch", code="UPC", fixtures=more)["min_pipe_in"] == 4
    assert result("horizontal_branch", code="IRC", fixtures=more)["min_pipe_in"] == 3


def test_a_closet_never_fits_a_pipe_under_3_in():
    found = result("horizontal_branch", code="IPC", fixtures=[{"key": "water_closet"}])

    assert part(found, "total_dfu", "2_in_passes", "2.5_in_passes", "min_pipe_in") == {
        "total_dfu": 3,
        "2_in_passes": False,
        "2.5_in_passes": False,
        "min_pipe_in": 3,
    }


@pytest.mark.parametrize(
    ("code", "dfu", "intervals", "least"),
    [("IPC", 48, 3, 3), ("IPC", 60, 3, 4), ("IPC", 60, 4, 3), ("IRC", 48, 2, 3),
     ("IRC", 49, 2, 4), ("UPC", 48, 2, 3), ("UPC", 49, 2, 4)],
)  # fmt: skip
def test_a_stack_is_read_in_the_column_of_its_book(code, dfu, intervals, least):
    found = result("stack", code=code, dfu=dfu, branch_intervals=intervals)

    assert found["min_stack_in"] == least


@pytest.mark.parametrize(
    ("code", "inputs", "vent"),
    [
        ("IPC", {"drain_in": 4}, 2),
        ("IPC", {"drain_in": 1.5}, 1.25),
        ("IPC", {"drain_in": 3, "developed_length_ft": 41}, 2),
        ("IPC", {"drain_in": 3, "developed_length_ft": 40}, 1.5),
        ("IRC", {"fixture": "water_closet"}, 1.5),
        ("UPC", {"fixture": "water_closet"}, 2),
        ("UPC", {"drain_in": 2}, 1.25),
    ],
)
def test_an_individual_vent_is_half_the_drain_with_the_exceptions(code, inputs, vent):
    assert result("individual_vent", code=code, **inputs)["min_vent_in"] == vent


@pytest.mark.parametrize(
    ("tons", "pipe"),
    [(3, 0.75), (20, 0.75), (20.1, 1), (40, 1), (90, 1.25), (125, 1.5), (250, 2)],
)
def test_condensate_is_read_by_its_step(tons, pipe):
    assert result("condensate_size", code="IMC", tons=tons)["min_pipe_in"] == pipe
    assert result("condensate_size", code="UPC", tons=tons)["min_pipe_in"] == pipe


def test_condensate_past_the_table_is_refused():
    assert "ends at 250 tons" in ask("condensate_size", tons=251)["refused"]


def test_static_head_is_0_433_a_foot_and_half_a_pound_with_the_upc_table():
    assert result("static_head", height_ft=20)["static_psi"] == 8.66
    assert result("static_head", height_ft=20, code="UPC")["static_psi"] == 10


def test_tankless_flow_equals_the_table_of_the_reference():
    found = result("tankless_flow", input_btu_h=199000, efficiency=0.82, rise_f=70)

    assert found["flow_gpm"] == 4.66


def test_branch_length_sizes_a_near_outlet_by_its_own_row():
    inputs = {
        "material": "Schedule 40 metallic pipe", "table": "402.4(2)",
        "outlets_btu_h": {"far": 75000, "near": 100000},
        "outlet_length_ft": {"far": 60, "near": 20},
        "sections": {"main": ["far", "near"]},
    }  # fmt: skip

    by_branch = result("gas_branch_length", **inputs)
    by_longest = result("gas_longest_length", **inputs, longest_length_ft=60)

    assert by_branch["size_in"] == {"far": "3/4", "near": "1/2", "main": "1"}
    assert by_longest["size_in"] == {"far": "3/4", "near": "3/4", "main": "1"}


def test_csst_is_named_by_its_ehd_and_only_sizes_on_hand_are_chosen():
    inputs = {
        "material": "CSST", "table": "402.4(15)", "longest_length_ft": 45,
        "outlets_btu_h": {"range": 65000},
    }  # fmt: skip

    free = result("gas_longest_length", **inputs)
    held = result("gas_longest_length", **inputs, available_ehd=[13, 18, 30])

    assert free["ehd"] == {"range": 23}
    assert held["ehd"] == {"range": 30}


@pytest.mark.parametrize("length", [201, 5000])
def test_a_length_past_the_gas_table_is_refused(length):
    answer = ask(
        "gas_longest_length", material="steel", longest_length_ft=length,
        outlets_btu_h={"A": 1000},
    )  # fmt: skip

    assert "ends at 200 ft" in answer["refused"]


def test_heavier_gas_lowers_what_the_table_carries():
    inputs = {
        "material": "steel", "longest_length_ft": 60, "outlets_btu_h": {"A": 65000},
    }  # fmt: skip

    assert result("gas_longest_length", **inputs)["size_in"]["A"] == "1/2"
    heavier = result("gas_longest_length", **inputs, specific_gravity=0.65)
    assert heavier["size_in"]["A"] == "3/4"


@pytest.mark.parametrize(
    ("check", "inputs", "key"),
    [
        ("fall_over_run", {"run_m": 6, "slope_in_per_ft": 0.25}, "run_m"),
        ("fall_over_run", {"run_ft": 6, "slope_pct": 2}, "slope_pct"),
        ("fall_over_run", {"run_ft": "20 ft", "slope_in_per_ft": 0.25}, "run_ft"),
        ("fall_over_run", {"run_ft": 0, "slope_in_per_ft": 0.25}, "run_ft"),
        ("fall_over_run", {"run_ft": -3, "slope_in_per_ft": 0.25}, "run_ft"),
        ("fall_over_run", {"run_ft": math.nan, "slope_in_per_ft": 1}, "run_ft"),
        ("fall_over_run", {"run_ft": math.inf, "slope_in_per_ft": 1}, "run_ft"),
        ("fall_over_run", {"run_ft": True, "slope_in_per_ft": 1}, "run_ft"),
        ("fall_over_run", {"run_ft": 10}, "slope_in_per_ft"),
        ("horizontal_branch", {"code": "NSPC", "dfu": 3}, "code"),
        ("horizontal_branch", {"dfu": 3}, "code"),
        ("horizontal_branch", {"code": "IPC", "fixtures": [{"key": "fountain"}]},
         "fixtures[0].key"),
        ("individual_vent", {"code": "IPC", "drain_in": 2.2}, "drain_in"),
        ("individual_vent", {"code": "IPC", "drain_mm": 50}, "drain_mm"),
        ("tankless_flow", {"input_kw": 50, "efficiency": 0.9, "rise_f": 60},
         "input_kw"),
        ("gas_longest_length",
         {"material": "wood", "outlets_btu_h": {"A": 1}, "longest_length_ft": 9},
         "material"),
        ("gas_longest_length",
         {"material": "steel", "outlets_btu_h": {"A": -1}, "longest_length_ft": 9},
         "outlets_btu_h.A"),
        ("gas_longest_length",
         {"material": "steel", "outlets_btu_h": {"A": 1}, "longest_length_ft": 9,
          "sections": {"1": ["B"]}}, "sections.1"),
        ("peak_hour_demand", {"uses": {"shower": [3]}}, "uses.shower"),
        ("stack", {"code": "IPC", "dfu": 4, "floors": 1.5}, "floors"),
    ],
)  # fmt: skip
def test_a_bad_input_is_named_by_its_key(check, inputs, key):
    answer = ask(check, **inputs)

    assert set(answer) == {"id", "error"}
    assert answer["error"]["key"] == key
    assert answer["error"]["message"]


@pytest.mark.parametrize(
    ("case", "key"),
    [
        ({"id": 1, "check": "horoscope", "inputs": {}}, "check"),
        ({"id": 1, "inputs": {}}, "check"),
        ({"id": 1, "check": "stack"}, "inputs"),
        ({"id": 1, "check": "stack", "inputs": [1]}, "inputs"),
        ({"id": 1, "check": ["stack"], "inputs": {}}, "check"),
        ("stack", "case"),
        (None, "case"),
    ],
)
def test_a_case_of_the_wrong_shape_is_an_error(case, key):
    assert size(case)["error"]["key"] == key


def test_one_bad_case_does_not_stop_the_others():
    good = {"id": "g", "check": "head_to_pressure", "inputs": {"head_ft": 10}}

    answers = size([{"id": "b"}, good])

    assert [("error" in answer) for answer in answers] == [True, False]
    assert answers[1]["result"]["psi"] == 4.3


@pytest.mark.parametrize(
    ("text", "status", "key"),
    [
        ("{", 1, "json"),
        ("[]", 0, None),
        ('{"id": 1}', 0, "inputs"),
        ("\xff", 1, "json"),
    ],
)
def test_only_an_input_that_is_no_json_ends_with_status_1(text, status, key):
    target = io.StringIO()

    assert run(io.BytesIO(text.encode("latin-1")), target) == status
    answer = json.loads(target.getvalue())
    if key:
        assert answer["error"]["key"] == key
    else:
        assert answer == []


JUNK = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=6),
    st.lists(st.integers(), max_size=2),
    st.dictionaries(st.text(max_size=4), st.integers(), max_size=2),
)  # fmt: skip


@given(st.data())
@settings(max_examples=200, deadline=None)
def test_no_input_however_wrong_ends_in_anything_but_one_of_three_answers(data):
    example = data.draw(st.sampled_from(ALL))
    inputs = dict(example["inputs"])
    check = example.get("check") or inputs.pop("check")
    check = data.draw(st.sampled_from([check, *sorted(CHECKS)]))
    for key in data.draw(st.lists(st.sampled_from(sorted(inputs)), max_size=2)):
        inputs[key] = data.draw(JUNK)

    answer = size({"id": 1, "check": check, "inputs": inputs})

    assert len({"result", "error", "refused"} & set(answer)) == 1
    json.dumps(answer, allow_nan=False)
