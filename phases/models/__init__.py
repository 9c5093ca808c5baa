"""Tables of the work: kinds of phase, the fact log, and what is derived from it."""

from .catalogue import CatalogueRow
from .facts import Fact, Feed
from .following import Following
from .items import CheckItem, Correction, Hold, ItemSpec
from .kinds import PhaseKind, ReadyPart, Route, RouteStep
from .lot_phases import LotPhase, PhaseHelper
from .money import (
    Charge,
    DrawTerm,
    Invoice,
    PiecePay,
    PieceRate,
    PurchaseOrder,
)
from .outlines import MaterialUse, MaterialWaste, PlanOutline
from .photos import Photo, PhotoUse

__all__ = [
    "CatalogueRow",
    "Charge",
    "CheckItem",
    "Correction",
    "DrawTerm",
    "Fact",
    "Feed",
    "Following",
    "Hold",
    "Invoice",
    "ItemSpec",
    "LotPhase",
    "MaterialUse",
    "MaterialWaste",
    "PhaseHelper",
    "PhaseKind",
    "Photo",
    "PhotoUse",
    "PiecePay",
    "PieceRate",
    "PlanOutline",
    "PurchaseOrder",
    "ReadyPart",
    "Route",
    "RouteStep",
]
