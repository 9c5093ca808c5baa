"""Columns, tables and values of saved rows, in words. Pure."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from tracker.desk.spanish import in_language

# Where the name of the column, read with spaces, would not say it.
COLUMNS = {
    "after": "must pass first",
    "along": "distance along the wall",
    "along_from": "measured from",
    "amendments": "local changes",
    "applies_to": "only for",
    "backer": "backer board, sixteenths",
    "board": "wall board, sixteenths",
    "buffer": "buffer days",
    "cells": "values",
    "conceals_en": "what covers it, English",
    "conceals_es": "what covers it, Spanish",
    "content_type": "kind of file",
    "cover_warn_days": "days of warning before a cover",
    "crew_change": "price of a changed crew",
    "crew_quarters": "quarter days of work",
    "day_change": "price of a changed day",
    "earned_on": "event that earns it",
    "edited": "edited by hand",
    "floor_finish": "floor finish, sixteenths",
    "glyph_part": "part of the house drawing",
    "hold_alert_days": "days until a hold is old",
    "hold_days": "days a hold is assumed to last",
    "home": "usual street",
    "is_active": "in use",
    "is_guess": "guessed",
    "is_required": "required",
    "jurisdiction": "inspecting office",
    "late_day": "price of a late day",
    "list_mapping": "columns of his lot lists",
    "map_x": "place on the map, east",
    "map_y": "place on the map, north",
    "move": "price of a drive",
    "name_en": "name, English",
    "name_es": "name, Spanish",
    "position": "order",
    "promise_percent": "certainty of a promise, percent",
    "rides_with": "on one visit with",
    "rules": "date rules",
    "record": "rules beside the dates",
    "set_by": "set by whom",
    "sha256": "fingerprint of the file",
    "shows_crew_names": "sees the names of crews",
    "site": "facts of the site",
    "stack": "stack in this room",
    "stud": "depth of the studs",
    "table": "table of the catalogue",
    "tile": "tile, sixteenths",
    "tiled": "what is tiled",
    "told_days": "days that crews are told ahead",
    "unit": "unit of the house",
    "vent": "vent in this room",
    "walk_own_work": "a lead may walk his own work",
    "wants_email": "told by mail",
    "wants_push": "told on the phone",
}
CUT = 160


def column_text(name: str, language: str) -> str:
    """What a column holds, in words."""
    english = COLUMNS.get(name) or name.removesuffix("_id").replace("_", " ")
    return in_language(english, language)


def table_text(name: str, language: str) -> str:
    return in_language(name, language)


def value_text(value: Any, language: str, choices: Mapping[Any, str] = {}) -> str:
    """A saved value as a person reads it; a long one is cut."""
    if value is None or value == "" or value == [] or value == {}:
        return "–"
    if isinstance(value, bool):
        return in_language("yes" if value else "no", language)
    if isinstance(value, datetime):
        return value.strftime("%Y-%m-%d %H:%M")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, list | tuple):
        text = ", ".join(value_text(one, language) for one in value)
    elif isinstance(value, dict):
        text = "; ".join(
            f"{key}: {value_text(one, language)}" for key, one in value.items()
        )
    else:
        # Codes of books (IRC) are words of their own.
        shown = str(value)
        said = shown if shown.isupper() else choices.get(value, shown)
        text = in_language(str(said), language)
    return text if len(text) <= CUT else f"{text[:CUT]}…"
