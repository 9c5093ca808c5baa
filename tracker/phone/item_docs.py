"""One check item as the phone keeps it: words, target, limits, answers."""

from collections.abc import Collection, Iterable
from dataclasses import fields
from typing import Any

from phases.catalogue.demand import Target
from phases.catalogue.loading import Catalogue
from phases.catalogue.words import say_figure, say_target, say_tolerance, word
from phases.models import CheckItem, Fact
from tracker.people.models import Member

LANGUAGES = ("en", "es")
CHECKED = {"en": "checked", "es": "revisado"}
_TARGET_FIELDS = {field.name for field in fields(Target)}


def item_doc(
    item: CheckItem,
    *,
    answers: Iterable[Fact],
    walked: Fact | None,
    photos: Collection[str],
    member: Member,
    catalogue: Catalogue,
    look_first: bool = False,
) -> dict[str, Any]:
    """`look_first`: inspectors have failed this before, so the walk begins with it."""
    spec = item.spec
    targets = [_target(one) for one in spec.get("targets", ())]
    measured = next((t for t in targets if t.axis == spec.get("measure")), None)
    shown = measured or (targets[0] if targets else None)
    mine = item.answer.get("photos", [])
    return {
        "id": item.pk,
        "version": item.version,
        "phase": item.lot_phase.kind.code,
        "proof": item.proof,
        "concealed": item.concealed,
        "text": {"en": spec.get("text_en", item.key), "es": spec.get("text_es", "")},
        "where": _where(spec, catalogue),
        "target": _in_both(
            lambda language: " · ".join(
                say_target(one, catalogue, language=language) for one in targets
            )
        ),
        "tolerance": _in_both(lambda language: say_tolerance(shown))
        if shown
        else _limits(spec, catalogue),
        "unit": spec.get("unit", ""),
        "unit_words": unit_words(spec.get("unit", ""), catalogue),
        "least": spec.get("least"),
        "most": spec.get("most"),
        "advisory": spec.get("advisory", False),
        "photos_needed": max(item.photos_needed, 1 if item.proof == "photo" else 0),
        "state": item.state,
        "value": item.answer.get("value"),
        "photos": mine,
        "thumbnails": [f"photos/{sha}/thumbnail/" for sha in mine if sha in photos],
        "walked": _walked(walked),
        "look_first": look_first,
        "answers": _answers(answers, member),
    }


def _target(row: dict[str, Any]) -> Target:
    return Target(**{name: row[name] for name in _TARGET_FIELDS if name in row})


def _in_both(words: Any) -> dict[str, str]:
    return {language: words(language) for language in LANGUAGES}


def _limits(spec: dict[str, Any], catalogue: Catalogue) -> dict[str, str] | None:
    """Limits of a reading that has no target: `at least 18 in, at most 42 in`."""
    given = [
        (name, spec[field])
        for name, field in (("at_least", "least"), ("at_most", "most"))
        if spec.get(field) is not None
    ]
    unit = spec.get("unit", "")
    if not given or unit == "in16":
        return None
    units = unit_words(unit, catalogue)
    return _in_both(
        lambda language: ", ".join(
            f"{word(name, catalogue, language=language)} "
            f"{say_figure(figure, unit=unit)} {units[language]}".rstrip()
            for name, figure in given
        )
    )


def unit_words(unit: str, catalogue: Catalogue) -> dict[str, str]:
    """A unit as crews read it; a tape's sixteenths need none, an odd one is itself."""
    if unit == "in16":
        return {"en": "", "es": ""}
    known = f"unit.{unit}" in catalogue.strings
    return _in_both(
        lambda language: (
            word(f"unit.{unit}", catalogue, language=language) if known else unit
        )
    )


def _where(spec: dict[str, Any], catalogue: Catalogue) -> dict[str, str]:
    """The fixture's place, and for a handoff the trade it is left for."""
    said = {}
    for language in LANGUAGES:
        size = str(spec.get("size") or "")
        parts = [f'{size}"' if size[-1:].isdigit() else size]
        if book := spec.get("checked"):
            # The size is one of an accepted outline, checked in this book.
            parts.append(f"✓ {CHECKED[language]} {book}")
        if handoff := spec.get("handoff"):
            parts.append(word(f"trade.{handoff}", catalogue, language=language))
        said[language] = " · ".join(part for part in parts if part)
    return said


def _walked(fact: Fact | None) -> str | None:
    if fact is None:
        return None
    return "walk_good" if fact.kind == "walked" else "walk_correction"


def _answers(facts: Iterable[Fact], member: Member) -> list[dict[str, Any]]:
    """Every answer in server order; the loser of a conflict stays readable."""
    facts = list(facts)
    undone = {
        fact.payload.get("of")
        for fact in facts
        if fact.payload.get("answer") in ("undo", "reject")
    }
    return [
        {
            "op": str(fact.op or fact.no),
            "no": fact.no,
            "by": fact.who,
            "mine": fact.by_id == member.pk,
            "at": fact.happened_at.isoformat(),
            "answer": fact.payload.get("answer"),
            "version": fact.payload.get("version"),
            "undone": str(fact.op or fact.no) in undone,
            **{
                name: fact.payload[name]
                for name in ("value", "unit", "reason", "text", "passed", "sha", "of")
                if name in fact.payload
            },
        }
        for fact in facts
    ]
