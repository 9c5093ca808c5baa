"""The planner's facts as sentences in both languages."""

from datetime import date

import pytest
from django.utils.translation import override

from tracker.desk.ahead.said import Sayer
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.core.chain import FIELDS
from tracker.planning.core.english import PINS, REMEDIES
from tracker.planning.core.judge import judge
from tracker.planning.core.what_if import CHANGES
from tracker.words import SENTENCES
from tracker.words_pins import PINS as PIN_WORDS

NAME = ("14, Elm", "topout")
PHASES = {"topout": {"en": "Top out", "es": "Instalación"}, "rough": {"en": "Rough"}}


@pytest.fixture(autouse=True)
def english():
    """A page asked for before may have left its reader's language behind."""
    with override("en"):
        yield


def sayer(language="en", **more):
    phases = {slot: pair.get(language, slot) for slot, pair in PHASES.items()}
    return Sayer(language, Calendar(date(2026, 3, 2)), phases, **more)


def row(*links, late=2, possible=True):
    return {
        **{"lot": NAME[0], "phase": NAME[1], "pass_day": 8, "late": late},
        **{"possible": possible, "soonest": 8, "links": list(links)},
    }


READY = {"kind": "ready", "day": 4, "lot": NAME[0], "phase": NAME[1]}
NEXT = {"kind": "next_crew", "who": "Frame", "day": 5}
LEAD = {"kind": "lead", "who": "Port Ellery", "number": 1}
DAYS = {"kind": "visit_weekday", "who": "Port Ellery", "days": [1, 3]}
FULL = {"kind": "slot_full", "who": "Port Ellery", "days": [6]}


def test_one_sentence_names_what_binds_and_each_office_once():
    said = sayer(parts={NAME: "Framing"}).why(row(READY, NEXT, DAYS, FULL))

    assert said == (
        "Lot 14, Elm, top out passes Thu 12 Mar, 2 days late: Framing: due Fri 6 Mar, "
        "the next other crew, Frame, is free Mon 9 Mar, Port Ellery inspects Tue and "
        "Thu and is full on Tue 10 Mar."
    )


def test_the_same_in_spanish():
    with override("es"):
        said = sayer("es").why(row(LEAD, DAYS, late=1, possible=False))

    assert said == (
        "Lote 14, Elm, instalación pasa el jue 12 Mar, 1 día de atraso: Port Ellery "
        "pide 1 día de aviso e inspecciona mar y jue. Ni con todas las cuadrillas "
        "libres pasaría antes del jue 12 Mar."
    )


def test_begun_work_is_not_called_pinned_and_moved_work_says_from_where():
    pin = {"kind": "pin", "who": "Frame", "day": 0, "lot": NAME[0], "phase": NAME[1]}

    assert "it is pinned to Frame on Mon 2 Mar" in sayer().why(row(pin))
    assert "Frame has begun it" in sayer(begun=[NAME]).why(row(pin))
    moved = sayer().why(row(late=0), ("Frame, Tue 3 Mar", "Ditch, Wed 4 Mar"))
    assert moved == (
        "Lot 14, Elm, top out was told Frame, Tue 3 Mar and is now Ditch, Wed 4 Mar."
    )


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_kind_of_fact_remedy_and_breach_can_be_said(language):
    facts = {
        **{"who": "A", "day": 1, "until": 3, "days": [1, 2], "number": 2},
        **{"lot": "9, Oak", "phase": "rough", "since": -3},
    }
    params = {
        **{"phase": "rough", "crew": "A", "day": "2026-03-05", "lot": "9, Oak"},
        "office": "City",
    }
    for kind, fields in FIELDS.items():
        if kind == "starts_today":
            continue
        link = {"kind": kind, **{name: facts[name] for name in fields}}
        (said,) = sayer(language).links(NAME, [link])
        assert "{" not in said
        assert "why_" not in said
        assert "office_" not in said
    for code in CHANGES:
        said = sayer(language).remedy({"code": code, "params": params})
        assert said != f"help_{code}"
    assert CHANGES.keys() == REMEDIES.keys()


def test_what_the_judge_can_find_in_a_move_has_words():
    import inspect

    from tracker.planning.core import judge as module

    assert judge is module.judge
    source = inspect.getsource(module)
    codes = {
        part.split('"')[1]
        for part in source.split("case.find(")[1:]
        if part.startswith('"')
    }
    # Found in files only: a move on the page cannot make them.
    files = {
        *("unreadable", "wrong_format", "wrong_instance", "unknown_job"),
        *("double_job", "missing_job", "no_inspection", "needless_inspection"),
        *("work_done_already", "no_dates", "wrong_length"),
    }
    assert {f"breach_{code}" for code in codes - files} <= SENTENCES.keys()


PIN = {"code": "pin_told", "lot": "14, Elm", "phase": "topout", "crew": "A", "day": 3}
FIELDS_OF_PINS = {
    "pin_not_qualified": {"phase": "topout"},
    "pin_before_ready": {"ready": 4},
    "pin_crew_busy": {"free_quarter": 18},
    "pin_off": {"off": 4},
    "pin_rain": {"off": 4},
    "pin_gate": {"other": {"code": "pin_job", "lot": "14, Elm", "phase": "rough"}},
    "pin_both": {"other": {**PIN, "lot": "15, Elm"}},
    "pin_twice": {"other": {**PIN, "day": 4}},
}


@pytest.mark.parametrize("code", sorted(PINS.keys() - {"pin_told", "pin_job"}))
def test_a_pin_that_cannot_be_kept_is_said_with_dates_in_both_languages(code):
    more = FIELDS_OF_PINS.get(code, {})
    fact = {"code": code, "pin": PIN, "crew": "A", "opens": 4, **more}

    english = sayer().pin(fact)
    with override("es"):
        spanish = sayer("es").pin(fact)

    assert "Lot 14, Elm, top out, pinned to A on Thu 5 Mar" in english
    assert "Lote 14, Elm, instalación, fijado a A el jue 5 Mar" in spanish
    if {"ready", "off", "other", "free_quarter"} & more.keys() and code != "pin_both":
        assert "Fri 6 Mar" in english
        assert "vie 6 Mar" in spanish


def test_every_code_of_a_pin_has_its_words():
    assert PINS.keys() == PIN_WORDS.keys()


KNOWN = {"rough": "Rough", "trim": "Trim", "framing": "Framing", "tubs": "Tubs"}
WAITS = [
    (
        {"code": "no_date", "parts": ["framing", "tubs"], "behind": ["trim"]},
        "rough waits for a date: nobody has said when these come: Framing and Tubs; "
        "behind it: trim",
    ),
    ({"code": "no_date"}, "rough waits for somebody to say when it is ready"),
    ({"code": "no_plan"}, "rough waits for the plan of the house to be chosen"),
    ({"code": "no_crew"}, "rough waits for a crew that is qualified for it"),
    ({"code": "held", "days": 1}, "rough is on hold, taken to last 1 day more"),
    (
        {"code": "unsaid", "parts": ["tubs"], "forecast": "2026-03-02"},
        "rough was forecast for Mon 2 Mar; still to be said: Tubs",
    ),
    ({"code": "guessed", "day": 4}, "rough is taken to be ready Fri 6 Mar"),
    # what plans made before say less of
    ({"code": "unsaid"}, "rough"),
    ({"code": "guessed", "days": 4}, "rough"),
    ({"code": "no_slot"}, "rough"),
]


@pytest.mark.parametrize(("note", "expected"), WAITS)
def test_a_lot_that_is_not_planned_says_what_it_waits_for(note, expected):
    assert sayer().waits({**note, "phase": "rough"}, KNOWN) == expected


def test_it_says_so_in_spanish_too():
    note = {"code": "no_date", "phase": "rough", "parts": ["tubs"], "behind": ["trim"]}
    known = {"rough": "Obra negra", "trim": "Acabados", "tubs": "Tinas"}

    with override("es"):
        said = sayer("es").waits(note, known)

    assert said == (
        "obra negra espera una fecha: nadie ha dicho cuándo llega esto: Tinas; "
        "detrás: acabados"
    )
