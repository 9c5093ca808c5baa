"""How American plats are cited: the words and shapes of lots, blocks and units.

Common practice of deeds, permits and sales lists; kept as patterns so that a new way
of writing is one more line here.
"""

import re

I = re.IGNORECASE  # noqa: E741

NUMBER_WORDS = {
    word: str(n)
    for n, word in enumerate(
        [
            "ONE",
            "TWO",
            "THREE",
            "FOUR",
            "FIVE",
            "SIX",
            "SEVEN",
            "EIGHT",
            "NINE",
            "TEN",
            "ELEVEN",
            "TWELVE",
            "THIRTEEN",
            "FOURTEEN",
            "FIFTEEN",
            "SIXTEEN",
            "SEVENTEEN",
            "EIGHTEEN",
            "NINETEEN",
            "TWENTY",
        ],
        1,
    )
}
_WORD = "|".join(NUMBER_WORDS)
_ROMAN = r"(?=[IVXL])X{0,4}L?X{0,3}(?:IX|IV|V?I{0,3})"
# 18, 18A, 12R-1, 4-B, A59, D-4, 0A2, B, AA, VII, ONE; never 3RD (an ordinal).
ID = (
    r"(?!\d+(?:ST|ND|RD|TH)(?![A-Z0-9]))"
    r"(?:\d{1,5}(?:[A-Z]{1,2}|-[A-Z]{1,2}(?![A-Z0-9]))?(?:-?\d{1,4}[A-Z]?(?![A-Z]))?"
    r"(?:-[A-Z0-9](?![A-Z0-9]))?"
    r"|[A-Z]{1,2}-?\d{1,4}(?:-\d{1,3})?[A-Z]?"
    rf"|(?:{_WORD})|([A-Z])\1?|{_ROMAN})"
    r"(?![A-Z0-9'’]|-[A-Z]{2})(?:\s*\(\d{1,5}\))?"
)
_NUM = r"(?:\s|[#:.=\-])*(?:(?:NOS?|NUM(?:BERS?)?)\b\.?)?\s*[#:]*\s*"


def _id(name: str) -> str:
    # The back-reference for AA must point at its own letter in every use.
    return ID.replace("([A-Z])\\1?", f"(?P<{name}>[A-Z])(?P={name})?")


_SIDE = (
    r"(?:[NSEW]{1,2}\.?|NORTH|SOUTH|EAST|WEST|NORTHERLY|SOUTHERLY|EASTERLY|WESTERLY)"
)
_FEET = r"\d+(?:\.\d+)?\s*(?:FT\b\.?|FEET\b|'|’)"
# What stands before a lot of which only a piece belongs: E1/2 OF, N 10 FT OF, PT.
PORTION = (
    rf"(?:(?:THE\s+)?(?:(?:{_SIDE}\s*)?(?<!\d)\d/\d{{1,2}}(?!\d)\s*(?:OF\s+)?|{_SIDE}\s*{_FEET}\s*(?:OF\s+)?"
    rf"|{_SIDE}\s+(?:HALF|PART|PORTION|PTN?)\s+(?:OF\s+)?"
    r"|(?:ALL|HALF|PT|PTN|PART|POR|PORTION)\b\.?\s*(?:OF\s+)?)(?:THE\s+)?)"
)
LOT_WORD = (
    r"(?<![A-Z0-9])(?:(?:LOTS?|LTS?|LOTES?|PLOTS?|HOME\s?SITES?)(?:\(S\))?(?![A-Z])"
    r"|LO(?=\d)|HS(?=\s*#?\s*\d))\.?"
)
NOT_A_LOT = re.compile(
    r"(?:PARKING|SALES|DOUBLE|ZERO|CAR|OPEN|FLAG|CORNER|SPLIT)\s*$", I
)
# Blocks of a plat; BK is a plat book when a page follows.
BLOCK_WORD = (
    r"(?<![A-Z0-9])(?:BLOCKS?|BLKS?|BLCKS?|BLOC|BKS?|BL|BLOQUES?|MANZANAS?|MZA?S?)"
    r"(?:\(S\))?(?![A-Z])\.?"
)
_SEP = r"\s*(?P<sep>,\s*(?:&|AND\b|\+)|,|&|\+|;|/|AND\b|THRU\b|THROUGH\b|TO\b|–|-)\s*"

FIRST = re.compile(rf"{_NUM}(?P<item>{PORTION}?{_id('f')})", I)


def _next(word: str) -> re.Pattern[str]:
    return re.compile(
        rf"{_SEP}(?:(?P<again>{word}){_NUM})?"
        rf"(?P<part>{PORTION}(?:{word}\s*)?)?#?(?P<id>{_id('n')})",
        I,
    )


NEXT_LOT = _next(LOT_WORD)
NEXT_BLOCK = _next(BLOCK_WORD)
LOT = re.compile(rf"(?P<part>{PORTION})?(?P<word>{LOT_WORD})", I)
BLOCK = re.compile(BLOCK_WORD, I)
BLOCK_ID = re.compile(rf"{_NUM}(?P<item>{_id('b')})", I)
PLAT_BOOK = re.compile(r"\s*,?\s*(?:PGS?|PAGES?|P)\b", I)

# L 4 B 2, L4/B2, L4B2: only where both stand together.
SHORT = re.compile(
    r"(?<![A-Z0-9])L\.?\s*-?\s*(?P<lot>\d{1,5}[A-Z]?)\s*[,/;\-]?\s*"
    r"B(?:LK|K)?\.?\s*-?\s*(?P<block>\d{1,4}[A-Z]?|[A-Z](?![A-Z]))(?![A-Z0-9])",
    I,
)
SHORT_BLOCK_FIRST = re.compile(
    r"(?<![A-Z0-9])B(?:LK|K)?\.?\s*-?\s*(?P<block>\d{1,4}[A-Z]?|[A-Z])\s*[,/;\-]?\s*"
    r"L\.?\s*-?\s*(?P<lot>\d{1,5}[A-Z]?)(?![A-Z0-9])",
    I,
)
SHORT_LOT = re.compile(r"^\s*L\.?\s?-?(?P<lot>\d{1,5}[A-Z]?)(?![A-Z0-9])", I)

# OAK RIDGE L12, and BLK 3 L 12 where the block is spelled out.
SHORT_LAST = re.compile(r"\s-?\s*L\.?-?(?P<lot>\d{1,5}[A-Z]?)\s*$", I)
SHORT_BESIDE = re.compile(
    r"(?<![A-Z0-9'’])L\.?\s*-?\s*(?P<lot>\d{1,5}[A-Z]?)(?![A-Z0-9])", I
)

UNIT_STRONG = re.compile(
    r"(?<![A-Z0-9])(?:(?:(?:BUILDING|BLDG|TOWN\s?(?:HOUSE|HOME))\s+)?"
    r"(?:ENVELOPES?|ENVEL|ENVL?)"
    r"|(?:TOWN\s?(?:HOUSE|HOME)|TWNHSE?|TH|CONDO(?:MINIUM)?)\s+UNITS?"
    r"|TOWN\s?(?:HOUSE|HOME)S(?=\s*#?[A-Z0-9]{1,4}\s*(?:[-,&]|AND\b|THRU\b))"
    r"|TOWN\s?(?:HOUSE|HOME)|TWNHSE?|APT|APARTMENT|SUITE|STE|CASITA"
    r"|UNITS?(?=\s*(?:NO\b\.?|#)?\s*[A-Z0-9]+\s*,?\s*(?:BLDG|BUILDING)\b)"
    r"|CONDO(?=\s*#?\d)|TH(?=\s*#?\s*\d))(?![A-Z])\.?",
    I,
)
UNIT_WEAK = re.compile(
    r"(?<![A-Z0-9])(?:UNITS?|VILLA|COTTAGE|CABIN|SPACE|SPC)(?![A-Z])\.?", I
)
# Half of a duplex beside its lot: LOT 5 SIDE A.
UNIT_SIDE = re.compile(r"(?<![A-Z0-9])SIDE(?=\s+[A-H](?![A-Z0-9]))", I)
# HERON CONDOS #204: the number after such a name is a unit.
UNIT_HASH = re.compile(
    r"(?<![A-Z])(?:CONDO(?:MINIUM)?S?|TOWN\s?(?:HOUSE|HOME)S|COTTAGES|VILLAS|LOFTS|FLATS)"
    r"\s+(?=#)",
    I,
)
BUILDING = re.compile(r"(?<![A-Z0-9])(?:BLDG|BUILDING)(?![A-Z])\.?", I)
LAND = re.compile(
    r"(?<![A-Z0-9])(?P<word>TRACT|TR|PARCEL|PCL|OUTLOT|OUTPARCEL)S?(?![A-Z])\.?", I
)
# Where the plat is recorded, the township, and what is left out of the lot; none of
# it is part of the plat's name.
ASIDE = re.compile(
    r"(?:,?\s*\b(?:LESS|EXC?(?:EPT(?:ING)?)?)\b\.?\s+(?:THE\s+)?"
    rf"(?:(?:{_SIDE}\s*)?(?:{_FEET}|\d+/\d+)(?:\s*OF)?|R/?O?/?W\b))"
    r"|(?:,?\s*(?:&|\+|\bAND\b)\s*(?:(?:ADJ(?:ACENT)?|PT|PART|PORTION|OF|THE)\b\.?\s+)*"
    r"VAC(?:ATED)?\b\.?\s+(?:ALLEY|STREET|ST|AVE|R/?O?/?W)\b\.?)"
    r"|(?:,?\s*\bINCL(?:USIVE)?\b\.?)"
    r"|(?:\(\s*(?:CORNER|MODEL|SPEC|VACANT|SOLD|REVERSED?|MIRRORED)(?:\s+(?:LOT|HOME))?\s*\))"
    r"|(?:,?\s*(?:\bIN\s+)?(?:\bSEC(?:TION)?\.?\s*\d+\s*,?\s*)?"
    r"\bT\.?\s?\d+\s?[NS]\.?\s*,?\s*R\.?\s?\d+\s?[EW]\b\.?)"
    r"|(?:,?\s*(?:RECORDED\s+(?:IN|AT)\s+)?(?:PLAT\s+)?(?:PB|MB|DB|ORB?|BOOK|VOL(?:UME)?|CAB(?:INET)?)\.?\s*#?"
    r"[A-Z0-9]+\s*,?\s*(?:PGS?|PAGES?|SLIDES?|SL|P)\.?\s*#?\d+[A-Z]?(?:\s*-\s*\d+)?)"
    r"|(?:(?<![A-Z0-9])(?:PB|MB|DB)\s*\d+\s*[-/]\s*\d+)",
    I,
)
REPLAT = re.compile(
    r"(?:AMENDED\s+PLAT|AMD(?:ED)?\s+PLAT|RE-?PLAT|RE-?SUB(?:DIVISION)?|REARRANGEMENT"
    r"|BOUNDARY\s+(?:LINE\s+)?(?:ADJUSTMENT|RELOCATION))\s+OF\b",
    I,
)
LABEL = re.compile(
    r"(?<![A-Z])(?:SUB(?:DIVISION|DIV|D)?(?:\s+NAME)?|LEGAL(?:\s+DESC(?:RIPTION)?)?|PLAT"
    r"|COMMUNITY)\s*[:=]\s*|^\s*(?:S/D|SUBD(?:IVISION)?|SUBDIV)\s+(?!OF\b)",
    I,
)
# A piece that goes on with the name that stands before the lot: PHASE 13, 2ND FILING.
GOES_ON = re.compile(
    r"^(?:PH(?:ASE|S)?|FILING|FLG|FIL|SEC(?:TION|T)?|UNIT|ADD(?:ITION|N|T)?|SUPP(?:LEMENT)?"
    r"|SUBD?(?:IVISION|IV|V)?|PLAT|REPLAT|AMENDED|AMD|STAGE|PARCEL|TRACT|NO|NUMBER|INST|"
    r"\d+(?:ST|ND|RD|TH)|FIRST|SECOND|THIRD|FOURTH|FIFTH|SIXTH)(?![A-Z])|^#|^\(",
    I,
)
PLATTED = re.compile(
    r"(?<![A-Z])(?:ADD(?:ITION|N|T|'N)?|SUB(?:DIVISION|DIV|D)?|PH(?:ASE|S)?\.?\s*[#\dIVX]+[A-Z]?"
    r"|FILING|FLG|ESTATES?|SUPP(?:LEMENT)?|REPLAT|PLAT|SECTION|COS|(?:CERT(?:IFICATE)?\s+OF\s+"
    r"SURVEY))(?![A-Z])",
    I,
)
# What a permit calls the job; it is no part of a plat's name.
JOB = re.compile(
    r"(?<![A-Z])(?:SFR|SFD|SINGLE[\s-]FAMILY|DUPLEX|TRIPLEX|(?:FOUR|\d+)[\s-]?PLEX|"
    r"\d+[\s-]*(?:STOR(?:Y|IES)|CAR|BED(?:ROOM)?S?|BATH(?:ROOM)?S?)|ATTACHED|HOMES?|"
    r"RESIDENCE|NEW|SPEC|MODEL|HOTEL|MOTEL|APARTMENTS?|STORAGE|SHELL|GARAGE|ADU|"
    r"CONSTRUCT(?:ION)?|HOUSE|DWELLING|BLDG|BUILDING|STORE|OFFICE)(?![A-Z])",
    I,
)
# A remark on the house at the end of a description: OAK RIDGE - 2 STORY, 3 BED.
HOUSE = re.compile(
    r"\b(?:(?:PLAN|MODEL|ELEV(?:ATION)?)\s*#?\s*\d|ELEV(?:ATION)?\b|\d+(?:\.\d)?[\s-]*"
    r"(?:STOR(?:Y|IES)|BED(?:ROOM)?S?|BATH(?:ROOM)?S?|BR|BA|CAR|SQ\.?\s*FT|SF|UNITS?|DU)\b"
    r"|SFR|SFD|SINGLE[\s-]FAMILY|DUPLEX|(?:GARAGE|BASEMENT|PORCH|DECK)\b|NEW\s+HOME"
    r"|NEW\s+(?:RESIDENCE|DWELLING|CONST)|MODEL(?:\s+HOME)?\)?$|SPEC(?:\s+HOME)?\)?$|CORNER\)"
    r"|VACANT\b)",
    I,
)
# What a deed adds to the name: where the plat lies and how it is recorded.
RECORD = re.compile(
    r"[\s,]+(?:(?:AN?|THE)\s+(?:ADDITION|SUBDIVISION)\s+(?:TO|OF|IN|BEING|SITUATED)\b"
    r"|BEING\s+(?:A|PART|THE|ALL)\b|(?:AS|ACCORDING)\s+(?:PER|TO|SHOWN|RECORDED)\b"
    r"|PER\s+(?:THE\s+)?(?:PLAT|MAP)\b|RECORDED\s+(?:IN|AT|AS)\b"
    r"|(?:IN|TO)\s+THE\s+(?:CITY|TOWN|VILLAGE|COUNTY)\s+OF\b).*$",
    I,
)
