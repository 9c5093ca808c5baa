"""`python -m inspections.dates < cases.jsonl`: one JSON answer a line."""

import sys

from inspections.dates.command import run

if __name__ == "__main__":
    sys.exit(run(sys.stdin.buffer, sys.stdout))
