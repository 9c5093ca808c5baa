"""Names of the codes that reasons carry, in the reader's language."""

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
