"""Which published job a date moves, and which dates can be said at all."""

from datetime import date
from types import SimpleNamespace

import pytest

from phases.models import LotPhase, PhaseKind
from tracker.status import rules

MONDAY, FRIDAY = date(2026, 3, 9), date(2026, 3, 13)
NEXT_MONDAY = date(2026, 3, 16)


def phase(pk, **fields):
    fields.setdefault("work", "planned")
    kind = PhaseKind(code=f"phase{pk}", conceals_en="drywall")
    return LotPhase(pk=pk, position=pk, kind=kind, **fields)


def moved(phases, what, on):
    job = rules.job_moved(phases, phases[0], what=what, date=on)
    return job.pk if job else None


def test_confirming_the_date_that_was_said_moves_nothing():
    rough = phase(1, planned_start=MONDAY, ready_date=MONDAY)

    assert moved([rough], "ready", MONDAY) is None


@pytest.mark.parametrize("what", ["ready", "cover"])
def test_a_changed_date_of_a_planned_phase_moves_its_job(what):
    rough = phase(1, planned_start=MONDAY, ready_date=MONDAY, cover_date=MONDAY)

    assert moved([rough], what, FRIDAY) == 1


@pytest.mark.parametrize(
    ("what", "on", "job"),
    [
        ("ready", MONDAY, None),
        ("ready", date(2026, 3, 10), 1),
        ("cover", FRIDAY, 1),
        ("cover", NEXT_MONDAY, None),
    ],
)
def test_a_first_date_moves_the_job_where_it_does_not_fit_the_plan(what, on, job):
    rough = phase(1, planned_start=MONDAY, planned_end=FRIDAY)

    assert moved([rough], what, on) == job


@pytest.mark.parametrize("work", ["not_ready", "ready"])
def test_an_unplanned_phase_has_no_job_to_move(work):
    assert moved([phase(1, work=work, ready_date=MONDAY)], "ready", FRIDAY) is None


@pytest.mark.parametrize("work", ["done", "proven"])
def test_work_that_is_done_is_not_moved(work):
    rough = phase(1, work=work, planned_start=MONDAY, cover_date=MONDAY)

    assert moved([rough], "cover", FRIDAY) is None


@pytest.mark.parametrize(("on", "job"), [(MONDAY, None), (FRIDAY, 2), (NEXT_MONDAY, 2)])
def test_a_date_on_or_behind_the_start_of_a_later_job_moves_that_one(on, job):
    rough = phase(1, work="not_ready", ready_date=date(2026, 3, 2))
    trim = phase(2, planned_start=FRIDAY)

    assert moved([rough, trim], "ready", on) == job


def test_a_job_of_an_earlier_phase_is_not_moved():
    trim = phase(2, work="not_ready", ready_date=MONDAY)
    rough = phase(1, planned_start=MONDAY)

    assert moved([trim, rough], "ready", FRIDAY) is None


def why_not(one, what="ready", on=FRIDAY, was=None, today=MONDAY):
    refused = rules.why_not_say_date(one, what=what, date=on, was=was, today=today)
    return refused.code if refused else None


def test_dates_that_cannot_be_said_give_their_reason():
    open_ = phase(1, work="not_ready")
    bare = phase(1, work="working")
    bare.kind = PhaseKind(code="trim")

    assert why_not(open_) is None
    assert why_not(open_, on=MONDAY) is None
    assert why_not(open_, what="closing") == "unknown_kind"
    assert why_not(open_, on=date(2026, 3, 8)) == "date_gone_by"
    assert why_not(open_, on=date(2028, 3, 9)) == "date_too_far"
    assert why_not(open_, was=MONDAY) == "date_changed"
    assert why_not(phase(1, work="working")) == "work_begun"
    assert why_not(bare, what="cover") == "nothing_covers"
    assert why_not(phase(1, covered_on=MONDAY), what="cover") == "covered_already"


@pytest.mark.parametrize(
    ("state", "source", "finished", "may"),
    [
        ("done", "inspector", False, True),
        ("done", "change", False, True),
        ("done", "call_back", True, True),
        ("done", "walk", False, False),
        ("done", "walk", True, True),
        ("done", "work", True, False),
        ("open", "inspector", False, False),
        ("closed", "inspector", False, False),
    ],
)
def test_what_the_builder_accepts(state, source, finished, may):
    correction = SimpleNamespace(state=state, source=source)

    assert rules.may_accept(correction, finished=finished) is may
