"""What binds a job, what would help, what the judge says: in English and Spanish.

Parts of one sentence begin small; `tracker.desk.ahead.reasons` puts them together.
"""

REASONS: dict[str, tuple[str, str]] = {
    "days_one": ("1 day", "1 día"),
    "days_many": ("{count} days", "{count} días"),
    # heads
    "why_late": (
        "{lot}, {phase} passes {day}, {late} late",
        "{lot}, {phase} pasa el {day}, {late} de atraso",
    ),
    "why_moved": (
        "{lot}, {phase} was told {was} and is now {now}",
        "{lot}, {phase} se avisó para {was} y ahora es {now}",
    ),
    "why_passes": ("{lot}, {phase} passes {day}", "{lot}, {phase} pasa el {day}"),
    "why_soonest": (
        "Even with every crew free it could not pass before {day}.",
        "Ni con todas las cuadrillas libres pasaría antes del {day}.",
    ),
    # what binds
    "why_ready": (
        "the builder's part is due {day}",
        "la parte del constructor se espera el {day}",
    ),
    "why_ready_parts": (
        "{parts}: due {day}",
        "{parts}: se espera el {day}",
    ),
    "why_gate": (
        "{phase} must have passed, so it can start {day}",
        "antes debe pasar {phase}, así que puede empezar el {day}",
    ),
    "why_gate_wait": (
        "{phase} must have passed and the builder needs {wait} after it, so it can "
        "start {day}",
        "antes debe pasar {phase} y el constructor necesita {wait} después, así que "
        "puede empezar el {day}",
    ),
    "why_pin": ("it is pinned to {who} on {day}", "está fijado a {who} el {day}"),
    "why_begun": ("{who} has begun it", "{who} ya lo empezó"),
    "why_promised": ("the crew was told {day}", "a la cuadrilla se le dijo el {day}"),
    "why_crew_busy": (
        "{who} is booked solid from {day} to {until}",
        "{who} tiene todo ocupado del {day} al {until}",
    ),
    "why_crew_on": (
        "{who} is on {lot}, {phase} until {until}",
        "{who} está en {lot}, {phase} hasta el {until}",
    ),
    "why_next_crew": (
        "the next other crew, {who}, is free {day}",
        "la siguiente cuadrilla, {who}, queda libre el {day}",
    ),
    "why_crew_off": ("{who} is off {days}", "{who} no trabaja el {days}"),
    "why_rain": ("rain stops the work {days}", "la lluvia para el trabajo el {days}"),
    "why_drive": ("{who} comes from {lot}", "{who} viene de {lot}"),
    "why_cutoff": (
        "the work ends {day}, after the cut-off",
        "el trabajo acaba el {day}, después de la hora límite",
    ),
    "office_lead": ("wants {number} notice", "pide {number} de aviso"),
    "office_visit_weekday": ("inspects {weekdays}", "inspecciona {weekdays}"),
    "office_closed": ("gives no visit on {days}", "no da visita el {days}"),
    "office_slot_full": ("is full on {days}", "está llena el {days}"),
    # what would help
    "help_one_more_crew": (
        "One more crew for {phase}",
        "Una cuadrilla más para {phase}",
    ),
    "help_day_off_worked": ("{crew} works on {day}", "{crew} trabaja el {day}"),
    "help_overtime_day": (
        "A day of overtime on {lot}, {phase}",
        "Un día de horas extra en {lot}, {phase}",
    ),
    "help_no_pin": (
        "Without the pin of {lot}, {phase} on {crew}, {day}",
        "Sin la fijación de {lot}, {phase} en {crew}, {day}",
    ),
    "help_no_pins": ("Without any pins", "Sin ninguna fijación"),
    "help_builder_sooner": (
        "The builder is a day sooner at {lot}",
        "El constructor termina un día antes en {lot}",
    ),
    "help_one_more_slot": (
        "{office} takes one inspection a day more",
        "{office} hace una inspección más al día",
    ),
    "help_every_weekday": (
        "{office} inspects every working day",
        "{office} inspecciona todos los días hábiles",
    ),
    # what the judge says of a plan or a move
    "breach_not_qualified": (
        "{crew} is not qualified for this phase.",
        "{crew} no está calificada para esta fase.",
    ),
    "breach_unknown_crew": (
        "There is no such crew any more.",
        "Esa cuadrilla ya no existe.",
    ),
    "breach_crew_not_free": (
        "{crew} is not free yet then.",
        "{crew} todavía no está libre.",
    ),
    "breach_not_begun": (
        "It was to begin before today and has not.",
        "Debía empezar antes de hoy y no ha empezado.",
    ),
    "breach_day_off": ("{crew} is off on {day}.", "{crew} no trabaja el {day}."),
    "breach_rain": (
        "Rain stops this work on {day}.",
        "La lluvia para este trabajo el {day}.",
    ),
    "breach_overlap": (
        "{crew} is on another lot until {until}.",
        "{crew} está en otro lote hasta el {until}.",
    ),
    "breach_no_time_to_drive": (
        "{crew} has no time to drive there.",
        "{crew} no tiene tiempo para el viaje.",
    ),
    "breach_before_ready": (
        "The lot is not ready before {day}.",
        "El lote no está listo antes del {day}.",
    ),
    "breach_before_gate": (
        "The phase before must pass first: {before} opens it on {day}.",
        "Antes debe pasar la fase anterior: {before} lo abre el {day}.",
    ),
    "breach_no_inspector": (
        "{office} gives no inspection on {day}.",
        "{office} no da inspección el {day}.",
    ),
    "breach_inspected_too_early": (
        "Its inspection cannot be before {day}.",
        "Su inspección no puede ser antes del {day}.",
    ),
    "breach_over_cap": (
        "{office} is full on {day}.",
        "{office} está llena el {day}.",
    ),
    "breach_pin_crew": ("It is pinned to {crew}.", "Está fijado a {crew}."),
    "breach_pin_day": ("It is pinned to {day}.", "Está fijado al {day}."),
    # why an office's own rules do not give a planned day
    "exact_full": ("the day is full", "el día está lleno"),
    "exact_call_by": (
        "it must be called in by {at}",
        "hay que pedirla antes del {at}",
    ),
    "exact_waits": (
        "kinds that wait for each other",
        "inspecciones que se esperan una a otra",
    ),
    "exact_last_later": (
        "the last of its visits comes later",
        "la última de sus visitas llega más tarde",
    ),
    # what could not be planned, or was assumed
    "note_no_slot": (
        "The planner knows four phases a lot; this one is not among them.",
        "El planificador conoce cuatro fases por lote; esta no está entre ellas.",
    ),
    "note_out_of_order": (
        "Later work is done although this was never said done.",
        "Hay trabajo posterior hecho aunque este nunca se dio por hecho.",
    ),
    "note_no_date": (
        "Nobody has said when it is ready.",
        "Nadie ha dicho cuándo está listo.",
    ),
    "note_no_plan": (
        "No plan is chosen for the lot.",
        "El lote no tiene plano elegido.",
    ),
    "note_no_office": (
        "Nobody has said which office inspects here: what comes after waits.",
        "Nadie ha dicho qué oficina inspecciona aquí: lo que sigue espera.",
    ),
    "note_held": (
        "On hold; taken to last some days more.",
        "En espera; se supone que dura unos días más.",
    ),
    "note_unsaid": (
        "The forecast has come, but nobody has said it is ready.",
        "La fecha prevista llegó, pero nadie ha dicho que está listo.",
    ),
    "note_guessed": (
        "Nobody has said when; guessed from how long builders took before.",
        "Nadie ha dicho cuándo; se calcula por lo que tardaron antes.",
    ),
    # the same of one lot: what it waits for
    "waits_no_date": (
        "{phase} waits for a date: nobody has said when these come: {parts}",
        "{phase} espera una fecha: nadie ha dicho cuándo llega esto: {parts}",
    ),
    "waits_no_date_bare": (
        "{phase} waits for somebody to say when it is ready",
        "{phase} espera que alguien diga cuándo está listo",
    ),
    "waits_no_plan": (
        "{phase} waits for the plan of the house to be chosen",
        "{phase} espera que se elija el plano de la casa",
    ),
    "waits_no_office": (
        "what comes after {phase} waits for the office that inspects it",
        "lo que sigue a {phase} espera saber qué oficina lo inspecciona",
    ),
    "waits_no_crew": (
        "{phase} waits for a crew that is qualified for it",
        "{phase} espera una cuadrilla calificada",
    ),
    "waits_held": (
        "{phase} is on hold, taken to last {count} more",
        "{phase} está en espera; se supone que dura {count} más",
    ),
    "waits_unsaid": (
        "{phase} was forecast for {forecast}; still to be said: {parts}",
        "{phase} estaba previsto para el {forecast}; falta confirmar: {parts}",
    ),
    "waits_guessed": (
        "{phase} is taken to be ready {day}; still to be said: {parts}",
        "{phase} se supone listo el {day}; falta confirmar: {parts}",
    ),
    "waits_guessed_bare": (
        "{phase} is taken to be ready {day}",
        "{phase} se supone listo el {day}",
    ),
    "waits_behind": (
        "{said}; behind it: {behind}",
        "{said}; detrás: {behind}",
    ),
    "note_no_crew": ("No crew is qualified.", "Ninguna cuadrilla está calificada."),
    "note_pin_past": (
        "Its pin lies in the past and binds nobody.",
        "Su fijación está en el pasado y no obliga a nadie.",
    ),
}
