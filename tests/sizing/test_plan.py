from dataclasses import replace

import pytest

from phases.sizing.outline import changed
from phases.sizing.plan.check import check_plan, compare_books, compare_outlines
from phases.sizing.plan.extras import Condensate, Extras, FramingCut
from phases.sizing.plan.finding import Finding, at_least, at_most
from phases.sizing.tables import CODES, Book, Cell
from tests.sizing.houses import SITE, guessed

SEEN = Cell("a", "IRC", "2021", "T1", "x", "5", "ft", "http://example.org")
REMEMBERED = Cell("b", "IRC", "2021", "T2", "x", "5", "ft", "memory")


def check(code="IRC", extras=None, outline=None, site=SITE, overrides=()):
    book = Book(code, overrides=overrides)
    return check_plan(outline or guessed(code), book=book, site=site, extras=extras)


@pytest.mark.parametrize(
    ("value", "cells", "verdict"),
    [
        (4, [SEEN], "pass"),
        (6, [SEEN], "fail"),
        (4, [SEEN, REMEMBERED], "confirm"),
        (6, [REMEMBERED], "confirm"),
    ],
)
def test_a_figure_from_memory_neither_passes_nor_fails_a_house(value, cells, verdict):
    found = at_most("x", "here", value, 5, "ft", cells=cells, sentence="s")

    assert found.verdict == verdict
    assert found.ok is (value <= 5)


def test_a_margin_is_the_share_that_is_left():
    most = at_most("x", "here", 4, 5, "ft", cells=[SEEN], sentence="s")
    least = at_least("x", "here", 4, 5, "ft", cells=[SEEN], sentence="s", fixes=["f"])

    assert (most.margin, most.fixes) == (0.2, ())
    assert (least.margin, least.fixes) == (-0.2, ("f",))


@pytest.mark.parametrize("code", CODES)
def test_a_sound_house_has_no_failure_and_every_finding_is_whole(code):
    report = check(code)

    assert [f.sentence for f in report.findings if not f.ok] == []
    for finding in report.findings:
        assert finding.sentence
        assert finding.where
        assert finding.cells or finding.check in ("height", "roof vents")
    assert report.verdict == "confirm"
    assert len(report.findings) > 100


def test_the_worst_finding_stands_first():
    outline = guessed("UPC")
    wrong = replace(outline, drain=changed(outline.drain, "building-drain", slope=0.1))

    report = check("UPC", outline=wrong)

    assert report.findings[0].verdict == "fail"
    order = ["fail", "confirm", "pass", "note"]
    ranks = [order.index(f.verdict) for f in report.findings]
    assert ranks == sorted(ranks)


def test_a_guess_is_never_checked_until_a_person_accepts_it():
    assert not check().checked
    assert check(outline=guessed().accepted(by="Dana Reyes")).checked


def test_three_books_stand_side_by_side_and_differ():
    outline = guessed("IRC")
    drain = changed(outline.drain, "hall-bath-lavatory", length_ft=5)
    books = [Book(code) for code in CODES]

    reports = compare_books(replace(outline, drain=drain), books, site=SITE)

    found = {
        report.book.code: [
            f.ok
            for f in report.of("hall-bath-lavatory")
            if f.check == "trap arm length"
        ]
        for report in reports
    }
    assert found == {"IPC": [True], "IRC": [True], "UPC": [False]}


def test_two_options_differ_by_the_pipes_that_change():
    outline = guessed()
    other = replace(outline, drain=changed(outline.drain, "building-drain", size="4"))

    changes = compare_outlines(outline, other)

    assert [(c.key, c.before, c.after) for c in changes] == [
        ("building-drain", "3", "4")
    ]


def test_a_wet_vent_is_held_to_the_units_of_its_size():
    outline = guessed("IPC")
    drain = changed(outline.drain, "hall-bath-closet", vent="wet")

    report = check("IPC", outline=replace(outline, drain=drain))

    found = [f for f in report.of("hall-bath-closet") if f.check == "wet vent"]
    assert [(f.value, f.limit, f.verdict) for f in found] == [(3, 12, "confirm")]


@pytest.mark.parametrize(
    ("cut", "ok"),
    [
        (FramingCut("c", "hole", "joist", "2x12", 3.75, edge_in=2), True),
        (FramingCut("c", "hole", "joist", "2x10", 3.5, edge_in=2), False),
        (FramingCut("c", "hole", "joist", "2x12", 3.5, edge_in=1.5), False),
        (FramingCut("c", "hole", "stud", "2x4", 1.4), True),
        (FramingCut("c", "hole", "stud", "2x4", 1.9), False),
        (FramingCut("c", "hole", "stud", "2x4", 2.0, bearing=False), True),
        (FramingCut("c", "hole", "stud", "2x4", 2.0, doubled=True), True),
        (FramingCut("c", "notch", "stud", "2x4", 0.875), True),
        (FramingCut("c", "notch", "stud", "2x4", 1.0), False),
        (FramingCut("c", "hole", "joist", "2x12", 1.0, engineered=True), False),
    ],
)
def test_a_cut_is_held_to_the_lumber_it_is_in(cut, ok):
    report = check(extras=Extras(cuts=(cut,)))

    assert all(f.ok for f in report.of("c")) is ok


@pytest.mark.parametrize(
    "make",
    [
        lambda: FramingCut("c", "saw", "joist", "2x10", 1),
        lambda: FramingCut("c", "hole", "joist", "2x5", 1),
        lambda: FramingCut("c", "hole", "joist", "2x10", 0),
        lambda: FramingCut("c", "notch", "joist", "2x10", 1),
        lambda: Condensate("a", 0, "3/4", 0.125, "vent"),
        lambda: Condensate("a", 3, "3/4", 0.125, "moon"),
        lambda: Book("XYZ"),
        lambda: Book("IRC", 21),
    ],
)
def test_facts_that_cannot_be_are_refused_with_a_sentence(make):
    with pytest.raises(ValueError, match=r"\w+ \w+"):
        make()


def test_a_pipe_without_a_size_is_looked_up_and_never_passes():
    outline = guessed()
    drain = changed(outline.drain, "hall-bath-lavatory", size="")

    report = check(outline=replace(outline, drain=drain))

    assert any(not f.ok for f in report.of("hall-bath-lavatory"))
    assert report.verdict in ("fail", "confirm")


def test_a_drain_in_a_2x4_wall_is_told_to_need_a_2x6():
    outline = guessed()
    drain = changed(outline.drain, "laundry-washer_box", stud="2x4")

    report = check(outline=replace(outline, drain=drain))

    bore = next(f for f in report.of("laundry-washer_box") if f.check == "stud bore")
    assert (bore.verdict, bore.fixes) == ("fail", ("It needs a 2x6 wall.",))


def test_frost_asks_3_in_through_the_roof_and_a_guess_gives_it():
    cold = replace(SITE, frost=True)

    assert all(end.size == "3" for end in guessed(site=cold).terminals)
    report = check(site=cold)
    assert {f.where for f in report.findings if f.check == "frost" and not f.ok} == {
        end.key for end in guessed().terminals if end.size != "3"
    }


def test_a_note_is_neither_pass_nor_fail():
    note = Finding("x", "here", "s", True, (SEEN,), note=True)

    assert note.verdict == "note"
