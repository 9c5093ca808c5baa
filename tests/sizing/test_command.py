import io
import json
import sys
from types import SimpleNamespace

import pytest
from django.core.management import call_command

from phases.sizing.cases.command import run
from tests.sizing.reference import examples


def ask(monkeypatch, text):
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=io.BytesIO(text.encode())))
    target = io.StringIO()
    monkeypatch.setattr(sys, "stdout", target)
    call_command("size")
    return json.loads(target.getvalue())


def test_the_command_answers_one_object_with_one_object(monkeypatch):
    answer = ask(monkeypatch, json.dumps(examples("dwv")[0]))

    assert (answer["id"], answer["result"]) == ("EX-01", {"fall_in": 5})


def test_a_bad_case_does_not_spoil_the_command_but_no_json_does(monkeypatch):
    answers = ask(monkeypatch, '[{"id": 1, "inputs": {"check": "horoscope"}}]')

    assert answers[0]["error"]["key"] == "check"
    with pytest.raises(SystemExit) as ended:
        ask(monkeypatch, "[")
    assert ended.value.code == 1


def test_half_a_letter_in_an_id_stops_no_other_case():
    target = io.BytesIO()
    text = r'[{"id": "\ud800", "check": "\udfff"}, {"id": "é", "check": "x"}]'

    printed = io.TextIOWrapper(target, "ascii", write_through=True)
    run(io.BytesIO(text.encode()), printed)

    answers = json.loads(target.getvalue())
    assert [answer["id"] for answer in answers] == ["\ud800", "é"]
