"""What is wrong with an office's rules, in English and Spanish."""

SENTENCES: dict[str, tuple[str, str]] = {
    # single values
    "an_object": (
        "must be an object, not {value}",
        "debe ser un objeto, no {value}",
    ),
    "a_list": ("must be a list, not {value}", "debe ser una lista, no {value}"),
    "a_text": ("must be a text, not {value}", "debe ser un texto, no {value}"),
    "a_whole_number": (
        "must be a whole number, not {value}",
        "debe ser un número entero, no {value}",
    ),
    "from_to": (
        "must be from {least} to {most}, not {value}",
        "debe ir de {least} a {most}, no {value}",
    ),
    "a_time": (
        'must be a time such as "15:00", not {value}',
        'debe ser una hora como "15:00", no {value}',
    ),
    "a_date": (
        'must be a date such as "2026-12-01", not {value}',
        'debe ser una fecha como "2026-12-01", no {value}',
    ),
    "a_moment": (
        'must be local time without an offset, such as "2026-12-01T14:59", not {value}',
        'debe ser hora local sin desfase, como "2026-12-01T14:59", no {value}',
    ),
    "years": (
        "must lie in the years {first} to {last}, not {year}",
        "debe caer en los años {first} a {last}, no {year}",
    ),
    "true_or_false": ("must be true or false", "debe ser true o false"),
    "an_amount": (
        'must be an amount such as "55.00", or "unknown"',
        'debe ser una cantidad como "55.00", o "unknown"',
    ),
    "uses": ("must use {known}, not {value}", "debe usar {known}, no {value}"),
    "one_of": ("must be one of {known}", "debe ser uno de {known}"),
    "one_of_not": (
        "must be one of {known}, not {value}",
        "debe ser uno de {known}, no {value}",
    ),
    # keys
    "not_a_key": (
        "is not a key here; known are {known}",
        "no es una clave aquí; se conocen {known}",
    ),
    "missing": ("is missing", "falta"),
    "missing_too": (
        "is missing, and so are {days}",
        "falta, y también {days}",
    ),
    "within_or_lead": (
        "stands in place of lead; keep one of the two",
        "va en lugar de lead; deje solo uno de los dos",
    ),
    "passes_elsewhere": (
        "say it on the kind of inspection instead",
        "dígalo en el tipo de inspección",
    ),
    # days and places
    "no_time_zone": (
        '{value} is no time zone; write one as "America/Chicago"',
        '{value} no es una zona horaria; escríbala como "America/Chicago"',
    ),
    "no_weekday": (
        "must name at least one weekday",
        "debe nombrar al menos un día de la semana",
    ),
    "no_country": (
        '{value} has no holidays here; write one as "US"',
        '{value} no tiene días festivos aquí; escriba uno como "US"',
    ),
    "no_part": (
        "{value} is no part of {country}; known are {known}",
        "{value} no es parte de {country}; se conocen {known}",
    ),
    "no_window": (
        "must hold at least one window, or be left out",
        "debe tener al menos un horario, o no ponerse",
    ),
    "two_times": (
        'must be two times such as ["08:00", "12:00"]',
        'deben ser dos horas como ["08:00", "12:00"]',
    ),
    "opens_late": (
        "{opens} must come before {closes}",
        "{opens} debe ir antes de {closes}",
    ),
    "two_kinds": (
        "each group must name at least two kinds",
        "cada grupo debe nombrar al menos dos tipos",
    ),
    "never_open": (
        "no day is ever open under these rules; open at least one",
        "con estas reglas ningún día está abierto; abra al menos uno",
    ),
    "never_taken": (
        "no request is ever taken: the lead is longer than the office books ahead",
        "nunca se acepta un pedido: el aviso es más largo que el plazo que la oficina "
        "reserva",
    ),
    # lines of a file of cases
    "line_same_id": (
        "line {line}: line {other} has this id too",
        "línea {line}: la línea {other} tiene el mismo id",
    ),
    "line_no_id": (
        "line {line} needs an id, a text of its own",
        "la línea {line} necesita un id, un texto propio",
    ),
    "line_not_text": (
        "line {line} is not UTF-8 text",
        "la línea {line} no es texto UTF-8",
    ),
    "line_too_deep": (
        "line {line} is nested too deep",
        "la línea {line} tiene demasiados niveles",
    ),
    "line_not_json": (
        "line {line} is not JSON: {why}",
        "la línea {line} no es JSON: {why}",
    ),
    "line_an_object": (
        "line {line} must be an object",
        "la línea {line} debe ser un objeto",
    ),
    "twice": ("is given twice; keep one", "está dos veces; deje una"),
    "line_twice": (
        "is given twice; keep one (line {line})",
        "está dos veces; deje una (línea {line})",
    ),
}

# What stands for a value that is not shown itself.
VALUES = {
    "an object": "un objeto",
    "a list": "una lista",
    "null": "null",
    "that": "eso",
    "none": "ninguna",
}
