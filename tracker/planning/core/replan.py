"""When a new plan is worth telling the crews about."""

from dataclasses import replace

from .aim import Aim
from .judge import judge
from .plan import Plan, score_jobs, write_plan
from .problem import Problem
from .problem_write import write_problem

SHARE = 0.03


def least_gain(problem: Problem, score: int) -> float:
    """What a plan must be better by: two moves, or three hundredths of the score."""
    return max(2.0 * problem.weights.move, SHARE * score)


def settle_on(
    problem: Problem,
    old: Plan,
    new: Plan,
    *,
    aim: Aim,
    threshold: float | None = None,
) -> Plan:
    """`old` while it holds and `new` is not better by more than `threshold`.

    Whether it still holds is for the judge to say. Its score is that of today's prices;
    what `aim` prices counts towards the gain.
    """
    if old.by_name().keys() != problem.job_index.keys():
        return new
    same = old.by_name()
    jobs = tuple(same[job.name] for job in problem.jobs)
    standing = replace(old, instance=problem.name)
    verdict = judge(write_problem(problem), write_plan(standing))
    if verdict.breaches:
        return new
    score = score_jobs(problem, jobs)
    if threshold is None:
        threshold = least_gain(problem, score.total)
    gain = score.total + aim.cost(problem, jobs)
    gain -= new.score.total + aim.cost(problem, new.jobs)
    if gain > threshold:
        return new
    return replace(standing, score=score)
