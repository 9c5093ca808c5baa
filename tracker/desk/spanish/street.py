"""Texts of the streets and lists of lots."""

WORDS = {
    "Inspects": "Inspecciona",
    "How they stand": "Cómo van",
    "not said": "sin decir",
    "No street yet. Import a lot list to begin.": (
        "Todavía no hay calles. Importe una lista de lotes para empezar."
    ),
    "mirrored": "en espejo",
    "no plan": "sin plano",
    "Next step": "Siguiente paso",
    "Next date": "Próxima fecha",
    "Waits for": "Espera",
    "Print": "Imprimir",
    "Nobody has said which office inspects here.": (
        "Nadie ha dicho qué oficina inspecciona aquí."
    ),
    "The street as it stands": "La calle como está",
    "Order": "Orden",
    "As they stand": "Como están",
    "{shown} of {total} lots": "{shown} de {total} lotes",
    "No lot fits these filters.": "Ningún lote cumple estos filtros.",
    "No lots on this street yet. Import a lot list to begin.": (
        "Esta calle todavía no tiene lotes. Importe una lista de lotes para empezar."
    ),
    "Lot, address, permit, plan, street or builder": (
        "Lote, dirección, permiso, plano, calle o constructor"
    ),
    "{count} lots": "{count} lotes",
    "No lot has all of these words.": "Ningún lote tiene todas estas palabras.",
    "No lots yet. Import a lot list to begin.": (
        "Todavía no hay lotes. Importe una lista de lotes para empezar."
    ),
    # next steps
    "Give it a route": "Darle una ruta",
    "Close the house": "Cerrar la casa",
    "Prove what is covered": "Comprobar lo cubierto",
    "Put right": "Corregir",
    "Call in again": "Pedir otra vez",
    "Inspection": "Inspección",
    "Prove it": "Comprobar",
    "Call in": "Pedir inspección",
    "Finish the work": "Terminar el trabajo",
    "Start the work": "Empezar el trabajo",
    "Send a crew": "Mandar cuadrilla",
    "Get it ready": "Prepararla",
    # who is waited for
    "us": "nosotros",
    "builder": "constructor",
    "city": "ciudad",
    "utility": "servicios públicos",
    "another trade": "otro oficio",
    "All {count} on one page, to print": "Los {count} en una página, para imprimir",
}
