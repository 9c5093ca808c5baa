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
    "Groups of today": "Grupos de hoy",
    "covered unproven": "cubiertos sin comprobar",
    "gate shut": "sin poder cubrir",
    "moved dates": "fechas movidas",
    "noticed": "avisos",
    "to call in": "por pedir",
    "not said ready": "sin confirmar",
    "phones refused": "teléfonos con rechazos",
    "to prove": "por comprobar",
    "crews without a lot": "cuadrillas sin lote",
    "old holds": "esperas viejas",
    "corrections overdue": "correcciones vencidas",
    "to bill": "por facturar",
    "cover {day}": "cierre {day}",
    "on hold": "en espera",
    "Done, but the office would not take the call": (
        "Hecho, pero la oficina no aceptaría la llamada"
    ),
    "Done, but nobody has said who inspects there": (
        "Hecho, pero nadie ha dicho quién inspecciona ahí"
    ),
    "Name the office": "Indicar la oficina",
    "Enter them": "Anotarlos",
    "See the tests": "Ver las pruebas",
    "See the inspections": "Ver las inspecciones",
    "Refused entries of phones": "Anotaciones de teléfonos rechazadas",
    "one entry is kept and counts for nothing until somebody settles it": (
        "una anotación está guardada y no cuenta hasta que alguien la resuelva"
    ),
    "{count} entries are kept and count for nothing until somebody settles them": (
        "{count} anotaciones están guardadas y no cuentan hasta que alguien las "
        "resuelva"
    ),
    "Look and settle": "Ver y resolver",
    "A line comes here by itself when a wall is about to be covered unproven, an inspection can be called in, a planned start was not said ready, a crew has no ready lot, a hold or correction grows old, or a passed phase is not billed.": (  # noqa: E501
        "Aquí aparece sola una línea cuando un muro está por cubrirse sin comprobar, "
        "se puede pedir una inspección, un inicio programado no se confirmó, una "
        "cuadrilla no tiene lote listo, una espera o corrección envejece, o una fase "
        "aprobada no se ha facturado."
    ),
    "Import a lot list": "Importar una lista de lotes",
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
