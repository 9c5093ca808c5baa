import pytest

from phases.catalogue import (
    Catalogue,
    Fixture,
    crew_text,
    load_catalogue,
    off_glossary,
    read_tables,
    untranslated,
)
from phases.catalogue.cells import MEASURES, REFERENCES, TRADES, UNITS
from phases.catalogue.demand import PROOFS
from tests.catalogue.houses import listed, room_of


def read(room, key, language, **more):
    demand = listed(room, **more)[key]
    return crew_text(demand, load_catalogue(), language=language)


CLOSET = room_of(Fixture("closet1", "closet", along=288))


def test_a_target_is_read_from_the_stud_with_the_finished_figure_beside_it():
    key = "bath1/closet1/drain.underground"

    english, spanish = (read(CLOSET, key, language) for language in ("en", "es"))

    assert english.targets == (
        'out 12 1/2" from bare stud (12" finished)',
        'centre line 18 1/2" from bare stud of the side wall on the left '
        '(18" finished)',
    )
    assert spanish.targets == (
        'afuera 12 1/2" desde montante sin cubrir (12" terminado)',
        'eje 18 1/2" desde montante de la pared lateral a la izquierda (18" terminado)',
    )
    assert (english.tolerance, english.proof) == ('±1/2"', "measure")
    assert (spanish.room, spanish.proof) == ("Baño", "medir")


def test_sides_least_clearances_and_uneven_tolerances_are_said():
    texts = {
        key: read(CLOSET, f"bath1/closet1/{key}", "en")
        for key in ("cold.topout", "clear.underground", "flange.trim")
    }

    assert texts["cold.topout"].targets == (
        'up 9" from subfloor (8 1/4" finished)',
        'from centre line 6" left',
    )
    assert texts["clear.underground"].targets == (
        'clear at least 15 1/2" from bare stud of the side wall (15" finished)',
    )
    assert texts["clear.underground"].tolerance == '-0"'
    assert texts["flange.trim"].tolerance == '-0" +1/4"'


def test_a_reading_is_said_with_limits_and_minutes():
    room = room_of(Fixture("wash1", "washer_box"))

    assert [
        read(room, "house/systems/dwv.topout", language).reading
        for language in ("en", "es")
    ] == [
        "head of water: at least 10 ft, 15 min",
        "columna de agua: mínimo 10 pies, 15 min",
    ]
    assert read(room, "bath1/wash1/drain.rough", "en").reading == (
        "length: at least 18 in., at most 42 in."
    )
    assert read(room, "bath1/walls/fall.rough", "en", foundation="crawl").reading == (
        "fall: at least 1/4 in. per ft"
    )


def test_an_unknown_language_is_refused():
    with pytest.raises(ValueError, match="Use en or es"):
        read(CLOSET, "bath1/closet1/set.trim", "de")


def test_every_code_that_a_crew_can_meet_has_words():
    needed = (
        [f"proof.{code}" for code in PROOFS]
        + [f"unit.{code}" for code in UNITS if code]
        + [f"measure.{code}" for code in MEASURES]
        + [f"trade.{code}" for code in TRADES]
        + REFERENCES
    )

    assert [code for code in needed if code not in load_catalogue().strings] == []


def test_every_crew_facing_text_has_both_languages_in_the_trades_words():
    catalogue = load_catalogue()

    assert untranslated(catalogue) == ()
    assert off_glossary(catalogue) == ()


def test_a_text_left_in_english_is_found():
    tables = read_tables()
    tables["demands"][0]["text_es"] = tables["demands"][0]["text_en"]

    catalogue = Catalogue.from_rows(tables)

    assert untranslated(catalogue) == ("demands closet drain.underground",)


def test_a_text_outside_the_glossary_is_found():
    tables = read_tables()
    tables["demands"][0]["text_es"] = "Desagüe del armario de 3 in., tapado"

    found = off_glossary(Catalogue.from_rows(tables))

    assert [line.split(",")[0] for line in found] == [
        "demands closet drain.underground: 'closet' is 'inodoro'"
    ]
