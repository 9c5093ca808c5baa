"""Names of the codes that reasons carry, in the reader's language."""

from collections.abc import Mapping
from typing import Any

from phases.models import PhaseKind, ReadyPart
from tracker.sites.models import InspectionKind

STATES = {
    "not_called": ("not called in", "sin pedir"),
    "called_in": ("called in", "pedida"),
    "partly_passed": ("partly passed", "aprobada en parte"),
    "failed": ("failed", "reprobada"),
    "passed": ("passed", "aprobada"),
    "none_needed": ("none needed", "no necesita"),
}


def names(language: str = "en") -> dict[str, str]:
    """Every code with its name, in three statements."""
    column = 1 if language == "es" else 0
    field = "name_es" if language == "es" else "name_en"
    found = {code: pair[column] for code, pair in STATES.items()}
    for model in (InspectionKind, ReadyPart, PhaseKind):
        found.update(model.objects.values_list("code", field))
    return found


def names_by_office(language: str = "en") -> dict[int, dict[str, str]]:
    """The kinds of inspections of each jurisdiction, in one statement."""
    field = "name_es" if language == "es" else "name_en"
    found: dict[int, dict[str, str]] = {}
    rows = InspectionKind.objects.values_list("jurisdiction", "code", field)
    for office, code, name in rows:
        found.setdefault(office, {})[code] = name
    return found


def name_kinds(reason: Any, kinds: Mapping[str, str]) -> Any:
    """The reason with its inspections called as the office of `kinds` calls them.

    Phases and other offices may use the same codes for other names.
    """
    if isinstance(reason, Mapping):
        return {
            key: [kinds.get(code, code) for code in value]
            if key == "kinds"
            else name_kinds(value, kinds)
            for key, value in reason.items()
        }
    if isinstance(reason, list):
        return [name_kinds(part, kinds) for part in reason]
    return reason
