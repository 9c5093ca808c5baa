"""Runs the measures: each module deploy/bench_NAME.py in a process of its own."""

import subprocess
import sys
from pathlib import Path

FOLDER = Path(__file__).parent


def names() -> list[str]:
    found = (path.stem.removeprefix("bench_") for path in FOLDER.glob("bench_*.py"))
    return sorted(name for name in found if name != "all")


def main(wanted: list[str]) -> int:
    there = names()
    unknown = [name for name in wanted if name not in there]
    if unknown or not there:
        print(f"Measures are: {', '.join(there) or 'none'}.", file=sys.stderr)
        return 2
    failed = []
    for name in wanted or there:
        print(f"\n== {name}", flush=True)
        if subprocess.call([sys.executable, "-m", f"deploy.bench_{name}"]):
            failed.append(name)
    if failed:
        print(f"Failed: {', '.join(failed)}.", file=sys.stderr)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
