"""Material of plans, lots and weeks: rules shown, waste that learns, files, paper."""

import csv
import io
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from openpyxl import load_workbook

from phases.actions.dates import say_date
from phases.material import waste_by_item
from phases.models import MaterialUse, MaterialWaste
from tests.desk.checks_scene import Checked, paper_text
from tests.desk.scene import signed_in
from tests.factories import NOW, phase_of
from tracker.desk.checks.material_queries import weeks_ahead
from tracker.desk.checks.words import HEADS

pytestmark = pytest.mark.django_db
PIPE = "used|topout|PEX SDR-9 water pipe|1/2|ft"


@pytest.fixture
def office():
    return signed_in("office")[0]


def material(client, scene, query=""):
    return client.get(f"/plans/{scene.plan.pk}/material/{query}")


def line_of(lines, item, size=""):
    return next(line for line in lines if (line.item, line.size) == (item, size))


def use(client, lot, **used):
    return client.post(f"/lots/{lot.pk}/material/", {"phase": "topout", **used})


def test_every_line_shows_rule_inputs_basis_and_waste(office):
    page = material(office, Checked())

    pipe = line_of(page.context["listed"].lines, "PVC drain pipe", "4")
    text = page.content.decode()
    assert (pipe.net, pipe.quantity, pipe.waste_pct) == (40.0, 44, 10.0)
    assert "length of every drain" in text
    assert "pipes: 1" in text
    assert "estimated" in text
    assert "accepted by Wren Quill" in text


def test_the_list_of_a_guess_is_marked(office):
    page = material(office, Checked(accepted=False))

    assert "From a guess: not checked." in page.content.decode()


def test_what_is_set_on_the_lot_comes_from_the_stub_out_list(office):
    lines = material(office, Checked()).context["listed"].lines

    closet = line_of(lines, "closet")
    assert (closet.phase, closet.quantity) == ("trim", 1)
    assert closet.rule == "one for each that the stub-out list sets"
    assert not [line for line in lines if line.item == "cleanouts"]


def test_waste_is_set_by_hand_and_given_back(office):
    scene = Checked()
    item = "PVC drain pipe"

    office.post("/material/waste/", {"item": item, "percent": "25"})
    line = line_of(material(office, scene).context["listed"].lines, item, "4")
    assert (line.waste_pct, line.quantity) == (25.0, 50)
    office.post("/material/waste/", {"item": item, "percent": ""})

    line = line_of(material(office, scene).context["listed"].lines, item, "4")
    assert line.waste_pct == 10.0


@pytest.mark.parametrize("percent", ["-1", "201", "x", "nan", "inf"])
def test_a_waste_that_is_none_is_refused(office, percent):
    page = office.post(
        "/material/waste/", {"item": "P-trap", "percent": percent}, follow=True
    )

    assert "waste is a per cent from 0 to 200" in page.content.decode()
    assert MaterialWaste.objects.count() == 0


def test_after_waste_one_is_led_back_to_a_page_of_ours_only(office):
    answers = [
        office.post("/material/waste/", {"item": "x", "percent": "1", "next": there})
        for there in ("/plans/1/material/", "https://elsewhere.example/", "//e.example")
    ]

    assert [answer["Location"] for answer in answers] == [
        "/plans/1/material/",
        "/material/",
        "/material/",
    ]


def test_three_lots_teach_the_waste(office):
    scene = Checked(lots=4)
    net = line_of(
        office.get(f"/lots/{scene.lots[0].pk}/material/").context["listed"].lines,
        "PEX SDR-9 water pipe",
        "1/2",
    ).net
    for lot, share in zip(scene.lots, (1.2, 1.3, 1.5), strict=False):
        use(office, lot, **{PIPE: str(net * share)})

    found = waste_by_item()["PEX SDR-9 water pipe"]
    last = office.get(f"/lots/{scene.lots[3].pk}/material/").context["listed"].lines

    assert (found.percent, found.source, found.lots) == (30.0, "learned", 3)
    assert line_of(last, "PEX SDR-9 water pipe", "1/2").waste_pct == 30.0


def test_the_latest_use_of_a_lot_counts_once(office):
    scene = Checked()
    for used in ("100", "90"):
        use(office, scene.lots[0], **{PIPE: used})

    page = office.get(f"/lots/{scene.lots[0].pk}/material/")

    assert MaterialUse.objects.count() == 2
    assert waste_by_item()["PEX SDR-9 water pipe"].lots == 1
    assert "90 ft" in page.content.decode()


def test_a_slip_with_a_mistake_is_shown_again_whole(office):
    scene = Checked()
    other = "used|topout|PEX SDR-9 water pipe|3/4|ft"

    page = use(office, scene.lots[0], **{PIPE: "77", other: "many"})

    text = page.content.decode()
    assert page.status_code == 422
    assert "give what was used as a number" in text
    assert 'value="77"' in text
    assert 'value="many"' in text
    assert MaterialUse.objects.count() == 0


def test_a_lot_without_an_outline_says_which_is_missing(office):
    scene = Checked()
    lot = scene.lot(options=[scene.option])

    page = office.get(f"/lots/{lot.pk}/material/")

    assert f"Plan {scene.plan.code} with BID has no outline." in page.content.decode()
    assert office.get(f"/lots/{lot.pk}/material.csv").status_code == 404


# files and paper


def test_csv_and_xlsx_hold_the_same_rows(office):
    scene = Checked()
    address = f"/plans/{scene.plan.pk}/material"

    text = office.get(f"{address}.csv").content.decode()
    rows = list(csv.reader(io.StringIO(text)))
    sheet = load_workbook(io.BytesIO(office.get(f"{address}.xlsx").content)).active
    cells = [[cell.value for cell in row] for row in sheet.iter_rows()]

    assert rows[0][:4] == ["phase", "item", "size", "quantity"]
    assert [row[1] for row in rows] == [row[1] for row in cells]
    assert [str(row[3]) for row in cells[1:]] == [
        row[3].removesuffix(".0") for row in rows[1:]
    ]
    sizes = [row[2] for row in cells if row[1] == "PEX SDR-9 water pipe"]
    assert "1/2" in sizes


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_files_are_in_the_language_of_who_downloads_them(kind):
    scene = Checked()
    english, spanish = signed_in("office")[0], signed_in("office", language="es")[0]

    def rows(client, address):
        body = client.get(f"{address}.{kind}").content
        if kind == "csv":
            return list(csv.reader(io.StringIO(body.decode())))
        sheet = load_workbook(io.BytesIO(body)).active
        return [[cell.value for cell in row] for row in sheet.iter_rows()]

    for address in (
        f"/plans/{scene.plan.pk}/material",
        f"/lots/{scene.lots[0].pk}/material",
        "/material/weeks",
    ):
        here, there = rows(english, address), rows(spanish, address)
        assert len(here) == len(there)
        assert [HEADS[name] for name in here[0]] == there[0] != here[0]
        assert [row[2] for row in here[1:]] == [row[2] for row in there[1:]]
    named = {row[1]: row for row in rows(spanish, f"/plans/{scene.plan.pk}/material")}
    assert "tubo de agua PEX SDR-9" in named
    assert named["tubo de agua PEX SDR-9"][0] == "Instalación en muros"


def test_the_pick_list_names_lot_phase_and_every_line(office):
    scene = Checked()
    lot = scene.lots[0]
    lines = office.get(f"/lots/{lot.pk}/material/").context["listed"].phase("topout")

    sheet = office.get(f"/lots/{lot.pk}/material/topout.pdf")

    text = paper_text(sheet)
    assert f"Pick list: {lot.name}, Top out" in text
    assert {line.item for line in lines if line.item not in text} == set()


# weeks


def dated(scene, lot, code, day):
    say_date(
        lot,
        phase=phase_of(lot, code),
        what="ready",
        status="predicted",
        date=day,
        who=scene.office,
        now=NOW,
    )


def test_material_is_rolled_up_by_the_week_of_the_builders_dates(office):
    scene = Checked(lots=3)
    today = date(2026, 3, 4)
    dated(scene, scene.lots[0], "trim", date(2026, 3, 12))
    dated(scene, scene.lots[1], "trim", date(2026, 3, 13))
    dated(scene, scene.lots[2], "trim", date(2026, 2, 2))

    ahead = weeks_ahead(today=today)

    assert [(w.monday, len(w.phases)) for w in ahead.weeks] == [
        (date(2026, 3, 2), 1),
        (date(2026, 3, 9), 2),
    ]
    assert [w.items["closet", "", "pc"] for w in ahead.weeks] == [1, 2]
    assert ahead.left_out == []


def test_a_phase_without_a_list_is_named_not_dropped(office):
    scene = Checked(lots=0)
    lot = scene.lot(options=[scene.option])
    dated(scene, lot, "trim", date(2026, 3, 12))

    ahead = weeks_ahead(today=date(2026, 3, 4))

    assert (ahead.weeks, [why for _, why in ahead.left_out]) == (
        [],
        [f"Plan {scene.plan.code} with BID has no outline."],
    )


def test_weeks_take_the_same_statements_for_one_lot_and_for_six():
    scene = Checked(lots=6)
    counts = []
    for lots in (scene.lots[:1], scene.lots):
        for lot in lots:
            dated(scene, lot, "trim", date(2026, 3, 12))
        weeks_ahead(today=date(2026, 3, 4))
        with CaptureQueriesContext(connection) as asked:
            weeks_ahead(today=date(2026, 3, 4))
        counts.append(len(asked))

    assert counts[0] == counts[1]


def test_weeks_far_ahead_and_past_the_horizon_are_left_out():
    scene = Checked()
    dated(scene, scene.lots[0], "trim", date(2026, 3, 4) + timedelta(weeks=20))

    assert weeks_ahead(today=date(2026, 3, 4)).weeks == []
