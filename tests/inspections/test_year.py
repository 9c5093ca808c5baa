"""A few weeks of an invented contractor, day by day, with nothing late or lost."""

from datetime import date

import pytest

from deploy.inspection_judge import BAD
from deploy.inspection_year import run_year
from inspections.notices.sending import send_due
from inspections.notices.writing import look


@pytest.mark.django_db
def test_weeks_of_houses_are_called_in_time_and_nothing_is_lost_or_doubled():
    def run(moment):
        look(now=moment)
        send_due(now=moment)

    _, judged = run_year(lots=8, first=date(2026, 10, 26), days=19, seed=5, run=run)

    assert {row: judged.bad[row] for row in BAD} == dict.fromkeys(BAD, 0)
    assert judged.inspections >= 8
    assert judged.covers_unpassed >= 1
