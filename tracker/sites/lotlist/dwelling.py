"""Is the row a house that we plumb? Only a clear word of the sheet says no.

The rule, in order:
1. a kind (subtype, permit type) that names a dwelling: a house, whatever the count;
2. a kind that names something else (garage, sign, store, pool ...), or work that is not
   a new house (remodel, demolition ...): not a house;
3. a count of dwellings of 0: not a house; of 1 or more: a house, unless the description
   says garage, carport, sign, shed or storage;
4. a remark on the work that names something else and no house: not a house;
5. commercial work that counts no dwelling and names none: not a house;
6. everything else is a house: a doubt is never dropped.
"""

import re
from collections.abc import Mapping

I = re.IGNORECASE  # noqa: E741

HOME = re.compile(
    r"\b(?:SFR|SFD|SFA|SINGLE[\s-]*FAM(?:ILY)?|TOWN\s?(?:HOUSE|HOME)S?|TWNH\w*|DUPLEX(?:ES)?"
    r"|TRIPLEX|FOURPLEX|\d[\s-]*PLEX|MULTI[\s-]*FAM(?:ILY)?|CONDO\w*|APARTMENTS?"
    r"|DWELLINGS?|ADU|HOMES?|RESIDENCES?|(?:ONE|TWO|1|2)[\s-]*(?:AND|&|OR)?[\s-]*"
    r"(?:TWO|2)?[\s-]*FAMILY|SF\s+TOWN\w*|SF\s+(?:DETACHED|ATTACHED)|COTTAGES?|VILLAS?)\b",
    I,
)
NOT_HOME = re.compile(
    r"\b(?:(?<!ATTACHED )GARAGES?|CARPORTS?"
    r"|ACCESS(?:ORY)?\s+(?:BLDG|BUILDING|STRUCTURE)S?"
    r"|SIGNS?|SHEDS?|STORAGE|POOLS?|SPAS?|FENC(?:E|ES|ING)|SUN\s?ROOMS?|DECKS?|PATIOS?|RETAINING|SOLAR"
    r"|OTHER\s+THAN\s+BUILDINGS?|NON[\s-]?RESIDENTIAL|OFFICES?|STORES?|RETAIL"
    r"|RESTAURANTS?"
    r"|CHURCH(?:ES)?|HOTELS?|MOTELS?|RECREATION|WAREHOUSES?|INDUSTRIAL|HOSPITALS?"
    r"|SCHOOLS?|BANKS?|PARKING|TOWERS?|BARNS?|GAZEBOS?|PERGOLAS?|TENANT|TRAILS?"
    r"|DET(?:ACHED)?\s+(?:ACCESS\w*|GARAGE))\b",
    I,
)
NOT_NEW = re.compile(
    r"\b(?:REMODEL\w*|ALTER\w*|REPAIRS?|RE-?ROOF\w*|ROOF(?:ING)?|DEMO(?:LITION|LISH)?"
    r"|RENOVAT\w*|FINISH\s+BASEMENT|BASEMENT\s+FINISH|ADDITIONS?|INTERIOR|REPLACE\w*"
    r"|SIDING|WINDOWS?|FINISH(?:ED)?\s+(?:THE\s+)?BASEMENT|BACKFLOW\w*|WATER\s+HEATER|IRRIGATION"
    r"|FURNACE|HVAC)\b",
    I,
)
# In a free description only words that never belong to a plat's name.
SAYS_OTHER = re.compile(
    r"\b(?:CARPORTS?|SIGNS?|SHEDS?|STORAGE)\b"
    r"|^(?:NEW\s+)?(?:DET(?:ACHED)?\.?\s+)?(?:\d\s+CAR\s+)?GARAGES?\b|\bDET(?:ACHED)?\s+GARAGE\b",
    I,
)
# Words of a remark on a new house: NEW HOUSE W/ DECK is a house, DECK is none.
HOUSE = re.compile(
    r"\b(?:HOUSE|NEW\s+(?:RES\w*|CONST\w*|BUILD)|\d[\s-]*(?:STOR\w+|BED\w*|BATH\w*|BR|BA)"
    r"|SQ\.?\s*FT|LIVING|MODEL|ELEV\w*|PLAN\s*#?\s*\d)\b",
    I,
)
COMMERCIAL = re.compile(r"\b(?:COMMERCIAL|COMM?|NON[\s-]?RESIDENTIAL)\b", I)


def why_not_a_house(
    *,
    kinds: Mapping[str, str | None],
    dwellings: int | None,
    description: str | None,
    work: str | None = None,
) -> str | None:
    """Reason to leave a row out as no dwelling, or None for a house.

    Args:
        kinds: header text -> what the row says there (subtype, permit type).
        dwellings: the count in the row, None when blank.
        description: free text or legal description.
        work: what is said of the work alone, in a text that names no plat.
    """
    said = {header: text for header, text in kinds.items() if text}
    if any(HOME.search(text) and not NOT_NEW.search(text) for text in said.values()):
        return None
    for header, text in said.items():
        if NOT_HOME.search(text):
            return f"Not a house: {header} says {text!r}."
        if NOT_NEW.search(text):
            return f"Not a new house: {header} says {text!r}."
    if dwellings == 0:
        return "Not a house: the sheet counts 0 dwellings."
    named = bool(description and HOME.search(description))
    if description and SAYS_OTHER.search(description) and not named:
        return f"Not a house: the description says {description!r}."
    if work and not dwellings and _is_other_work(work):
        return f"Not a new house: the description says {work!r}."
    if dwellings is None and not named:
        for header, text in said.items():
            if COMMERCIAL.search(text):
                return (
                    f"Not a house: {header} says {text!r} and no dwelling is counted."
                )
    return None


def _is_other_work(work: str) -> bool:
    if HOME.search(work) or HOUSE.search(work):
        return False
    return bool(NOT_HOME.search(work) or NOT_NEW.search(work))
