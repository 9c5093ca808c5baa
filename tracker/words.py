"""Every sentence that a rule answers with, in English and Spanish.

A reason is {"code": ..., other fields}; `say` fills the sentence. Lists are joined,
codes of phases, parts and inspections are shown by the names the caller hands in.
"""

from collections.abc import Mapping
from typing import Any

from tracker.words_inspections import SENTENCES as INSPECTIONS
from tracker.words_outlines import SENTENCES as OUTLINES
from tracker.words_pipe import SENTENCES as PIPE
from tracker.words_planning import SENTENCES as PLANNING

SENTENCES: dict[str, tuple[str, str]] = {
    # work
    "ready": ("everything said ready", "todo confirmado listo"),
    "planned": ("on the published plan", "en el plan publicado"),
    "started": ("work has started", "el trabajo comenzó"),
    "all_proven": ("every item is proven", "todo está comprobado"),
    "no_list": (
        "not proven: no list, the lot has no plan with fixtures",
        "sin comprobar: no hay lista, el lote no tiene plano con muebles",
    ),
    "no_parts": (
        "nobody has listed what must be ready",
        "nadie ha listado lo que debe estar listo",
    ),
    "parts_unsaid": ("nobody has said ready: {parts}", "falta confirmar: {parts}"),
    "previous_open": (
        "the phase before has not passed",
        "la fase anterior no ha pasado",
    ),
    "items_unproven": (
        "items still unproven: {count}",
        "puntos sin comprobar: {count}",
    ),
    "corrections_open": ("corrections open: {count}", "correcciones abiertas: {count}"),
    # inspection
    "no_kinds": (
        "not proven: no list, nobody has said which inspections this lot needs",
        "sin comprobar: no hay lista de inspecciones para este lote",
    ),
    "none_needed": ("no inspection is needed", "no necesita inspección"),
    "passed": ("passed", "aprobada"),
    "kinds_failed": ("did not pass: {kinds}", "no pasó: {kinds}"),
    "kinds_called": ("called in: {kinds}", "pedida: {kinds}"),
    "kinds_open": ("still to pass: {kinds}", "falta pasar: {kinds}"),
    # cover
    "concealed_unproven": (
        "in-wall items unproven: {count}",
        "puntos ocultos sin comprobar: {count}",
    ),
    "not_passed": ("inspection not passed", "inspección sin aprobar"),
    "nothing_covers": ("nothing covers this phase", "nada cubre esta fase"),
    "no_cover_date": ("no cover date said", "sin fecha de cierre"),
    "cover_later": ("cover date still ahead", "la fecha de cierre no ha llegado"),
    "gate_open": ("the cover gate is open", "se puede cubrir"),
    "gate_shut": ("the cover gate is shut", "no se puede cubrir"),
    "cover_passed_gate_shut": (
        "the cover date has passed and the gate is shut",
        "la fecha de cierre pasó y no se puede cubrir",
    ),
    "override": ("covered on the owner's word", "cubierto por orden del dueño"),
    "proven_after_cover": (
        "a proof or pass is dated after the cover",
        "una prueba o aprobación es posterior al cierre",
    ),
    # refusals
    "not_yours": (
        "Your role may not do this. Ask the office.",
        "Su puesto no puede hacer esto. Pregunte a la oficina.",
    ),
    "owner_only": (
        "Only the owner may do this, with a reason.",
        "Solo el dueño puede hacer esto, con una razón.",
    ),
    "reason_needed": ("Say why.", "Diga por qué."),
    "own_walk": (
        "Nobody walks his own work. Ask another lead.",
        "Nadie revisa su propio trabajo. Pida a otro encargado.",
    ),
    "unknown_kind": ("Unknown kind: {value}.", "Tipo desconocido: {value}."),
    "bad_value": ("{field}: {value} cannot be used.", "{field}: {value} no sirve."),
    "value_needed": (
        "Give a number in inches and sixteenths.",
        "Ponga un número en pulgadas y dieciseisavos.",
    ),
    "off_needs_reason": (
        "Out of tolerance by {off}. Give a reason or send a correction.",
        "Fuera de tolerancia por {off}. Dé una razón o mande una corrección.",
    ),
    "item_removed": (
        "The office took this item off the list. Your answer is kept for review.",
        "La oficina quitó este punto. Su respuesta queda para revisión.",
    ),
    "lot_retired": (
        "The office closed this lot. Your answer is kept for review.",
        "La oficina cerró este lote. Su respuesta queda para revisión.",
    ),
    "not_your_entry": (
        "Only the person who entered it can take it back.",
        "Solo quien lo puso puede quitarlo.",
    ),
    "no_such": (
        "There is no such {what} on this lot.",
        "No existe {what} en este lote.",
    ),
    "already_closed": ("This is already closed.", "Esto ya está cerrado."),
    "already_lifted": ("This hold is already lifted.", "Esta espera ya terminó."),
    "not_builder_hold": (
        "This hold does not wait for the builder.",
        "Esta espera no depende del constructor.",
    ),
    "call_in_blocked": (
        "Cannot be called in yet: {missing}.",
        "Todavía no se puede pedir: {missing}.",
    ),
    "kinds_first": ("These must pass first: {kinds}.", "Antes debe pasar: {kinds}."),
    "already_called": (
        "This inspection is already called in for {date}.",
        "Esta inspección ya está pedida para {date}.",
    ),
    "signer_needed": (
        "Say what it is and who signed for it.",
        "Diga qué es y quién lo firmó.",
    ),
    "already_priced": (
        "This change is priced already.",
        "Este cambio ya tiene precio.",
    ),
    "nothing_to_bill": ("Choose what to bill.", "Elija qué facturar."),
    "number_taken": (
        "Invoice {number} exists already for this builder.",
        "La factura {number} ya existe para este constructor.",
    ),
    "already_billed": (
        "Some of this is billed already or no longer earned. Load the page again.",
        "Parte ya está facturada o ya no vale. Cargue la página otra vez.",
    ),
    "not_closed_yet": (
        "This lot is not closed: write a correction, not a call-back.",
        "Este lote no está escriturado: anote una corrección, no un llamado.",
    ),
    "warranty_over": (
        "The warranty ended on {date}: write an extra, with who signs for it.",
        "La garantía terminó el {date}: anote un extra, con quién lo firma.",
    ),
    "price_in_use": (
        "This price has earned something already; set a new one instead.",
        "Este precio ya se usó; ponga uno nuevo.",
    ),
    "already_paid": ("This is paid already.", "Esto ya está pagado."),
    "not_passed_yet": ("The phase has not passed.", "La fase no ha pasado."),
    "photo_missing": (
        "A photo item needs a photo taken for it.",
        "Este punto necesita una foto propia.",
    ),
    "list_applied": (
        "This list is applied already. Upload it again to see what is left.",
        "Esta lista ya se aplicó. Súbala otra vez para ver lo que falta.",
    ),
    "who_said_needed": (
        "Write who said so.",
        "Escriba quién lo dijo.",
    ),
    "phase_not_there": (
        "These lots have no such phase: {lots}.",
        "Estos lotes no tienen esa fase: {lots}.",
    ),
    "list_in_work": (
        "This list is being applied or undone now. Wait until it is done.",
        "Esta lista se está aplicando o deshaciendo. Espere a que termine.",
    ),
    "list_unreadable": ("{text}", "{text}"),
    "list_not_applied": (
        "This list was not applied, so there is nothing to undo.",
        "Esta lista no se aplicó; no hay nada que deshacer.",
    ),
    "list_undone": (
        "This list was undone already.",
        "Esta lista ya se deshizo.",
    ),
    "list_built_on": (
        "Cannot be undone: since then something happened on {lots}.",
        "No se puede deshacer: después pasó algo en {lots}.",
    ),
    "lot_on_street": ("{en} ({street})", "{es} ({street})"),
    "subdivision_needed": (
        "Rows that name no subdivision: {count}. Say which one they belong to.",
        "Filas sin fraccionamiento: {count}. Diga a cuál pertenecen.",
    ),
    "nothing_chosen": (
        "Choose at least one lot.",
        "Elija al menos un lote.",
    ),
    "option_chosen": (
        "{count} lots have chosen this option. Take it off them first.",
        "{count} lotes eligieron esta opción. Quítela de ellos primero.",
    ),
    "last_owner": (
        "One owner must stay, or nobody could let the others in.",
        "Debe quedar un dueño, o nadie podría dejar entrar a los demás.",
    ),
    "bad_password": ("{text}", "{text}"),
    "key_taken": (
        "This key or code is taken already. Choose another.",
        "Esta clave o código ya existe. Elija otro.",
    ),
    "plan_wrong": (
        "The plan does not work out: {text}",
        "El plano no sale: {text}",
    ),
    "catalogue_wrong": (
        "The catalogue does not work out: {text}",
        "El catálogo no sale: {text}",
    ),
    "work_not_started": ("Work has not started here.", "El trabajo no ha empezado."),
    **INSPECTIONS,
    **PIPE,
    **PLANNING,
    **OUTLINES,
}


def say(reason: Mapping[str, Any], language: str = "en", names: Any = None) -> str:
    """The reason as a sentence; an unknown code is shown as it is, never hidden."""
    if not reason:
        return ""
    code = str(reason["code"])
    pair = SENTENCES.get(code)
    if pair is None:
        return code
    shown = {key: _shown(value, language, names or {}) for key, value in reason.items()}
    return pair[1 if language == "es" else 0].format(**shown)


def _shown(value: Any, language: str, names: Mapping[str, str]) -> Any:
    if isinstance(value, Mapping):
        return say(value, language, names)
    if isinstance(value, list | tuple):
        return ", ".join(str(_shown(part, language, names)) for part in value)
    # A sentence of the plan check says itself.
    if in_language := getattr(value, "in_language", None):
        return in_language(language)
    return names.get(value, value) if isinstance(value, str) else value


def say_all(reasons: Any, language: str = "en", names: Any = None) -> str:
    """Several reasons as one sentence."""
    return "; ".join(say(reason, language, names) for reason in reasons)
