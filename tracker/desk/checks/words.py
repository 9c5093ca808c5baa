"""Names of material in Spanish: fixed ones, and ends that follow a material; heads."""

from functools import cache

from phases.catalogue import load_catalogue

ITEMS = {
    "P-trap": "trampa P",
    "cleanout": "registro",
    "closet flange and ring": "brida y anillo de inodoro",
    "drain bend": "codo de drenaje",
    "drain tee or wye": "te o ye de drenaje",
    "gas connector": "conector de gas",
    "gas elbow": "codo de gas",
    "gas shutoff valve": "llave de paso de gas",
    "gas tee": "te de gas",
    "hose bibb": "llave de manguera",
    "ice-maker box": "caja para hielera",
    "manifold outlet": "salida de distribuidor",
    "main shutoff valve": "llave de paso principal",
    "pressure regulator": "regulador de presión",
    "roof flashing": "botaguas",
    "sediment trap": "trampa de sedimentos",
    "shield plate": "placa protectora",
    "stop valve": "llave angular",
    "stub-out": "salida",
    "tub or shower valve body": "cuerpo de válvula de tina o regadera",
    "vent bend": "codo de ventilación",
    "washer box": "caja de lavadora",
    "water elbow": "codo de agua",
    "water tee": "te de agua",
}
ENDS = {
    " drain pipe": "tubo de drenaje ",
    " vent pipe": "tubo de ventilación ",
    " water pipe": "tubo de agua ",
    " gas pipe": "tubo de gas ",
}
STARTS = {
    "support of ": "soporte de ",
    "drain reducer to ": "reducción de drenaje a ",
    "sleeve, ": "camisa, ",
}
# Heads of the files, in Spanish.
HEADS = {
    "phase": "fase",
    "item": "artículo",
    "size": "medida",
    "quantity": "cantidad",
    "unit": "unidad",
    "net": "neto",
    "waste_pct": "merma_pct",
    "basis": "base",
    "rule": "regla",
    "counted": "contado",
    "week of": "semana del",
    "lot phases": "fases de lotes",
    "from a guess": "por suposición",
}


@cache
def fixture_names() -> dict[str, str]:
    """Fixtures of the catalogue by their English names."""
    kinds = load_catalogue().kinds.values()
    return {kind.name_en: kind.name_es for kind in kinds}


def item_words(item: str, language: str) -> str:
    """The item in the language; one that has no other name stays as it is."""
    if language != "es":
        return item
    if item in ITEMS:
        return ITEMS[item]
    if item in fixture_names():
        return fixture_names()[item]
    for end, spanish in ENDS.items():
        if item.endswith(end):
            return spanish + item.removesuffix(end)
    for start, spanish in STARTS.items():
        if item.startswith(start):
            rest = item.removeprefix(start)
            return spanish + fixture_names().get(rest, rest)
    return item
