"""The cover gate in one sentence, with everything that is missing."""

from collections.abc import Mapping
from dataclasses import dataclass

from phases.models import CheckItem, Fact, LotPhase
from phases.names import name_kinds, names_by_office
from tracker.words import say

SENTENCES = {
    "open": ("It may be covered.", "Se puede cubrir."),
    "shut": ("Not to be covered yet: {missing}.", "No cubrir todavía: {missing}."),
    "override": (
        "It may be covered on the owner's word ({reason}), although: {missing}.",
        "Se puede cubrir por orden del dueño ({reason}), aunque: {missing}.",
    ),
}


@dataclass(frozen=True)
class GateAnswer:
    """Whether the phase may be covered, why not, and who overrode it."""

    is_open: bool
    sentence: str
    missing: tuple[str, ...]
    items: tuple[CheckItem, ...]
    overrides: tuple[Fact, ...]


def gate_answer(
    phase: LotPhase, *, language: str, names: Mapping[str, str]
) -> GateAnswer:
    """The gate of a lot phase, in four statements. Items are those still unproven."""
    office = phase.lot.subdivision.jurisdiction_id
    kinds = names_by_office(language).get(office or 0, {})
    missing = tuple(
        _said(name_kinds(reason, kinds), language, names)
        for reason in phase.gate_missing
    )
    items = phase.items.filter(removed_at=None, concealed=True)
    overrides = tuple(
        phase.facts.filter(kind="gate_overridden", payload__gate="cover")
        .select_related("by")
        .order_by("no")
    )
    if not missing:
        code = "open"
    else:
        code = "override" if phase.gate_open else "shut"
    reason = overrides[-1].payload["reason"] if overrides else ""
    sentence = SENTENCES[code][1 if language == "es" else 0]
    return GateAnswer(
        is_open=phase.gate_open,
        sentence=sentence.format(missing="; ".join(missing), reason=reason),
        missing=missing,
        items=tuple(items.exclude(state=CheckItem.PROVEN)),
        overrides=overrides,
    )


def _said(reason: dict[str, object], language: str, names: Mapping[str, str]) -> str:
    if reason.get("code") == "not_passed" and reason.get("kinds"):
        open_kinds = {"code": "kinds_open", "kinds": reason["kinds"]}
        return say(open_kinds, language, names)
    return say(reason, language, names)
