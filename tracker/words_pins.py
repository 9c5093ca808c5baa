"""Pins that no plan can keep, in English and Spanish.

`pin` and `other` are sentences of the first two codes.
"""

PINS: dict[str, tuple[str, str]] = {
    "pin_told": (
        "{lot}, {phase}, pinned to {crew} on {day}",
        "{lot}, {phase}, fijado a {crew} el {day}",
    ),
    "pin_job": ("{lot}, {phase}", "{lot}, {phase}"),
    "pin_twice": (
        "{pin}, contradicts: {other}.",
        "{pin}, se contradice con: {other}.",
    ),
    "pin_done": (
        "{pin}: the work is done already.",
        "{pin}: el trabajo ya está hecho.",
    ),
    "pin_not_qualified": (
        "{pin}: {crew} is not qualified for this phase.",
        "{pin}: {crew} no está calificada para esta fase.",
    ),
    "pin_before_ready": (
        "{pin}: the lot is not ready before {ready}.",
        "{pin}: el lote no está listo antes del {ready}.",
    ),
    "pin_crew_busy": (
        "{pin}: {crew} is not free before {free_quarter}.",
        "{pin}: {crew} no queda libre antes del {free_quarter}.",
    ),
    "pin_drive": (
        "{pin}: {crew} cannot be there in time on that day.",
        "{pin}: {crew} no puede llegar a tiempo ese día.",
    ),
    "pin_off": (
        "{pin}: {crew} is off on {off}.",
        "{pin}: {crew} no trabaja el {off}.",
    ),
    "pin_rain": (
        "{pin}: rain stops the work on {off}.",
        "{pin}: la lluvia para el trabajo el {off}.",
    ),
    "pin_gate": (
        "{pin}, cannot be kept: {other}, must have passed first, so it can start "
        "{opens} at the earliest.",
        "{pin}, no se puede cumplir: antes debe pasar {other}, así que puede empezar "
        "el {opens} lo más pronto.",
    ),
    "pin_both": (
        "{pin}, and {other}: the crew cannot do both.",
        "{pin}, y {other}: la cuadrilla no puede hacer las dos cosas.",
    ),
    "pin_missed": (
        "No plan was found that keeps this: {pin}.",
        "No se encontró un plan que cumpla esto: {pin}.",
    ),
}
