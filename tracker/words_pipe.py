"""Sentences about tests on the pipe, in English and Spanish."""

SENTENCES: dict[str, tuple[str, str]] = {
    # the verdict
    "pipe_pass": ("Meets {book}", "Cumple {book}"),
    "pipe_confirm": ("To be confirmed under {book}", "Por confirmar según {book}"),
    "pipe_fail": ("Does not meet {book}", "No cumple {book}"),
    "pipe_book": ("{book}", "{book}"),
    "pipe_book_amended": ("{book}, amended", "{book}, con cambios locales"),
    "pipe_no_book": ("", ""),
    # readings that nobody wrote down
    "pipe_no_head": (
        "neither the head nor the pressure at its foot was written down",
        "no se anotó ni la altura de agua ni la presión al pie",
    ),
    "pipe_no_start": (
        "the pressure at the start was not written down",
        "no se anotó la presión al inicio",
    ),
    "pipe_no_pressures": (
        "start and end pressure are both needed",
        "faltan la presión al inicio y al final",
    ),
    "pipe_no_working": (
        "the working pressure was not written down",
        "no se anotó la presión de trabajo",
    ),
    "pipe_no_depth": (
        "the depth at the threshold was not written down",
        "no se anotó la profundidad en el umbral",
    ),
    "pipe_no_volume": (
        "the volume of the pipe was not written down",
        "no se anotó el volumen de la tubería",
    ),
    "pipe_no_minutes": (
        "how long it was held was not written down",
        "no se anotó cuánto tiempo se sostuvo",
    ),
    "pipe_no_marks": (
        "the marks of the gauge were not written down",
        "no se anotaron las marcas del manómetro",
    ),
    "pipe_no_range": (
        "the range of the gauge was not written down",
        "no se anotó el alcance del manómetro",
    ),
    "pipe_no_leak_word": (
        "nobody wrote down whether it leaked",
        "nadie anotó si goteó",
    ),
    # figures
    "pipe_head": (
        "head {found} ft, {needed} ft needed",
        "altura de agua {found} ft, se piden {needed} ft",
    ),
    "pipe_pressure": (
        "pressure {found} psi, {needed} psi needed",
        "presión {found} psi, se piden {needed} psi",
    ),
    "pipe_ended_low": (
        "it ended at {found} psi, under the {needed} psi needed: bring it up and hold "
        "it again",
        "terminó en {found} psi, menos de los {needed} psi pedidos: súbala y "
        "sosténgala otra vez",
    ),
    "pipe_column": (
        "pressure {found} in. of water, {needed} in. needed",
        "presión {found} in de agua, se piden {needed} in",
    ),
    "pipe_working": (
        "pressure {found} psi, {needed} psi needed ({times} x working pressure)",
        "presión {found} psi, se piden {needed} psi ({times} x presión de trabajo)",
    ),
    "pipe_depth": (
        "depth {found} in., {needed} in. needed",
        "profundidad {found} in, se piden {needed} in",
    ),
    "pipe_minutes": (
        "held {found} min, {needed} min needed",
        "se sostuvo {found} min, se piden {needed} min",
    ),
    "pipe_marks": (
        "gauge marked every {found} psi, {needed} psi or finer needed",
        "manómetro marcado cada {found} psi, se piden {needed} psi o más fino",
    ),
    "pipe_range": (
        "gauge to {found} psi, at most {needed} psi allowed ({times} x test pressure)",
        "manómetro hasta {found} psi, se permiten {needed} psi a lo más ({times} x "
        "presión de prueba)",
    ),
    # what may not be
    "pipe_medium": ("{medium} may not be used", "no se puede usar {medium}"),
    "pipe_plastic": (
        "{medium} on plastic {system} is refused",
        "{medium} en {system} de plástico: rechazado",
    ),
    "pipe_plastic_maker": (
        "{medium} on plastic {system}: the makers forbid it, whatever is allowed "
        "locally",
        "{medium} en {system} de plástico: los fabricantes lo prohíben, aunque aquí "
        "se permita",
    ),
    "pipe_office": (
        "the office accepts no {medium} test of {system}",
        "la oficina no acepta prueba de {system} con {medium}",
    ),
    "pipe_office_plastic": (
        "the office accepts no {medium} test of plastic {system}",
        "la oficina no acepta prueba de {system} de plástico con {medium}",
    ),
    "pipe_no_rule": (
        "{book} gives no figure here for {system} with {medium}; ask the office",
        "{book} no da aquí cifra para {system} con {medium}; pregunte a la oficina",
    ),
    "pipe_no_code_book": (
        "no code book and edition is set for this subdivision: ask the office",
        "este fraccionamiento no tiene código ni edición: pregunte a la oficina",
    ),
    # the hold
    "pipe_leak": ("a leak was seen", "se vio una fuga"),
    "pipe_tight": ("no leak seen", "no se vio fuga"),
    "pipe_water_fell": ("the water fell by {fell} ft", "el agua bajó {fell} ft"),
    "pipe_fell": (
        "the pressure fell by {fell} psi",
        "la presión bajó {fell} psi",
    ),
    "pipe_air_added": (
        "pressure was added during the hold: start it again",
        "se agregó presión durante la prueba: empiece otra vez",
    ),
    "pipe_lost": ("{fell} psi were lost", "se perdieron {fell} psi"),
    "pipe_held": ("it held", "se sostuvo"),
    "pipe_end": ("{found} psi at the end", "{found} psi al final"),
    "pipe_no_temperature": (
        "the pressure fell by {fell} psi and no temperatures were written down: write "
        "both down and hold it again",
        "la presión bajó {fell} psi y no se anotaron temperaturas: anote las dos y "
        "sosténgala otra vez",
    ),
    "pipe_gas_law": (
        "{start} psi at {start_f} F would be {tight} psi at {end_f} F in a tight pipe; "
        "{end} psi was read{then}",
        "{start} psi a {start_f} F serían {tight} psi a {end_f} F en una tubería sin "
        "fugas; se leyó {end} psi{then}",
    ),
    "pipe_unexplained": (
        ": {lost} psi are lost that no temperature explains",
        ": faltan {lost} psi que ninguna temperatura explica",
    ),
    "pipe_warming": (
        ": warming may hide a leak of {lost} psi",
        ": el calor puede esconder una fuga de {lost} psi",
    ),
    "pipe_too_warm": (
        ": more than warming explains, read gauge and thermometer again",
        ": más de lo que explica el calor, lea otra vez manómetro y termómetro",
    ),
    "pipe_explained": (
        ": temperature alone explains the fall",
        ": la temperatura sola explica la baja",
    ),
    "pipe_weather": (
        "; over so long the weather moves the gauge too",
        "; en tanto tiempo el clima también mueve el manómetro",
    ),
    "pipe_weather_explained": (
        "; over so long the weather moves the gauge too: temperature alone explains "
        "the fall",
        "; en tanto tiempo el clima también mueve el manómetro: la temperatura sola "
        "explica la baja",
    ),
    # cautions
    "pipe_aid": (
        "An aid only: the adopted code with its local changes, the inspector and a "
        "licensed person decide.",
        "Solo una ayuda: deciden el código adoptado con sus cambios locales, el "
        "inspector y una persona con licencia.",
    ),
    "pipe_stored_energy": (
        "Compressed gas stores energy: a cap or a fitting that lets go can maim. Plug "
        "and brace every end, raise the pressure in steps, keep people away, relieve "
        "it before anything is loosened.",
        "El gas comprimido guarda energía: una tapa o conexión que se suelta puede "
        "mutilar. Tape y asegure cada extremo, suba la presión por pasos, aleje a la "
        "gente y descárguela antes de aflojar nada.",
    ),
    "pipe_shatters": (
        "Plastic drain pipe under compressed air can shatter.",
        "El tubo de drenaje de plástico con aire comprimido puede estallar.",
    ),
    "pipe_never": (
        "Never oxygen or fuel gas in a test: oil and air in the pipe can explode.",
        "Nunca oxígeno ni gas combustible en una prueba: el aceite y el aire en la "
        "tubería pueden explotar.",
    ),
    # systems and media, as a record names them
    "pipe_dwv": ("dwv", "drenaje y ventilación"),
    "pipe_building_sewer": ("building sewer", "drenaje exterior"),
    "pipe_shower_pan": ("shower pan", "base de regadera"),
    "pipe_water_supply": ("water supply", "red de agua"),
    "pipe_gas": ("gas", "gas"),
    "pipe_air": ("air", "aire"),
    "pipe_nitrogen": ("nitrogen", "nitrógeno"),
    "pipe_carbon_dioxide": ("carbon dioxide", "dióxido de carbono"),
    "pipe_inert_gas": ("inert gas", "gas inerte"),
    "pipe_water": ("water", "agua"),
    "pipe_vacuum": ("vacuum", "vacío"),
    "pipe_smoke": ("smoke", "humo"),
    "pipe_oxygen": ("oxygen", "oxígeno"),
    "pipe_fuel_gas": ("fuel gas", "gas combustible"),
    "pipe_and": ("{one} {other}", "{one} {other}"),
    # a reading that cannot be
    "pipe_not_a_number": ("{field} must be a number", "{field}: ponga un número"),
    "pipe_not_from_to": (
        "{field} must be from {least} to {most}, not {found}",
        "{field}: de {least} a {most}, no {found}",
    ),
    "pipe_not_one_of": (
        "{field} must be one of {known}",
        "{field}: uno de {known}",
    ),
    "pipe_unknown_reading": ("there is no such reading", "esa lectura no existe"),
    "pipe_of_system": ("system", "sistema"),
    "pipe_of_medium": ("medium", "con qué se prueba"),
    "pipe_of_material": ("material", "material"),
    "pipe_of_start_psig": ("pressure at the start", "presión al inicio"),
    "pipe_of_end_psig": ("pressure at the end", "presión al final"),
    "pipe_of_start_f": ("temperature at the start", "temperatura al inicio"),
    "pipe_of_end_f": ("temperature at the end", "temperatura al final"),
    "pipe_of_head_ft": ("head of water", "altura de agua"),
    "pipe_of_end_head_ft": ("head at the end", "altura de agua al final"),
    "pipe_of_depth_in": ("depth at the threshold", "profundidad en el umbral"),
    "pipe_of_minutes": ("minutes held", "minutos sostenidos"),
    "pipe_of_gauge_top_psi": ("top of the gauge", "tope del manómetro"),
    "pipe_of_gauge_mark_psi": ("marks of the gauge", "marcas del manómetro"),
    "pipe_of_working_psig": ("working pressure", "presión de trabajo"),
    "pipe_of_volume_cuft": ("volume of the pipe", "volumen de la tubería"),
    "pipe_of_elevation_ft": ("elevation", "altitud"),
}
