"""The `when` column: clauses `name=a|b` or `name!=a`, all of which must hold.

    below=framed fact.aav=yes with.dishwasher=no foundation!=slab

Names: below (slab, framed), floor (basement, ground, upper), above (yes, no: a
storey above), foundation, storeys, position, book, `fact.NAME`, `with.KIND` (in the
same room), `has.KIND` (in the house), `needs.OUTLET` (any fixture of the room),
served (dishwashers that drain here), beside (kind of the fixture it works with, or
none) and the fixture's own parameters by their names.
"""

from collections.abc import Callable
from dataclasses import dataclass

from phases.catalogue.cells import OUTLETS

BUILT_IN = {
    "below": ("slab", "framed"),
    "floor": ("basement", "ground", "upper"),
    "above": ("yes", "no"),
    "foundation": ("slab", "crawl", "basement"),
    "storeys": ("1", "2", "3", "4", "5"),
    "position": ("wall", "island", "corner", "deck", "floor", "outside"),
    "book": ("IRC", "IPC", "UPC"),
    "served": ("0", "1", "2", "3", "4"),
}


@dataclass(frozen=True, slots=True)
class Clause:
    """One comparison; `negated` means none of the values."""

    name: str
    negated: bool
    values: frozenset[str]

    def holds(self, answer: Callable[[str], str]) -> bool:
        """Whether it holds where `answer(name)` tells the facts."""
        return (answer(self.name) in self.values) != self.negated


def parse_when(text: str) -> tuple[Clause, ...]:
    """Read a `when` cell. Raises ValueError naming the clause that cannot be read."""
    clauses = []
    for word in text.split():
        name, mark, values = word.partition("=")
        negated = name.endswith("!")
        name = name.removesuffix("!")
        if not mark or not name or not all(values.split("|")):
            raise ValueError(
                f"Condition {word!r} cannot be read. Write name=value or "
                "name!=value|other, with a blank between conditions."
            )
        clauses.append(Clause(name, negated, frozenset(values.split("|"))))
    return tuple(clauses)


def why_not_condition(
    clause: Clause,
    *,
    facts: dict[str, tuple[str, ...]],
    params: dict[str, tuple[str, ...]],
    kinds: frozenset[str],
) -> str | None:
    """Why a clause can never be answered, or None.

    `facts` and `params` give the allowed values by name, `kinds` the fixture codes.
    """
    name = clause.name
    prefix, _, rest = name.partition(".")
    if prefix in ("with", "has") and rest:
        if rest not in kinds:
            return f"{name}: there is no fixture kind {rest!r}."
        allowed: tuple[str, ...] = ("yes", "no")
    elif prefix == "needs" and rest:
        if rest not in OUTLETS:
            return f"{name}: there is no outlet {rest!r}."
        allowed = ("yes", "no")
    elif name == "beside":
        allowed = (*sorted(kinds), "none")
    elif prefix == "fact" and rest:
        if rest not in facts:
            return f"{name}: there is no fact {rest!r}."
        allowed = facts[rest]
    elif name in BUILT_IN:
        allowed = BUILT_IN[name]
    elif name in params:
        allowed = params[name]
    else:
        return f"{name!r} is no condition, fact or parameter of this fixture."
    if strange := sorted(clause.values - set(allowed)):
        return f"{name} is never {', '.join(strange)}; it is {', '.join(allowed)}."
    return None
