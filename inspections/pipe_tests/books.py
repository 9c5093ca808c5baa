"""What the books ask of a test, as figures that keep their source."""

import csv
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from inspections.pipe_tests.records import GASES, SYSTEMS

BOOKS = ("IRC", "IPC", "UPC")
TOPICS = (
    "head_ft",
    "pressure_psi",
    "pressure_wc",
    "vacuum_psi",
    "times_working",
    "depth_in",
    "minutes",
    "minutes_per_500_cuft",
    "mark_psi",
    "top_times",
    "media",
    "no_plastic",
)
WORDS = ("media", "no_plastic")
_DATA = Path(__file__).parent / "data" / "rules.csv"


@dataclass(frozen=True, slots=True)
class Need:
    """One figure that a book (or a local amendment) asks for."""

    topic: str
    value: str
    when: str
    origin: str  # published, memory or local
    label: str  # book, edition asked for, section
    source: str
    note: str

    @property
    def number(self) -> float:
        return float(self.value)

    @property
    def may_fail(self) -> bool:
        """A figure from memory never alone fails a house."""
        return self.origin != "memory"

    @property
    def provenance(self) -> str:
        told = f"from {self.source}" if self.origin != "local" else self.source
        return f"{self.label}, {told}" + (f" ({self.note})" if self.note else "")


@dataclass(frozen=True, slots=True)
class Amendment:
    """A local rule in place of the book's: `note` says who set it and where it stands.

    `value` is a number in the topic's unit; for `no_plastic` "allowed" or "refused".
    """

    system: str
    topic: str
    value: str
    note: str

    def __post_init__(self) -> None:
        if self.system not in SYSTEMS or self.topic not in TOPICS:
            raise ValueError(f"no such test rule: {self.system}.{self.topic}")
        if not self.note.strip():
            raise ValueError("say who set the local rule and where it stands")
        if self.topic not in WORDS:
            try:
                good = 0 < float(self.value) < 10_000
            except ValueError:
                good = False
            if not good:
                raise ValueError(f"{self.topic} must be a number above 0")
        if self.topic == "no_plastic" and self.value not in ("allowed", "refused"):
            raise ValueError("no_plastic must be allowed or refused")


def amendments_from(overrides: Iterable[Mapping[str, Any]]) -> tuple[Amendment, ...]:
    """Those of a jurisdiction's amendments that change a test, from JSON objects
    {"cell": "test.gas.pressure_psi", "value": ..., "note": ...}; others are left out.
    """
    found = []
    for override in overrides:
        parts = str(override.get("cell", "")).split(".")
        if parts[0] == "test" and len(parts) == 3:
            found.append(
                Amendment(
                    parts[1],
                    parts[2],
                    str(override.get("value", "")),
                    str(override.get("note", "")),
                )
            )
    return tuple(found)


@cache
def _rows() -> tuple[Mapping[str, str], ...]:
    with _DATA.open(newline="", encoding="utf-8") as file:
        return tuple(csv.DictReader(file))


def needs(
    *,
    book: str,
    edition: int,
    system: str,
    medium: str,
    amendments: Sequence[Amendment] = (),
) -> tuple[Need, ...]:
    """All that the book asks of a test of `system` with `medium`.

    Gas follows the fuel gas code under IRC and IPC. A local amendment takes the place
    of every figure of its topic. Raises ValueError for a book not kept here.
    """
    if book not in BOOKS:
        raise ValueError(f"code book {book!r}: choose {', '.join(BOOKS)}")
    title = "IFGC" if system == "gas" and book != "UPC" else book
    local = [rule for rule in amendments if rule.system == system]
    replaced = {rule.topic for rule in local}
    if "minutes" in replaced:
        replaced.add("minutes_per_500_cuft")
    found = [
        _need(row, edition)
        for row in _rows()
        if _fits(row, title, edition, system, medium) and row["topic"] not in replaced
    ]
    return (
        *found,
        *(
            Need(rule.topic, rule.value, "", "local", "Local rule", rule.note, "")
            for rule in local
        ),
    )


def _fits(
    row: Mapping[str, str],
    title: str,
    edition: int,
    system: str,
    medium: str,
) -> bool:
    # Oxygen in a pipe is a danger under any book.
    right_book = row["book"] == title or row["topic"] == "media"
    in_force = int(row["from_year"] or 0) <= edition <= int(row["to_year"] or 9999)
    media = {"any": (medium,), "gases": GASES}.get(row["medium"], (row["medium"],))
    return (
        right_book and in_force and row["system"] in (system, "any") and medium in media
    )


def _need(row: Mapping[str, str], edition: int) -> Need:
    label = f"{row['book']} {edition} {row['section']}"
    return Need(
        row["topic"],
        row["value"],
        row["when"],
        row["origin"],
        label,
        row["source"],
        row["note"],
    )


def maker_refusal() -> Need:
    """Pipe makers forbid compressed air in plastic drains, whatever a book allows."""
    (row,) = (row for row in _rows() if row["book"] == "maker")
    return Need(
        row["topic"],
        row["value"],
        "",
        row["origin"],
        f"Maker's {row['section']}",
        row["source"],
        row["note"],
    )
