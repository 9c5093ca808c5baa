"""Checks that every crew-facing text has both languages in the trade's own words."""

import re
from collections.abc import Iterator

from phases.catalogue.loading import Catalogue
from phases.catalogue.tables import Term

# Words that are the same in both languages on the job.
SAME_IN_BOTH = frozenset({"Bar", "Patio", "min", "psi", "°F"})


def crew_texts(catalogue: Catalogue) -> Iterator[tuple[str, str, str]]:
    """Every text a crew may read: where it stands, English, Spanish."""
    for row in catalogue.demands:
        where = f"demands {' '.join(row.fixtures)} {row.key}.{row.phase}"
        yield where, row.text_en, row.text_es
    for kind in catalogue.kinds.values():
        yield f"fixture_kinds {kind.code}", kind.name_en, kind.name_es
    for fact in catalogue.facts.values():
        yield f"facts {fact.name}", fact.name_en, fact.name_es
    for table, words in (
        ("room_kinds", catalogue.room_kinds),
        ("strings", catalogue.strings),
    ):
        for one in words.values():
            yield f"{table} {one.code}", one.en, one.es


def untranslated(catalogue: Catalogue) -> tuple[str, ...]:
    """Where a text lacks a language or stands untranslated in both."""
    return tuple(
        where
        for where, en, es in crew_texts(catalogue)
        if not en.strip()
        or not es.strip()
        or (en.strip() == es.strip() and en.strip() not in SAME_IN_BOTH)
    )


def off_glossary(catalogue: Catalogue) -> tuple[str, ...]:
    """Where the English uses a checked term and the Spanish none of its forms."""
    checked = [(term, _english(term), _spanish(term)) for term in catalogue.glossary]
    return tuple(
        f"{where}: {term.en!r} is {term.es!r}, not found in {es!r}"
        for where, en, es in crew_texts(catalogue)
        for term, english, spanish in checked
        if term.check and english.search(en) and not spanish.search(es)
    )


def _english(term: Term) -> re.Pattern[str]:
    return re.compile(rf"\b{re.escape(term.en)}(s|es)?\b", re.IGNORECASE)


def _spanish(term: Term) -> re.Pattern[str]:
    forms = "|".join(re.escape(form) for form in (term.es, *term.also_es))
    return re.compile(rf"\b({forms})", re.IGNORECASE)
