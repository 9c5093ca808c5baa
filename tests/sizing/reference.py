"""Where the published reference stands beside the checkout. Missing is a failure."""

import csv
import json
from pathlib import Path
from typing import Any

REFERENCE = Path(__file__).resolve().parents[3] / "shared" / "reference"


def examples(folder: str) -> list[dict[str, Any]]:
    """Worked examples of one folder: `dwv` or `supply`."""
    text = (REFERENCE / folder / "examples.json").read_text(encoding="utf-8")
    found: list[dict[str, Any]] = json.loads(text)
    return found


def table(name: str) -> list[dict[str, str]]:
    """Rows of a reference csv such as `dwv/04_trap_arm`."""
    path = REFERENCE / f"{name}.csv"
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))
