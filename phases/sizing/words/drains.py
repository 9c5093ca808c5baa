"""Sentences about drains and vents."""

# ruff: noqa: E501 (a sentence stands whole)

WORDS = {
    "no_reduction": (
        "{key} is {size} in. and takes a pipe of {widest} in.: a drain never gets smaller downstream.",
        "{key} es de {size} pulg. y recibe un tubo de {widest} pulg.: un drenaje nunca se reduce aguas abajo.",
    ),
    "make_it": ("Make {key} {size} in.", "Haga {key} de {size} pulg."),
    "capacity": (
        "{key} carries {units:g} drainage fixture units{of}; {size} in. takes {most:g}.",
        "{key} lleva {units:g} unidades de drenaje{of}; {size} pulg. admite {most:g}.",
    ),
    "capacity_none": (
        "{key} carries {units:g} drainage fixture units{of}; the {book} table has no {size} in. for it.",
        "{key} lleva {units:g} unidades de drenaje{of}; la tabla del {book} no tiene {size} pulg. para eso.",
    ),
    "in_all": (" in all", " en total"),
    "from_one_floor": (" from one floor", " de un solo piso"),
    "split_load": (
        "Split the load over two drains.",
        "Reparta la carga en dos drenajes.",
    ),
    "make_or_split": (
        "Make {key} {size} in., or split the load over two drains.",
        "Haga {key} de {size} pulg., o reparta la carga en dos drenajes.",
    ),
    "closets": (
        "{key} takes {count} closets; {size} in. may take {most} in this book.",
        "{key} recibe {count} inodoros; {size} pulg. admite {most} en este reglamento.",
    ),
    "make_3": ("Make it 3 in. or larger.", "Hágalo de 3 pulg. o más."),
    "make_4": ("Make it 4 in., or split it.", "Hágalo de 4 pulg., o divídalo."),
    "sink_branch": (
        "{key} drains past its arm through {size} in.",
        "{key} desagua después de su brazo por {size} pulg.",
    ),
    "slope": (
        "{key}, {size} in., falls {slope:g} in. a foot; {least:g} is the least.",
        "{key}, de {size} pulg., baja {slope:g} pulg. por pie; lo menos es {least:g}.",
    ),
    "lay_at": (
        "Lay {key} at {least:g} in. a foot or more.",
        "Ponga {key} a {least:g} pulg. por pie o más.",
    ),
    "depth": (
        "{key} falls {fall:g} in. over {length:g} ft; {depth:g} in. are there.",
        "{key} baja {fall:g} pulg. en {length:g} pies; hay {depth:g} pulg.",
    ),
    "depth_fix": (
        "Start higher, shorten the run, or lay it flatter where the size may.",
        "Empiece más alto, acorte el tramo, o póngalo más plano donde la medida lo permita.",
    ),
    "cleanouts": (
        "{key}, {length:g} ft with {turns} turns, has {there} cleanouts; {wanted} wanted.",
        "{key}, {length:g} pies con {turns} vueltas, tiene {there} registros; se piden {wanted}.",
    ),
    "cleanouts_fix": ("Add {more} to {key}.", "Agregue {more} a {key}."),
    "arm_length": (
        "{key}, {size} in., runs {length:g} ft to its vent; {most:g} ft is the most.",
        "{key}, de {size} pulg., recorre {length:g} pies hasta su ventilación; lo más es {most:g} pies.",
    ),
    "arm_length_fix": (
        "Bring the vent nearer, add a second vent, or use a larger arm.",
        "Acerque la ventilación, agregue otra, o use un brazo mayor.",
    ),
    "arm_fall": (
        "{key} falls {fall:g} in. to its vent; one diameter, {most:g} in., is the most.",
        "{key} baja {fall:g} pulg. hasta su ventilación; lo más es un diámetro, {most:g} pulg.",
    ),
    "arm_fall_fix": (
        "Shorten the arm, or lay it no steeper than 1/4.",
        "Acorte el brazo, o póngalo a no más de 1/4.",
    ),
    "crown_vent": (
        "{key} is {length:g} in. long; two diameters, {least:g} in., is the least.",
        "{key} mide {length:g} pulg.; lo menos son dos diámetros, {least:g} pulg.",
    ),
    "crown_vent_fix": (
        "Move the vent away from the trap.",
        "Aleje la ventilación de la trampa.",
    ),
    "arm_size": (
        "{key} is {size} in.; {a_fixture} takes {least} in. or more.",
        "{key} es de {size} pulg.; {a_fixture} pide {least} pulg. o más.",
    ),
    "no_vent": (
        "The trap of {key} has no vent.",
        "La trampa de {key} no tiene ventilación.",
    ),
    "no_vent_fix": (
        "Give it a vent of its own, or wet vent it where the book allows.",
        "Dele ventilación propia, o ventilación húmeda donde el reglamento lo permita.",
    ),
    "vent_size": (
        "The {length:g} ft vent of {key} is {size} in.; {least} in. is the least.",
        "La ventilación de {key}, de {length:g} pies, es de {size} pulg.; lo menos es {least} pulg.",
    ),
    "vent_size_fix": (
        "Make the vent {least} in. all the way.",
        "Haga la ventilación de {least} pulg. en todo su recorrido.",
    ),
    "shorten_vent": ("Shorten the vent.", "Acorte la ventilación."),
    "vent_length": (
        "The {size} in. vent of {key} is {length:g} ft; {most:g} ft is the most, a third of it horizontal.",
        "La ventilación de {size} pulg. de {key} mide {length:g} pies; lo más es {most:g} pies, un tercio horizontal.",
    ),
    "vent_length_fix": (
        "Use the next larger vent all the way.",
        "Use la siguiente medida en todo el recorrido.",
    ),
    "vent_rise": (
        "The vent of {key} rises {rise:g} in. above the flood rim before it goes level; {least:g} in. is the least.",
        "La ventilación de {key} sube {rise:g} pulg. sobre el borde de derrame antes de ir horizontal; lo menos es {least:g} pulg.",
    ),
    "vent_rise_fix": (
        "Carry the vent up to {least:g} in. above the flood rim of the highest fixture it serves before it turns.",
        "Suba la ventilación a {least:g} pulg. sobre el borde de derrame del mueble más alto que sirve antes de doblar.",
    ),
    "vent_rises_note": (
        "Every dry vent rises {least:g} in. above the flood rim of the highest fixture it serves before it goes level or joins another.",
        "Toda ventilación seca sube {least:g} pulg. sobre el borde de derrame del mueble más alto que sirve antes de ir horizontal o unirse a otra.",
    ),
    "vent_takeoff_note": (
        "A dry vent leaves a level drain above its centre line.",
        "Una ventilación seca sale de un drenaje horizontal por encima de su eje.",
    ),
    "island_vent": (
        "{key} is vented as an island: this book allows it for sinks and lavatories only.",
        "{key} tiene ventilación de isla: este reglamento la permite solo en fregaderos y lavabos.",
    ),
    "island_vent_ok": (
        "{key} is vented as an island, as sinks and lavatories may be.",
        "{key} tiene ventilación de isla, como se permite en fregaderos y lavabos.",
    ),
    "standpipe": (
        "{key}: the standpipe ends {low:g} to {high:g} in. above the trap weir{above}.",
        "{key}: el tubo vertical termina de {low:g} a {high:g} pulg. sobre el vertedero de la trampa{above}.",
    ),
    "standpipe_trap": (
        ", and the trap stands {low:g} to {high:g} in. above the floor",
        ", y la trampa queda de {low:g} a {high:g} pulg. sobre el piso",
    ),
    "standpipe_drain": (
        "{key}, behind the trap arm of a washer standpipe, is {size} in.; a washer's discharge asks {least:g} in. there.",
        "{key}, detrás del brazo del tubo vertical de una lavadora, es de {size} pulg.; la descarga de una lavadora pide ahí {least:g} pulg.",
    ),
    "standpipe_drain_fix": (
        "Make {key} {least:g} in. from the standpipe on.",
        "Haga {key} de {least:g} pulg. desde el tubo vertical.",
    ),
    "drain_length": (
        "{key}, {size} in., is {length:g} ft; {most:g} ft is the most of a vertical drain.",
        "{key}, de {size} pulg., mide {length:g} pies; lo más de un drenaje vertical es {most:g} pies.",
    ),
    "larger_stack": ("Use the next larger stack.", "Use la siguiente bajante mayor."),
    "arm_turns": (
        "{key} turns {turns:g} degrees; over {most:g} a cleanout is wanted in it.",
        "{key} dobla {turns:g} grados; arriba de {most:g} se pide un registro en él.",
    ),
    "arm_turns_fix": (
        "Lay it straighter, or add a cleanout.",
        "Póngalo más recto, o agregue un registro.",
    ),
    "underground_branch": (
        "{key} is {size} in. below the lowest floor; {least:g} in. is the least here.",
        "{key} es de {size} pulg. bajo el piso más bajo; aquí lo menos es {least:g} pulg.",
    ),
    "wet_vent": (
        "{key}, {size} in., vents {arm} wet and drains {units:g} units of other fixtures.",
        "{key}, de {size} pulg., ventila en húmedo a {arm} y desagua {units:g} unidades de otros muebles.",
    ),
    "wet_vent_none": (
        "{key}, {size} in., vents {arm} wet and drains {units:g} units; {book} allows no such wet vent.",
        "{key}, de {size} pulg., ventila en húmedo a {arm} y desagua {units:g} unidades; el {book} no permite esa ventilación húmeda.",
    ),
    "dry_vent_fix": ("Give the arm a dry vent.", "Dele al brazo una ventilación seca."),
    "wet_vent_group": (
        "A wet vent serves bathroom fixtures of one floor and group only.",
        "Una ventilación húmeda sirve solo a muebles de baño de un mismo piso y grupo.",
    ),
    "wet_vent_fix": (
        "Make {key} larger or give {arm} a dry vent.",
        "Haga {key} mayor o dele a {arm} una ventilación seca.",
    ),
    "outdoors": (
        "The largest vent through the roof is {size} in.; a {drain} in. building drain needs one of {least} in.",
        "La mayor ventilación por el techo es de {size} pulg.; un drenaje de casa de {drain} pulg. pide una de {least} pulg.",
    ),
    "outdoors_fix": (
        "Carry one vent {least} in. through the roof.",
        "Lleve una ventilación de {least} pulg. por el techo.",
    ),
    "roof_vents": (
        "Vents and flashings through the roof: {list}.",
        "Ventilaciones y botaguas por el techo: {list}.",
    ),
    "area": (
        "The vents through the roof add up to {area:g}; the {sewer} in. sewer asks {least:g} (nominal sizes squared).",
        "Las ventilaciones por el techo suman {area:g}; el drenaje exterior de {sewer} pulg. pide {least:g} (medidas nominales al cuadrado).",
    ),
    "area_fix": (
        "Make one vent larger or add one.",
        "Haga una ventilación mayor o agregue una.",
    ),
    "frost": (
        "{key} ends at {size} in.; frost asks {least:g} in. from 1 ft below the roof.",
        "{key} termina en {size} pulg.; la escarcha pide {least:g} pulg. desde 1 pie bajo el techo.",
    ),
    "frost_fix": (
        "Enlarge it to {least:g} in. a foot below the roof.",
        "Amplíela a {least:g} pulg. un pie bajo el techo.",
    ),
    "held": ("{where}: {why}", "{where}: {why}"),
    "look_up": (
        "Look it up in the adopted book, or choose a size it lists.",
        "Búsquelo en el reglamento adoptado, o elija una medida que aparezca en él.",
    ),
}
