"""Every text of the office pages is there in Spanish too."""

import re
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from string import Formatter

import pytest

from tracker.desk import spanish
from tracker.desk.coded import DATE_WHATS, RESULT_WORDS
from tracker.desk.lot import forms as lot_forms
from tracker.desk.nav import ENTRIES
from tracker.desk.plans.queries import TABLES
from tracker.desk.record.facts import ANSWERS, PLAIN
from tracker.people.models import Role

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = [
    *(ROOT / "templates").glob("*.html"),
    *(ROOT / "templates" / "glyph").glob("*.html"),
    *(ROOT / "templates" / "desk").rglob("*.html"),
]
CODE = [
    path
    for path in (ROOT / "tracker" / "desk").rglob("*.py")
    if "spanish" not in path.parts and "demo" not in path.parts
]
# What is the same in both languages, or never read by a person.
SAME = {"", "–", "Inspector", "English", "Español"}
MODULES = [module.name for module in iter_modules(spanish.__path__)]


def template_texts():
    for path in TEMPLATES:
        text = path.read_text()
        for said in re.findall(r"""{%\s*w\s+"([^"]+)\"""", text):
            yield path.name, said
        for said in re.findall(r"""page_link\s+"[^"]+"\s+"([^"]+)\"""", text):
            yield path.name, said


def code_texts():
    for path in CODE:
        text = path.read_text()
        for said in re.findall(
            r"""(?:label|help_text)=(?:\(\s*)?"((?:[^"\\]|\\.)+)\"""", text
        ):
            if re.match(r"[A-Z]", said):
                yield path.name, said
        for said in re.findall(r"""\bsaid\(\s*"([^"]+)"\s*\)""", text):
            yield path.name, said


def listed_texts():
    yield from (("nav", entry.text) for entry in ENTRIES)
    yield from (("whats", text) for text in DATE_WHATS.values())
    yield from (("results", text) for text in RESULT_WORDS.values())
    yield from (("statuses", text) for text in lot_forms.STATUSES.values())
    yield from (("owers", text) for text in lot_forms.OWERS)
    yield from (("facts", text) for text in PLAIN.values())
    yield from (("answers", text) for text in ANSWERS.values())
    yield from (("tables", text) for text in TABLES.values())
    yield from (("roles", role.label) for role in Role)
    yield from (("english", code) for code in spanish.ENGLISH)


@pytest.mark.parametrize("texts", [template_texts, code_texts, listed_texts])
def test_every_text_has_a_spanish_one(texts):
    found = list(texts())
    missing = sorted({pair for pair in found if pair[1] not in spanish.words()})

    assert len(found) > 20
    assert [pair for pair in missing if pair[1] not in SAME] == []


def test_no_text_means_two_things_in_spanish():
    meanings: dict[str, set[str]] = {}
    for name in MODULES:
        for text, es in import_module(f"tracker.desk.spanish.{name}").WORDS.items():
            meanings.setdefault(text, set()).add(es)

    assert {text: es for text, es in meanings.items() if len(es) > 1} == {}


def test_both_languages_fill_in_the_same_fields():
    def fields(text):
        return {name for _, name, _, _ in Formatter().parse(text) if name is not None}

    odd = {en: es for en, es in spanish.words().items() if fields(en) != fields(es)}

    assert odd == {}


def test_a_text_is_said_in_the_language_asked_for():
    said = spanish.in_language("{count} lots", "es", count=3)

    assert (said, spanish.in_language("{count} lots", "en", count=3)) == (
        "3 lotes",
        "3 lots",
    )


def test_a_text_without_spanish_is_shown_as_it_is():
    assert spanish.in_language("no such text", "es") == "no such text"
