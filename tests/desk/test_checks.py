"""The plan check and the calculation sheet, as the office sees them."""

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from phases.actions.outlines import save_outline
from phases.models import PlanOutline
from tests.desk.checks_scene import IRC, Checked, paper_text
from tests.desk.scene import signed_in
from tests.factories import NOW, make_option, make_plan

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return signed_in("office")[0]


def text_of(response):
    """The page's words, without marks."""
    plain = re.sub(r"<(script|style).*?</\1>|<[^>]+>", " ", response.content.decode())
    return re.sub(r"\s+", " ", plain)


def check(client, plan, query=""):
    return client.get(f"/plans/{plan.pk}/check/{query}")


def planted(scene, old, new):
    assert old in scene.outline.text
    return save_outline(
        scene.plan,
        [],
        text=scene.outline.text.replace(old, new),
        extras=scene.outline.extras,
        site={},
        book=IRC,
        who=scene.office,
        now=NOW,
    )


# the page


def test_a_finding_shows_its_sentence_limit_margin_cell_and_provenance(office):
    scene = Checked()

    page = check(office, scene.plan)

    row = next(r for r in page.context["shown"].rows if r.finding.check == "arm size")
    text = text_of(page)
    assert page.status_code == 200
    assert row.finding.sentence in text
    assert f"{row.finding.cells[0].label} (from memory)" in text
    assert f'id="cell-{row.cells[0]}"' in page.content.decode()
    assert "decide" in page.context["shown"].cautions[-1]


def test_findings_stand_worst_first_and_a_failure_says_its_fix(office):
    scene = Checked()
    planted(scene, "size=3 length=3", "size=2 length=3")

    page = check(office, scene.plan)

    first = page.context["shown"].rows[0]
    assert (first.finding.verdict, first.finding.where) == ("fail", "bath-closet")
    assert first.margin == "−33 %"
    assert first.finding.fixes[0] in text_of(page)
    assert page.context["report"].verdict == "fail"


def test_three_books_stand_side_by_side_and_what_differs_is_named(office):
    scene = Checked()
    planted(
        scene,
        "building-drain size=3 length=40 slope=1/4",
        "building-drain size=3 length=40 slope=1/8",
    )

    page = check(office, scene.plan)

    assert [r.book.title for r in page.context["reports"]] == [
        "IRC 2021",
        "IPC 2021",
        "UPC 2021",
    ]
    slope = [d for d in page.context["differences"] if d.check == "least slope"]
    assert [d.where for d in slope] == ["building-drain"]
    assert [side[0] for side in slope[0].sides] == ["pass", "pass", "fail"]


def test_the_book_asked_for_decides(office):
    scene = Checked()

    page = check(office, scene.plan, "?book=upc-2021")

    assert page.context["report"].book.title == "UPC 2021"


def test_local_amendments_of_the_street_are_used_and_bad_ones_named(office):
    scene = Checked()
    scene.jurisdiction.amendments = [
        {"cell": "closets_on_3_in_stack", "value": "2", "note": "Ordinance 12"},
        {"cell": "nonsense", "value": "2", "note": "Ordinance 13"},
    ]
    scene.jurisdiction.save()

    page = check(office, scene.plan)

    assert page.context["report"].book.title == "IRC 2021, amended"
    assert "nonsense: IRC has no cell or setting" in text_of(page)


def test_a_plan_nobody_kept_an_outline_for_is_guessed_and_says_so(office):
    scene = Checked(guessed=False)

    page = check(office, scene.plan)

    assert "nobody has kept it" in text_of(page)
    assert page.context["report"].checked is False
    assert PlanOutline.objects.count() == 0


def test_a_plan_without_fixtures_says_what_to_do(office):
    page = check(office, make_plan(fixtures=()))

    assert page.status_code == 200
    assert "no fixtures to pipe yet: add rooms" in text_of(page)


def test_two_options_are_compared_by_pipe_and_material(office):
    scene = Checked()

    page = check(office, scene.plan, "?with=BID")

    keys = {change.key for change in page.context["size_changes"]}
    assert {"bath-bidet", "bath-bidet-hot", "bath-bidet-cold"} <= keys
    traps = [c for c in page.context["material_changes"] if c.item == "P-trap"]
    assert sum(change.more for change in traps) == 1


def test_lots_whose_options_have_no_outline_are_listed(office):
    scene = Checked()
    scene.lot(options=[scene.option])

    page = check(office, scene.plan)

    assert page.context["missing"] == {"BID": 1}


def test_the_page_asks_the_same_number_of_statements_always(office):
    small = Checked(lots=0, guessed=False, fixtures=("closet",))
    large = Checked(lots=3)
    for n in range(4):
        make_option(large.plan, ["shower"], code=f"S{n}").removes.add(
            large.plan.fixtures.first()
        )

    counts = []
    for scene, query in ((small, ""), (large, ""), (large, "?option=BID&with=S1")):
        check(office, scene.plan, query)
        with CaptureQueriesContext(connection) as asked:
            check(office, scene.plan, query)
        counts.append(len(asked))

    assert len(set(counts)) == 1


def test_strange_words_in_the_address_fall_back(office):
    scene = Checked()

    page = check(office, scene.plan, "?option=NO&book=x&version=99999999999&with=,,,")

    assert page.status_code == 200
    assert page.context["ask"].key == ""


def test_the_diagram_is_a_picture_that_cannot_run(office):
    scene = Checked()

    picture = office.get(f"/plans/{scene.plan.pk}/check/gas.svg")

    assert picture["Content-Type"] == "image/svg+xml"
    assert "default-src 'none'" in picture["Content-Security-Policy"]
    assert b"gas-meter" in picture.content
    assert office.get(f"/plans/{scene.plan.pk}/check/roof.svg").status_code == 404


def test_a_lead_may_not_open_it():
    client, _ = signed_in("lead")

    assert check(client, Checked().plan).status_code == 403


# paper


def test_the_calculation_sheet_says_who_checked_and_every_cell(office):
    scene = Checked()

    sheet = office.get(f"/plans/{scene.plan.pk}/calculation.pdf")

    text = paper_text(sheet)
    assert "Wren Quill" in text
    assert "IRC 2021" in text
    assert "Table P3201.7" in text
    assert "licensed person decide" in text
    assert "Guess: no size" not in text


def test_the_sheet_of_a_guess_says_so(office):
    scene = Checked(accepted=False)

    sheet = office.get(f"/plans/{scene.plan.pk}/calculation.pdf")

    assert "Guess: no size here is checked" in paper_text(sheet)


def test_the_page_speaks_spanish():
    client, _ = signed_in("office", language="es")

    text = text_of(check(client, Checked().plan))

    assert "Revisión del plano" in text
    assert "por confirmar" in text
