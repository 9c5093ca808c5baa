"""The owner's slider: how early to aim, and what each setting costs and wins."""

from collections.abc import Iterable
from dataclasses import dataclass

from .aim import Aim
from .odds import odds
from .plan import Plan
from .problem import Problem
from .season import Season, buffers
from .solve import Effort, solve


@dataclass(frozen=True)
class Choice:
    """A plan that aims `level` expected re-inspections before need-by.

    `on_time` is the mean chance of meeting need-by, `safe` the share of phases whose
    P80 meets it.
    """

    level: float
    plan: Plan
    on_time: float
    safe: float


def choices(
    problem: Problem,
    effort: Effort,
    *,
    levels: Iterable[float] = (0, 1, 2, 4),
    start: Plan | None = None,
    season: Season | None = None,
    draws: int = 500,
    price: int = 3,
) -> tuple[Choice, ...]:
    """One plan a level with its odds, all with the same effort and the same draws."""
    season = season or Season()
    found = []
    for level in levels:
        aim = Aim(buffers(problem, level, season), price)
        # What each costs is asked, not whether it is worth telling crews.
        plan = solve(problem, effort, start=start, aim=aim, threshold=0)
        chances = odds(problem, plan, season=season, draws=draws, seed=effort.seed)
        count = max(1, len(chances))
        on_time = sum(one.on_time for one in chances) / count
        safe = sum(one.p80 <= one.need_by for one in chances) / count
        found.append(Choice(level, plan, round(on_time, 4), round(safe, 4)))
    return tuple(found)
