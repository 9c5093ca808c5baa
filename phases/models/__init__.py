"""Tables of the work: kinds of phase, the fact log, and what is derived from it."""

from .catalogue import CatalogueRow
from .facts import Fact, Feed
from .items import CheckItem, Correction, Hold, ItemSpec
from .kinds import PhaseKind, ReadyPart, Route, RouteStep
from .lot_phases import LotPhase, PhaseHelper
from .photos import Photo, PhotoUse

__all__ = [
    "CatalogueRow",
    "CheckItem",
    "Correction",
    "Fact",
    "Feed",
    "Hold",
    "ItemSpec",
    "LotPhase",
    "PhaseHelper",
    "PhaseKind",
    "Photo",
    "PhotoUse",
    "ReadyPart",
    "Route",
    "RouteStep",
]
