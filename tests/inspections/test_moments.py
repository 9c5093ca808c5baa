"""When a warning is due. Plain moments, no database."""

from datetime import timedelta

import pytest

from inspections.notices.moments import last_warning, morning_of, warning_now
from tests.inspections.scene import at


@pytest.mark.parametrize(
    ("call_by", "morning", "last"),
    [
        ("2026-03-04T15:00", "2026-03-04T06:00", "2026-03-04T13:00"),
        ("2026-03-04T10:00", "2026-03-04T06:00", "2026-03-04T08:00"),
        # Before anybody is there: the day before.
        ("2026-03-04T07:00", "2026-03-03T06:00", "2026-03-03T15:00"),
        # At night, and on a Sunday: the Friday before.
        ("2026-03-04T23:59", "2026-03-04T06:00", "2026-03-04T15:00"),
        ("2026-03-08T23:59", "2026-03-06T06:00", "2026-03-06T15:00"),
        # Spring forward on the Sunday between: by the clock on the wall.
        ("2026-03-09T07:00", "2026-03-06T06:00", "2026-03-06T15:00"),
    ],
)
def test_warnings_come_on_a_working_morning_and_before_the_cut_off(
    call_by, morning, last
):
    assert morning_of(at(call_by)) == at(morning)
    assert last_warning(at(call_by)) == at(last)
    assert warning_now(at(call_by), at(morning) - timedelta(minutes=1)) is None
    assert warning_now(at(call_by), at(morning)) == "morning"
    assert warning_now(at(call_by), at(last)) == "cutoff"
    assert warning_now(at(call_by), at(call_by) + timedelta(minutes=1)) is None
