"""Sentences about inspections, tests and notices, in English and Spanish."""

SENTENCES: dict[str, tuple[str, str]] = {
    # before calling in
    "work_not_done": (
        "work not said done: {phase}",
        "falta decir que terminó: {phase}",
    ),
    "test_again": ("test again ({system}): {why}", "probar otra vez ({system}): {why}"),
    "test_down": (
        "test taken down ({system}): {by}",
        "prueba quitada ({system}): {by}",
    ),
    "test_failed": (
        "the test does not meet the code ({system}): read it again or do it again",
        "la prueba no cumple el código ({system}): léala o hágala otra vez",
    ),
    "test_lost": ("it lost pressure", "perdió presión"),
    "test_disturbed": ("it was disturbed", "la movieron"),
    "office_fee_due": (
        "a fee is due and the office takes no request before it is paid",
        "hay un cargo sin pagar y la oficina no recibe pedidos antes",
    ),
    "office_permit_expired": (
        "the permit expired on {date}",
        "el permiso venció el {date}",
    ),
    "office_hold": (
        "the office has a hold on this permit",
        "la oficina detuvo este permiso",
    ),
    "office_who": ("only {who} may ask", "solo puede pedir: {who}"),
    "too_far_ahead": (
        "the office does not book that far ahead: ask from {date} on",
        "la oficina no agenda tan lejos: pida desde el {date}",
    ),
    "must_ride": (
        "The office sees these on one visit only: ask for {kinds} with it.",
        "La oficina los ve en una sola visita: pida también {kinds}.",
    ),
    "ride_waits": (
        "it rides with what is not ready: {kinds}",
        "va junto con lo que no está listo: {kinds}",
    ),
    "date_past": ("{date} is past.", "El {date} ya pasó."),
    "ready_later": (
        "The work is not ready before {date}.",
        "El trabajo no está listo antes del {date}.",
    ),
    "date_not_given": (
        "The office's rules do not give that day ({why}); the first is {date}. If the "
        "office gave it, note the confirmation number or what it said.",
        "Las reglas de la oficina no dan ese día ({why}); el primero es {date}. Si la "
        "oficina lo dio, anote el número de confirmación o lo que dijo.",
    ),
    "day_weekday": ("no inspections on that weekday", "ese día no inspeccionan"),
    "day_holiday": ("a holiday", "día festivo"),
    "day_closed": ("the office is closed", "la oficina cierra"),
    "day_closed_monthly": (
        "the office is closed that day",
        "la oficina cierra ese día",
    ),
    "day_full": ("our inspections of that day are used up", "ya no hay lugar ese día"),
    "day_too_soon": ("asked too late for it", "se pidió tarde para ese día"),
    "ask_by_phone": (
        "ask the office by phone: it does not publish {what}",
        "pregunte por teléfono: la oficina no publica {what}",
    ),
    "unknown_lead": ("how soon it comes", "en cuánto tiempo viene"),
    "unknown_cutoff": ("its cut-off", "su hora límite"),
    "unknown_inspection_weekdays": (
        "its inspection days",
        "sus días de inspección",
    ),
    "unknown_request_weekdays": (
        "the days on which it takes requests",
        "los días en que recibe pedidos",
    ),
    "unknown_hours": ("its hours", "su horario"),
    # tests on the pipe
    "system_drain": ("drain", "drenaje"),
    "system_sewer": ("sewer", "drenaje exterior"),
    "system_pan": ("shower pan", "base de regadera"),
    "system_water": ("water", "agua"),
    "system_gas": ("gas", "gas"),
    "bad_reading": (
        "This reading cannot be: {why}. Read it again.",
        "Esta lectura no puede ser: {why}. Léala otra vez.",
    ),
    "test_refused": (
        "This test may not be made: {why}{source}. {caution}",
        "Esta prueba no se permite: {why}{source}. {caution}",
    ),
    # notices
    "propose": (
        "call in {kinds}: ready for {date}",
        "pida {kinds}: listo para el {date}",
    ),
    "propose_planned": (
        "{kinds} can be held from {date}, when the planned work is done",
        "{kinds} puede ser desde el {date}, cuando termine lo planeado",
    ),
    "reinspect": (
        "put right: call in {kinds} again for {date}{rule}",
        "corregido: pida {kinds} otra vez para el {date}{rule}",
    ),
    "call_in_by": (
        "call in {kinds} by {by}, for the cover on {cover}",
        "pida {kinds} antes de {by}, por el cierre del {cover}",
    ),
    "call_in_by_not_ready": (
        "{kinds} must be called in by {by} for the cover on {cover}, and is not "
        "ready: {missing}",
        "{kinds} debe pedirse antes de {by} por el cierre del {cover}, y no está "
        "listo: {missing}",
    ),
    "again_rule": ("; {said}", "; {said}"),
    "fee_of_visit": (
        "fee of the last visit {amount} USD, to be paid by: {pays}{first}",
        "cargo de la última visita {amount} USD, paga: {pays}{first}",
    ),
    "fee_rule": ("visit {visit}, {what}{penalty}", "visita {visit}, {what}{penalty}"),
    "fee_late": ("cancelling ended on {by}", "se podía cancelar hasta {by}"),
    "result_passed": ("passed", "aprobada"),
    "result_partly_passed": ("partly passed", "aprobada en parte"),
    "result_failed": ("failed", "reprobada"),
    "result_not_ready": ("not ready", "no estaba lista"),
    "result_no_access": ("no access", "sin acceso"),
    "result_not_on_test": ("not on test", "sin prueba"),
    "pays_us": ("us", "nosotros"),
    "pays_builder": ("builder", "constructor"),
    "pays_another_trade": ("another trade", "otro oficio"),
    "fee_paid": (
        "fee of the last visit {amount} USD is paid{first}",
        "el cargo de la última visita, {amount} USD, está pagado{first}",
    ),
    "fee_first": (
        ", before any further inspection",
        ", antes de otra inspección",
    ),
    "visits_left": (
        "visits left before {penalty}: {count}",
        "visitas que quedan antes de {penalty}: {count}",
    ),
    "no_result": (
        "no result yet of {kinds} asked for {date}",
        "sin resultado de {kinds} pedida para el {date}",
    ),
    "not_on_test": (
        "{kinds} comes on {date} and no good test is up: {systems}",
        "{kinds} viene el {date} y no hay prueba buena puesta: {systems}",
    ),
    "permit_ends": (
        "the permit {number} expires on {date}",
        "el permiso {number} vence el {date}",
    ),
    "cover_too_early": (
        "cover on {cover}, and the first inspection that can be had is {first}. "
        "Options: {options}",
        "cierre el {cover}, y la primera inspección posible es {first}. "
        "Opciones: {options}",
    ),
    "option_call": (
        "call in by {by} for {date}",
        "pida antes de {by} para el {date}",
    ),
    "option_ask_cover": (
        "ask the builder to cover on {date} or later",
        "pida al constructor cerrar el {date} o después",
    ),
    "option_partial": (
        "ask the office for a partial inspection of what is done",
        "pida a la oficina una inspección parcial de lo terminado",
    ),
    "option_phone": (
        "ask the office by phone for an earlier day",
        "pida a la oficina por teléfono un día antes",
    ),
    "frost": (
        "frost is forecast ({low} F on {date}) and water is on test: drain it or keep "
        "it warm",
        "se espera helada ({low} F el {date}) y hay agua en prueba: vacíe o mantenga "
        "caliente",
    ),
    "holidays_missing": (
        "the closed days of {year} are not entered for {office}: ask for them",
        "faltan los días cerrados de {year} de {office}: pídalos",
    ),
}
