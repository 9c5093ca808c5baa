"""Sentences of piping outlines and material, in English and Spanish."""

SENTENCES: dict[str, tuple[str, str]] = {
    "outline_name_needed": (
        "Say who accepts the outline: first and last name.",
        "Diga quién acepta el trazo: nombre y apellido.",
    ),
    "outline_not_latest": (
        "There is a newer version of this outline. Look at that one first.",
        "Hay una versión más nueva de este trazo. Revise esa primero.",
    ),
    "outline_accepted": (
        "This version was accepted already by {name}.",
        "Esta versión ya fue aceptada por {name}.",
    ),
    "outline_not_accepted": (
        "This version is not accepted, so there is nothing to withdraw.",
        "Esta versión no está aceptada; no hay nada que retirar.",
    ),
    "outline_unreadable": (
        "The outline cannot be read: {problems}",
        "El trazo no se puede leer: {problems}",
    ),
    "outline_changed_meanwhile": (
        "Somebody kept version {version} while you were writing. Your text is still "
        "here: compare it with that version and keep it again.",
        "Alguien guardó la versión {version} mientras usted escribía. Su texto sigue "
        "aquí: compárelo con esa versión y guárdelo otra vez.",
    ),
    "no_guess": (
        "No outline could be guessed: {why}",
        "No se pudo proponer un trazo: {why}",
    ),
    "use_not_number": (
        "{item}: give what was used as a number, 0 or more.",
        "{item}: ponga lo usado como número, 0 o más.",
    ),
    "waste_out_of_range": (
        "{item}: waste is a per cent from 0 to 200.",
        "{item}: la merma es un porcentaje de 0 a 200.",
    ),
}
