"""The default phases, readiness parts and catalogue rows, as data.

What belongs to which phase differs by region, so all of it may be edited; loading
again adds what is missing and never touches a row that somebody edited.
"""

from collections.abc import Iterator

from phases.catalogue import read_tables
from phases.catalogue.loading import DATA
from phases.models import CatalogueRow, PhaseKind, ReadyPart

PHASES = [
    # code, en, es, conceals en, conceals es, glyph part, rain exposed, quarters
    (
        "underground",
        "Underground",
        "Bajo tierra",
        "slab pour",
        "colado de la losa",
        "below",
        True,
        4,
    ),
    ("rough", "Rough", "Estructura", "drywall", "panel de yeso", "floor", False, 6),
    (
        "topout",
        "Top out",
        "Instalación en muros",
        "drywall",
        "panel de yeso",
        "wall",
        False,
        6,
    ),
    ("trim", "Trim", "Acabados", "", "", "roof", False, 4),
]

# phase, code, en, es, owed by: common practice
PARTS = [
    ("underground", "permit", "Permit issued", "Permiso emitido", "city"),
    ("underground", "locate", "Locate ticket", "Servicios marcados", "utility"),
    ("underground", "pad", "Pad and forms", "Plataforma y moldes", "builder"),
    ("rough", "framing", "Framing", "Estructura de madera", "builder"),
    ("rough", "tubs", "Tubs and pans delivered", "Tinas y bases entregadas", "us"),
    ("topout", "dry_in", "Dried in", "Techo cerrado", "builder"),
    (
        "topout",
        "heater_place",
        "Heater place framed",
        "Lugar del calentador",
        "builder",
    ),
    ("trim", "cabinets", "Cabinets", "Gabinetes", "builder"),
    ("trim", "tops", "Tops", "Cubiertas", "builder"),
    ("trim", "paint", "Paint", "Pintura", "builder"),
    ("trim", "fixtures", "Fixtures delivered", "Muebles entregados", "us"),
    ("trim", "meters", "Meters and power", "Medidores y luz", "utility"),
]


def load_defaults() -> dict[str, int]:
    """Add what is missing; returns how many rows of each table were added."""
    kinds = _load_phases()
    parts = 0
    for place, (phase, code, en, es, owed_by) in enumerate(PARTS):
        _, made = ReadyPart.objects.get_or_create(
            kind=kinds[phase],
            code=code,
            defaults={
                "name_en": en,
                "name_es": es,
                "owed_by": owed_by,
                "position": place,
            },
        )
        parts += made
    return {"phases": len(kinds), "parts": parts, "catalogue": _load_catalogue()}


def _load_phases() -> dict[str, PhaseKind]:
    kinds = {}
    for place, row in enumerate(PHASES, start=1):
        code, en, es, conceals_en, conceals_es, glyph_part, rain, quarters = row
        kinds[code], _ = PhaseKind.objects.get_or_create(
            code=code,
            defaults={
                "name_en": en,
                "name_es": es,
                "position": place,
                "conceals_en": conceals_en,
                "conceals_es": conceals_es,
                "glyph_part": glyph_part,
                "rain_exposed": rain,
                "crew_quarters": quarters,
            },
        )
    return kinds


def _load_catalogue() -> int:
    have = {(row.table, row.key): row for row in CatalogueRow.objects.iterator()}
    new, stale = [], []
    for table, key, position, cells in _file_rows():
        row = have.get((table, key))
        if row is None:
            new.append(
                CatalogueRow(table=table, key=key, position=position, cells=cells)
            )
            continue
        # Of two rows that fit the first is taken, so places follow the files.
        kept = row.cells if row.edited else cells
        if (row.position, row.cells) != (position, kept):
            row.position, row.cells = position, kept
            stale.append(row)
    CatalogueRow.objects.bulk_create(new, batch_size=200)
    CatalogueRow.objects.bulk_update(stale, ["position", "cells"], batch_size=200)
    return len(new) + len(stale)


# The columns that name a row within its table.
KEYS = {
    "fixture_kinds": ("code",),
    "demands": ("fixture", "key", "phase", "when"),
    "facts": ("name",),
}


def _file_rows() -> Iterator[tuple[str, str, int, dict[str, str]]]:
    for table, rows in read_tables(DATA).items():
        for position, cells in enumerate(rows):
            columns = KEYS.get(table) or tuple(cells)[:1]
            key = "|".join(cells[column] for column in columns)
            yield table, key, position, dict(cells)
