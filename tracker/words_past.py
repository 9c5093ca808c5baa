"""What of the past made a job late, in English and Spanish."""

PAST: dict[str, tuple[str, str]] = {
    "why_past_due": (
        "it was needed by {day} already",
        "se necesitaba ya para el {day}",
    ),
    "why_past_ready": ("it was ready only {day}", "no estuvo listo hasta el {day}"),
    "why_past_unsent": (
        "it has been ready since {day} and no crew has been there yet",
        "está listo desde el {day} y todavía no ha ido ninguna cuadrilla",
    ),
    "why_past_not_begun": (
        "a crew was told {day} and has not begun",
        "a una cuadrilla se le dijo el {day} y no ha empezado",
    ),
    "why_past_begun": (
        "it was ready {since} and work began only {day}",
        "estaba listo el {since} y el trabajo no empezó hasta el {day}",
    ),
    "why_past_worked": (
        "the work ended only {day}",
        "el trabajo no acabó hasta el {day}",
    ),
    "why_past_waited": (
        "it was ready {since} and the work ended only {day}",
        "estaba listo el {since} y el trabajo no acabó hasta el {day}",
    ),
    "why_past_readied": (
        "it was ready only {since} and the work ended {day}",
        "no estuvo listo hasta el {since} y el trabajo acabó el {day}",
    ),
    "why_past_uncalled": (
        "the work was done {day} and nobody called it in",
        "el trabajo se acabó el {day} y nadie pidió la inspección",
    ),
    "why_past_unproven": (
        "the work was done {day} and not called in, for {number} things are still to "
        "be proven or corrected",
        "el trabajo se acabó el {day} y no se pidió la inspección, pues faltan "
        "{number} cosas por comprobar o corregir",
    ),
    "why_past_unproven_one": (
        "the work was done {day} and not called in, for one thing is still to be "
        "proven or corrected",
        "el trabajo se acabó el {day} y no se pidió la inspección, pues falta una "
        "cosa por comprobar o corregir",
    ),
    "why_past_failed": (
        "it failed on {day} and was not called in again",
        "no pasó el {day} y no se volvió a pedir la inspección",
    ),
    "why_past_corrections": (
        "it failed on {day} and {number} of its corrections are open",
        "no pasó el {day} y siguen abiertas {number} correcciones",
    ),
    "why_past_corrections_one": (
        "it failed on {day} and a correction is open",
        "no pasó el {day} y sigue abierta una corrección",
    ),
}
