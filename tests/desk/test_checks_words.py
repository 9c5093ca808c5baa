"""Every word of the checks that comes in a variable has a Spanish one."""

from phases.sizing.plan.finding import VERDICTS
from tracker.desk.checks.forms import CHOICES, METHODS, NUMBERS, YES
from tracker.desk.checks.sheet_form import HEADINGS, PIPE_KINDS, TITLES
from tracker.desk.checks.sheet_views import LABELS
from tracker.desk.checks.showing import ORIGINS
from tracker.desk.checks.words import item_words
from tracker.desk.spanish import words

SAID = {
    *VERDICTS,
    *ORIGINS.values(),
    *METHODS.values(),
    *LABELS.values(),
    *HEADINGS.values(),
    *PIPE_KINDS.values(),
    *TITLES.values(),
    *(label for _, label, *_ in (*NUMBERS, *CHOICES, *YES)),
    *("drain", "water", "gas", "counted", "estimated", "usual", "learned", "set"),
    *("Underground", "Rough", "Top out", "Trim"),
    "Fails or looks wrong",
    "Holds, to be confirmed in the adopted book",
    "Passes, and notes",
    "The outline is accepted.",
    "The acceptance is withdrawn.",
    "{n} lines written down.",
    "material used written down, {lines} lines",
}


def test_every_word_in_a_variable_has_a_spanish_one():
    assert sorted(SAID - words().keys()) == []


def test_items_of_the_list_have_spanish_names():
    names = [
        item_words(item, "es")
        for item in (
            "PVC drain pipe",
            "drain reducer to 1-1/2",
            "support of PVC",
            "P-trap",
        )
    ]

    assert names == [
        "tubo de drenaje PVC",
        "reducción de drenaje a 1-1/2",
        "soporte de PVC",
        "trampa P",
    ]
    assert item_words("PVC drain pipe", "en") == "PVC drain pipe"
    assert item_words("closet", "es") == "inodoro"
    assert item_words("sleeve, tankless gas water heater", "es").startswith("camisa, ")
    assert item_words("something else", "es") == "something else"
