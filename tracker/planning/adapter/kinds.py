"""Which inspections are a phase's own, and how many visits they need."""

from inspections.standing import LotStanding
from phases.models import LotPhase as Row
from tracker.sites.models import InspectionKind


def own_kinds(standing: LotStanding, row: Row) -> list[InspectionKind]:
    """Kinds still to pass whose last phase on this lot is this one, in their order."""
    order = {one.kind.code: one.position for one in standing.phases}
    mine = []
    for code in standing.required.get(row.pk) or ():
        kind = standing.kinds[code]
        last = max((order[c] for c in kind.proves if c in order), default=-1)
        if last == row.position and code in standing.to_pass:
            mine.append(kind)
    return mine


def rounds(kinds: list[InspectionKind]) -> int:
    """How many visits one after the other these kinds need at least."""
    codes = {kind.code: kind for kind in kinds}

    def depth(code: str, seen: frozenset[str]) -> int:
        before = [c for c in codes[code].after if c in codes and c not in seen]
        return 1 + max((depth(c, seen | {code}) for c in before), default=0)

    return max((depth(code, frozenset({code})) for code in codes), default=0)
