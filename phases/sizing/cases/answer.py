"""What a check answers: result, limit, deciding cells, caution."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from ..tables import Cell

AID = (
    "An aid only: the adopted code with its local amendments and a licensed plumber "
    "decide."
)
SEWER_GAS = (
    "A trap that loses its seal lets sewer gas into the house: keep seal and vent. "
) + AID
GAS = (
    "Gas work is licensed work: a size from a table is no leak test, bonding check or "
    "inspection. " + AID
)
SCALD = (
    "Hot water scalds: limit tub and shower outlets to 120 F, and never plug or "
    "reduce a relief valve or its discharge pipe. " + AID
)
PRESSURE = (
    "Water under pressure and compressed air store energy: stand clear, and never "
    "air-test plastic drain pipe. " + AID
)
STRUCTURE = (
    "Cuts in structural lumber weaken the house; trusses, I-joists and engineered "
    "lumber need their maker or an engineer. " + AID
)


@dataclass(frozen=True, slots=True)
class Answer:
    """The arithmetic of one case.

    result  the figures asked for; limit what they are held against; cells the table
    cells used; source words for arithmetic without a cell.
    """

    result: Mapping[str, Any]
    limit: Mapping[str, Any] | None = None
    cells: tuple[Cell, ...] = ()
    source: str = ""
    caution: str = AID
    notes: tuple[str, ...] = field(default=())

    def provenance(self) -> str:
        """Weakest origin of the cells: memory, then computed, then published."""
        origins = {cell.origin for cell in self.cells}
        for word in ("memory", "local", "computed", "published"):
            if word in origins:
                return word
        return "computed"

    def as_json(self) -> dict[str, Any]:
        """The answer in the shape the `size` command prints."""
        labels = dict.fromkeys(cell.label for cell in self.cells)
        shown: dict[str, Any] = {
            "result": dict(self.result),
            "limit": dict(self.limit) if self.limit is not None else None,
            "source": "; ".join(filter(None, [self.source, *labels])),
            "provenance": self.provenance(),
            "cells": [
                {
                    "id": cell.id, "table": cell.label, "item": cell.item,
                    "value": cell.value, "unit": cell.unit,
                    "provenance": cell.provenance,
                }
                for cell in dict.fromkeys(self.cells)
            ],
            "caution": self.caution,
        }  # fmt: skip
        if self.notes:
            shown["notes"] = list(self.notes)
        return shown
