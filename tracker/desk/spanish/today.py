"""Texts of Today."""

WORDS = {
    "Covered before it was proven": "Cubierto antes de comprobarse",
    "Covered": "Cubierto",
    "Missing": "Falta",
    "See what is missing": "Ver lo que falta",
    "Cover date near, gate shut": "Fecha de cierre cerca, no se puede cubrir",
    "Cover date": "Fecha de cierre",
    "past": "vencida",
    "Move the cover date": "Mover la fecha de cierre",
    "Planned by {day}, not said ready": "Programado para el {day}, sin confirmar",
    "Confirm": "Confirmar",
    "Move": "Mover",
    "Hold": "Espera",
    "Inspection to call in": "Inspección por pedir",
    "Done": "Hecho",
    "on test": "en prueba",
    "Still to pass": "Falta pasar",
    "Done, but not proven: cannot be called in": (
        "Hecho, pero sin comprobar: no se puede pedir"
    ),
    "Two measurements disagree": "Dos medidas no coinciden",
    "Crew without a ready lot": "Cuadrilla sin lote listo",
    "Day": "Día",
    "Sent to": "Enviada a",
    "nowhere": "ninguno",
    "Find a ready lot": "Buscar un lote listo",
    "Old holds": "Esperas viejas",
    "Since": "Desde",
    "Lift": "Quitar espera",
    "Corrections overdue": "Correcciones vencidas",
    "Due": "Vence",
    "Owed by": "Le toca a",
    "Accept": "Aceptar",
    "Follow up": "Dar seguimiento",
    "Earned, not billed": "Ganado, sin facturar",
    "Draws": "Cobros por fase",
    "Amount": "Monto",
    "Bill": "Facturar",
    "Nothing waits for a decision.": "Nada espera una decisión.",
    # ready lots
    "Ready lots": "Lotes listos",
    "Ready since": "Listo desde",
    "Ready for {crew}": "Listos para {crew}",
    "No lot is ready for this crew. Confirm one that is planned, or move a date.": (
        "Ningún lote está listo para esta cuadrilla. Confirme uno programado o mueva "
        "una fecha."
    ),
    "Need by": "Se necesita para",
    "Send {crew}": "Mandar a {crew}",
}
