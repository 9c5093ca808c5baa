"""Sentences about plans, in English and Spanish."""

from tracker.words_past import PAST
from tracker.words_pins import PINS
from tracker.words_reasons import REASONS

SENTENCES: dict[str, tuple[str, str]] = {
    "plan_no_draft": (
        "This plan is no draft any more. Begin a new one.",
        "Este plan ya no es un borrador. Empiece otro.",
    ),
    "plan_empty": (
        "This draft has not been planned yet. Plan it first.",
        "Este borrador todavía no se ha planeado. Planéelo primero.",
    ),
    "plan_unreadable": (
        "The jobs of this draft cannot be read. Plan it again.",
        "Los trabajos de este borrador no se pueden leer. Planéelo otra vez.",
    ),
    "plan_changed": (
        "{who} changed this draft since you loaded it. Nothing of yours was written; "
        "look at it and do it again.",
        "{who} cambió este borrador después de que usted lo abrió. No se guardó nada "
        "suyo; mírelo y hágalo otra vez.",
    ),
    "plan_overtaken": (
        "{who} published plan {number} after this draft was begun. Nothing was "
        "overwritten: see what changed, then plan again from there.",
        "{who} publicó el plan {number} después de empezar este borrador. No se "
        "sobrescribió nada: vea qué cambió y planee otra vez desde ahí.",
    ),
    "plan_what_if": (
        "This what-if is not so yet. Make it true first (a crew, a date said, an "
        "office asked), then publish.",
        "Esta suposición todavía no es cierta. Hágala realidad primero (una cuadrilla, "
        "una fecha confirmada, una oficina que acepta) y luego publique.",
    ),
    "plan_holds_no_more": (
        "Since this draft was made something has changed: lot {lot}, {phase} cannot be "
        "as it says. Plan it again.",
        "Desde que se hizo este borrador algo cambió: el lote {lot}, {phase} no puede "
        "ser como dice. Planéelo otra vez.",
    ),
    "what_if_gone": (
        "That cannot be tried any more: what it speaks of is no longer so.",
        "Eso ya no se puede probar: lo que supone ya no existe.",
    ),
    "helper_is_own": (
        "This crew does the work itself. Choose another one to help.",
        "Esta cuadrilla ya hace el trabajo. Elija otra para ayudar.",
    ),
    "helper_is_lent": (
        "This crew is lent there for that day already.",
        "Esta cuadrilla ya está prestada ahí ese día.",
    ),
    "helper_too_late": (
        "The work is done: nobody can help any more.",
        "El trabajo está hecho: ya no hace falta ayuda.",
    ),
    "pin_cannot_hold": (
        "Such a pin cannot hold. {why}",
        "Así no se puede fijar. {why}",
    ),
    "run_stopped": (
        "the worker stopped; the plan is as it was",
        "el proceso se detuvo; el plan queda como estaba",
    ),
    "run_unusable": (
        "the planner cannot use what it was given; the plan is as it was",
        "el planificador no puede usar los datos; el plan queda como estaba",
    ),
    "run_pins": (
        "not every pin can be kept; the plan is as it was",
        "no se pueden cumplir todas las fijaciones; el plan queda como estaba",
    ),
    "run_broke": (
        "an error stopped the planner; the plan is as it was",
        "un error detuvo al planificador; el plan queda como estaba",
    ),
    "plan_breaks_rules": (
        "The plan breaks rules: {count}. Plan it again.",
        "El plan rompe reglas: {count}. Planéelo otra vez.",
    ),
    "plan_old": (
        "This draft was made on {date}. Plan it again from today.",
        "Este borrador es del {date}. Planéelo otra vez desde hoy.",
    ),
    "plan_against_office": (
        "{office} does not give {date} to lot {lot}, {phase}: {why}. Plan it again.",
        "{office} no da el {date} al lote {lot}, {phase}: {why}. Planéelo otra vez.",
    ),
    "plan_running": (
        "The planner is working on this draft already.",
        "El planificador ya trabaja en este borrador.",
    ),
    "plan_no_job": (
        "There is no such job, crew or half-day in this draft.",
        "No existe ese trabajo, cuadrilla o media jornada en este borrador.",
    ),
    "rain_no_day": ("Say which day it rains.", "Diga qué día llueve."),
    "off_no_day": (
        "Say which working day the crew is off.",
        "Diga qué día hábil no trabaja la cuadrilla.",
    ),
    "rain_columns": (
        "The forecast file needs the columns date and inches.",
        "El archivo necesita las columnas date e inches.",
    ),
    "rain_line": (
        "Line {line} of the forecast cannot be read: write date as 2026-03-04 and "
        "inches as a number.",
        "La línea {line} del pronóstico no se entiende: ponga la fecha como "
        "2026-03-04 y las pulgadas como número.",
    ),
    **PAST,
    **PINS,
    **REASONS,
}
