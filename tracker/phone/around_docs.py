"""What stands beside a lot's items on the phone: tests, corrections, holds, sheets."""

from collections.abc import Callable, Collection, Iterable
from typing import Any

from inspections.models import PipeTest
from inspections.pipe_tests.verdicts import verdict_words
from phases.models import Correction, Hold, LotPhase
from tracker.sites.models import DrawingSheet, Lot
from tracker.words import say_all

Doc = dict[str, Any]
BEGUN = ("working", "done", "proven")


def test_doc(test: PipeTest) -> Doc:
    """A test on the pipe that is up, with what the book says of it."""
    return {
        "id": str(test.pk),
        "system": test.system,
        "medium": test.medium,
        "material": test.readings.get("material", ""),
        "readings": test.readings,
        "outcome": test.outcome,
        "words": _both(lambda language: verdict_words(test.said, language)),
        "caution": _both(lambda language: say_all(test.cautions, language)),
        "photo": bool(test.photo),
        "again": test.test_again,
        "by": test.put_up_by,
        "at": test.put_up_at.isoformat(),
    }


def _both(words: Callable[[str], str]) -> dict[str, str]:
    return {language: words(language) for language in ("en", "es")}


def hold_doc(hold: Hold) -> Doc:
    return {
        "id": str(hold.pk),
        "owed_by": hold.owed_by,
        "text": hold.text,
        "since": hold.since.isoformat(),
    }


def correction_doc(
    correction: Correction, *, taken: list[str], arrived: Collection[str]
) -> Doc:
    """`taken` are the hashes of its photos, `arrived` those whose picture is here."""
    return {
        "id": str(correction.pk),
        "text": correction.text,
        "text_es": correction.text_es,
        "owed_by": correction.owed_by,
        "ours": correction.is_ours,
        "state": correction.state,
        "source": correction.source,
        "item": correction.item_id,
        "due_on": correction.due_on.isoformat() if correction.due_on else None,
        "photos": taken,
        "thumbnails": [f"photos/{sha}/thumbnail/" for sha in taken if sha in arrived],
    }


def sheet_docs(
    lot: Lot, sheets: Iterable[DrawingSheet], phases: Iterable[LotPhase]
) -> list[Doc]:
    """The newest sheet of each title that fits the lot's options."""
    chosen = {option.pk for option in lot.options.all()}
    begun = [p.work_on for p in phases if p.work in BEGUN and p.work_on]
    newest: dict[str, DrawingSheet] = {}
    older: set[str] = set()
    for sheet in sheets:
        if sheet.option_id is not None and sheet.option_id not in chosen:
            continue
        if sheet.title in newest:
            older.add(sheet.title)
        newest.setdefault(sheet.title, sheet)
    return [
        {
            "id": sheet.pk,
            "title": sheet.title,
            "dated": sheet.dated.isoformat(),
            "url": f"sheets/{sheet.pk}/",
            "newer": title in older
            and any(sheet.uploaded_at.date() >= day for day in begun),
        }
        for title, sheet in newest.items()
    ]
