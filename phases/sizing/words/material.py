"""Rules of the material list that hold a figure, and why there is no list."""

WORDS = {
    "rule_hang": (
        "one at the start and every {feet:g} ft ({label})",
        "uno al comienzo y cada {feet:g} pies ({label})",
    ),
    "rule_plate": (
        "both faces of each stud where the pipe lies within {inches:g} in. of the edge",
        "ambas caras de cada poste donde el tubo queda a menos de {inches:g} pulg. del "
        "borde",
    ),
    "no_plan": ("No plan is chosen.", "No hay plano elegido."),
    "no_outline": (
        "Plan {plan} has no outline.",
        "El plano {plan} no tiene trazo.",
    ),
    "no_outline_with": (
        "Plan {plan} with {options} has no outline.",
        "El plano {plan} con {options} no tiene trazo.",
    ),
    "no_book_on": (
        "No code book is entered as in force on {day}.",
        "No hay reglamento anotado como vigente el {day}.",
    ),
    "no_book_for": (
        "No code book and edition is entered for {street}.",
        "No hay reglamento y edición anotados para {street}.",
    ),
    "no_pipes": (
        "The plan has no fixtures to pipe yet: add rooms.",
        "El plano aún no tiene muebles que conectar: agregue cuartos.",
    ),
}
