"""The page of one house: what it shows, and what its forms and buttons do."""

import pytest
from django.urls import reverse

from phases.actions.corrections import Finding, open_correction
from phases.actions.entries import answer_item
from phases.actions.holds import set_hold
from phases.actions.work import start_work
from tests.desk.scene import NOW, Street, signed_in
from tests.factories import prove_phase
from tracker.sites.models import Company

pytestmark = pytest.mark.django_db


def page_of(lot, **asked):
    return reverse("desk:lot", args=[lot.pk]), asked


def answered(street):
    """A measure, a hold and a correction on the first lot; the measured item."""
    lot = street.lots[0]
    item = street.phase("topout").items.filter(proof="measure").first()
    least = item.spec["least"] - 2
    payload = {"value": least, "unit": item.spec["unit"], "reason": "stud in the way"}
    answer_item(item, answer="measure", who=street.lead, now=NOW, payload=payload)
    set_hold(lot, owed_by="electrician", text="Panel", who=street.lead, now=NOW)
    finding = Finding(text="Strap it", text_es="Sujetar", item=item)
    open_correction(lot, finding, who=street.lead, now=NOW)
    return item


@pytest.mark.parametrize("rows", [1, 3])
def test_a_lot_takes_as_many_statements_for_any_number_of_things(
    rows, django_assert_num_queries
):
    street = Street(fixtures=("closet", "lavatory", "tub_shower")[:rows])
    lot = street.lots[0]
    for _ in range(rows):
        set_hold(lot, owed_by="city", text="Permit", who=street.lead, now=NOW)
        open_correction(lot, Finding(text="Strap"), who=street.lead, now=NOW)
    client, _ = signed_in("office")
    client.get(*page_of(lot))

    with django_assert_num_queries(31):
        answer = client.get(*page_of(lot, phase="all"))

    house = answer.context["house"]
    assert (len(house.holds), len(house.corrections)) == (rows, rows)


def test_a_lot_shows_items_answers_holds_and_corrections():
    street = Street(fixtures=("lavatory",))
    item = answered(street)
    client, _ = signed_in("office")

    text = client.get(*page_of(street.lots[0], phase="topout")).content.decode()

    for said in (item.spec["text_en"], "Panel", "Strap it", "off by", "from subfloor"):
        assert said in text


def test_a_lot_reads_in_spanish():
    street = Street(fixtures=("lavatory",))
    item = answered(street)
    client, _ = signed_in("office", language="es")

    text = client.get(*page_of(street.lots[0], phase="topout")).content.decode()

    for said in (item.spec["text_es"], "Sujetar", "electricista", "fuera por", "Lote"):
        assert said in text


def test_items_of_the_phase_that_needs_looking_at_are_listed_first():
    street = Street()
    client, _ = signed_in("office")
    prove_phase(street.phase("underground"), who=street.lead)

    def phases(**asked):
        house = client.get(*page_of(street.lots[0], **asked)).context["house"]
        lines = [line for room in house.rooms for line in room.items]
        return {line.item.lot_phase.kind.code for line in lines}

    assert phases() == {"underground"}
    assert phases(phase="trim") == {"trim"}
    assert phases(phase="underground", show="open") == set()
    assert len(phases(phase="all")) > 2


def test_a_lot_without_plan_says_not_proven_no_list():
    street = Street(lots=0)
    lot = street.lot(plan=None)
    client, _ = signed_in("office")

    text = client.get(*page_of(lot)).content.decode()

    assert "not proven: no list" in text
    assert "Not proven: no list. Choose a plan with fixtures" in text


def test_a_foreign_lot_answers_like_a_missing_one():
    street = Street()
    client, _ = signed_in("plumber", crew=street.crew)

    foreign = client.get(*page_of(street.lots[0]))
    missing = client.get(reverse("desk:lot", args=[street.lots[0].pk + 999]))

    assert (foreign.status_code, missing.status_code) == (404, 404)
    assert foreign.content.decode().count("csrf") == missing.content.decode().count(
        "csrf"
    )


def test_the_record_keeps_money_from_those_it_is_not_for():
    street = Street()
    phase = street.phase("underground")
    start_work(phase, who=street.lead, now=NOW)
    lot = phase.lot
    lot.facts.create(
        no=10_000,
        kind="billed",
        payload={"invoice": "17"},
        happened_at=NOW,
        recorded_at=NOW,
    )
    phase.helper_rows.create(crew=street.crew)
    page = reverse("desk:lot-record", args=[lot.pk])

    office, lead = signed_in("office")[0], signed_in("lead", crew=street.crew)[0]

    assert "billed on invoice 17" in office.get(page).content.decode()
    text = lead.get(page).content.decode()
    assert ("work started" in text, "billed" in text) == (True, False)


def test_a_photo_is_shown_only_to_who_may_see_its_lot(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    street = Street(fixtures=("closet",))
    Company.objects.create()
    prove_phase(street.phase("underground"), who=street.lead)
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "p.jpg").write_bytes(b"picture")
    sha = street.lots[0].photo_uses.first().photo_sha
    office, other = signed_in("office")[0], signed_in("plumber", crew=street.crew)[0]
    page = reverse("desk:photo", args=[sha])

    shown = office.get(page)

    assert b"".join(shown.streaming_content) == b"picture"
    assert other.get(page).status_code == 404
    assert office.get(reverse("desk:photo", args=["0" * 64])).status_code == 404
