"""Fixtures and appliances with their article, and lumber."""

WORDS = {
    "a_closet": ("a closet", "un inodoro"),
    "a_lavatory": ("a lavatory", "un lavabo"),
    "a_lavatory_double": ("a double lavatory", "un lavabo doble"),
    "a_tub": ("a tub", "una tina"),
    "a_tub_shower": ("a tub with shower", "una tina con regadera"),
    "a_soaking_tub": ("a soaking tub", "una tina de inmersión"),
    "a_shower": ("a shower", "una regadera"),
    "a_bidet": ("a bidet", "un bidé"),
    "a_kitchen_sink": ("a kitchen sink", "un fregadero"),
    "a_bar_sink": ("a bar sink", "un fregadero de bar"),
    "a_washer_box": ("a washer box", "una caja de lavadora"),
    "a_laundry_sink": ("a laundry sink", "un lavadero"),
    "a_floor_drain": ("a floor drain", "un drenaje de piso"),
    "hole_stud": ("hole in a {lumber} stud", "perforación en un poste de {lumber}"),
    "notch_stud": ("notch in a {lumber} stud", "muesca en un poste de {lumber}"),
    "hole_joist": ("hole in a {lumber}", "perforación en una vigueta de {lumber}"),
    "notch_joist": ("notch in a {lumber}", "muesca en una vigueta de {lumber}"),
    "notch_middle": (
        "notch in the middle third of a {lumber}",
        "muesca en el tercio central de una vigueta de {lumber}",
    ),
    "bore_plate": (
        "hole in a {lumber} plate",
        "perforación en una solera de {lumber}",
    ),
    "notch_plate": ("notch in a {lumber} plate", "muesca en una solera de {lumber}"),
    "hole": ("hole", "perforación"),
    "notch": ("notch", "muesca"),
}
