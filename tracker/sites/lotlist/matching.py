"""Compare a list with the lots we have: what is new, what changed, what stayed."""

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import chain, count

from .meaning import Known, KnownLot, Value, plat_of, squeeze, values_of
from .record import BAD, CHANGED, NEW, SKIPPED, UNCHANGED, LotRow


@dataclass(frozen=True)
class Judged:
    """A row beside the lot that it means.

    `values` are those to set, as our codes; `changes` old and new of what differs.
    """

    row: LotRow
    subdivision: str = ""
    label: str = ""
    block: str = ""
    unit: str = ""
    pk: int | None = None
    values: Mapping[str, Value] = field(default_factory=dict)
    changes: Mapping[str, tuple[Value, Value]] = field(default_factory=dict)


def judge(
    rows: Iterable[LotRow],
    known: Known,
    *,
    joins: Mapping[str, str] | None = None,
    otherwise: str = "",
    headers: Mapping[str, str] | None = None,
) -> list[Judged]:
    """Each row with its status against what we have, in the order of the list.

    Args:
        rows: of a `LotList`.
        known: the builder's lots, plans, people and subdivision names.
        joins: a person's word: spelling -> the name that it is to stand for.
        otherwise: subdivision of rows that name none.
        headers: our field -> header text, for errors.
    """
    spellings = dict(known.subdivisions)
    for spelling, name in (joins or {}).items():
        spellings[squeeze(spelling)] = spellings.get(squeeze(name), name)
    judged = [
        _resolved(row, known, spellings, otherwise, headers or {}) for row in rows
    ]
    groups: dict[tuple[str, ...], list[int]] = defaultdict(list)
    for index, one in enumerate(judged):
        if one.row.status not in (SKIPPED, BAD):
            groups[_key(one.subdivision, one.label, one.block, one.unit)].append(index)
    lots: dict[tuple[str, ...], list[KnownLot]] = defaultdict(list)
    for lot in known.lots:
        # A unit that was made up to tell two houses apart is tried without it too.
        lots[_key(lot.subdivision, lot.label, lot.block, lot.unit)].append(lot)
        if lot.unit:
            lots[_key(lot.subdivision, lot.label, lot.block, "")].append(lot)
    used: set[int] = set()
    for key, indexes in groups.items():
        free = [lot for lot in lots.get(key, []) if lot.pk not in used]
        for index, found in _pairs(judged, indexes, free):
            judged[index] = _compared(judged[index], found)
            used.add(found.pk)
    return _distinct(judged, known)


def _resolved(
    row: LotRow,
    known: Known,
    spellings: Mapping[str, str],
    otherwise: str,
    headers: Mapping[str, str],
) -> Judged:
    plat = plat_of(row, otherwise=otherwise)
    plat = spellings.get(squeeze(plat), plat)
    label = row.lot or ""
    if label and row.lot_word not in (None, "LOT"):
        label = f"{row.lot_word} {label}"
    if row.part and not row.lots and row.part != "ALL":
        label = f"{row.part} OF {label}"
    unit = row.unit or (f"BLDG {row.building}" if row.building else "")
    if row.unit and not label:
        unit = f"UNIT {unit}"
    if not label and not unit:
        unit = (row.address or "").upper()
    values, errors, notes = values_of(row, known, headers)
    if errors and row.status != SKIPPED:
        row = replace(row, status=BAD, errors=(*row.errors, *errors))
    if notes:
        row = replace(row, notes=(*row.notes, *notes))
    return Judged(
        row=row,
        subdivision=plat,
        label=label[:60],
        block=(row.block or "")[:20],
        unit=unit[:40],
        values=values,
    )


def _key(subdivision: str, label: str, block: str, unit: str) -> tuple[str, ...]:
    label = re.sub(r"^0+(?=\d)", "", squeeze(label))
    block = re.sub(r"^0+(?=\d)", "", squeeze(block))
    return squeeze(subdivision), label, block, squeeze(unit)


def _pairs(
    judged: Sequence[Judged], indexes: Sequence[int], lots: Sequence[KnownLot]
) -> Iterable[tuple[int, KnownLot]]:
    """Rows and lots of one name, paired by parcel, address, permit and made-up unit."""
    if len(indexes) == 1 and len(lots) == 1:
        one, lot = judged[indexes[0]], lots[0]
        if squeeze(one.unit) == squeeze(lot.unit):
            return [(indexes[0], lot)]
    scored = [
        (-_likeness(judged[index], lot), index, place)
        for index in indexes
        for place, lot in enumerate(lots)
    ]
    found: dict[int, KnownLot] = {}
    used: set[int] = set()
    for likeness, index, place in sorted(scored):
        if likeness < 0 and index not in found and place not in used:
            found[index] = lots[place]
            used.add(place)
    return list(found.items())


def _likeness(one: Judged, lot: KnownLot) -> int:
    same = 0
    for name, weight in (("parcel", 4), ("address", 3), ("permit", 2)):
        here, there = one.values.get(name), lot.values.get(name)
        if here and there:
            same += weight if squeeze(str(here)) == squeeze(str(there)) else -1
    return same


def _compared(one: Judged, lot: KnownLot) -> Judged:
    if lot.gone == "retired":
        reason = "The office took this lot off the street; put it back there first."
        row = replace(one.row, status=SKIPPED, reason=reason)
        return replace(one, row=row, pk=lot.pk)
    changes = {
        name: (lot.values.get(name), value)
        for name, value in one.values.items()
        if not _same(lot.values.get(name), value)
    }
    status = CHANGED if changes else UNCHANGED
    if lot.gone:
        status = NEW
    return replace(
        one,
        row=replace(one.row, status=status),
        pk=lot.pk,
        label=lot.label,
        block=lot.block,
        unit=lot.unit,
        changes=changes,
    )


def _same(old: Value, new: Value) -> bool:
    if isinstance(old, str) and isinstance(new, str):
        return " ".join(old.split()) == " ".join(new.split())
    return (old or None) == (new or None)


def _distinct(judged: Sequence[Judged], known: Known) -> list[Judged]:
    """Tell houses of one name apart by a unit: #101, 2259-A, else the permit."""
    taken = {
        _full(k.subdivision, k.label, k.block, k.unit, k.values) for k in known.lots
    }
    fresh = [one for one in judged if one.pk is None and one.row.status == NEW]
    often = Counter(_full_of(one, one.unit) for one in fresh)
    found: list[Judged] = []
    for one in judged:
        if one.pk is None and one.row.status == NEW:
            alone = often[_full_of(one, one.unit)] == 1
            units = chain([one.unit] if alone else [], _units(one))
            free = (unit[:40] for unit in units if _full_of(one, unit) not in taken)
            one = replace(one, unit=next(free))
            taken.add(_full_of(one, one.unit))
        found.append(one)
    return found


def _full_of(one: Judged, unit: str) -> tuple[str, ...]:
    return _full(one.subdivision, one.label, one.block, unit[:40], one.values)


def _full(
    subdivision: str, label: str, block: str, unit: str, values: Mapping[str, Value]
) -> tuple[str, ...]:
    return subdivision, block, label, unit, str(values.get("parcel") or "")


def _units(one: Judged) -> Iterable[str]:
    address = (one.row.address or "").upper()
    inside = re.search(
        r"(?:#|\b(?:APT|UNIT|STE)\b\.?\s*#?)\s*([A-Z0-9/-]+)\s*$", address
    )
    if inside:
        yield inside.group(1)
    beside = re.match(r"\d+\s?-\s?([A-Z])\b", address)
    if beside:
        yield beside.group(1)
    if address:
        yield address
    if one.row.permit:
        yield one.row.permit
    yield f"ROW {one.row.row}"
    yield from (f"HOUSE {number}" for number in count(2))
