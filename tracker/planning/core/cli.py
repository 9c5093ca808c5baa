"""The commands solve, check, explain, odds and warm, on files of problem and plan."""

import argparse
import json
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, TextIO

from .errors import BadPlan, BadProblem, NoPlan
from .judge import judge
from .plan import Plan, read_plan
from .problem import Problem
from .problem_json import read_problem
from .stopping import listening

# The last is what a shell says of a program whose reader has gone.
BROKEN_RULES, UNUSABLE, NO_READER = 1, 2, 141


def add_arguments(parser: argparse.ArgumentParser) -> None:
    commands = parser.add_subparsers(dest="what", required=True)
    solve = commands.add_parser("solve", help="print a plan for PROBLEM")
    solve.add_argument("problem", type=Path)
    effort = solve.add_mutually_exclusive_group()
    effort.add_argument("--seconds", type=_positive(float))
    effort.add_argument("--iterations", type=_positive(int))
    solve.add_argument("--seed", type=_positive(int), default=1)
    solve.add_argument("--from", dest="start", type=Path, metavar="PLAN")
    solve.add_argument("--threshold", type=_positive(float))
    solve.add_argument("--progress", action="store_true", help="say it on stderr")
    check = commands.add_parser("check", help="name every breach of PLAN")
    explain = commands.add_parser("explain", help="say why work is late")
    odds = commands.add_parser("odds", help="promise dates and their odds")
    commands.add_parser("warm", help="compile now what solving would compile")
    for parser in (check, explain, odds):
        parser.add_argument("problem", type=Path)
        parser.add_argument("plan", type=Path)
    explain.add_argument("--iterations", type=_positive(int), default=60_000)
    explain.add_argument("--no-remedies", action="store_true")
    for parser in (explain, odds):
        parser.add_argument("--seed", type=_positive(int), default=1)
    odds.add_argument("--draws", type=_positive(int), default=2000)


def _positive(kind: Callable[[str], Any]) -> Callable[[str], Any]:
    def read(text: str) -> Any:
        value = kind(text)
        if not 0 <= value < 10**12:
            raise argparse.ArgumentTypeError(f"{text} is not 0 or more")
        return value

    read.__name__ = kind.__name__
    return read


def run(options: dict[str, Any], out: TextIO, errors: TextIO) -> int:
    """Do what `options` (of `add_arguments`) ask; gives the exit code.

    0: done; 1: the plan breaks rules; 2: problem or plan cannot be used; 141: nobody
    reads the answer to its end (`| head`), which is no fault worth a word.
    """
    actions = {
        "solve": _solve,
        "check": _check,
        "explain": _explain,
        "odds": _odds,
        "warm": _warm,
    }
    try:
        code = actions[options["what"]](options, out, errors)
        out.flush()
        return code
    except BrokenPipeError:
        # What is still held back would be written, and fail, when Python ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), out.fileno())
        return NO_READER
    except (BadProblem, BadPlan, NoPlan) as error:
        print(error, file=errors)
        return UNUSABLE


def _load(path: Path) -> Any:
    try:
        return json.loads(path.read_text(encoding="utf-8"), parse_constant=_no_number)
    except OSError as error:
        raise BadProblem(f"{path}: {error.strerror}.") from None
    except (ValueError, RecursionError) as error:
        raise BadProblem(f"{path}: not JSON: {error}.") from None


def _no_number(text: str) -> float:
    raise ValueError(f"{text} is not a number")


def _both(options: dict[str, Any]) -> tuple[Any, Any, Problem]:
    raw, plan = _load(options["problem"]), _load(options["plan"])
    return raw, plan, read_problem(raw)


def _solve(options: dict[str, Any], out: TextIO, errors: TextIO) -> int:
    stopped = listening()
    problem = read_problem(_load(options["problem"]))
    start = read_plan(_load(options["start"])) if options["start"] else None
    # Late, so that check needs no compiler.
    from .plan import write_plan
    from .solve import Effort, Progress, solve
    from .warm import warm

    if not stopped():
        warm()

    def say(now: Progress) -> None:
        score = now.score
        print(
            f"{now.share:4.0%} {now.iterations} trials, score {score.total}:"
            f" {score.weighted_late_days} weighted late days, {score.moves} moves,"
            f" {score.crew_changes} crews and {score.day_changes} days changed",
            file=errors,
        )

    seconds, iterations = options["seconds"], options["iterations"]
    if seconds is None and iterations is None:
        seconds = 5.0
    effort = Effort(seconds=seconds, iterations=iterations, seed=options["seed"])
    shared = {"start": start, "threshold": options["threshold"]}
    heard = say if options["progress"] else None
    try:
        plan = solve(problem, effort, stop=stopped, progress=heard, **shared)
    except NoPlan:
        if not stopped():
            raise
        # Stopped before every pin was kept: the first plan that keeps them is made.
        plan = solve(problem, Effort(iterations=0, seed=effort.seed), **shared)
    print(json.dumps(write_plan(plan)), file=out)
    return 0


def _warm(options: dict[str, Any], out: TextIO, errors: TextIO) -> int:
    from .engine.compiled import FOLDER
    from .warm import warm

    warm()
    print(
        f"Compiled code is kept in {FOLDER or 'no folder: none is writable'}.", file=out
    )
    return 0


def _check(options: dict[str, Any], out: TextIO, errors: TextIO) -> int:
    raw, plan, _ = _both(options)
    verdict = judge(raw, plan)
    for breach in verdict.breaches:
        print(breach, file=out)
    if verdict.breaches:
        return BROKEN_RULES
    print(f"Every rule is kept. Score {verdict.score}.", file=out)
    return 0


def _judged(options: dict[str, Any]) -> tuple[Problem, Plan]:
    """Problem and plan; a plan that breaks rules is refused with its breaches."""
    raw, raw_plan, problem = _both(options)
    verdict = judge(raw, raw_plan)
    if verdict.breaches:
        raise BadPlan("\n".join(str(breach) for breach in verdict.breaches))
    return problem, read_plan(raw_plan)


def _explain(options: dict[str, Any], out: TextIO, errors: TextIO) -> int:
    problem, plan = _judged(options)
    from .explain import sentences
    from .remedies import remedies
    from .solve import Effort

    for sentence in sentences(problem, plan):
        print(sentence, file=out)
    if options["no_remedies"] or not plan.score:
        return 0
    effort = Effort(iterations=options["iterations"], seed=options["seed"])
    for remedy in remedies(problem, plan, effort):
        print(remedy, file=out)
    return 0


def _odds(options: dict[str, Any], out: TextIO, errors: TextIO) -> int:
    problem, plan = _judged(options)
    from .odds import odds, odds_json

    found = odds(problem, plan, draws=options["draws"], seed=options["seed"])
    print(json.dumps(odds_json(found)), file=out)
    return 0


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="look_ahead")
    add_arguments(parser)
    return run(vars(parser.parse_args(arguments)), sys.stdout, sys.stderr)
