"""The outline edited as a table: one outline with the text, mistakes at their row."""

import json
import re

import pytest

from phases.models import PlanOutline
from phases.sizing.outline import parse
from phases.sizing.outline.sheet import lines_of
from tests.desk.checks_scene import Checked
from tests.desk.scene import signed_in
from tracker.desk.checks.sheet_form import as_json, lines_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return signed_in("office")[0]


def rows_of(scene, **changes):
    """The rows of the kept outline as the page sends them, one pipe changed."""
    rows = json.loads(as_json(lines_in(scene.outline.text)))
    for row in rows:
        row.update(changes.get(row["node"].replace("-", "_"), {}))
    return rows


def sent(scene, rows, **more):
    return {
        "side": "table",
        "rows": rows if isinstance(rows, str) else json.dumps(rows),
        "extras": scene.outline.extras,
        "base_version": scene.outline.version,
        **more,
    }


def address(scene, part=""):
    return f"/plans/{scene.plan.pk}/outline/{part}"


def problems_of(page):
    return [(field, p.place, p.message) for field, p in page.context["problems"]]


def test_the_page_opens_with_a_row_for_every_pipe(office):
    scene = Checked()

    page = office.get(address(scene))

    found = [row.line for table in page.context["form"].tables for row in table.rows]
    assert found == list(lines_of(parse(scene.outline.text)))
    names = re.findall(r'data-col="node" value="([^"]+)"', page.content.decode())
    assert names == [line.node for line in found]


def test_table_and_text_keep_the_same_outline(office):
    scene = Checked()
    text = scene.outline.text.replace(
        "sewer size=4 length=40", "sewer size=4 length=55"
    )
    assert text != scene.outline.text

    office.post(
        address(scene), {"text": text, "base_version": 1, "extras": "house baths=1"}
    )
    by_text = PlanOutline.objects.latest_first().first()
    by_text.delete()
    rows = rows_of(scene, sewer={"length": "55"})
    office.post(address(scene), sent(scene, rows, extras="house baths=1"))
    by_table = PlanOutline.objects.latest_first().first()

    assert by_table.version == 2
    assert (
        (by_table.text, by_table.extras) == (by_text.text, by_text.extras) != ("", "")
    )


def test_rows_without_a_change_add_no_version_to_an_edited_outline(office):
    scene = Checked()
    rows = rows_of(scene, sewer={"length": "55"})

    office.post(address(scene), sent(scene, rows))
    office.post(address(scene), sent(scene, rows, base_version=2))

    assert PlanOutline.objects.count() == 2


def test_a_live_try_checks_the_rows_and_keeps_nothing(office):
    scene = Checked()
    rows = rows_of(scene, bath_closet={"size": "2"})

    live = office.post(address(scene, "trying/"), sent(scene, rows))

    assert [(c.key, c.before, c.after) for c in live.context["size_changes"]] == [
        ("bath-closet", "3", "2")
    ]
    assert live.context["live"][0].finding.where == "bath-closet"
    assert PlanOutline.objects.count() == 1


def test_a_mistake_stands_at_its_row_live_and_when_kept(office):
    scene = Checked()
    rows = rows_of(scene, building_drain={"length": "long"})

    live = office.post(address(scene, "trying/"), sent(scene, rows))
    page = office.post(address(scene), sent(scene, rows))

    told = ("rows", "drain, row 2", "length: 'long' is no number.")
    assert problems_of(live) == [told]
    assert 'data-place="drain, row 2" data-message="length:' in live.content.decode()
    assert page.status_code == 422
    drains = page.context["form"].tables[0].rows
    assert [row.told for row in drains][:3] == [(), (told[2],), ()]
    assert drains[1].cells[1].value == "long"
    assert PlanOutline.objects.count() == 1


@pytest.mark.parametrize(
    "rows",
    ["", "{", "7", "[7]", '[{"system": "air"}]', "[" * 3000, json.dumps([{}] * 800)],
)
def test_rows_that_are_none_of_ours_are_refused_and_keep_nothing(office, rows):
    scene = Checked()

    page = office.post(address(scene), sent(scene, rows))

    assert page.status_code == 422
    assert PlanOutline.objects.count() == 1


def test_a_side_turns_to_the_other_with_what_was_written(office):
    scene = Checked()
    rows = rows_of(scene, sewer={"length": "55"})

    as_text = office.post(address(scene), sent(scene, rows, switch="text"))
    text = as_text.context["form"].data["text"]
    as_table = office.post(
        address(scene), {"side": "text", "text": text, "switch": "table"}
    )

    assert "length=55" in text
    assert as_text.context["form"].is_table is False
    assert as_table.context["form"].is_table is True
    assert [line.node for line in as_table.context["form"].lines] == [
        row["node"] for row in rows
    ]
    assert PlanOutline.objects.count() == 1


def test_a_table_that_cannot_be_read_stays_a_table(office):
    scene = Checked()
    rows = rows_of(scene, sewer={"length": "long"})

    page = office.post(address(scene), sent(scene, rows, switch="text"))

    assert (page.status_code, page.context["form"].is_table) == (200, True)
    assert page.context["form"].tables[0].rows[0].told


def test_a_local_rule_without_a_cell_is_read_on_the_page(office):
    scene = Checked()
    note = {"note": "Test sections stand 30 ft at most.", "reason": "No figure."}
    scene.jurisdiction.amendments = [note]
    scene.jurisdiction.save()

    page = office.get(f"/plans/{scene.plan.pk}/check/")

    assert page.context["ask"].choice.notes == (
        "Test sections stand 30 ft at most. No figure.",
    )
    assert "Test sections stand 30 ft at most." in page.content.decode()
