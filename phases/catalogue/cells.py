"""The closed vocabularies, the columns and how one cell is read."""

import re
from collections.abc import Mapping

from phases.catalogue.measures import parse_inches

OUTLETS = [
    "hot",
    "cold",
    "drain",
    "vent",
    "gas",
    "condensate",
    "sleeve",
    "power",
    "switch",
    "plate",
    "support",
    "test",
    "photo",
    "handoff",
    "box",
    "valve",
    "set",
    "place",
]
# Trades that a handoff may name.
TRADES = [
    "roofer",
    "electrician",
    "hvac",
    "framer",
    "tile",
    "drywall",
    "insulation",
    "cabinets",
    "concrete",
    "builder",
    "grading",
]
IMPLIED_ROOMS = ("", "each", "yard", "house", "roof")
EACH = ("", "bowl", "wall", "stack", "vent")
COUNTS = ("served", "roof_vents_1_5", "roof_vents_2", "roof_vents_3")
# A finished face, and what the tape reaches instead of it.
BARE_OF = {
    "finished_floor": "subfloor",
    "finished_wall": "stud",
    "finished_wet_wall": "stud",
}
REFERENCES = [
    "finished_floor",
    "finished_wall",
    "finished_wet_wall",
    "stud",
    "subfloor",
    "slab_top",
    "grade",
    "centre_line",
    "tub_rim",
    "trap_weir",
    "roof",
    "heater_top",
    "side_wall",
    "garage_floor",
]
MEASURES = [
    "height",
    "wall",
    "side",
    "clear",
    "pressure",
    "head",
    "slope",
    "depth",
    "diameter",
    "length",
    "temperature",
]
UNITS = ("", "in", "ft", "psi", "in/ft", "in wc", "F")

KIND_COLUMNS = [
    "code",
    "name_en",
    "name_es",
    "group",
    "outlets",
    "params",
    "drain_size",
    "vent_size",
    "implied_room",
    "implied_when",
    "source",
]
DEMAND_COLUMNS = [
    "fixture",
    "phase",
    "key",
    "outlet",
    "text_en",
    "text_es",
    "when",
    "count",
    "each",
    "size",
    "height",
    "height_from",
    "wall",
    "wall_from",
    "side",
    "side_dir",
    "mirrors",
    "clear",
    "tol_minus",
    "tol_plus",
    "proof",
    "measure",
    "unit",
    "least",
    "most",
    "minutes",
    "photos",
    "concealed",
    "handoff",
    "source",
    "note",
]
FACT_COLUMNS = ["name", "values", "name_en", "name_es", "source"]
ROOM_KIND_COLUMNS = ["code", "name_en", "name_es"]
STRING_COLUMNS = ["code", "text_en", "text_es"]
TERM_COLUMNS = ["term_en", "term_es", "also_es", "check", "note"]
# The whole schema: table name to its columns.
SCHEMA: Mapping[str, tuple[str, ...]] = {
    "fixture_kinds": tuple(KIND_COLUMNS),
    "demands": tuple(DEMAND_COLUMNS),
    "facts": tuple(FACT_COLUMNS),
    "room_kinds": tuple(ROOM_KIND_COLUMNS),
    "strings": tuple(STRING_COLUMNS),
    "glossary": tuple(TERM_COLUMNS),
}

Row = Mapping[str, str]


def choice(row: Row, column: str, choices: tuple[str, ...] | list[str]) -> str:
    value = row.get(column, "")
    if value not in choices:
        allowed = ", ".join(choice or "(blank)" for choice in choices)
        raise ValueError(f"{column} {value!r} is not known. Choose one of: {allowed}.")
    return value


def needed(row: Row, column: str) -> str:
    if not (value := row.get(column, "").strip()):
        raise ValueError(f"{column} is empty. Fill it in.")
    return value


def flag(row: Row, column: str, *, default: bool) -> bool:
    text = choice(row, column, ("", "yes", "no"))
    return default if not text else text == "yes"


def length(row: Row, column: str) -> int | None:
    text = row.get(column, "").strip()
    if not text:
        return None
    try:
        return parse_inches(text)
    except ValueError as error:
        raise ValueError(f"{column}: {error}") from None


def number(row: Row, column: str) -> float | None:
    text = row.get(column, "").strip()
    try:
        return float(text) if text else None
    except ValueError:
        raise ValueError(f"{column} {text!r} is not a number.") from None


def whole(row: Row, column: str) -> int:
    text = row.get(column, "").strip() or "0"
    if not text.isascii() or not text.isdigit() or int(text) > 999:
        raise ValueError(f"{column} {text!r} must be a whole number from 0 to 999.")
    return int(text)


def parse_params(text: str) -> dict[str, tuple[str, ...]]:
    """Read `bowls=1|2 pan=site|made`: allowed values by name, the default first."""
    params = {}
    for word in text.split():
        name, mark, values = word.partition("=")
        if not mark or not name or not all(values.split("|")):
            raise ValueError(f"params: {word!r} must look like bowls=1|2.")
        params[name] = tuple(values.split("|"))
    return params


def count_rule(row: Row) -> str:
    text = row.get("count", "").strip() or "1"
    if text not in COUNTS and not (text.isascii() and text.isdigit()):
        raise ValueError(f"count {text!r} must be a number or {', '.join(COUNTS)}.")
    return text


def row_key(row: Row) -> str:
    """Read a demand's own key; short, since it ends in the keys of check items."""
    text = needed(row, "key")
    if not re.fullmatch(r"[a-z0-9_]{1,16}", text):
        raise ValueError(f"key {text!r}: use up to 16 small letters, digits or _.")
    return text
