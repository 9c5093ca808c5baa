"""The sheet, the season's picture and the load, apart from the database."""

from datetime import date

import pytest

from tests.planning.problems import city, crew, lot, phase, working_days
from tracker.desk.ahead.beside import beside
from tracker.desk.ahead.load import weeks_of
from tracker.desk.ahead.season import Axis, Dates, LotLine, picture, squeeze
from tracker.desk.ahead.sheet import Drive, Span, sheet_of
from tracker.planning.core.plan import read_plan
from tracker.planning.core.problem_json import read_problem
from tracker.planning.editing import move_job


def problem(*lots, crews=None, **over):
    return {
        "format": "plumb-instance/1",
        "name": "small",
        "working_days": working_days(40),
        "weekday_of_day0": 0,
        "jurisdictions": [city()],
        "subdivisions": [
            {"id": "east", "jurisdiction": "city"},
            {"id": "west", "jurisdiction": "city"},
        ],
        "move_quarters": [[0, 1], [1, 0]],
        "crews": crews or [crew("one"), crew("two")],
        "lots": list(lots),
        "pins": [],
        **over,
    }


def job(name, start, end, visit, who="one", code="rough"):
    return {
        "lot": name,
        "phase": code,
        "crew": who,
        "start_quarter": start,
        "end_quarter": end,
        "inspection_day": visit,
    }


def plan(*jobs):
    return {"format": "plumb-plan/1", "instance": "small", "jobs": list(jobs)}


def two_lots():
    raw = problem(
        lot("1, east", phase("rough", need_by_day=1)),
        lot("2, west", phase("rough"), place="west"),
    )
    return raw, plan(job("1, east", 0, 4, 2), job("2, west", 5, 9, 4))


def test_a_drive_within_the_day_takes_its_quarters_and_one_overnight_none():
    raw, jobs = two_lots()
    sheet = sheet_of(raw, jobs, walls={}, told={})
    (first, _) = sheet.rows("crew", Span(0, 10))
    assert first.drives == [Drive(5, 0, "west")]

    jobs["jobs"][0]["end_quarter"] = 6
    jobs["jobs"][1]["start_quarter"] = 7
    sheet = sheet_of(raw, jobs, walls={}, told={})
    assert sheet.rows("crew", Span(0, 10))[0].drives == [Drive(6, 1, "west")]


def test_strips_say_how_late_they_are_and_what_was_told_otherwise():
    raw, jobs = two_lots()
    wall = date(2026, 1, 8)
    told = {("1, east", "rough"): ("two", 0), ("2, west", "rough"): ("one", 4)}

    sheet = sheet_of(raw, jobs, walls={("1, east", "rough"): wall}, told=told)

    first, second = sheet.strips
    assert (first.late, first.wall, first.was) == (1, 3, ("two", 0))
    # The same half-day is no change.
    assert (second.late, second.was) == (0, None)
    (_, other) = sheet.rows("crew", Span(0, 10))
    assert [ghost.lot for ghost in other.ghosts] == ["1, east"]


def test_what_is_outside_the_span_is_not_drawn():
    raw, jobs = two_lots()
    sheet = sheet_of(raw, jobs, walls={}, told={})

    assert sheet.rows("crew", Span(5, 5))[0].strips == []
    assert [row.label for row in sheet.rows("lot", Span(3, 5))] == ["2, west"]


def test_beside_the_score_idle_halves_and_split_days_are_counted():
    raw, jobs = two_lots()
    jobs["jobs"][0]["end_quarter"] = 5
    jobs["jobs"][1]["start_quarter"] = 6

    found = beside(sheet_of(raw, jobs, walls={}, told={}), 3)

    # Crew one works halves 0 to 4 of six, crew two none; day 1 has two sites.
    assert (found.idle_halves, found.split_days) == (1 + 6, 1)


def test_a_move_takes_the_inspection_with_it_and_the_second_quarter_where_it_fits():
    raw, jobs = two_lots()
    read = read_problem(raw)
    moved = move_job(
        read, raw, read_plan(jobs), ("2, west", "rough"), crew="two", half=4
    )
    assert moved.breaches == ()
    after = moved.plan.by_name()["2, west", "rough"]
    assert (after.crew, after.start_quarter, after.inspection_day) == ("two", 8, 4)

    clash = move_job(
        read, raw, read_plan(jobs), ("2, west", "rough"), crew="one", half=0
    )
    assert {breach.code for breach in clash.breaches} >= {"overlap"}


def test_load_hands_on_what_a_week_cannot_do():
    lots = [
        lot(f"{n}, east", phase("rough", crew_quarters=8, need_by_day=0))
        for n in range(4)
    ]
    read = read_problem(problem(*lots, crews=[crew("one")]))

    first, second, third = weeks_of(read, 3)

    # Eight crew-days wanted at once, five there: three are left, then none.
    assert (first.phases["rough"].needed, first.phases["rough"].short) == (8, 3)
    assert (second.phases["rough"].needed, second.phases["rough"].short) == (3, 0)
    assert (third.phases["rough"].needed, third.idle) == (0, {"one": 5.0})


def test_load_sends_crews_of_several_skills_where_work_is_short():
    lots = [
        lot("1, east", phase("rough", crew_quarters=20, need_by_day=0)),
        lot("2, east", phase("trim", crew_quarters=20, need_by_day=0)),
    ]
    crews = [crew("both", phases=["rough", "trim"]), crew("rough", phases=["rough"])]

    (week,) = weeks_of(read_problem(problem(*lots, crews=crews)), 1)

    assert [week.phases[code].short for code in ("rough", "trim")] == [0, 0]
    assert week.idle == {}


def test_a_phase_that_begins_before_the_likely_pass_is_squeezed():
    lot_line = LotLine("Lot 1", 1)
    lot_line.phases["rough"] = Dates(
        planned=date(2026, 1, 5), promised=date(2026, 1, 9)
    )
    lot_line.phases["topout"] = Dates(
        planned=date(2026, 1, 14), starts=date(2026, 1, 12)
    )

    assert squeeze([lot_line], {"rough": 0}) == 0
    assert squeeze([lot_line], {"rough": 1}) == 1
    assert lot_line.phases["topout"].squeezed


def test_the_picture_puts_the_first_lot_at_the_bottom_and_time_across():
    lots = [LotLine(f"Lot {n}", n) for n in (1, 2)]
    for n, one in enumerate(lots):
        one.phases["rough"] = Dates(actual=date(2026, 1, 5 + n))
    axis = Axis(date(2026, 1, 1), date(2026, 1, 31))

    found = picture(lots, axis, {"rough": "Rough"}, date(2026, 1, 6))

    (_, low), (_, high) = found.rows
    assert low > high
    first, second = found.marks
    assert first.x < second.x
    assert found.today_x == pytest.approx(second.x, abs=0.1)


def test_a_crew_at_work_in_the_plan_is_idle_only_where_the_plan_leaves_it():
    # Needed in two months only, but planned at once: 4½ days with a drive between.
    lots = [
        lot("1, east", phase("rough", crew_quarters=12, need_by_day=60)),
        lot("2, west", phase("rough", crew_quarters=4, need_by_day=60), place="west"),
    ]
    raw = problem(*lots, crews=[crew("one"), crew("two", days_off=[0])])
    jobs = plan(
        job("1, east", 0, 12, 4),
        job("2, west", 13, 17, 6),
    )
    shown = sheet_of(raw, jobs, walls={}, told={})

    first, second = weeks_of(read_problem(raw), 2, sheet=shown)

    assert first.planned
    assert first.idle == {"one": 0.5, "two": 4.0}
    assert first.spare == {"one": 5.0, "two": 4.0}
    assert (second.planned, second.idle) == (False, second.spare)
