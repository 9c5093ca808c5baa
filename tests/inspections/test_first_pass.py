"""First-time pass rates: shares, intervals, small numbers, reasons in order."""

import pytest

from inspections.first_pass import differ, first_pass_rate, ranked


def test_a_rate_says_its_interval_and_warns_of_small_numbers():
    assert first_pass_rate(18, 20).words == "18 of 20 (90%, between 70% and 97%)"
    assert first_pass_rate(3, 3).words == (
        "3 of 3 (100%, between 44% and 100%): too few to tell"
    )
    assert first_pass_rate(0, 0).words == "none yet"


def test_nothing_seen_leaves_everything_open():
    rate = first_pass_rate(0, 0)

    assert (rate.share, rate.low, rate.high, rate.few) == (None, 0.0, 1.0, True)


@pytest.mark.parametrize(("passed", "total"), [(2, 1), (-1, 1), (0, -1)])
def test_counts_that_cannot_be_are_refused(passed, total):
    with pytest.raises(ValueError, match="cannot be"):
        first_pass_rate(passed, total)


def test_two_crews_differ_only_when_chance_is_a_poor_explanation():
    assert not differ(first_pass_rate(18, 20), first_pass_rate(15, 20))
    assert differ(first_pass_rate(180, 200), first_pass_rate(140, 200))
    assert differ(first_pass_rate(140, 200), first_pass_rate(180, 200))


def test_reasons_are_ranked_by_number_and_then_by_name():
    reasons = ranked(["plates", "slope", "plates", "arm"])

    assert [(each.reason, each.count) for each in reasons] == [
        ("plates", 2),
        ("arm", 1),
        ("slope", 1),
    ]
    assert reasons[0].share.total == 4
    assert ranked([]) == []
