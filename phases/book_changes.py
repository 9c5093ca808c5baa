"""What a changed code book, edition or local amendment changes on the lots of a street.

Sizes follow the book in force on the permit's date. Before a change is saved, keep
`books_of(lots)`; after it, `book_changes` tells each lot whose book is another one now,
and which pipes come out otherwise. Whoever brings the lots' check items up to date
calls `sync_items` on exactly these.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from phases.models import PlanOutline
from phases.plan_check import book_of, options_key, report_of, stored_piping
from phases.sizing.amendments import NoBook
from phases.sizing.plan.changes import Move, moves
from phases.sizing.tables import Book
from tracker.sites.models import Lot


@dataclass(frozen=True)
class LotBookChange:
    """A lot whose book is another one now; moves are empty without an outline."""

    lot: Lot
    before: Book | None
    after: Book | None
    moves: tuple[Move, ...] = ()

    @property
    def no_longer_checked(self) -> tuple[str, ...]:
        """Pipes that fail in the new book."""
        return tuple(dict.fromkeys(m.where for m in self.moves if m.is_worse))


def books_of(lots: Iterable[Lot]) -> dict[int, Book | None]:
    """The book in force for each lot by its permit's date, None where none is entered.

    Lots come with `subdivision__jurisdiction`; no statement is added.
    """
    return {lot.pk: _book(lot) for lot in lots}


def _book(lot: Lot) -> Book | None:
    try:
        return book_of(lot.subdivision, on=lot.permit_issued_on)
    except (NoBook, ValueError):
        return None


def book_changes(
    lots: Iterable[Lot], before: Mapping[int, Book | None]
) -> tuple[LotBookChange, ...]:
    """Lots whose book differs from `before`, with what it changes; one statement.

    Lots come with `plan`, `subdivision__jurisdiction` and options prefetched.
    """
    now = [(lot, before.get(lot.pk), _book(lot)) for lot in lots]
    other = [entry for entry in now if entry[1] != entry[2]]
    if not other:
        return ()
    outlines = _outlines(lot for lot, _, _ in other)
    return tuple(
        LotBookChange(lot, old, new, _moves(lot, old, new, outlines))
        for lot, old, new in other
    )


def _outlines(lots: Iterable[Lot]) -> dict[tuple[int, str], PlanOutline]:
    """The outline in force of each plan and set of options."""
    plans = {lot.plan_id for lot in lots if lot.plan_id}
    rows = PlanOutline.objects.in_force().filter(plan__in=plans).order_by("version")
    return {(row.plan_id, row.options): row for row in rows}


def _moves(
    lot: Lot,
    old: Book | None,
    new: Book | None,
    outlines: Mapping[tuple[int, str], PlanOutline],
) -> tuple[Move, ...]:
    key = options_key(option.code for option in lot.options.all())
    row = outlines.get((lot.plan_id, key)) if lot.plan_id else None
    if row is None or old is None or new is None:
        return ()
    piping = stored_piping(row, storeys=lot.plan.storeys, foundation=lot.stands_on)
    assert piping.outline is not None
    reports = [
        report_of(piping.outline, piping.site, piping.extras, book)
        for book in (old, new)
    ]
    return moves(*reports)
