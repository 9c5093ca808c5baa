"""Names of the format with our rows behind them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from inspections.offices import OfficeRecord
from tracker.planning.core.marks_past import Past

Name = tuple[str, str]


@dataclass(frozen=True)
class Keys:
    """Names of the format to primary keys; `phases` by (lot, format phase).

    `begun` work is held to its crew by the planner, not by a person's pin. `past` is
    what happened to jobs before day 0, of which the format says nothing.
    """

    lots: Mapping[str, int] = field(default_factory=dict)
    crews: Mapping[str, int] = field(default_factory=dict)
    phases: Mapping[Name, int] = field(default_factory=dict)
    begun: frozenset[Name] = frozenset()
    past: Mapping[Name, Past] = field(default_factory=dict)

    def as_json(self) -> dict[str, Any]:
        phases = [[lot, phase, pk] for (lot, phase), pk in self.phases.items()]
        record = {"lots": self.lots, "crews": self.crews, "phases": phases}
        past = [[*name, one.as_json()] for name, one in self.past.items()]
        return {**record, "begun": sorted(self.begun), "past": past}

    @classmethod
    def read(cls, raw: Mapping[str, Any]) -> "Keys":
        phases = {(lot, phase): pk for lot, phase, pk in raw["phases"]}
        begun = frozenset((lot, phase) for lot, phase in raw.get("begun", ()))
        past = {(lot, phase): Past.read(p) for lot, phase, p in raw.get("past", ())}
        return cls(raw["lots"], raw["crews"], phases, begun, past)


@dataclass(frozen=True)
class Visit:
    """What the exact date rules must agree to: the kinds of one inspection.

    `extra` are the working days from the first visit until the last, where some wait
    for others.
    """

    office: OfficeRecord
    jurisdiction: int
    kinds: tuple[str, ...]
    after: Mapping[str, tuple[str, ...]]
    extra: int = 0
