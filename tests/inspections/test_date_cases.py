"""Lines of cases: every wrong one is named by its key, and the next is answered."""

import io
import json
import subprocess
import sys
from pathlib import Path

import pytest

from inspections.dates.cases import answer_lines
from inspections.dates.command import run

ROOT = Path(__file__).resolve().parents[2]
RULES = {
    "timezone": "America/New_York",
    "lead": {"unit": "inspection_days", "amount": 1},
}
ASK = {"kind": "earliest", "requested_at": "2026-12-01T09:00"}
ANSWER = {
    "counted_on": "2026-12-01",
    "inspect_on": "2026-12-02",
    "window": None,
    "skipped": [],
}


def line(rules=RULES, ask=ASK, name="a", **more):
    return json.dumps({"id": name, "rules": rules, "ask": ask, **more}).encode()


def only(raw):
    (answer,) = answer_lines([raw])
    return answer


def key_of(raw):
    answer = only(raw)
    assert set(answer["error"]) == {"key", "message"}
    assert answer["error"]["message"].strip()
    return answer["error"]["key"]


@pytest.mark.parametrize(
    ("change", "key"),
    [
        ({"cutof": "15:00"}, "rules.cutof"),
        ({"timezone": "America/Nowhere"}, "rules.timezone"),
        ({"timezone": "../../etc/localtime"}, "rules.timezone"),
        ({"timezone": 5}, "rules.timezone"),
        ({"timezone": None}, "rules.timezone"),
        ({"lead": None}, "rules.lead"),
        ({"lead": {"unit": "inspection_days"}}, "rules.lead.amount"),
        ({"lead": {"amount": 1}}, "rules.lead.unit"),
        ({"lead": {"unit": "days", "amount": 1}}, "rules.lead.unit"),
        ({"lead": {"unit": ["hours"], "amount": 1}}, "rules.lead.unit"),
        ({"lead": {"unit": "hours", "amount": -1}}, "rules.lead.amount"),
        ({"lead": {"unit": "hours", "amount": 1.5}}, "rules.lead.amount"),
        ({"lead": {"unit": "hours", "amount": True}}, "rules.lead.amount"),
        ({"lead": {"unit": "hours", "amount": "24"}}, "rules.lead.amount"),
        ({"lead": {"unit": "hours", "amount": 10**30}}, "rules.lead.amount"),
        ({"lead": {"unit": "hours", "amount": 1, "from": 2}}, "rules.lead.from"),
        ({"inspection_weekdays": []}, "rules.inspection_weekdays"),
        ({"inspection_weekdays": ["Mon"]}, "rules.inspection_weekdays"),
        ({"inspection_weekdays": [0]}, "rules.inspection_weekdays"),
        ({"inspection_weekdays": "mon"}, "rules.inspection_weekdays"),
        ({"request_weekdays": [["mon"]]}, "rules.request_weekdays"),
        ({"holidays": "US"}, "rules.holidays"),
        ({"holidays": {}}, "rules.holidays.country"),
        ({"holidays": {"country": "XX"}}, "rules.holidays.country"),
        ({"holidays": {"country": "HolidayBase"}}, "rules.holidays.country"),
        ({"holidays": {"country": "US", "subdiv": "ZZ"}}, "rules.holidays.subdiv"),
        ({"holidays": {"country": "US", "subdiv": 7}}, "rules.holidays.subdiv"),
        ({"holidays": {"country": "US", "state": "TX"}}, "rules.holidays.state"),
        ({"closed_dates": "2026-12-24"}, "rules.closed_dates"),
        ({"closed_dates": ["2026-02-29"]}, "rules.closed_dates"),
        ({"closed_dates": ["2026-W10-1"]}, "rules.closed_dates"),
        ({"closed_dates": ["0001-01-01"]}, "rules.closed_dates"),
        ({"closed_monthly": [{"weekday": "wed"}]}, "rules.closed_monthly.nth"),
        (
            {"closed_monthly": [{"weekday": "wed", "nth": 6}]},
            "rules.closed_monthly.nth",
        ),
        (
            {"closed_monthly": [{"weekday": "x", "nth": 1}]},
            "rules.closed_monthly.weekday",
        ),
        ({"closed_monthly": {"weekday": "wed", "nth": 2}}, "rules.closed_monthly"),
        ({"cutoff": "15"}, "rules.cutoff"),
        ({"cutoff": "3:00 pm"}, "rules.cutoff"),
        ({"cutoff": "24:00"}, "rules.cutoff"),
        ({"cutoff": "15:60"}, "rules.cutoff"),
        ({"cutoff": 15}, "rules.cutoff"),
        ({"windows": []}, "rules.windows"),
        ({"windows": ["08:00", "12:00"]}, "rules.windows"),
        ({"windows": [["12:00", "08:00"]]}, "rules.windows"),
        ({"windows": [["08:00"]]}, "rules.windows"),
        ({"hours": ["16:00", "16:00"]}, "rules.hours"),
        ({"hours": {"fri": ["08:00", "11:00"]}}, "rules.hours.default"),
        ({"hours": {"default": ["08:00", "x"]}}, "rules.hours.default"),
        ({"hours": {"friday": ["08:00", "11:00"]}}, "rules.hours.friday"),
        ({"hours": None}, "rules.hours"),
        ({"cap_per_day": 0}, "rules.cap_per_day"),
        ({"cap_per_day": "15"}, "rules.cap_per_day"),
        ({"book_ahead_days": -1}, "rules.book_ahead_days"),
        ({"book_ahead_days": 0.5}, "rules.book_ahead_days"),
    ],
)
def test_a_wrong_rule_is_named_by_its_key(change, key):
    assert key_of(line(rules=RULES | change)) == key


@pytest.mark.parametrize(
    ("ask", "key"),
    [
        (None, "ask"),
        ([], "ask"),
        ({}, "ask.kind"),
        ({"kind": "soonest"}, "ask.kind"),
        ({"kind": ["earliest"]}, "ask.kind"),
        ({"kind": "earliest"}, "ask.requested_at"),
        (ASK | {"requested_at": "2026-12-01"}, "ask.requested_at"),
        (ASK | {"requested_at": "2026-12-01T09:00Z"}, "ask.requested_at"),
        (ASK | {"requested_at": "2026-12-01T25:00"}, "ask.requested_at"),
        (ASK | {"requested_at": "2026-13-01T09:00"}, "ask.requested_at"),
        (ASK | {"requested_at": "9999-12-31T09:00"}, "ask.requested_at"),
        (ASK | {"not_before": "soon"}, "ask.not_before"),
        (ASK | {"booked": [1]}, "ask.booked"),
        (ASK | {"booked": {"friday": 1}}, "ask.booked"),
        (ASK | {"booked": {"2026-12-02": -1}}, "ask.booked.2026-12-02"),
        (ASK | {"booked": {"2026-12-02": "2"}}, "ask.booked.2026-12-02"),
        (ASK | {"inspect_on": "2026-12-02"}, "ask.inspect_on"),
        ({"kind": "latest_request"}, "ask.inspect_on"),
        ({"kind": "latest_request", "inspect_on": 20261202}, "ask.inspect_on"),
        (
            {
                "kind": "latest_request",
                "inspect_on": "2026-12-02",
                "not_before": "2026-12-02",
            },
            "ask.not_before",
        ),
    ],
)
def test_a_wrong_ask_is_named_by_its_key(ask, key):
    assert key_of(line(ask=ask)) == key


@pytest.mark.parametrize(
    ("raw", "key"),
    [
        (b"{", "line"),
        (b"[]", "line"),
        (b"7", "line"),
        (b"\xff\xfe", "line"),
        (b"[" * 100_000, "line"),
        (b'{"id": "a"}', "rules"),
        (b'{"rules": {}, "ask": {}}', "id"),
        (b'{"id": null}', "id"),
        (b'{"id": true}', "id"),
        (b'{"id": ["a"]}', "id"),
        (b'{"id": "a", "id": "b"}', "id"),
        (b'{"id": "a", "rules": []}', "ask"),
        (b'{"id": "a", "rules": [], "ask": {}}', "rules"),
        (b'{"id": "a", "rules": {}, "ask": {}}', "rules.timezone"),
    ],
)
def test_a_wrong_line_is_named(raw, key):
    assert key_of(raw) == key


def test_a_wrong_line_does_not_stop_the_next_and_the_status_is_one():
    out = io.StringIO()
    lines = [line(name="a"), b"oops", b"  \n", line(name="b"), line(name="a")]

    status = run(lines, out)

    answers = [json.loads(text) for text in out.getvalue().splitlines()]
    assert status == 1
    assert [
        (each["id"], each.get("answer"), each.get("error", {}).get("key"))
        for each in answers
    ] == [
        ("a", ANSWER, None),
        (None, None, "line"),
        ("b", ANSWER, None),
        ("a", None, "id"),
    ]


def test_null_means_none_where_none_is_the_default():
    nothing = dict.fromkeys(
        ("holidays", "cutoff", "windows", "cap_per_day", "book_ahead_days")
    )
    ask = ASK | {"booked": None, "not_before": None}

    assert only(line(rules=RULES | nothing, ask=ask)) == {"id": "a", "answer": ANSWER}


def test_a_refusal_is_an_answer_and_the_status_stays_zero():
    out = io.StringIO()
    ask = {"kind": "latest_request", "inspect_on": "2026-12-05"}

    assert run([line(ask=ask, expect={"anything": 1})], out) == 0
    assert json.loads(out.getvalue()) == {"id": "a", "answer": {"refused": "weekday"}}


def test_rules_without_any_open_day_are_an_error_not_a_loop():
    never = [{"weekday": "wed", "nth": nth} for nth in range(1, 6)]
    rules = RULES | {"inspection_weekdays": ["wed"], "closed_monthly": never}

    assert key_of(line(rules=rules)) == "rules.closed_monthly"


@pytest.mark.parametrize(
    "command",
    [
        [sys.executable, "-m", "inspections.dates"],
        [sys.executable, "manage.py", "inspection_dates"],
    ],
)
def test_the_command_answers_standard_input_without_a_secret(command):
    done = subprocess.run(
        command,
        input=line(name="a") + b"\n{\n" + line(name="b"),
        capture_output=True,
        cwd=ROOT,
        env={"PATH": "/usr/bin:/bin"},
        check=False,
    )

    answers = [json.loads(text) for text in done.stdout.splitlines()]
    assert done.returncode == 1
    assert [answer["id"] for answer in answers] == ["a", None, "b"]
    assert answers[0]["answer"] == ANSWER
