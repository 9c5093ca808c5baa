"""Sentences about heaters, condensate, framing and clearances."""

# ruff: noqa: E501 (a sentence stands whole)

WORDS = {
    "first_hour_note": (
        "{baths:g} baths and {bedrooms} bedrooms ask a first-hour rating of {gallons:g} gal.",
        "{baths:g} baños y {bedrooms} recámaras piden {gallons:g} gal en la primera hora.",
    ),
    "first_hour": (
        "The heater's first-hour rating is {there:g} gal; {gallons:g} is asked.",
        "El calentador da {there:g} gal en la primera hora; se piden {gallons:g}.",
    ),
    "first_hour_fix": (
        "Choose a heater of a higher first-hour rating.",
        "Elija un calentador con mayor primera hora.",
    ),
    "tankless_has": (
        "The tankless heater has its {what}.",
        "El calentador de paso tiene su {what}.",
    ),
    "tankless_lacks": (
        "The tankless heater has no {what}.",
        "El calentador de paso no tiene {what}.",
    ),
    "tankless_draw": (
        "Draw its {what} into the plan.",
        "Ponga en el plano su {what}.",
    ),
    "what_gas": ("gas", "gas"),
    "what_vent": ("vent", "ventilación"),
    "what_condensate": ("condensate", "condensado"),
    "tankless_flow": (
        "{gpm:.1f} gpm at a rise of {rise:g} F.",
        "{gpm:.1f} gpm con un aumento de {rise:g} F.",
    ),
    "condensate_size": (
        "{key} drains {tons:g} tons through {size} in.; {least} in. is the least.",
        "{key} desagua {tons:g} toneladas por {size} pulg.; lo menos es {least} pulg.",
    ),
    "condensate_size_fix": (
        "Make it {least} in., never smaller than the pan outlet.",
        "Hágalo de {least} pulg., nunca menor que la salida de la charola.",
    ),
    "condensate_slope": (
        "{key} falls {slope:g} in. a foot; {least:g} is the least.",
        "{key} baja {slope:g} pulg. por pie; lo menos es {least:g}.",
    ),
    "condensate_slope_fix": (
        "Lay it at 1/8 in. a foot or more.",
        "Póngalo a 1/8 pulg. por pie o más.",
    ),
    "condensate_ok": (
        "{key} ends in a {into}: an allowed place, above the trap or by an air gap.",
        "{key} termina en {into}: lugar permitido, arriba de la trampa o con separación de aire.",
    ),
    "condensate_wrong": (
        "{key} ends in a {into}: never joined to a vent, waste or drain pipe directly.",
        "{key} termina en {into}: nunca unido directo a un tubo de ventilación o de drenaje.",
    ),
    "condensate_end_fix": (
        "End it above a fixture's trap (lavatory tailpiece) or by an air gap.",
        "Termínelo arriba de la trampa de un mueble (cola de lavabo) o con separación de aire.",
    ),
    "into_lavatory_tailpiece": ("lavatory tailpiece", "cola de lavabo"),
    "into_tub_overflow": ("tub overflow", "rebosadero de tina"),
    "into_floor_drain": ("floor drain", "drenaje de piso"),
    "into_floor_sink": ("floor sink", "sumidero de piso"),
    "into_standpipe": ("standpipe", "tubo vertical"),
    "into_laundry_sink": ("laundry sink", "lavadero"),
    "into_mop_sink": ("mop sink", "pileta de trapeador"),
    "into_outside": ("outside", "el exterior"),
    "into_storm_drain": ("storm drain", "drenaje pluvial"),
    "into_vent": ("vent", "ventilación"),
    "into_drain": ("drain", "drenaje"),
    "wall_depth": (
        "{key} is {od:g} in. outside in a {stud} wall of {depth:g} in.",
        "{key} mide {od:g} pulg. por fuera en un muro de {stud} de {depth:g} pulg.",
    ),
    "wall_depth_fix": (
        "It needs a 2x6 wall or a chase.",
        "Necesita un muro de 2x6 o un ducto.",
    ),
    "stud_bore": (
        "{key} bores {od:g} in. through {stud} studs; {most:.2f} in. is the most in a non-bearing wall.{plate}",
        "{key} perfora {od:g} pulg. en postes de {stud}; lo más es {most:.2f} pulg. en un muro que no carga.{plate}",
    ),
    "plate_covers": (
        " A shield plate covers each stud.",
        " Una placa protectora cubre cada poste.",
    ),
    "needs_wall": ("It needs a {stud} wall.", "Necesita un muro de {stud}."),
    "needs_chase": ("It needs a chase.", "Necesita un ducto."),
    "engineered": (
        "{key}: engineered lumber is cut only as its maker or an engineer allows.",
        "{key}: la madera de ingeniería se corta solo como lo permita su fabricante o un ingeniero.",
    ),
    "engineered_fix": (
        "Get the maker's or an engineer's written detail.",
        "Pida el detalle por escrito del fabricante o de un ingeniero.",
    ),
    "cut": (
        "{key}: a {kind} of {inches:g} in.; {most:.2f} in. is the most for a {what}.",
        "{key}: {kind} de {inches:g} pulg.; lo más es {most:.2f} pulg. para {what}.",
    ),
    "cut_move": (
        "Move it, use larger lumber, or have an engineer repair it.",
        "Muévala, use madera mayor, o pida la reparación a un ingeniero.",
    ),
    "cut_keep": (
        "Keep it to {most:.2f} in., use larger lumber, or have an engineer repair it.",
        "Déjela en {most:.2f} pulg., use madera mayor, o pida la reparación a un ingeniero.",
    ),
    "hole_edge": (
        "{key} leaves {there:g} in. of wood to the edge; {least:g} is the least.",
        "{key} deja {there:g} pulg. de madera al borde; lo menos es {least:g}.",
    ),
    "hole_edge_fix": (
        "Move the hole towards the middle.",
        "Mueva la perforación hacia el centro.",
    ),
    "standpipe_height": (
        "{key}: the standpipe ends {there:g} in. above the trap weir; {low:g} to {high:g} in. is allowed.",
        "{key}: el tubo vertical termina a {there:g} pulg. sobre el vertedero de la trampa; se permite de {low:g} a {high:g} pulg.",
    ),
    "standpipe_trap_height": (
        "{key}: the trap stands {there:g} in. above the floor; {low:g} to {high:g} in. is allowed.",
        "{key}: la trampa queda a {there:g} pulg. sobre el piso; se permite de {low:g} a {high:g} pulg.",
    ),
    "standpipe_fix": (
        "Set it between {low:g} and {high:g} in.",
        "Póngalo entre {low:g} y {high:g} pulg.",
    ),
    "supports": (
        "{material} {size} in.: a support every {feet:g} ft and one at the start, {count} on {pipes} pipes.",
        "{material} de {size} pulg.: un soporte cada {feet:g} pies y uno al comienzo, {count} en {pipes} tubos.",
    ),
    "supports_absent": (
        "{why} Follow the maker.",
        "{why} Siga al fabricante.",
    ),
    "plate_cut": (
        "{key}: a {kind} of {inches:g} in. takes more than half of a {lumber} plate ({most:.2f} in.): a steel tie must bridge it.",
        "{key}: {kind} de {inches:g} pulg. quita más de la mitad de una solera de {lumber} ({most:.2f} pulg.): una placa de acero debe cruzarla.",
    ),
    "plate_cut_ok": (
        "{key}: a {kind} of {inches:g} in. in a {lumber} plate; over {most:.2f} in. a steel tie must bridge it.",
        "{key}: {kind} de {inches:g} pulg. en una solera de {lumber}; arriba de {most:.2f} pulg. una placa de acero debe cruzarla.",
    ),
    "plate_cut_fix": (
        "Fasten a galvanized tie of 16 gage, {width:g} in. wide, across the opening, or use a wider plate.",
        "Fije una placa galvanizada calibre 16, de {width:g} pulg. de ancho, sobre la abertura, o use una solera más ancha.",
    ),
    "clear_side": (
        "{key}: the centre stands {there:g} in. from the finished side wall or fixture; {least:g} is the least.",
        "{key}: el eje queda a {there:g} pulg. del muro o mueble lateral terminado; lo menos es {least:g}.",
    ),
    "clear_side_note": (
        "{key}: keep {least:g} in. from the centre to the finished wall or obstruction on each side.",
        "{key}: deje {least:g} pulg. del eje al muro terminado u obstáculo a cada lado.",
    ),
    "clear_side_fix": (
        "Move the centre to {least:g} in. or more from the finished face.",
        "Mueva el eje a {least:g} pulg. o más de la cara terminada.",
    ),
    "clear_front": (
        "{key}: {there:g} in. are clear in front; {least:g} is the least.",
        "{key}: hay {there:g} pulg. libres al frente; lo menos es {least:g}.",
    ),
    "clear_front_note": (
        "{key}: keep {least:g} in. clear in front.",
        "{key}: deje {least:g} pulg. libres al frente.",
    ),
    "clear_front_fix": (
        "Move it, or choose a shorter fixture.",
        "Muévalo, o elija un mueble más corto.",
    ),
    "shower_area": (
        "{key}: the floor of the shower is {there:g} sq in.; {least:g} is the least.",
        "{key}: el piso de la regadera mide {there:g} pulg. cuad.; lo menos es {least:g}.",
    ),
    "shower_area_note": (
        "{key}: a shower floor of {least:g} sq in. is the least.",
        "{key}: el piso de una regadera mide {least:g} pulg. cuad. como mínimo.",
    ),
    "shower_area_fix": ("Make the shower larger.", "Haga la regadera mayor."),
    "heater_space": (
        "{key}: keep a level work space of {least:g} by {least:g} in. in front.",
        "{key}: deje un espacio de trabajo de {least:g} por {least:g} pulg. al frente.",
    ),
    "heater_floor": (
        "{key}: in a garage its ignition source stands {least:g} in. above the floor.",
        "{key}: en una cochera su fuente de ignición queda a {least:g} pulg. sobre el piso.",
    ),
    "relief_end": (
        "{key}: the relief discharge ends {low:g} to {high:g} in. above the floor or receptor, full size, never plugged.",
        "{key}: la descarga de alivio termina de {low:g} a {high:g} pulg. sobre el piso o receptor, a su medida, nunca tapada.",
    ),
}
