"""The dry run: a stored list beside what we have. Nothing is changed here."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from tracker.desk.imports.known import known_of
from tracker.sites.lotlist import LotList, Unreadable, read_bytes
from tracker.sites.lotlist.matching import Judged, judge
from tracker.sites.lotlist.meaning import Known, plat_of, squeeze
from tracker.sites.lotlist.record import BAD, SKIPPED
from tracker.sites.lotlist.spelling import propose
from tracker.sites.models import Builder, LotImport

# More names than this is a column of something else.
MOST_STRANGERS = 30


@dataclass(frozen=True)
class Looked:
    """The list, each row judged, and what a person has to decide.

    `spellings` are proposals; `unknown` are names that would become subdivisions;
    `homeless` counts rows to be taken that name no subdivision; `strangers` are
    superintendents of the list that the builder does not have.
    """

    listing: LotList
    judged: tuple[Judged, ...]
    spellings: tuple[Mapping[str, str], ...]
    unknown: tuple[str, ...]
    homeless: int
    strangers: tuple[str, ...] = ()


def look(lot_import: LotImport) -> Looked:
    """Dry run of a stored list.

    Raises:
        Unreadable: also when the stored file is gone.
    """
    try:
        with lot_import.file.open("rb") as file:
            data = file.read()
    except OSError as error:
        raise Unreadable("The stored list is gone. Upload it again.") from error
    return look_at(
        data,
        builder=lot_import.builder,
        sheet=lot_import.sheet or None,
        mapping=lot_import.mapping,
        joins=lot_import.joins,
        otherwise=lot_import.otherwise,
    )


def look_at(
    data: bytes,
    *,
    builder: Builder | None,
    sheet: str | None = None,
    mapping: Mapping[str, str] | None = None,
    joins: Mapping[str, str] | None = None,
    otherwise: str = "",
) -> Looked:
    """Dry run of a list against what the builder has; without one, against nothing.

    Raises:
        Unreadable: one sentence.
    """
    remembered = builder.list_mapping if builder else {}
    listing = read_bytes(data, sheet=sheet, mapping=mapping, remembered=remembered)
    if builder is None or builder.pk is None:
        names = [plat_of(row) for row in listing.rows]
        return Looked(
            listing,
            tuple(Judged(row=row) for row in listing.rows),
            listing.spellings,
            _new_names(names, {}),
            0,
        )
    known = known_of(builder)
    judged = judge(
        listing.rows, known, joins=joins, otherwise=otherwise, headers=listing.columns
    )
    taken = [one for one in judged if one.row.status not in (SKIPPED, BAD)]
    names = [one.subdivision for one in taken if one.subdivision]
    unknown = _new_names(names, known.subdivisions)
    listing = replace(
        listing,
        rows=tuple(one.row for one in judged),
        spellings=propose(unknown, known=known.subdivisions.values()),
    )
    return Looked(
        listing=listing,
        judged=tuple(judged),
        spellings=listing.spellings,
        unknown=unknown,
        homeless=sum(1 for one in taken if not one.subdivision),
        strangers=_strangers(taken, known),
    )


def _strangers(taken: list[Judged], known: Known) -> tuple[str, ...]:
    settled = {squeeze(name) for name in known.superintendents}
    found: dict[str, str] = {}
    for one in taken:
        name = " ".join((one.row.superintendent or "").split())[:120]
        if name and squeeze(name) not in settled:
            found.setdefault(squeeze(name), name)
    return tuple(found.values())[:MOST_STRANGERS]


def _new_names(names: list[str], known: Mapping[str, str]) -> tuple[str, ...]:
    """Names that are no subdivision yet, each once, as first written."""
    found: dict[str, str] = {}
    for name in names:
        if name and squeeze(name) not in known:
            found.setdefault(squeeze(name), name)
    return tuple(found.values())
