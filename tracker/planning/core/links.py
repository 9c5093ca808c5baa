"""One fact that binds a job, as codes and numbers."""

from dataclasses import dataclass
from typing import Any

# Which fields of a link mean something, by its kind. Days of the past are
# negative; their phase is named where it is not the job's own.
FIELDS: dict[str, tuple[str, ...]] = {
    "ready": ("day", "lot", "phase"),
    "gate": ("phase", "day", "number"),  # the phase before; the builder's days
    "pin": ("who", "day", "lot", "phase"),
    "promised": ("day",),
    "crew_busy": ("who", "day", "until", "lot", "phase"),  # its job before this one
    "next_crew": ("who", "day"),
    "crew_off": ("who", "days"),
    "rain": ("days",),
    "drive": ("who", "lot"),  # `lot` is the subdivision left
    "cutoff": ("who", "day"),
    "lead": ("who", "number"),
    "visit_weekday": ("who", "days"),  # 0 is Monday
    "closed": ("who", "days"),  # it inspects on such weekdays, but not then
    "slot_full": ("who", "days"),
    "past_due": ("day", "phase"),  # needed by a day gone by, and nothing more is known
    "past_ready": ("day", "phase"),
    "past_unsent": ("day", "phase"),  # ready since; nobody has been there
    "past_not_begun": ("day", "phase"),  # a crew was told that day
    "past_begun": ("day", "since", "phase"),  # `since` it was ready
    "past_worked": ("day", "phase"),
    "past_waited": ("day", "since", "phase"),  # it stood ready before it was worked
    "past_readied": ("day", "since", "phase"),  # worked at once, but ready late
    "past_uncalled": ("day", "phase"),  # done then
    "past_unproven": ("day", "number", "phase"),  # so much keeps it from a call
    "past_failed": ("day", "phase"),
    "past_corrections": ("day", "number", "phase"),
}


@dataclass(frozen=True)
class Link:
    """One binding fact. `kind` says which fields mean something: see FIELDS."""

    kind: str
    who: str = ""
    day: int = -1
    until: int = -1
    since: int = -1
    days: tuple[int, ...] = ()
    number: int = 0
    lot: str = ""
    phase: str = ""

    def facts(self) -> dict[str, Any]:
        """The fields that `kind` uses, as JSON; days are working days."""
        named = {name: getattr(self, name) for name in ("kind", *FIELDS[self.kind])}
        return {**named, "days": list(self.days)} if "days" in named else named
