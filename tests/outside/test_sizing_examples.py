"""Every worked example of the reference, with the source it names.

Sources: shared/reference/dwv/examples.json (15 published examples) and
supply/examples.json (10), each with its own `source` and `url`.
"""

import io
import json

import pytest

from phases.sizing.cases import size
from phases.sizing.cases.command import run
from tests.sizing.reference import examples

ALL = [*examples("dwv"), *examples("supply")]
# Tables 402.4(16) and (18) are not in the reference: its own note says so.
REFUSED = {"gas-hybrid-2psi-csst": "402.4(18)"}


def keep(found, expected):
    """The part of a result that the example prints, at every depth."""
    if isinstance(expected, dict):
        return {key: keep(found[key], value) for key, value in expected.items()}
    return found


def test_the_reference_holds_the_twenty_five_examples():
    assert len(ALL) == 25
    assert len({example["id"] for example in ALL}) == 25


@pytest.mark.parametrize("example", ALL, ids=lambda example: example["id"])
def test_the_worked_example_comes_out_as_printed_or_is_refused_with_a_reason(example):
    # The answer must come from the inputs alone.
    asked = {key: value for key, value in example.items() if key != "expected"}

    answer = size(asked)

    if example["id"] in REFUSED:
        assert REFUSED[example["id"]] in answer["refused"]
        assert set(answer) == {"id", "refused"}
    else:
        assert keep(answer["result"], example["expected"]) == example["expected"]
        assert answer["source"]
        assert answer["caution"]
        assert answer["provenance"] in {"published", "memory", "computed"}


def test_the_answer_does_not_read_what_is_expected():
    changed = [{**example, "expected": {"anything": 1}} for example in ALL]

    assert size(changed) == size(ALL)


def test_the_command_answers_the_whole_list_in_order_and_ends_well():
    target = io.StringIO()

    status = run(io.BytesIO(json.dumps(ALL).encode()), target)

    answers = json.loads(target.getvalue())
    assert status == 0
    assert [answer["id"] for answer in answers] == [case["id"] for case in ALL]
