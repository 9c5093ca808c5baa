"""Each office of the database as a line of the format."""

from collections import Counter
from dataclasses import replace

from inspections.standing import LotStanding

from .kinds import own_kinds
from .offices import NO_OFFICE, OfficeLine, no_office, office_line
from .rows import Rows


def lines_of(rows: Rows) -> tuple[dict[int | None, OfficeLine], dict[int | None, str]]:
    """Each office of a lot or place as a line of the format."""
    visits: Counter[int | None] = Counter()
    kinds: Counter[int | None] = Counter()
    of: dict[int | None, LotStanding] = {}
    for standing in rows.standings:
        office = standing.lot.subdivision.jurisdiction_id
        of.setdefault(office, standing)
        for row in standing.phases:
            count = len(own_kinds(standing, row))
            visits[office] += count > 0
            kinds[office] += count
    lines: dict[int | None, OfficeLine] = {None: no_office()}
    ids: dict[int | None, str] = {None: NO_OFFICE}
    for place in rows.places:
        office = place.jurisdiction_id
        if office is None or office in ids:
            continue
        ids[office] = place.jurisdiction.name
        known = of.get(office)
        if known is None or known.office is None:
            lines[office] = _named(no_office(), ids[office])
            continue
        lines[office] = office_line(
            ids[office],
            known.office.record,
            tuple(sorted(known.office.record.by_kind)) or ("",),
            booked=known.booked,
            kinds_a_visit=kinds[office] / max(1, visits[office]),
            calendar=rows.calendar,
        )
    return lines, ids


def _named(line: OfficeLine, name: str) -> OfficeLine:
    return replace(line, line=replace(line.line, id=name))
