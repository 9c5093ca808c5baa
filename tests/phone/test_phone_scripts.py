"""The phone's scripts: their own tests under Node, their words, their colours."""

import re
import subprocess
from pathlib import Path

import pytest

from inspections.pipe_tests.records import MEDIA, METALS, PLASTICS, SYSTEMS
from inspections.rules import SYSTEMS as ON_TEST
from phases.item_state import ANSWERS
from phases.models import CheckItem
from tracker.phone.operations import KINDS
from tracker.phone.pipe import READINGS
from tracker.phone.results import RESULTS
from tracker.phone.words import SENTENCES

HERE = Path(__file__).parent
FOLDER = HERE.parents[1] / "tracker/phone/static/phone"
SCRIPTS = sorted(FOLDER.glob("*.js"))
WORDS = [FOLDER / "strings.js", FOLDER / "strings_pipe.js"]
SHOWN = [s for s in SCRIPTS if s not in WORDS and s.name != "sw.js"]
KEYS = {
    key
    for path in WORDS
    for key in re.findall(r"^  (\w+): \[", path.read_text("utf-8"), re.M)
}


@pytest.mark.parametrize("name", ["outbox", "small"])
def test_the_scripts_pass_their_own_tests_under_node(name):
    found = subprocess.run(
        ["node", "--test", str(HERE / "node" / f"{name}.test.mjs")],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )

    assert found.returncode == 0, found.stdout[-3000:]
    assert int(re.search(r"# pass (\d+)", found.stdout)[1]) > 10


def test_the_outbox_knows_no_page_network_database_or_clock():
    code = "\n".join(
        line.split("//")[0] for line in (FOLDER / "outbox.js").open(encoding="utf-8")
    )

    assert not re.search(
        r"\b(document|window|fetch|indexedDB|Date\.now|Math\.random|import|await)\b",
        code,
    )


def test_only_the_store_touches_the_database_and_only_the_wire_the_network():
    touch = {
        name: {s.name for s in SCRIPTS if re.search(pattern, s.read_text("utf-8"))}
        for name, pattern in {
            "database": r"objectStore\(|\.transaction\(",
            "network": r"\bfetch\((?!\))",
        }.items()
    }

    assert touch == {"database": {"store.js"}, "network": {"wire.js", "sw.js"}}


def test_every_script_is_short_enough_to_read():
    assert {s.name: len(s.read_text("utf-8").splitlines()) for s in SCRIPTS} == {
        s.name: min(300, len(s.read_text("utf-8").splitlines())) for s in SCRIPTS
    }


def test_every_word_asked_for_is_there_and_every_word_there_is_asked_for():
    text = "\n".join(s.read_text("utf-8") for s in SHOWN)
    asked = set(re.findall(r"\b(?:t|row)\(\"(\w+)\"", text))
    # Names kept in tables and picked by code, and those made from a code.
    named = {key for key in KEYS if re.search(rf"\"{key}\"", text)}
    made = {
        *(f"kind_{kind}" for kind in {*KINDS, *ANSWERS}),
        *(f"state_{state}" for state in states()),
        *(f"owed_{code}" for code in codes("OWED")),
        *(f"say_{code}" for code in codes("READY")),
        *(f"pipe_{code}" for code in (*SYSTEMS, *MEDIA, *PLASTICS, *METALS)),
        *(f"read_{name}" for name in READINGS if name != "leak_seen"),
        *(f"result_{result}" for result in RESULTS),
        *(f"on_test_{system}" for system in ON_TEST),
        *(f"unit_{unit}" for unit in ("ft", "in", "psi", "f", "min")),
        *("read_caps", "which_medium", "which_material"),
    }

    assert asked - KEYS == set()
    assert made - KEYS == set()
    assert KEYS - asked - named - made == set()


def states() -> set[str]:
    return {
        getattr(CheckItem, name)
        for name in ("OPEN", "PROVEN", "FAILED", "NOT_DONE", "CONFLICT", "REJECTED")
    }


def codes(table: str) -> set[str]:
    text = (FOLDER / "reason.js").read_text("utf-8")
    return set(
        re.findall(r"\"(\w+)\"", re.search(rf"{table} = \[(.*?)\]", text, re.S)[1])
    )


@pytest.mark.parametrize("script", SHOWN, ids=lambda s: s.name)
def test_no_words_are_shown_but_from_the_strings_file(script):
    """Any text in quotes that reads like a sentence, outside of errors for us."""
    found = []
    for line in script.read_text("utf-8").splitlines():
        code = line.split("//")[0]
        if "new Error(" in code or "import " in code or code.lstrip().startswith("*"):
            continue
        for text in re.findall(r"\"([^\"]*)\"|`([^`]*)`", code):
            words = re.sub(r"\$\{[^}]*\}", "", text[0] or text[1])
            if re.search(r"[A-Z][a-z]+ ?[a-z]* [a-z]+", words):
                found.append(words)

    assert found == []


@pytest.mark.parametrize("code", SENTENCES)
def test_every_sentence_of_the_server_is_in_both_languages(code):
    english, spanish = SENTENCES[code]

    assert english.strip()
    assert spanish.strip()
    assert english != spanish


# Text on its ground, by the names in phone.css.
PAIRS = [
    ("ink", "paper"),
    ("ink", "ground"),
    ("quiet", "paper"),
    ("quiet", "ground"),
    ("copper", "paper"),
    ("good", "paper"),
    ("good", "tint-good"),
    ("bad", "paper"),
    ("bad", "tint-bad"),
    ("phone", "tint-news"),
    ("phone", "paper"),
    ("paper", "copper"),
    ("paper", "ink"),
    ("ink", "tint-good"),
    ("ink", "tint-bad"),
    ("ink", "tint-news"),
]


@pytest.mark.parametrize(("text", "ground"), PAIRS)
def test_text_stands_out_seven_to_one_in_the_sun(text, ground):
    """Contrast ratio of WCAG 2.2, success criterion 1.4.6."""
    css = (FOLDER / "phone.css").read_text("utf-8")
    colours = dict(re.findall(r"--([\w-]+): #([0-9a-f]{6});", css))

    light, dark = sorted(
        (luminance(colours[text]), luminance(colours[ground])), reverse=True
    )

    assert (light + 0.05) / (dark + 0.05) >= 7


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (0, 2, 4)]
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in parts
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_luminance_is_that_of_the_standard():
    assert (luminance("ffffff"), luminance("000000")) == (1.0, 0.0)
    # 21:1 for black on white, and mid grey 767676 just passes 4.5:1 on white.
    assert round((1 + 0.05) / (luminance("767676") + 0.05), 2) == 4.54
