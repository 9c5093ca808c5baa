"""Texts of the money pages."""

# ruff: noqa: E501 (a text and its translation stand whole)

WORDS = {
    "Extra or backcharge": "Extra o cargo",
    "Prices": "Precios",
    "Charges as CSV": "Cobros en CSV",
    "Crew pay as CSV": "Pago de cuadrillas en CSV",
    "Builders": "Constructores",
    "Builder": "Constructor",
    "Earned": "Ganado",
    "Billed": "Facturado",
    "Unbilled": "Sin facturar",
    "Paid": "Pagado",
    "Open": "Pendiente",
    "Earned is billed and unbilled together, to the cent. A draw is earned by its event; "
    "what was billed is never billed again.": "Lo ganado es lo facturado más lo no "
    "facturado, al centavo. Un cobro se gana con su evento; lo facturado no se factura "
    "otra vez.",
    "No builder yet. Import a lot list or add a subdivision first.": "Aún no hay "
    "constructor. Importe una lista de lotes o agregue un fraccionamiento.",
    "Changes without a price": "Cambios sin precio",
    "None. When a builder changes plan or option after work is done, the extra work "
    "stands here until it has a price.": "Ninguno. Si un constructor cambia plano u "
    "opción con el trabajo hecho, el trabajo extra queda aquí hasta tener precio.",
    "Amount": "Monto",
    "Signed by": "Firmado por",
    "Crews": "Cuadrillas",
    "due": "por pagar",
    "paid so far": "pagado hasta hoy",
    "waiting": "en espera",
    "Passed": "Aprobada",
    "Pay": "Pagar",
    "Nothing is due.": "Nada por pagar.",
    "No crew yet.": "Aún no hay cuadrilla.",
    "All builders": "Todos los constructores",
    "To bill": "Por facturar",
    "What for": "Concepto",
    "Order": "Orden",
    "draw": "cobro",
    "extra": "extra",
    "backcharge": "cargo",
    "credit": "crédito",
    "pass": "aprobado",
    "cover": "cierre",
    "closing": "escrituración",
    "Write invoice": "Hacer factura",
    "Nothing to bill: everything earned is on an invoice.": "Nada por facturar: todo lo "
    "ganado está en una factura.",
    "Invoices": "Facturas",
    "Number": "Número",
    "Paid on": "Pagada el",
    "No invoice yet.": "Aún no hay factura.",
    "Write down": "Anotar",
    "An extra is billed to the builder. A backcharge is billed to him for what another "
    "trade broke; say who signed for it.": "Un extra se factura al constructor. Un cargo "
    "se le factura por lo que otro oficio dañó; diga quién lo firmó.",
    "Draws": "Cobros por fase",
    "Plan, option": "Plano, opción",
    "Earned on": "Se gana con",
    "every plan": "todo plano",
    "every crew": "toda cuadrilla",
    "No draw yet: passed phases earn nothing until the owner sets one.": "Aún no hay "
    "cobros: las fases aprobadas no ganan nada hasta que el dueño ponga uno.",
    "Add draw": "Agregar cobro",
    "Piece rates": "Destajo",
    "No piece rate yet.": "Aún no hay destajo.",
    "Add piece rate": "Agregar destajo",
    "The owner sets prices.": "El dueño pone los precios.",
    "Invoice number": "Número de factura",
    "Invoice date": "Fecha de factura",
    "Sort": "Tipo",
    "Invoice {number} is written.": "La factura {number} está hecha.",
    "Invoice {number} is paid.": "La factura {number} está pagada.",
    "Give the day it was paid.": "Ponga el día de pago.",
    "Give amount, date and who signed for it.": "Ponga monto, fecha y quién firmó.",
    "Written down.": "Anotado.",
    "Paid.": "Pagado.",
    "The price holds from now on.": "El precio vale desde ahora.",
    "Taken off the list.": "Quitado de la lista.",
    "Set one price": "Poner un precio",
    "Or why nobody is billed": "O por qué no se factura",
    "Do not bill": "No facturar",
    "It will not be billed.": "No se va a facturar.",
    "US dollars.": "Dólares estadounidenses.",
    "signed by {name}": "firmó {name}",
    "Choose the lot": "Elegir el lote",
    "Photo that shows it": "Foto que lo muestra",
    "Without a photo": "Sin foto",
    "No photo of this lot has come yet. A phone on the lot takes one with a correction or an item.": (
        "Todavía no ha llegado ninguna foto de este lote. Un teléfono en el lote la "
        "toma con una corrección o un punto."
    ),
    "Keep": "Guardar",
    "Keep the order": "Guardar la orden",
}
