from tests.planning.problems import crew, lot, phase, problem
from tracker.planning.core.choices import choices
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.solve import Effort


def test_aiming_earlier_wins_odds_and_costs_moves() -> None:
    raw = problem(
        crews=[crew("A")],
        lots=[
            lot(
                f"{place[0]}{i}",
                phase(
                    "rough",
                    ready_day=i,
                    need_by_day=6 + i,
                    crew_quarters=2,
                    pass_probability=0.5,
                ),
                place=place,
            )
            for i in range(3)
            for place in ("east", "west")
        ],
    )

    now, soon = choices(read_problem(raw), Effort(iterations=3000), levels=(0, 4))

    assert soon.on_time > now.on_time
    assert soon.safe >= now.safe
    assert soon.plan.score.moves >= now.plan.score.moves
