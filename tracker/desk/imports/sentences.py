"""What the reader of lists says about a file or a row, in Spanish for the pages.

The reader knows one language, since its JSON and the sheet that goes back to the
builder are English. Each sentence here is the reader's own, with `{}` where it puts a
value; a test holds the table against the reader's source.
"""

import re
from functools import lru_cache

SAVE_AS = "Open it in your spreadsheet program, save it as XLSX or CSV, and try again."
COPY = "Copie las filas a una hoja nueva y guárdela."

# About the whole file.
FILES = {
    SAVE_AS: "Ábralo en su programa de hojas y guárdelo como XLSX o CSV.",
    "{} cannot be opened: {}.": "{} no se puede abrir: {}.",
    "The file holds no text. Save the list again and try again.": (
        "El archivo no tiene texto. Guarde la lista otra vez y pruebe de nuevo."
    ),
    "This is not text and not a workbook. Save the list as XLSX or CSV.": (
        "Esto no es texto ni un libro de hojas. Guarde la lista como XLSX o CSV."
    ),
    "The text of the file is damaged. Save the list again as CSV (UTF-8).": (
        "El texto del archivo está dañado. Guarde la lista otra vez como CSV (UTF-8)."
    ),
    "The file has more than {} rows. Split it by subdivision.": (
        "El archivo tiene más de {} filas. Divídalo por fraccionamiento."
    ),
    "The rows of the file cannot be told apart. Save it as XLSX.": (
        "No se distinguen las filas del archivo. Guárdelo como XLSX."
    ),
    "This is a workbook of the old XLS kind. {}": "Este es un libro XLS antiguo. {}",
    "This is {}, not a lot list. {}": "Esto es {}, no una lista de lotes. {}",
    "a PDF document": "un documento PDF",
    "a text document (RTF)": "un documento de texto (RTF)",
    "a picture": "una imagen",
    "a database": "una base de datos",
    "a compressed archive (gzip)": "un archivo comprimido (gzip)",
    "a compressed archive (7z)": "un archivo comprimido (7z)",
    "a compressed archive (RAR)": "un archivo comprimido (RAR)",
    "The workbook is protected by a password. Save a copy without a password and try "
    "again.": (
        "El libro tiene contraseña. Guarde una copia sin contraseña y pruebe otra vez."
    ),
    "The file is protected by a password. Save a copy without a password and try "
    "again.": (
        "El archivo tiene contraseña. Guarde una copia sin ella y pruebe otra vez."
    ),
    "The file is empty. Save the list again and try again.": (
        "El archivo está vacío. Guarde la lista otra vez y pruebe de nuevo."
    ),
    "The file is {} MB; a lot list may have up to {} MB. Copy the rows into a new "
    "sheet and save that.": (
        "El archivo tiene {} MB; una lista puede tener hasta {} MB. " + COPY
    ),
    "This is a web page (HTML) named as a sheet. {}": (
        "Esto es una página web (HTML) con nombre de hoja. {}"
    ),
    "This is an XML document, not an XLSX or CSV. {}": (
        "Esto es un documento XML, no un XLSX o CSV. {}"
    ),
    "The workbook unpacks to far more than a lot list can hold. Copy the rows into a "
    "new sheet and save that.": (
        "El libro se expande a mucho más de lo que cabe en una lista. " + COPY
    ),
    "The workbook is packed so tightly that it looks like a trap. Copy the rows into a "
    "new sheet and save that.": (
        "El libro está tan comprimido que parece una trampa. " + COPY
    ),
    "This is a binary workbook (XLSB). {}": "Este es un libro binario (XLSB). {}",
    "This is an OpenDocument file. {}": "Este es un archivo OpenDocument. {}",
    "This is a text document, not a sheet. {}": (
        "Este es un documento de texto, no una hoja. {}"
    ),
    "This is a ZIP archive. Unpack it and upload the list in it.": (
        "Este es un archivo ZIP. Ábralo y suba la lista que trae."
    ),
    "The workbook is damaged. {}": "El libro está dañado. {}",
    "The workbook is damaged.": "El libro está dañado.",
    "The workbook holds no rows. Save the list again.": (
        "El libro no tiene filas. Guarde la lista otra vez."
    ),
    "The workbook holds instructions that a sheet never has.": (
        "El libro trae instrucciones que una hoja nunca tiene."
    ),
    "The workbook holds instructions that a sheet never has. {}": (
        "El libro trae instrucciones que una hoja nunca tiene. {}"
    ),
    "The sheet has too many merged cells. {}": (
        "La hoja tiene demasiadas celdas combinadas. {}"
    ),
    "The sheet {} has more than {} rows. Split it by subdivision.": (
        "La hoja {} tiene más de {} filas. Divídala por fraccionamiento."
    ),
    "There is no sheet {}. The sheets are: {}.": "No hay hoja {}. Las hojas son: {}.",
    "There is no column {} in this sheet. Give its header or letter.": (
        "No hay columna {} en esta hoja. Diga su encabezado o su letra."
    ),
    "There is no field {}. The fields are: {}.": (
        "No hay campo {}. Los campos son: {}."
    ),
    "No header row was found: no row names a lot, an address or a description. Put the "
    "names of the columns above the rows and try again.": (
        "No se halló encabezado: ninguna fila nombra lote, dirección o descripción. "
        "Ponga los nombres de las columnas arriba de las filas y pruebe otra vez."
    ),
    "There is a header but no row below it.": (
        "Hay encabezado, pero ninguna fila debajo."
    ),
    "The stored list is gone. Upload it again.": (
        "La lista guardada ya no está. Súbala otra vez."
    ),
}

# What was guessed.
GUESSES = {
    "read as {}": "leído como {}",
    "quotation marks do not match, so they were ignored": (
        "las comillas no cuadran; no se tomaron en cuenta"
    ),
    "{}: blank cells were taken as the name above them": (
        "{}: las celdas vacías se tomaron como el nombre de arriba"
    ),
    "{}: taken as the description, since its cells name lots": (
        "{}: se tomó como la descripción, porque sus celdas nombran lotes"
    ),
    "{}: taken as the address, since most of its cells are street addresses": (
        "{}: se tomó como la dirección, porque casi todas sus celdas lo son"
    ),
    "no header row: columns were judged by what they hold": (
        "sin encabezado: las columnas se juzgaron por lo que traen"
    ),
    "sheet {} was read, not {}": "se leyó la hoja {}, no {}",
    "sheet {} is hidden in the workbook": "la hoja {} está oculta en el libro",
    "hidden rows were read too": "también se leyeron las filas ocultas",
    "the same words in another spelling": "las mismas palabras escritas de otro modo",
    "the same name without words such as addition, supplement or phase": (
        "el mismo nombre sin palabras como ampliación, suplemento o fase"
    ),
    "almost the same letters": "casi las mismas letras",
    "the same name; one of them has a phase or number that the other leaves out": (
        "el mismo nombre; uno trae una fase o número que el otro no"
    ),
}

# About a row or a cell: why, and what to do.
ROWS = {
    "Not a house: the sheet counts 0 dwellings.": (
        "No es casa: la hoja cuenta 0 viviendas."
    ),
    "Not a house: the description says {}.": "No es casa: la descripción dice {}.",
    "Not a new house: the description says {}.": (
        "No es casa nueva: la descripción dice {}."
    ),
    "Not a house: {} says {}.": "No es casa: {} dice {}.",
    "Not a new house: {} says {}.": "No es casa nueva: {} dice {}.",
    "Not a house: {} says {} and no dwelling is counted.": (
        "No es casa: {} dice {} y no se cuenta ninguna vivienda."
    ),
    "the heading": "el título",
    "The office took this lot off the street; put it back there first.": (
        "La oficina quitó este lote de la calle; primero póngalo otra vez."
    ),
    "superintendent {} is not known yet": "el superintendente {} todavía no se conoce",
    "This builder has no plan of that name.": (
        "Este constructor no tiene un plano con ese nombre."
    ),
    "Add the plan first, or leave the column out.": (
        "Añada primero el plano, o no use la columna."
    ),
    "Options without a plan.": "Opciones sin plano.",
    "Name the plan that these options belong to.": "Diga de qué plano son.",
    "Plan {} has no option of that name.": "El plano {} no tiene esa opción.",
    "Add the option to the plan, or correct it in the list.": (
        "Añada la opción al plano, o corríjala en la lista."
    ),
    "Correct the formula, or type the value instead of it.": (
        "Corrija la fórmula, o escriba el valor en su lugar."
    ),
    "The row has {} cells, the header {}.": "La fila tiene {} celdas; el título, {}.",
    "Put the cell that holds a delimiter in quotation marks.": (
        "Ponga entre comillas la celda que trae un separador."
    ),
    "This is not a kind of foundation that we know.": (
        "No es un tipo de cimentación que conozcamos."
    ),
    "Write slab, crawl space or basement.": (
        "Escriba slab (losa), crawl space (sótano bajo) o basement (sótano)."
    ),
    "It is not clear whether the plan is mirrored.": (
        "No queda claro si el plano va en espejo."
    ),
    "Write yes for a mirrored plan, no for one as drawn.": (
        "Escriba yes si va en espejo, no si va como el plano."
    ),
    "This is not a date.": "Esto no es una fecha.",
    "Write it as 2026-03-04.": "Escríbala como 2026-03-04.",
    "Longer than {} characters.": "Tiene más de {} letras.",
    "Shorten it in the list.": "Acórtelo en la lista.",
    "hidden in the sheet": "oculta en la hoja",
    "The cell shows a spreadsheet error.": "La celda muestra un error de la hoja.",
    "The cell holds a formula that was saved without its result.": (
        "La celda trae una fórmula guardada sin su resultado."
    ),
    "Open the list in your spreadsheet program, save it and try again.": (
        "Abra la lista en su programa de hojas, guárdela y pruebe otra vez."
    ),
    "The spreadsheet turned this into a date.": "La hoja lo convirtió en fecha.",
    "Format the column as text and type it again, such as 3-4.": (
        "Dé formato de texto a la columna y escríbalo otra vez, como 3-4."
    ),
    "Heading: it names the rows below.": "Título: nombra las filas de abajo.",
    "Nothing but marks for 'nothing yet'.": "Solo marcas de «todavía nada».",
    "The header again.": "El encabezado otra vez.",
    "A total or a footer: {}.": "Un total o un pie: {}.",
    "A remark: {}.": "Una nota: {}.",
    "The row names no lot and no address.": "La fila no nombra lote ni dirección.",
    "Fill in the lot or the address.": "Escriba el lote o la dirección.",
    "Row {} names the same house with {}.": "La fila {} nombra la misma casa con {}.",
    "nothing": "nada",
    "Keep the right one of the two rows.": "Deje la fila correcta de las dos.",
    "No lot, address or permit in this row.": (
        "No hay lote, dirección ni permiso en esta fila."
    ),
    "The same house as row {}.": "La misma casa que la fila {}.",
}

SENTENCES = FILES | GUESSES | ROWS


@lru_cache(maxsize=1)
def _shapes() -> list[tuple[re.Pattern[str], str]]:
    # The longest first, so that a special sentence goes before a general one.
    order = sorted(SENTENCES, key=lambda text: -len(text.replace("{}", "")))
    return [
        (
            re.compile(
                "(.*?)".join(re.escape(part) for part in text.split("{}")), re.S
            ),
            SENTENCES[text],
        )
        for text in order
    ]


def in_spanish(text: str) -> str:
    """The sentence in Spanish; a text that is none of the reader's stays as it is."""
    if text in SENTENCES:
        return SENTENCES[text]
    for shape, spanish in _shapes():
        found = shape.fullmatch(text)
        if found:
            return spanish.format(*(in_spanish(value) for value in found.groups()))
    return text


def say(text: str, language: str) -> str:
    """What the reader of lists said, in the reader's language."""
    return in_spanish(text) if language == "es" else text
