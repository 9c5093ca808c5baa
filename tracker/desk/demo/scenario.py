"""Who and where of the demo: every name is invented."""

# ruff: noqa: E501 (tables read better one row a line)

COMPANY = {
    "name": "Quillback Plumbing",
    "phone": "555-0100",
    "address": "9 Kiln Lane, Port Ellery",
    "time_zone": "America/Chicago",
}

# name, phone, how to call, rules, record, kinds
PORT_ELLERY = {
    "name": "City of Port Ellery",
    "phone": "555-0140",
    "how_to_call": "Recorded line, permit number first; the clerk reads back a number.",
    "rules": {
        "timezone": "America/Chicago",
        "holidays": {"country": "US", "subdiv": "TX"},
        "inspection_weekdays": ["tue", "thu"],
        "cutoff": "10:00",
        "lead": {"unit": "inspection_days", "amount": 1},
        "cap_per_day": 16,
    },
}
MARROW_COUNTY = {
    "name": "Marrow County",
    "phone": "555-0150",
    "how_to_call": "County desk by phone; asks for lot, street and gate code.",
    "rules": {
        "timezone": "America/Chicago",
        "holidays": {"country": "US", "subdiv": "TX"},
        "lead": {"unit": "hours", "amount": 24},
        "windows": [["08:00", "12:00"], ["13:00", "16:00"]],
        "cap_per_day": 12,
        "book_ahead_days": 21,
    },
}
JURISDICTIONS = [PORT_ELLERY, MARROW_COUNTY]

# code, en, es, proves, applies to, on test, after, rides with
KINDS = {
    "City of Port Ellery": [
        ("ground", "Plumbing ground", "Drenaje bajo losa", ["underground"], [], ["drain"], [], ["sewer"]),
        ("sewer", "Sewer", "Drenaje exterior", ["underground"], [], ["drain"], [], ["ground"]),
        ("pan", "Shower pan", "Base de regadera", ["rough"], ["shower"], ["pan"], ["ground"], ["topout"]),
        ("topout", "Plumbing top out", "Instalación en muros", ["rough", "topout"], [], ["drain", "water"], ["ground"], ["pan", "gas"]),
        ("gas", "Gas test", "Prueba de gas", ["topout"], ["gas"], ["gas"], [], ["topout"]),
        ("final", "Plumbing final", "Final de plomería", ["trim"], [], [], ["topout"], []),
    ],
    "Marrow County": [
        ("ground", "Underground", "Bajo tierra", ["underground"], [], ["drain"], [], []),
        ("rough", "Rough-in", "Estructura", ["rough"], [], ["drain"], ["ground"], []),
        ("topout", "Top out", "Instalación en muros", ["topout"], [], ["water"], ["rough"], ["gas"]),
        ("gas", "Gas pressure", "Presión de gas", ["topout"], ["gas"], ["gas"], [], ["topout"]),
        ("final", "Final", "Final", ["trim"], [], [], ["topout"], []),
    ],
}  # fmt: skip

BUILDERS = ["Veldmarsh Homes", "Orrin Tace Builders", "Castermoor Homes"]
SUPERINTENDENTS = {
    "Veldmarsh Homes": ["Dell Marchetti", "Iva Sund"],
    "Orrin Tace Builders": ["Bram Okoro"],
    "Castermoor Homes": ["Lena Voss", "Teo Albright"],
}

# builder, name, jurisdiction, book, edition, lots, block, map x, map y, street
SUBDIVISIONS = [
    ("Veldmarsh Homes", "Lantern Hill", "City of Port Ellery", "IRC", "2021", 40, "A", 0.0, 0.0, "Wick Street"),
    ("Veldmarsh Homes", "Sorrel Flats", "Marrow County", "IRC", "2021", 32, "2", 14.0, 6.0, "Bay Mare Road"),
    ("Orrin Tace Builders", "Quarry Bend", "Marrow County", "UPC", "2021", 36, "", 18.0, -4.0, "Stonecut Way"),
    ("Castermoor Homes", "Tin Mill Row", "City of Port Ellery", "IPC", "2021", 28, "C", 3.0, 5.0, "Tin Mill Row"),
    ("Castermoor Homes", "Egret Landing", "Marrow County", "IPC", "2021", 24, "", 10.0, 12.0, "Heron Quay"),
]  # fmt: skip

ALL = ["underground", "rough", "topout", "trim"]
# name, skills, speed, home, members (username, name, role, language)
CREWS = [
    ("Ditch One", ["underground"], 1.0, "Lantern Hill", [("rosa", "Rosa Quintana", "lead", "es"), ("nico", "Nico Baeza", "plumber", "es")]),
    ("Ditch Two", ["underground", "rough"], 0.9, "Quarry Bend", [("hank", "Hank Orloff", "lead", "en"), ("luis", "Luis Prado", "plumber", "es")]),
    ("Frame One", ["rough", "topout"], 1.0, "Lantern Hill", [("mateo", "Mateo Salas", "lead", "es"), ("kip", "Kip Dunmore", "plumber", "en")]),
    ("Frame Two", ["underground", "rough", "topout"], 1.1, "Sorrel Flats", [("june", "June Abara", "lead", "en"), ("omar", "Omar Reyes", "plumber", "es")]),
    ("Frame Three", ["rough", "topout"], 1.0, "Egret Landing", [("vic", "Vic Tennant", "lead", "en"), ("ana", "Ana Lucero", "plumber", "es")]),
    ("Trim One", ["trim"], 1.0, "Tin Mill Row", [("pearl", "Pearl Whitlow", "lead", "en"), ("gus", "Gus Hallam", "plumber", "en")]),
    ("Trim Two", ["rough", "topout", "trim"], 0.9, "Quarry Bend", [("eli", "Eli Marsh", "lead", "en"), ("tomas", "Tomás Vega", "plumber", "es")]),
]  # fmt: skip

OFFICE = [("owner", "Wren Quill", "owner"), ("office", "Sadie Birk", "office")]
PASSWORD = "plumb-and-level"

# What lots wait for, by phase: who owes it, what.
HOLDS = {
    "underground": [
        ("builder", "Slab forms moved, waiting for survey"),
        ("utility", "Locate marks not painted"),
    ],
    "rough": [
        ("builder", "Framing not finished at the back bath"),
        ("builder", "No temporary power"),
    ],
    "topout": [
        ("electrician", "Panel in the way of the vent"),
        ("builder", "Roof not dried in"),
    ],
    "trim": [
        ("builder", "Tops not set in the kitchen"),
        ("utility", "Gas meter not set"),
    ],
}
# What inspectors found, by phase.
FINDINGS = {
    "underground": [
        "Drain test head not to the top of the riser",
        "Cleanout not reachable at the house wall",
        "Rock in the bedding under the sewer",
    ],
    "rough": [
        "Shower pan test not up",
        "No plate where the drain passes the stud by the lavatory",
    ],
    "topout": [
        "Vent less than 6 in. above the roof",
        "Gas drop not supported at the turn",
        "No plate where water passes the stud at the washer box",
    ],
    "trim": [
        "Heater relief line not to the outside",
        "Disposer cord not clamped",
        "No air gap at the dishwasher",
    ],
}
WALK_FINDINGS = [
    ("us", "Stub-out loose, strap it", "Salida suelta, sujetarla"),
    ("us", "Plate missing at the tub drain", "Falta placa en el drenaje de la tina"),
    ("framer", "Stud cut at the stack", "Montante cortado en la bajante"),
    (
        "insulation",
        "Plate stands proud where foam swelled",
        "Placa salida por la espuma",
    ),
]
DRAWS = {"underground": 2650, "rough": 2200, "topout": 3100, "trim": 3450}
PIECES = {"underground": 610, "rough": 540, "topout": 720, "trim": 640}
