"""Texts of the builder's page, feed and sheet, in English and Spanish."""

from phases.names import STATES
from tracker import words
from tracker.errors import Refused
from tracker.sites.models import Lot

# Refusals that only this area gives.
SENTENCES: dict[str, tuple[str, str]] = {
    "work_begun": (
        "Work has begun here, so this can no longer be changed. Call us.",
        "Aquí ya empezó el trabajo y esto no se puede cambiar. Llámenos.",
    ),
    "covered_already": (
        "This is covered already, so its date can no longer be changed. Call us.",
        "Esto ya está cubierto y su fecha no se puede cambiar. Llámenos.",
    ),
    "date_changed": (
        "Somebody changed this date since you opened the page. Look at it, then say "
        "it again.",
        "Alguien cambió esta fecha desde que abrió la página. Mírela y dígala otra "
        "vez.",
    ),
    "date_gone_by": (
        "This day has gone by. Say a day from today on.",
        "Ese día ya pasó. Diga uno desde hoy.",
    ),
    "date_too_far": (
        "This day is more than two years away. Say an earlier one.",
        "Ese día está a más de dos años. Diga uno anterior.",
    ),
    "date_unreadable": (
        "Say a day as year-month-day, such as 2026-03-09.",
        "Diga el día como año-mes-día, por ejemplo 2026-03-09.",
    ),
    "not_to_accept": (
        "This is not put right yet, so there is nothing to accept.",
        "Esto todavía no está corregido; no hay nada que aceptar.",
    ),
    "link_days": (
        "A link lives 1 to {most} days.",
        "Un enlace vive de 1 a {most} días.",
    ),
}

TEXTS: dict[str, str] = {
    # the street
    "House": "Casa",
    "Houses": "Casas",
    "Every street": "Todas las calles",
    "All houses": "Todas las casas",
    "No subdivision here has a house yet.": "Todavía no hay casas aquí.",
    "We wait for you": "Esperamos de usted",
    "Nothing": "Nada",
    "nothing": "nada",
    "Next date": "Próxima fecha",
    "none said": "sin fecha",
    "Last proof": "Última prueba",
    "no proof yet": "sin prueba todavía",
    "Inspections": "Inspecciones",
    "Likely passed by": "Aprobada probablemente para el",
    "called in for": "pedida para el",
    "Phase": "Fase",
    "since": "desde el",
    "due": "para el",
    "every phase passed": "todas las fases aprobadas",
    "Only houses that wait for you": "Solo las que esperan de usted",
    "Plan": "Plano",
    "As of": "Al",
    "Calendar": "Calendario",
    "One-page PDF": "PDF de una página",
    "Back to the street": "Volver a la calle",
    "Photo of": "Foto de",
    "crew": "cuadrilla",
    "Skip to the page": "Ir al contenido",
    "This link only reads. It stays good until": "Este enlace solo muestra. Vale hasta "
    "el",
    "Your own link. Keep it to yourself. It stays good until": "Su enlace propio. No "
    "lo comparta. Vale hasta el",
    "houses wait for you": "casas esperan de usted",
    "one house waits for you": "una casa espera de usted",
    "Nothing on this street waits for you.": "En esta calle nada espera de usted.",
    # what a date is of
    "visit": "trabajamos",
    "inspection": "inspección",
    "ready": "lista para nosotros",
    "cover": "se cubre",
    # what is waited for
    "Wait here": "Aquí esperamos",
    "Say when it will be ready": "Diga cuándo estará lista",
    "Say when it will be covered": "Diga cuándo se cubre",
    "Ready date has come: say that it is ready": "Llegó la fecha: confirme que está "
    "lista",
    "Do not cover yet: the gate is shut": "No cubra todavía",
    "Accept": "Aceptar",
    "correction to accept": "corrección por aceptar",
    "put right": "corregido",
    # dates and their forms
    "Ready date": "Fecha de preparación",
    "Cover date": "Fecha de cierre",
    "Confirm": "Confirmar",
    "Move": "Mover",
    "Say": "Decir",
    "It is there": "Ya está",
    "Not there after all": "Todavía no",
    "said": "confirmado",
    "not said": "sin confirmar",
    "What must be ready": "Lo que debe estar listo",
    "owed by": "lo debe:",
    "builder": "constructor",
    "us": "nosotros",
    "city": "la ciudad",
    "utility": "servicios",
    "It is done, go on": "Ya está, sigan",
    "The office is asked first: it moves a published job. You said": "Se pregunta "
    "primero a la oficina: mueve un trabajo programado. Usted dijo",
    "The office did not take your date": "La oficina no tomó su fecha",
    "The office took your date": "La oficina tomó su fecha",
    # notices after an act
    "Your date counts from now on.": "Su fecha vale desde ahora.",
    "Your date is with the office: it moves a published job.": "Su fecha está con la "
    "oficina: mueve un trabajo programado.",
    "Written down. Thank you.": "Anotado. Gracias.",
    # no such page
    "There is no such page": "Esta página no existe",
    "The address is wrong, or its link has ended. Ask the plumbing contractor's office "
    "for a new link.": "La dirección está mal o el enlace terminó. Pida otro a la "
    "oficina del plomero.",
    "Too many tries. Wait some minutes.": "Demasiados intentos. Espere unos minutos.",
    # results of inspections
    "not ready": "no estaba lista",
    "no access": "sin acceso",
    "not on test": "sin prueba puesta",
    "cancelled": "cancelada",
    # the office's page
    "Builder links": "Enlaces de constructores",
    "New link": "Enlace nuevo",
    "Make the link": "Crear el enlace",
    "Builder": "Constructor",
    "Subdivision": "Fraccionamiento",
    "Superintendent": "Superintendente",
    "every subdivision": "todos los fraccionamientos",
    "nobody: shared, only reads": "nadie: compartido, solo muestra",
    "Good for days": "Días que vale",
    "Note": "Nota",
    "For": "Para",
    "Sees": "Ve",
    "Made": "Creado",
    "Good until": "Vale hasta",
    "Last used": "Último uso",
    "never": "nunca",
    "Revoke": "Anular",
    "revoked": "anulado",
    "ended": "vencido",
    "shared, only reads": "compartido, solo muestra",
    "personal": "personal",
    "No link has been made yet.": "Todavía no hay enlaces.",
    "This address is shown once. Copy it now, or let him scan it.": "Esta dirección se "
    "muestra una vez. Cópiela ahora o deje que la escanee.",
    "Drawing of the address, to scan": "Dibujo de la dirección, para escanear",
    "The link is revoked. Its address answers nobody from now on.": "El enlace está "
    "anulado. Su dirección ya no responde a nadie.",
    "Dates that builders moved": "Fechas que movieron los constructores",
    "moves": "mueve",
    "planned for": "programado para el",
    "was": "era",
    "unknown": "desconocida",
    "Decline": "No aceptar",
    "Why not": "Por qué no",
    "The date counts from now on. Look at the plan.": "La fecha vale desde ahora. "
    "Revise el programa.",
    "Declined. The superintendent reads your reason.": "No aceptada. El "
    "superintendente leerá su razón.",
}


def text(english: str, language: str) -> str:
    """The text in the reader's language; one without Spanish is shown as it is."""
    return TEXTS.get(english, english) if language == "es" else english


def plain(code: str, language: str) -> str:
    """A code such as `partly_passed` as words."""
    if pair := STATES.get(code):
        return pair[1 if language == "es" else 0]
    return text(code.replace("_", " "), language)


def lot_name(lot: Lot, language: str) -> str:
    """`Lot 18A, Block 6` in the reader's language."""
    return lot.in_language(language)


def say(refused: Refused, language: str) -> str:
    """The reason of a refusal as a sentence."""
    pair = SENTENCES.get(refused.code)
    if pair is None:
        return words.say(refused.reason, language)
    return pair[1 if language == "es" else 0].format(**refused.reason)
