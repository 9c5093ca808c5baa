"""`python -m phases.sizing < case.json`: the `size` command without Django."""

import sys

from .cases.command import run

if __name__ == "__main__":
    sys.exit(run(sys.stdin.buffer, sys.stdout))
