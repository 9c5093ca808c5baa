import re
from dataclasses import replace

from phases.sizing.outline import changed
from phases.sizing.outline.diagram import diagram
from phases.sizing.plan.check import check_plan
from phases.sizing.plan.show import load_words, worst_verdicts
from phases.sizing.tables import Book
from tests.sizing.houses import SITE, guessed


def test_the_diagram_shows_sizes_loads_the_guess_and_what_fails():
    outline = guessed("UPC")
    drain = changed(outline.drain, "hall-bath-closet", size="2")
    outline = replace(outline, drain=drain)
    report = check_plan(outline, book=Book("UPC"), site=SITE)

    svg = diagram(
        outline, load_text=load_words(Book("UPC"), SITE),
        verdicts=worst_verdicts(report), title="Plan <A> & option",
    )  # fmt: skip

    assert svg.startswith("<svg ")
    assert "Plan &lt;A&gt; &amp; option" in svg
    assert "4 in. · 22 dfu" in svg
    assert "<title>fail</title>" in svg
    assert "Guess: no size here is checked" in svg
    assert "Guess:" not in diagram(outline.accepted(by="Dana Reyes"))


def test_one_system_can_be_drawn_alone_for_a_printed_page():
    outline = guessed()

    gas = diagram(outline, only="gas")

    assert "gas-trunk-1" in gas
    assert "building-drain" not in gas
    assert "Roof:" not in gas
    assert "Roof:" in diagram(outline, only="drain")


def test_the_narrow_drawing_shows_the_same_pipes_and_fits_a_phone():
    outline = guessed("UPC")
    report = check_plan(outline, book=Book("UPC"), site=SITE)
    asked = {
        "load_text": load_words(Book("UPC"), SITE),
        "verdicts": worst_verdicts(report),
        "only": "drain",
    }

    wide = diagram(outline, **asked)
    narrow = diagram(outline, narrow=True, **asked)

    def texts(svg):
        return set(re.findall(r">([^<>]+)</text>", svg))

    pipes = {node.key.replace("_", " ") for node in outline.drain.walk()}
    assert pipes <= texts(wide)
    assert pipes <= texts(narrow)
    assert "4 in. · 22 dfu" in narrow
    assert narrow.count("<circle") == wide.count("<circle")
    assert float(re.search(r'width="([\d.]+)"', narrow).group(1)) < 390
