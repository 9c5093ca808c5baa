"""What the rules of inspections say, in both languages."""

import ast
import re
from pathlib import Path
from string import Formatter

import pytest

import inspections
from inspections.dates import Malformed, parse_rules
from inspections.dates.words import SENTENCES as RULES
from inspections.pipe_tests import TestRecord, judge
from inspections.pipe_tests.records import MEDIA, SYSTEMS, BadReading
from inspections.pipe_tests.verdicts import verdict_words
from tracker.words import say
from tracker.words_inspections import SENTENCES as INSPECTIONS
from tracker.words_pipe import SENTENCES as PIPE

FIELDS = {"system": "gas", "medium": "air", "material": "steel"}
HELD = {"start_psig": 10, "end_psig": 8.6, "start_f": 70, "end_f": 40, "minutes": 15}
GAUGE = {"gauge_top_psi": 30, "gauge_mark_psi": 0.1, "working_psig": 0.25}


def blanks(text):
    return {name for _, name, _, _ in Formatter().parse(text) if name}


@pytest.mark.parametrize(
    "pair", [*INSPECTIONS.values(), *PIPE.values(), *RULES.values()]
)
def test_both_languages_fill_the_same_blanks(pair):
    english, spanish = pair
    assert blanks(english) == blanks(spanish)


def test_every_reason_of_a_test_on_the_pipe_has_its_sentence_and_is_used():
    folder = Path(inspections.__file__).parent
    texts = [path.read_text(encoding="utf-8") for path in folder.rglob("*.py")]
    called = {
        code
        for text in texts
        for call in re.findall(r"(?:because|BadReading)\(([^)]*)", text)
        for code in re.findall(r'"([a-z_]+)"', call.split("=")[0])
    }
    outcomes = {"pass", "confirm", "fail"}
    words = {*SYSTEMS, *MEDIA}
    fields = {code for code in PIPE if code.startswith("pipe_of_")}
    expected = {f"pipe_{code}" for code in called | outcomes | words} | fields

    assert expected == set(PIPE)


def test_a_cold_morning_is_explained_in_spanish():
    told = judge(TestRecord(**FIELDS, **HELD, **GAUGE), book="IRC", edition=2021)

    assert verdict_words(told.said, "es") == (
        "Cumple IRC 2021: presión 10 psi, se piden 3 psi; presión 10 psi, se piden "
        "0.375 psi (1.5 x presión de trabajo); se sostuvo 15 min, se piden 10 min; "
        "manómetro hasta 30 psi, se permiten 50 psi a lo más (5 x presión de prueba); "
        "10 psi a 70 F serían 8.60 psi a 40 F en una tubería sin fugas; se leyó 8.6 "
        "psi: la temperatura sola explica la baja."
    )
    assert say(told.cautions[1], "es").startswith("El gas comprimido guarda energía")


def test_a_reading_that_cannot_be_is_named_in_spanish():
    with pytest.raises(BadReading) as wrong:
        TestRecord(**FIELDS, start_psig=2000)

    assert str(wrong.value) == "pressure at the start must be from 0 to 1000, not 2000"
    assert say(wrong.value.reason, "es") == "presión al inicio: de 0 a 1000, no 2000"


def complaints():
    """Every code that the readers of rules raise, with the names of its fields."""
    found = []
    for path in Path(inspections.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            if not isinstance(node, ast.Call):
                continue
            name = getattr(node.func, "id", "")
            if name in ("Malformed", "Complaint") and len(node.args) == 2:
                code = getattr(node.args[1], "value", None)
                if isinstance(code, str):
                    found.append((code, {word.arg for word in node.keywords}))
    return found


def test_every_complaint_about_rules_has_its_words_and_every_word_is_used():
    for code, fields in complaints():
        assert None in fields or blanks(RULES[code][0]) == fields, code
    assert {code for code, _ in complaints()} == RULES.keys()


def test_a_complaint_is_said_in_the_language_asked_for():
    with pytest.raises(Malformed) as refusal:
        parse_rules({"timezone": "America/Chicago", "lead": []})

    said = refusal.value.complaint
    assert said.in_language("en") == "rules.lead: must be an object, not a list"
    assert said.in_language("es") == "rules.lead: debe ser un objeto, no una lista"
