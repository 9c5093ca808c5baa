"""What each fixture demands in each phase, and the stub-out list of a house.

Pure: rows of text in (`Catalogue.from_rows`), a `House` in, `Demand`s out.
"""

from phases.catalogue.cells import SCHEMA
from phases.catalogue.changes import Changed, Difference, diff
from phases.catalogue.demand import PHASES, PROOFS, Demand, Target
from phases.catalogue.glossary import off_glossary, untranslated
from phases.catalogue.house import Finish, Fixture, House, PlanError, Room
from phases.catalogue.loading import (
    Catalogue,
    CatalogueError,
    load_catalogue,
    read_tables,
)
from phases.catalogue.measures import format_inches, parse_inches
from phases.catalogue.options import Option, apply_options
from phases.catalogue.stubout import rooms_of, stub_out_list
from phases.catalogue.words import CrewText, crew_text

__all__ = [
    "PHASES",
    "PROOFS",
    "SCHEMA",
    "Catalogue",
    "CatalogueError",
    "Changed",
    "CrewText",
    "Demand",
    "Difference",
    "Finish",
    "Fixture",
    "House",
    "Option",
    "PlanError",
    "Room",
    "Target",
    "apply_options",
    "crew_text",
    "diff",
    "format_inches",
    "load_catalogue",
    "off_glossary",
    "parse_inches",
    "read_tables",
    "rooms_of",
    "stub_out_list",
    "untranslated",
]
