"""What the pure checks say is said in Spanish too, whatever is wrong."""

import re
from string import Formatter

import pytest

from phases.sizing.outline import OutlineError, parse, show
from phases.sizing.outline.diagram import diagram
from phases.sizing.plan.check import check_plan
from phases.sizing.plan.extras import (
    Clearance,
    Condensate,
    Extras,
    FramingCut,
    HeaterFacts,
)
from phases.sizing.said import Said, say, sentences
from phases.sizing.tables import CODES, Book
from phases.sizing.takeoff import material_list
from tests.desk.checks_scene import Checked
from tests.desk.scene import signed_in
from tests.sizing.houses import SITE, guessed
from tracker.desk.spanish import words

EVERYTHING = Extras(
    baths=2.5,
    heater=HeaterFacts(first_hour_gal=40, input_btu_h=150000),
    condensate=(Condensate("ac", 30, "3/4", 0.05, "vent"),),
    cuts=(
        FramingCut("a", "hole", "stud", "2x4", 3, edge_in=0.1),
        FramingCut("b", "notch", "joist", "2x10", 1, span_ft=12, from_end_ft=6),
        FramingCut("c", "notch", "plate", "2x4", 3),
        FramingCut("d", "hole", "joist", "2x10", 9, engineered=True),
    ),
    clear=(
        Clearance("e", "closet", side_in=12, next_in=20, front_in=10),
        Clearance("f", "shower", area_sq_in=500),
        Clearance("g", "washer_box", standpipe_in=60, trap_in=2),
    ),
)


def fields(text):
    return {name for _, name, _, _ in Formatter().parse(text) if name}


def test_every_sentence_has_the_same_figures_in_both_languages():
    listed = sentences()

    assert len(listed) > 200
    assert {c for c, (en, es) in listed.items() if fields(en) != fields(es)} == set()
    same = {c for c, (en, es) in listed.items() if en == es}
    assert same == {"held", "what_gas"}


def reports():
    for code in CODES:
        sound = guessed(code)
        yield check_plan(sound, book=Book(code), site=SITE, extras=EVERYTHING)
        # Every drain and pipe far too small, flat and long: everything is wrong.
        text = re.sub(r"size=\S+", "size=1/2", show(sound))
        text = re.sub(r"slope=\S+", "slope=1/32", text)
        text = re.sub(r"length=\d+", "length=90", text)
        wrong = parse(text)
        yield check_plan(wrong, book=Book(code), site=SITE, extras=EVERYTHING)


def test_every_finding_can_be_said_in_spanish():
    listed = words()
    english = set()
    for report in reports():
        for finding in report.findings:
            said = [finding.sentence, *finding.fixes]
            english |= {text for text in said if not isinstance(text, Said)}
            for text in said:
                assert text.in_language("es") != text
            english |= {finding.check} - set(listed)
            english |= {finding.caution} - set(listed) - {""}

    assert english == set()


def test_every_rule_of_the_material_list_can_be_said_in_spanish():
    listed = words()
    lines = [
        line
        for code in CODES
        for line in material_list(guessed(code), book=Book(code), site=SITE)
    ]

    rules = {line.rule for line in lines if not isinstance(line.rule, Said)}
    what = {line.counted.rpartition(": ")[0] for line in lines}
    assert (rules - set(listed), what - set(listed)) == (set(), set())


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("drain\n  sewer s size=4 length=0 slope=1/4\n",
         "línea 2: s tiene longitud cero. Ponga su longitud desarrollada en pies."),
        ("drain\n  arm\n",
         "línea 2: Escriba la función y luego una clave: arm bath-closet ..."),
        ("drain\n  arm a size=2 length=1 fixture=closet\n",
         "línea 2: Esto es un brazo de trampa: cuelga de un drenaje de casa / una "
         "bajante / un ramal."),
    ],
)  # fmt: skip
def test_a_mistake_of_an_outline_is_said_with_its_place(text, said):
    with pytest.raises(OutlineError) as caught:
        parse(text)

    assert caught.value.problems[0].in_language("es") == said


def test_the_diagram_is_lettered_in_spanish():
    svg = diagram(guessed("UPC"), language="es")

    assert "Drenajes y ventilaciones" in svg
    assert "pulg./pie" in svg
    assert "Propuesta: ninguna medida" in svg
    assert "Guess" not in svg


def test_a_sentence_remembers_its_code_and_figures():
    words = say("wall_depth", key="a", od=3.5, stud="2x4", depth=3.5)

    assert words == "a is 3.5 in. outside in a 2x4 wall of 3.5 in."
    assert words.in_language("es") == (
        "a mide 3.5 pulg. por fuera en un muro de 2x4 de 3.5 pulg."
    )
    assert words.in_language("fr") == words


@pytest.mark.django_db
def test_the_plan_check_of_a_spanish_reader_says_no_english_sentence():
    office = signed_in("office")[0]
    scene = Checked()
    office.cookies["django_language"] = "es"

    page = office.get(f"/plans/{scene.plan.pk}/check/")

    report = page.context["report"]
    text = page.content.decode()
    left = [f.sentence for f in report.findings if str(f.sentence) in text]
    assert left == []
    assert report.findings[0].sentence.in_language("es") in text
