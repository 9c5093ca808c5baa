"""Texts of the import and release pages."""

WORDS = {
    "Lot lists": "Listas de lotes",
    "Release many lots": "Arrancar muchos lotes",
    "Hand in a list": "Entregar una lista",
    "Look at it": "Revisarla",
    "Lists handed in": "Listas entregadas",
    "List": "Lista",
    "Handed in": "Entregada",
    "Rows": "Filas",
    "undone": "deshecha",
    "applied": "aplicada",
    "only looked at": "solo revisada",
    "No list has been handed in yet.": "Todavía no se ha entregado ninguna lista.",
    "Before": "Antes",
    "After": "Después",
    "All lists": "Todas las listas",
    "Rows to correct (XLSX)": "Filas por corregir (XLSX)",
    "Rows to correct (CSV)": "Filas por corregir (CSV)",
    "This list cannot be shown. Hand it in again.": (
        "Esta lista no se puede mostrar. Entréguela otra vez."
    ),
    "Undone": "Deshecha",
    "Applied": "Aplicada",
    "Dry run: nothing is changed yet": "Prueba: todavía no cambia nada",
    "Applied by {who} on {day}.": "Aplicada por {who} el {day}.",
    "Undone by {who} on {day}.": "Deshecha por {who} el {day}.",
    "rows": "filas",
    "new": "nuevas",
    "changed": "cambiadas",
    "unchanged": "sin cambio",
    "skipped": "omitidas",
    "bad": "con error",
    "Rows that name no subdivision: {count}. Say below which one they belong to.": (
        "Filas sin fraccionamiento: {count}. Diga abajo a cuál pertenecen."
    ),
    "New spellings that look like another name: {count}. Join them below, or leave "
    "them apart.": (
        "Nombres nuevos que se parecen a otro: {count}. Únalos abajo, o déjelos aparte."
    ),
    "Apply (lots new or changed: {count})": (
        "Aplicar (lotes nuevos o cambiados: {count})"
    ),
    "Undo this import": "Deshacer esta importación",
    "Rows of the list": "Filas de la lista",
    "Row": "Fila",
    "Block": "Manzana",
    "Unit": "Unidad",
    "Why, what to do": "Por qué y qué hacer",
    "No row is in this state.": "Ninguna fila está en este estado.",
    "What the columns and names mean": "Qué significan las columnas y los nombres",
    "Columns": "Columnas",
    "Subdivisions": "Fraccionamientos",
    "These names are new. One that means a subdivision you have is joined only if you "
    "say so.": (
        "Estos nombres son nuevos. El que sea un fraccionamiento que ya tiene se une "
        "solo si usted lo dice."
    ),
    "Look again with these answers": "Revisar otra vez con estas respuestas",
    "Looked at again with your answers.": "Revisada otra vez con sus respuestas.",
    "The list is applied.": "La lista está aplicada.",
    "The list is undone.": "La lista está deshecha.",
    "being applied": "aplicándose",
    "The list is being applied": "La lista se está aplicando",
    "The list is being undone": "La lista se está deshaciendo",
    "All of it or nothing: nothing is seen before the last row is done. You may leave "
    "this page.": (
        "Todo o nada: no se ve nada antes de la última fila. Puede dejar esta página."
    ),
    "Look again": "Mirar otra vez",
    "waiting for its turn": "esperando su turno",
    "The worker could not do it; nothing was changed.": (
        "El trabajador no pudo hacerlo; no cambió nada."
    ),
    "The list names people of the builder who are not known yet. Lots are given to "
    "them only when you add them.": (
        "La lista nombra gente del constructor que todavía no se conoce. Sus lotes se "
        "les dan solo si usted los añade."
    ),
    "Add {name}": "Añadir a {name}",
    # upload form
    "or a new builder": "o un constructor nuevo",
    "Lot list": "Lista de lotes",
    "CSV or XLSX. Nothing is changed before you have looked at it.": (
        "CSV o XLSX. No cambia nada antes de que usted la revise."
    ),
    "Choose the builder whose list it is.": "Elija el constructor de la lista.",
    "A lot list may have up to 25 MB.": "Una lista puede tener hasta 25 MB.",
    # decisions
    "Remember these columns for the builder": (
        "Recordar estas columnas para el constructor"
    ),
    "Rows without a subdivision belong to": (
        "Las filas sin fraccionamiento pertenecen a"
    ),
    "Sheet": "Hoja",
    "{field} is already taken from {column}.": "{field} ya se toma de {column}.",
    "(a subdivision of its own)": "(un fraccionamiento propio)",
    "(not used)": "(no se usa)",
    "lot": "lote",
    "block": "manzana",
    "lot and block, lot first": "lote y manzana, primero el lote",
    "block and lot, block first": "manzana y lote, primero la manzana",
    "unit, townhouse": "unidad, casa en hilera",
    "subdivision": "fraccionamiento",
    "phase of the subdivision": "fase del fraccionamiento",
    "address": "dirección",
    "house number": "número de casa",
    "street direction": "rumbo de la calle",
    "street": "calle",
    "street type": "tipo de calle",
    "description with lot and subdivision": "descripción con lote y fraccionamiento",
    "permit number": "número de permiso",
    "permit date": "fecha del permiso",
    "parcel": "parcela",
    "number of dwellings": "número de viviendas",
    "kind of building": "tipo de edificio",
    "kind of work": "tipo de obra",
    "remark on the work": "nota sobre la obra",
    "plan": "plano",
    "elevation": "fachada",
    "options": "opciones",
    "mirrored or not": "invertido o no",
    "foundation": "cimentación",
    "start date": "fecha de arranque",
    "closing date": "fecha de escrituración",
    "gate code": "código de la puerta",
    "superintendent": "superintendente",
    # releases
    "By a sheet": "Con una hoja",
    "Which lots": "Qué lotes",
    "without a plan": "sin plano",
    "every lot": "todos los lotes",
    "Lots to release": "Lotes por arrancar",
    "Release": "Arrancar",
    "Options": "Opciones",
    "Handing": "Sentido",
    "Start": "Arranque",
    "First phase ready": "Primera fase lista",
    "Closing": "Escrituración",
    "as drawn": "como el plano",
    "mirrored": "en espejo",
    "Who said so": "Quién lo dijo",
    "Release the chosen lots": "Arrancar los lotes elegidos",
    "Every lot here has its plan. Choose “every lot” to change them.": (
        "Todos los lotes tienen su plano. Elija «todos los lotes» para cambiarlos."
    ),
    "For every chosen lot that says nothing else": (
        "Para cada lote elegido que no diga otra cosa"
    ),
    "known: {day}": "se sabe: {day}",
    # one date of many lots
    "Dates of many lots": "Fechas de muchos lotes",
    "The street": "La calle",
    "Which date": "Qué fecha",
    "{part} due": "{part}, fecha límite",
    "Lots by number": "Lotes por número",
    "Such as 12-18, 21; or tick them below.": "Como 12-18, 21; o márquelos abajo.",
    "No lot here is named {lot}.": "Aquí ningún lote se llama {lot}.",
    "Choose": "Elegir",
    "Known so far": "Lo que se sabe",
    "Say this date": "Decir esta fecha",
    "Date said of {count} lots.": "Fecha dicha de {count} lotes.",
    "due {day}, said by {who}": "para el {day}, dicho por {who}",
    "Choose a subdivision.": "Elija un fraccionamiento.",
    "Not options of this plan: {codes}.": "No son opciones de este plano: {codes}.",
    "Lots released: {count}.": "Lotes arrancados: {count}.",
}
