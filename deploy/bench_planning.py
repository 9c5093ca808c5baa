"""The look-ahead's bars: scores by the time given, beside CP-SAT's plain model.

Run: `bash deploy/bench planning [FOLDER]`, or from the top of the project
`python -m deploy.bench_planning [FOLDER] [--quick]`. FOLDER holds the problems
(default: ../shared/reference/planning beside the project, or PLANNING_PROBLEMS).
Each row runs in a process of its own, after imports and warm-up; every plan is judged.
"""

import argparse
import functools
import json
import os
import resource
import statistics
import subprocess
import sys
import time
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

TOP = Path(__file__).resolve().parents[1]
SEEDS = 5


@dataclass(frozen=True)
class Bar:
    """A problem, the seconds given and the bar as a factor of the best known score."""

    problem: str
    seconds: float
    factor: float
    start: str | None = None


BARS = (
    *(Bar(f"tiny-{number}", 1, 1.0) for number in range(1, 5)),
    Bar("small", 5, 1.02),
    Bar("medium", 5, 1.08),
    Bar("medium", 20, 1.03),
    Bar("large", 20, 1.20),
    Bar("large", 60, 1.08),
    Bar("medium-disturbed", 0.3, 1.10, "medium"),
    Bar("medium-disturbed", 1, 1.05, "medium"),
    Bar("large-disturbed", 5, 1.25, "large"),
)
OWN_REFERENCE = {"medium-disturbed": "medium", "large-disturbed": "large"}
MEMORY = {"medium": 250, "large": 350}
FIRST = {"medium": 0.1, "large": 0.4}
ODDS_SECONDS = 3.0
SEASONS = 1000
CALIBRATED = 0.03


def best_known(reference: dict[str, Any], problem: str) -> int:
    row = reference[problem]
    if "proven_optimum" in row:
        return int(row["proven_optimum"])
    if "given_40s" in row:
        return int(row["given_40s"]["obj"])
    return int(row["best_known"]["objective"])


def one_run(folder: Path, bar: Bar, seed: int) -> dict[str, float]:
    """Solve in a fresh process; score, seconds, first plan's seconds and peak MB."""
    command = [sys.executable, "-m", "deploy.bench_planning", str(folder), "--run"]
    command += [bar.problem, str(bar.seconds), str(seed), bar.start or ""]
    done = subprocess.run(command, cwd=TOP, capture_output=True, text=True, check=True)
    found: dict[str, float] = json.loads(done.stdout)
    return found


@functools.cache
def own_40s(folder: Path, problem: str) -> int:
    """The median of our own plans after 40 s: one reference for all rows of a run."""
    long = Bar(problem, 40, 1, OWN_REFERENCE[problem])
    runs = [one_run(folder, long, seed)["score"] for seed in (1, 2, 3)]
    print(f"{problem:17} own plans after 40 s: {runs}", flush=True)
    return int(statistics.median(runs))


def run(folder: Path, name: str, seconds: float, seed: int, start: str) -> None:
    """The body of `one_run`: prints its figures as JSON."""
    from tracker.planning.core.judge import judge
    from tracker.planning.core.plan import read_plan, write_plan
    from tracker.planning.core.problem_json import read_problem
    from tracker.planning.core.solve import Effort, solve
    from tracker.planning.core.warm import warm

    raw = json.loads((folder / f"{name}.json").read_text())
    problem = read_problem(raw)
    given = None
    if start:
        given = read_plan(json.loads((folder / f"{start}.best.plan.json").read_text()))
    warm()
    began = time.perf_counter()
    first = solve(problem, Effort(seconds=0), start=given)
    first_took = time.perf_counter() - began
    began = time.perf_counter()
    plan = solve(problem, Effort(seconds=seconds, seed=seed), start=given)
    took = time.perf_counter() - began
    verdict = judge(raw, write_plan(plan))
    if verdict.breaches or verdict.score != plan.score.total:
        raise SystemExit(f"{name}: {verdict.breaches[:3]} {verdict.score}")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    figures = {
        "score": plan.score.total,
        "took": took,
        "first": first_took,
        "first_score": first.score.total,
        "mb": peak,
    }
    print(json.dumps(figures))


def peer(folder: Path, problem: str, seconds: int) -> str:
    """The plain model of deploy/peer_cp_sat.py, in a process that can be given up."""
    command = [sys.executable, "-m", "deploy.peer_cp_sat"]
    command += [str(folder / f"{problem}.json"), str(seconds)]
    try:
        done = subprocess.run(
            command, cwd=TOP, capture_output=True, text=True, timeout=seconds * 3 + 60
        )
    except subprocess.TimeoutExpired:
        return "given up: the model was not even built and searched in time"
    return done.stdout.strip() or f"failed: {done.stderr.strip()[-200:]}"


def report(folder: Path, bar: Bar, seeds: int, reference: dict[str, Any]) -> bool:
    """Print one row; whether every bar in it is met."""
    runs = [one_run(folder, bar, seed) for seed in range(1, seeds + 1)]
    median = statistics.median(one["score"] for one in runs)
    known = best_known(reference, bar.problem)
    if bar.problem in OWN_REFERENCE:
        known = min(known, own_40s(folder, bar.problem))
    first = statistics.median(one["first"] for one in runs)
    peak = max(one["mb"] for one in runs)
    fine = median <= bar.factor * known + 1e-9
    fine &= peak <= MEMORY.get(bar.problem, 10**9)
    fine &= first <= FIRST.get(bar.problem, 10**9)
    scores = " ".join(f"{one['score']:.0f}" for one in runs)
    print(
        f"{bar.problem:17} {bar.seconds:5g} s  median {median:6.0f} = "
        f"{median / known:5.3f} x {known:5d}  bar {bar.factor:4.2f}  "
        f"first {first:5.3f} s ({runs[0]['first_score']:.0f})  {peak:3.0f} MB  "
        f"{'met' if fine else 'MISSED'}  [{scores}]",
        flush=True,
    )
    if min(one["score"] for one in runs) < known and bar.problem not in OWN_REFERENCE:
        best = min(one["score"] for one in runs)
        print(f"{bar.problem:17} better than best known: {best:.0f}, so the bar moves")
    return fine


def report_odds() -> bool:
    """Print what the odds of 1,000 open phases take; whether that is 3 s at most."""
    from tracker.planning.core.draws import draw_passes
    from tracker.planning.core.problem import Crew, Lot, LotPhase
    from tracker.planning.core.season import Season
    from tracker.planning.core.solve import Effort, solve
    from tracker.planning.core.warm import tiny_problem, warm

    warm()
    tiny = tiny_problem()
    names = ("underground", "rough", "topout", "trim")
    crews = tuple(
        Crew(f"crew {i}", frozenset(names), 1.0, frozenset(), "east", 0)
        for i in range(20)
    )
    lots = tuple(
        Lot(
            f"lot {i}",
            "east",
            tuple(LotPhase(name, "open", 2, i // 5, 40, 1, 2, 0.9) for name in names),
        )
        for i in range(250)
    )
    city = replace(tiny.jurisdictions[0], weekdays=frozenset(range(5)), daily_cap=12)
    problem = replace(
        tiny, jurisdictions=(city,), crews=crews, lots=lots, pins=(), published=()
    )
    plan = solve(problem, Effort(iterations=1))
    began, cpu = time.perf_counter(), time.process_time()
    passes = draw_passes(problem, plan, Season(), 2000, 1)
    took, cpu = time.perf_counter() - began, time.process_time() - cpu
    fine = took <= ODDS_SECONDS
    phases, draws = passes.shape
    print(
        f"odds of {phases} open phases x {draws} draws: {took:4.2f} s "
        f"({cpu:4.2f} s of one core)  bar {ODDS_SECONDS:g} s  "
        f"{'met' if fine else 'MISSED'}",
        flush=True,
    )
    return fine


def report_calibration() -> bool:
    """Print how promises did over seasons of a known model, lived by a second
    simulator; whether the P80 covered 80 +/- 3 %."""
    from tests.outside.lived import DRAWS, seasons_lived

    found = seasons_lived(SEASONS, (0.5, 0.8, 0.95))
    print(
        f"calibration, {SEASONS} seasons lived of a known model, {DRAWS} draws, "
        f"{found[0.8].cases} passes; at or before the promised day (the day itself "
        "split, as passes come in whole days):",
        flush=True,
    )
    for share, lived in found.items():
        bar = f"  bar {share:.0%} +/- {CALIBRATED:.0%}" if share == 0.8 else ""
        print(
            f"  P{100 * share:.0f}: {lived.at_or_before:6.1%} of passes "
            f"({lived.covered:6.1%}){bar}",
            flush=True,
        )
    fine = abs(found[0.8].covered - 0.8) <= CALIBRATED
    print(f"  P80 {'met' if fine else 'MISSED'}", flush=True)
    return fine


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    default = os.environ.get("PLANNING_PROBLEMS") or (
        TOP.parent / "shared" / "reference" / "planning"
    )
    parser.add_argument("folder", nargs="?", type=Path, default=Path(default))
    parser.add_argument("--quick", action="store_true", help="one seed, no long rows")
    parser.add_argument("--run", nargs=4, help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.run:
        name, seconds, seed, start = options.run
        run(options.folder, name, float(seconds), int(seed), start)
        return 0
    reference = json.loads((options.folder / "reference.json").read_text())
    bars = [bar for bar in BARS if bar.seconds <= 5] if options.quick else BARS
    seeds = 1 if options.quick else SEEDS
    met = [report(options.folder, bar, seeds, reference) for bar in bars]
    met.append(report_odds())
    met.append(report_calibration())
    print("Peer, CP-SAT's plain model with a circuit a crew, 2 workers:", flush=True)
    for problem in ("tiny-1", "small", "medium"):
        said = peer(options.folder, problem, 10 if options.quick else 60)
        print(f"{problem:17} {said}", flush=True)
    return 0 if all(met) else 1


if __name__ == "__main__":
    sys.exit(main())
