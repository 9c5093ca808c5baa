"""Which inspections a lot phase must pass, from the jurisdiction's own list. Pure."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class KindRow:
    code: str
    proves: tuple[str, ...]
    applies_to: tuple[str, ...] = ()


def required_kinds(
    kinds: Iterable[KindRow], phase: str, *, has: Collection[str] | None
) -> tuple[str, ...] | None:
    """Codes that must pass for `phase`; None where the office's list is unknown.

    `has` are the systems, fixtures and foundation of the lot; None: not known, and
    then what may be needed is needed, since absence never opens a gate.
    """
    rows = list(kinds)
    if not rows:
        return None
    return tuple(
        row.code
        for row in rows
        if phase in row.proves
        and (not row.applies_to or has is None or any(x in has for x in row.applies_to))
    )
