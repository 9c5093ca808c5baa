"""Fixture counts of the Ames houses from the columns alone; imports no project code.

The mapping that both sides follow, column by column, stands in ames_plans.py.
"""

import csv
from pathlib import Path

FILE = (
    Path(__file__).parents[3]
    / "shared"
    / "reference"
    / "houses"
    / "ames_sample_400.csv"
)


def rows() -> list[dict[str, str]]:
    """The 400 houses as the file gives them; raises FileNotFoundError without it."""
    with FILE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def number(row: dict[str, str], column: str) -> int:
    """A count or area; a missing value counts nothing."""
    text = row[column]
    return 0 if text in ("NA", "") else int(float(text))


def count(row: dict[str, str]) -> dict[str, int]:
    """What must come out of the walls of one house, counted from its columns."""
    full, half = number(row, "Full Bath"), number(row, "Half Bath")
    low_full, low_half = number(row, "Bsmt Full Bath"), number(row, "Bsmt Half Bath")
    kitchens = number(row, "Kitchen AbvGr")
    basement = number(row, "Total Bsmt SF") > 0 or low_full + low_half > 0
    closets = full + half + low_full + low_half
    bowls = closets + (1 if full >= 2 else 0)
    bathing = full + low_full
    both = bowls + bathing + kitchens + 1 + 1  # and a washer, a heater
    vented_above = full + half + kitchens + (0 if basement else 1)
    return {
        "closets": closets,
        "bowls": bowls,
        "tubs_and_showers": bathing,
        "hot": both + kitchens,  # a second hot for each dishwasher
        "cold": both + closets + 1 + 2,  # one ice-maker box, two hose bibbs
        "roof_penetrations": vented_above,
        "flashings_3": 1,
        "flashings_2": full + half - 1,
        "flashings_1_5": vented_above - full - half,
    }
