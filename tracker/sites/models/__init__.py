"""Tables of who and where. They hold; what changes them lives in `phases.actions`."""

from .company import Company
from .imports import LotImport, LotImportRow
from .lots import BuilderDate, Lot
from .plans import DrawingSheet, Option, Plan, PlanFixture, Room
from .where import (
    Builder,
    InspectionKind,
    Jurisdiction,
    Subdivision,
    SubdivisionAlias,
    Superintendent,
)

__all__ = [
    "Builder",
    "BuilderDate",
    "Company",
    "DrawingSheet",
    "InspectionKind",
    "Jurisdiction",
    "Lot",
    "LotImport",
    "LotImportRow",
    "Option",
    "Plan",
    "PlanFixture",
    "Room",
    "Subdivision",
    "SubdivisionAlias",
    "Superintendent",
]
