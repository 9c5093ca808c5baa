"""Sentences about water and gas."""

# ruff: noqa: E501 (a sentence stands whole)

WORDS = {
    "supply_table": (
        "{key} carries {units:g} supply units; {size} in. on a {service} in. service takes {most:g} at {group} psi and {length:.0f} ft.",
        "{key} lleva {units:g} unidades de agua; {size} pulg. con toma de {service} pulg. admite {most:g} a {group} psi y {length:.0f} pies.",
    ),
    "larger_service": ("Use a larger service.", "Use una toma mayor."),
    "residual": (
        "{left:.1f} psi are left at {key}, the worst fixture, of {static:g} psi static; it needs {need:g} (Hazen-Williams, real bores).",
        "Quedan {left:.1f} psi en {key}, el mueble más desfavorable, de {static:g} psi estáticos; necesita {need:g} (Hazen-Williams, diámetros reales).",
    ),
    "residual_fix": (
        "Larger main and branch on that way, a larger meter, or a booster.",
        "Tubo principal y ramal mayores en ese camino, medidor mayor, o una bomba.",
    ),
    "velocity": (
        "{gpm:.1f} gpm run at {speed:.1f} ft/s in {key}, {size} in.; {most:g} is the usual most.",
        "{gpm:.1f} gpm corren a {speed:.1f} pies/s en {key}, {size} pulg.; lo usual es {most:g} como máximo.",
    ),
    "velocity_fastest": (
        "The fastest of the pipes whose limit no source here states: {gpm:.1f} gpm at {speed:.1f} ft/s in {key}, {size} in.; {most:g} is the usual most, its maker's figure rules.",
        "El más rápido de los tubos cuyo límite no da ninguna fuente de aquí: {gpm:.1f} gpm a {speed:.1f} pies/s en {key}, {size} pulg.; lo usual es {most:g}, manda el dato del fabricante.",
    ),
    "one_larger": ("Make {key} one size larger.", "Haga {key} una medida mayor."),
    "manifold": (
        "The manifold {key}, {size} in., feeds {gpm:.1f} gpm; {most:g} gpm is the most at 8 ft/s, which is for parallel runs only.",
        "El distribuidor {key}, de {size} pulg., alimenta {gpm:.1f} gpm; lo más es {most:g} gpm a 8 pies/s, y solo para líneas paralelas.",
    ),
    "manifold_fix": (
        "Use a larger manifold, or two.",
        "Use un distribuidor mayor, o dos.",
    ),
    "manifold_run": (
        "{key} is a {size} in. run of its own from a manifold; {least} in. is the least.",
        "{key} es una línea propia de {size} pulg. de un distribuidor; lo menos es {least} pulg.",
    ),
    "service_size": (
        "The service is {size} in.; {least} in. is the least.",
        "La toma es de {size} pulg.; lo menos es {least} pulg.",
    ),
    "make_it_only": ("Make it {size} in.", "Hágala de {size} pulg."),
    "run_size": (
        "{key} is {size} in.; {least} in. is the least.",
        "{key} es de {size} pulg.; lo menos es {least} pulg.",
    ),
    "regulator_there": (
        "{psi:g} psi static is above {most:g}: a regulator is drawn.",
        "{psi:g} psi estáticos pasan de {most:g}: hay regulador.",
    ),
    "regulator_missing": (
        "{psi:g} psi static is above {most:g}: a regulator is missing.",
        "{psi:g} psi estáticos pasan de {most:g}: falta el regulador.",
    ),
    "regulator_fix": (
        "Set a pressure regulator, and care for thermal expansion.",
        "Ponga un regulador de presión y prevea la expansión térmica.",
    ),
    "height": (
        "The highest outlet is {feet:g} ft above the meter.",
        "La salida más alta está a {feet:g} pies sobre el medidor.",
    ),
    "wait": (
        "{gallons:.2f} gal stand before {key}: about {seconds:.0f} s at {gpm:g} gpm, often half as much again in the house.",
        "Hay {gallons:.2f} gal antes de {key}: unos {seconds:.0f} s a {gpm:g} gpm, y a menudo la mitad más en la casa.",
    ),
    "plastic_gas": (
        "{key} is polyethylene up to the appliance; it lies outdoors underground only.",
        "{key} es de polietileno hasta el aparato; solo va enterrado en el exterior.",
    ),
    "plastic_gas_fix": (
        "Change to metal pipe with a riser before it leaves the ground.",
        "Cambie a tubo metálico con subida antes de salir de la tierra.",
    ),
    "gas_make": ("Make {key} {size} in.", "Haga {key} de {size} pulg."),
    "gas_second_line": (
        "Run a second line, or ask for 2 psi with a line regulator.",
        "Ponga otra línea, o pida 2 psi con regulador de línea.",
    ),
    "gas_by_branch": (
        "Size by the branch-length method if only this branch is long.",
        "Dimensione por longitud de ramal si solo este ramal es largo.",
    ),
    "gas_between": (
        "The equation gives {cfh:.0f} cfh at {length:g} ft, between two rows: ask whether the authority takes it.",
        "La ecuación da {cfh:.0f} cfh a {length:g} pies, entre dos renglones: pregunte si la autoridad la acepta.",
    ),
    "gas_size": (
        "{key} carries {cfh:g} cfh; {size} in. takes {most:g} in the {row:g} ft row of table {table} (length {length:g} ft).",
        "{key} lleva {cfh:g} cfh; {size} pulg. admite {most:g} en el renglón de {row:g} pies de la tabla {table} (longitud {length:g} pies).",
    ),
    "gas_shutoff": (
        "{key} needs a shutoff in the same room within 6 ft.",
        "{key} necesita llave de paso en el mismo cuarto a no más de 6 pies.",
    ),
    "gas_shutoff_trap": (
        "{key} needs a shutoff in the same room within 6 ft and a sediment trap downstream of it.",
        "{key} necesita llave de paso en el mismo cuarto a no más de 6 pies y trampa de sedimentos después de ella.",
    ),
}
