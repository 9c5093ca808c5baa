"""Every text of this area stands in English and Spanish."""

import re
from pathlib import Path

import pytest

from phases.defaults import PARTS
from tracker.errors import Refused
from tracker.status import words
from tracker.status.acting import DONE
from tracker.status.forms import LinkForm

ROOT = Path(__file__).parents[2]
TEMPLATES = sorted((ROOT / "templates" / "status").iterdir())
CODE = sorted((ROOT / "tracker" / "status").rglob("*.py"))
TEXT = re.compile(r'\{% t "([^"]+)"')
IN_CODE = re.compile(r"\btext\(\s*['\"]([^'\"]+)['\"]")
SAID = re.compile(r'said = "([^"]+)"')
REFUSED = re.compile(r'Refused\(\s*"(\w+)"|_read\(form, "(\w+)"')


def used():
    found = set(DONE.values())
    for path in TEMPLATES:
        found |= set(TEXT.findall(path.read_text()))
    for path in CODE:
        found |= set(IN_CODE.findall(path.read_text()))
        found |= set(SAID.findall(path.read_text()))
    found |= {str(field.label) for field in LinkForm.base_fields.values()}
    return found


def test_every_text_of_pages_and_code_has_its_spanish():
    texts = used()

    assert len(texts) > 80
    assert sorted(text for text in texts if not words.TEXTS.get(text)) == []


def test_no_template_shows_bare_english():
    bare = re.compile(r">\s*([A-Za-z][a-z]+ [a-z][^<{]*)<")
    found = {path.name: bare.findall(path.read_text()) for path in TEMPLATES}

    assert {name: texts for name, texts in found.items() if texts} == {}


@pytest.mark.parametrize(
    "code",
    [
        *("passed", "partly_passed", "failed", "not_ready", "no_access"),
        *("not_on_test", "cancelled", "called_in", "not_called", "none_needed"),
        *sorted({owed for *_, owed in PARTS}),
    ],
)
def test_every_code_that_is_shown_has_words_in_both_languages(code):
    english, spanish = words.plain(code, "en"), words.plain(code, "es")

    assert "_" not in english
    assert spanish != english


def test_every_refusal_of_this_area_is_a_sentence_in_both_languages():
    codes = set()
    for path in CODE:
        for found in REFUSED.findall(path.read_text()):
            codes |= set(found) - {""}
    assert len(codes) > 8

    for code in sorted(codes):
        refused = Refused(code, what="part", value="x", most=3)
        english, spanish = words.say(refused, "en"), words.say(refused, "es")
        assert english != code, code
        assert spanish != english


def test_texts_that_nothing_uses_are_not_kept():
    codes = {owed for *_, owed in PARTS} | {"not ready", "no access", "not on test"}

    assert sorted(set(words.TEXTS) - used() - codes - {"cancelled"}) == []
