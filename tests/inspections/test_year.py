"""A few weeks of an invented contractor, day by day, with nothing late or lost."""

from datetime import date

import pytest

from deploy.inspection_judge import BAD
from deploy.inspection_year import run_year
from inspections.notices import due
from inspections.notices.sending import send_due
from inspections.notices.writing import look

pytestmark = pytest.mark.django_db


def weeks(*, lots=8, days=19):
    def run(moment):
        look(now=moment)
        send_due(now=moment)

    return run_year(lots=lots, first=date(2026, 10, 26), days=days, seed=5, run=run)[1]


def test_weeks_of_houses_are_called_in_time_and_nothing_is_lost_or_doubled():
    judged = weeks()

    assert {row: judged.bad[row] for row in BAD} == dict.fromkeys(BAD, 0)
    assert judged.inspections >= 8
    assert judged.covers_unpassed >= 1


def test_a_clock_that_warns_of_nothing_is_found_out(monkeypatch):
    for rule in ("_call_in_by", "_cover_too_early", "_not_on_test"):
        monkeypatch.setattr(due, rule, lambda *_: iter(()))

    judged = weeks(days=16)

    assert judged.bad["covers without a pass and without any warning"] >= 1
