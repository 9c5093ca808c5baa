"""What is wrong in an outline, said at its place."""

WORDS = {
    "too_many_pipes": (
        "An outline has at most {most} pipes.",
        "Un trazo tiene como máximo {most} tubos.",
    ),
    "too_many_rows": (
        "An outline has at most {most} rows.",
        "Un trazo tiene como máximo {most} filas.",
    ),
    "too_many_letters": (
        "An outline has at most {most} letters.",
        "Un trazo tiene como máximo {most} letras.",
    ),
    "empty_outline": (
        "Start with drain, water or gas.",
        "Empiece con drain, water o gas.",
    ),
    "rows_not_whole": (
        "The rows did not arrive whole.",
        "Las filas no llegaron completas.",
    ),
    "twice": (
        "{key} stands twice, first at {place}. Give each pipe its own key.",
        "{key} está dos veces, la primera en {place}. Dé a cada tubo su propia clave.",
    ),
    "system": (
        "System {system!r}: choose {known}.",
        "Sistema {system!r}: elija {known}.",
    ),
    "role": (
        "{role!r} is no pipe of a {system} system: {known}.",
        "{role!r} no es tubo de un sistema {system}: {known}.",
    ),
    "parent_missing": (
        "{key} hangs on {parent}, which is not there.",
        "{key} cuelga de {parent}, que no está.",
    ),
    "parent_other": (
        "{key} hangs on a pipe of another system.",
        "{key} cuelga de un tubo de otro sistema.",
    ),
    "parent_wrong": (
        "This is {a_role}: it hangs on {under}.",
        "Esto es {a_role}: cuelga de {under}.",
    ),
    "leaf": (
        "{key} is {a_role}; nothing can hang on it.",
        "{key} es {a_role}; nada puede colgar de él.",
    ),
    "serves_nothing": (
        "{key} serves nothing. Add what it serves or take out.",
        "{key} no sirve a nada. Agregue lo que sirve o quítelo.",
    ),
    "number": ("{name} of {key}: give a number.", "{name} de {key}: ponga un número."),
    "no_length": (
        "{name} of {key}: {value} is no length of a house.",
        "{name} de {key}: {value} no es medida de una casa.",
    ),
    "negative": ("{name} of {key} is negative.", "{name} de {key} es negativo."),
    "level": (
        "{key} has no slope. Water does not run on the level.",
        "{key} no tiene pendiente. El agua no corre a nivel.",
    ),
    "zero_length": (
        "{key} has zero length. Give its developed length in feet.",
        "{key} tiene longitud cero. Ponga su longitud desarrollada en pies.",
    ),
    "bad_size": ("{name} of {key}: {why}", "{name} de {key}: {why}"),
    "no_ehd": ("{text!r} is no EHD.", "{text!r} no es un EHD."),
    "no_such_size": (
        "{text!r} is no pipe size such as 3/4 or 1-1/2.",
        "{text!r} no es medida de tubo como 3/4 o 1-1/2.",
    ),
    "no_nominal": (
        "{text!r} is no nominal size.",
        "{text!r} no es una medida nominal.",
    ),
    "vent_choice": (
        "vent of {key}: choose {known}.",
        "vent de {key}: elija {known}.",
    ),
    "no_fixture_here": (
        "{key} has no fixture. Say fixture=kind.",
        "{key} no tiene mueble. Ponga fixture=tipo.",
    ),
    "fixture_unknown": (
        "Fixture {fixture!r} of {key} is not known.",
        "No se conoce el mueble {fixture!r} de {key}.",
    ),
    "loop": ("A loop: {way}.", "Un círculo: {way}."),
    "second_start": (
        "A second start of {system}.",
        "Un segundo comienzo de {system}.",
    ),
    "start_system": (
        "Start a system with one of: {known}.",
        "Empiece un sistema con uno de: {known}.",
    ),
    "write_role": (
        "Write the role, then a key: arm bath-closet ...",
        "Escriba la función y luego una clave: arm bath-closet ...",
    ),
    "write_value": (
        "{word!r}: write name=value.",
        "{word!r}: escriba nombre=valor.",
    ),
    "name_unknown": (
        "{name!r} is not known. Known: {known}.",
        "No se conoce {name!r}. Se conocen: {known}.",
    ),
    "whole_number": (
        "{name}: give a whole number, not {value}.",
        "{name}: ponga un número entero, no {value}.",
    ),
    "no_number": ("{name}: {value!r} is no number.", "{name}: {value!r} no es número."),
    "out_of_range": (
        "{name}: {value} is out of range.",
        "{name}: {value} está fuera de rango.",
    ),
    "yes_or_no": (
        "{name}: say yes or no, not {value}.",
        "{name}: ponga yes o no, no {value}.",
    ),
    "name_needed": (
        "Give the pipe a name of its own.",
        "Dé al tubo un nombre propio.",
    ),
    "name_one_word": (
        "{name!r}: a name is one word, such as bath-drain.",
        "{name!r}: un nombre es una palabra, como bath-drain.",
    ),
    "kind_needed": (
        "{name}: choose the kind of pipe.",
        "{name}: elija el tipo de tubo.",
    ),
    "extras_start": (
        "{word!r}: start a line with {known}.",
        "{word!r}: empiece la línea con {known}.",
    ),
    "condensate_name": (
        "Name the line: condensate ac tons=3 ...",
        "Dé nombre a la línea: condensate ac tons=3 ...",
    ),
    "condensate_say": (
        "Condensate {key}: say {missing}=.",
        "Condensado {key}: ponga {missing}=.",
    ),
    "condensate_into": (
        "Condensate {key}: {into!r} is none of {known}.",
        "Condensado {key}: {into!r} no es ninguno de {known}.",
    ),
    "condensate_tons": (
        "Condensate {key}: give tons over 0 and a slope.",
        "Condensado {key}: ponga toneladas mayores de 0 y una pendiente.",
    ),
    "cut_write": (
        "Write: cut NAME hole|notch stud|joist|plate lumber=2x10 inches=1",
        "Escriba: cut NOMBRE hole|notch stud|joist|plate lumber=2x10 inches=1",
    ),
    "cut_say": ("Cut {key}: say {missing}=.", "Corte {key}: ponga {missing}=."),
    "cut_kind": (
        "Cut {key}: a hole or notch in a stud, joist or plate.",
        "Corte {key}: hole o notch en stud, joist o plate.",
    ),
    "cut_lumber": (
        "Cut {key}: lumber is one of {known}.",
        "Corte {key}: lumber es uno de {known}.",
    ),
    "cut_inches": (
        "Cut {key}: give its size in inches.",
        "Corte {key}: ponga su medida en pulgadas.",
    ),
    "cut_place": (
        "Cut {key}: say the span and the place along it.",
        "Corte {key}: ponga el claro y el lugar en él.",
    ),
    "clear_kind": (
        "Clear {key}: the fixture is one of {known}.",
        "Espacio {key}: el mueble es uno de {known}.",
    ),
    "clear_write": (
        "Write: clear NAME closet side=15 front=21",
        "Escriba: clear NOMBRE closet side=15 front=21",
    ),
    "role_top": ("the top", "el comienzo"),
    "role_sewer": ("a sewer", "un drenaje exterior"),
    "role_building_drain": ("a building drain", "un drenaje de casa"),
    "role_stack": ("a stack", "una bajante"),
    "role_branch": ("a branch", "un ramal"),
    "role_arm": ("a trap arm", "un brazo de trampa"),
    "role_meter": ("a meter", "un medidor"),
    "role_service": ("a service", "una toma"),
    "role_main": ("a main", "un tubo principal"),
    "role_heater": ("a heater", "un calentador"),
    "role_manifold": ("a manifold", "un distribuidor"),
    "role_run": ("a run", "una línea"),
    "role_section": ("a section", "un tramo"),
    "role_regulator": ("a regulator", "un regulador"),
    "role_outlet": ("an outlet", "una salida"),
}
