"""What a changed plan, option or catalogue does to a stub-out list."""

from collections.abc import Iterable
from dataclasses import dataclass

from phases.catalogue.demand import CONTENT_FIELDS, Demand


@dataclass(frozen=True, slots=True)
class Changed:
    """One key that both lists have, with the fields that a crew would notice."""

    old: Demand
    new: Demand
    fields: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Difference:
    """What one list has and the other lacks, by key, in walk order.

    Work done or covered decides what becomes of each: an extra for an added demand,
    a correction for a lost or changed one, never a silent item or a silent drop.
    """

    added: tuple[Demand, ...]
    lost: tuple[Demand, ...]
    changed: tuple[Changed, ...]

    def __bool__(self) -> bool:
        return bool(self.added or self.lost or self.changed)


def diff(old: Iterable[Demand], new: Iterable[Demand]) -> Difference:
    """Compare two stub-out lists. Order and source alone are no change."""
    before = {demand.key: demand for demand in old}
    after = {demand.key: demand for demand in new}
    changed = [
        Changed(before[key], demand, fields)
        for key, demand in after.items()
        if key in before and (fields := changed_fields(before[key], demand))
    ]
    return Difference(
        added=tuple(demand for key, demand in after.items() if key not in before),
        lost=tuple(demand for key, demand in before.items() if key not in after),
        changed=tuple(changed),
    )


def changed_fields(old: Demand, new: Demand) -> tuple[str, ...]:
    """The names of the fields that differ."""
    return tuple(
        name for name in CONTENT_FIELDS if getattr(old, name) != getattr(new, name)
    )
