"""Texts of people, phones, inspections of all lots."""

WORDS = {
    "New member": "Nueva persona",
    "New crew": "Nueva cuadrilla",
    "Role": "Puesto",
    "Phone number": "Teléfono",
    "Email": "Correo",
    "License number": "Número de licencia",
    "May sign in": "Puede entrar",
    "may not sign in": "no puede entrar",
    "New password": "Nueva contraseña",
    "Empty: as it is. Who only uses a phone needs none.": (
        "Vacío: como está. Quien solo usa un teléfono no la necesita."
    ),
    "Phases it is qualified for": "Fases que sabe hacer",
    "Speed (1 is usual)": "Rapidez (1 es lo normal)",
    "Usual street": "Calle usual",
    "Without a crew": "Sin cuadrilla",
    "Nobody goes with this crew.": "Nadie va con esta cuadrilla.",
    "Only the owner changes owner and office.": (
        "Solo el dueño cambia al dueño y a la oficina."
    ),
    "Phones": "Teléfonos",
    "Phone": "Teléfono",
    "Let a phone in": "Dejar entrar un teléfono",
    "Let in": "Entró",
    "Last seen": "Visto por última vez",
    "Clock": "Reloj",
    "{count} entries were still on it": "{count} datos seguían en él",
    "{seconds} s off": "{seconds} s de diferencia",
    "shut out": "bloqueado",
    "Shut out": "Bloquear",
    "What a phone still sends after it was shut out is kept for you to look at, "
    "and not applied.": (
        "Lo que un teléfono mande después de bloquearlo se guarda para revisarlo y no "
        "se aplica."
    ),
    "No phone was let in yet.": "Todavía no entra ningún teléfono.",
    "Refused on the way in": "Rechazado al llegar",
    "Entries of phones that a rule refused. Nothing of them is lost; settle each when "
    "it is dealt with.": (
        "Entradas de teléfonos que una regla rechazó. Nada se pierde; resuelva cada "
        "una cuando esté atendida."
    ),
    "Settle": "Resolver",
    "Point the phone's camera at this code. It lets one phone in, once, within two "
    "days.": (
        "Apunte la cámara del teléfono a este código. Deja entrar un teléfono, una "
        "vez, en dos días."
    ),
    "This address is not secure (no https). The page opens, but it cannot work "
    "without signal on another device than this one.": (
        "Esta dirección no es segura (sin https). La página abre, pero no puede "
        "trabajar sin señal en otro aparato que este."
    ),
    "The server did not answer. Try again.": (
        "El servidor no contestó. Intente otra vez."
    ),
    # inspections of all lots
    "To call in": "Por pedir",
    "Called in": "Pedida",
    "result missing": "falta el resultado",
    "Results of two weeks": "Resultados de dos semanas",
    # settings record
    "made": "creado",
    "taken away": "quitado",
    "saved unchanged": "guardado sin cambio",
    "Builder links": "Enlaces de constructores",
}
