"""One check item: every answer stays readable; a lead rejects, somebody settles."""

import pytest
from django.urls import reverse

from phases.actions.entries import answer_item
from phases.log import Who
from tests.desk.scene import NOW, Street, signed_in
from tests.factories import make_member
from tracker.desk.today.queries import today_lines

pytestmark = pytest.mark.django_db


def measured(street, *values):
    """An item measured by as many people as there are values."""
    item = street.phase("underground").items.filter(spec__unit="in16").first()
    for value in values:
        answer_item(
            item,
            answer="measure",
            who=Who(member=make_member("plumber", crew=street.crew)),
            now=NOW,
            payload={"value": item.spec["least"] + value, "unit": "in16"},
        )
    return item


def post(client, route, item, **data):
    return client.post(reverse(f"desk:{route}", args=[item.pk]), data)


def test_two_measurements_wait_on_today_until_somebody_settles_them():
    street = Street()
    item = measured(street, 0, 3)
    client, office = signed_in("office")
    assert today_lines(office, today=NOW.date(), now=NOW).conflicts == [item]

    post(client, "item-settlement", item, value="12 1/2", reason="Measured again")

    item.refresh_from_db()
    assert (item.state, item.answer["value"]) == ("open", 200)
    assert today_lines(office, today=NOW.date(), now=NOW).conflicts == []


def test_both_measurements_stay_readable():
    street = Street()
    item = measured(street, 0, 3)
    client, _ = signed_in("office")

    answer = client.get(reverse("desk:item", args=[item.pk]))

    text = answer.content.decode()
    assert len(answer.context["rows"]) == 2
    assert text.count("measured ") == 2


def test_a_rejected_proof_no_longer_counts():
    street = Street()
    item = (
        street.phase("underground").items.filter(proof="tick", photos_needed=0).first()
    )
    answer_item(item, answer="tick", who=street.lead, now=NOW)
    item.refresh_from_db()
    assert item.state == "proven"
    client, _ = signed_in("office")
    of = str(item.facts.get().no)

    post(client, "item-rejection", item, of=of, reason="Not strapped")

    item.refresh_from_db()
    assert (item.state, item.answer["reason"]) == ("rejected", "Not strapped")
    text = client.get(reverse("desk:item", args=[item.pk])).content.decode()
    assert "does not count" in text


def test_a_figure_that_is_none_stays_in_the_form():
    street = Street()
    item = measured(street, 0, 3)
    client, _ = signed_in("office")

    answer = post(client, "item-settlement", item, value="a bit", reason="So")

    assert answer.status_code == 422
    assert "Write a number." in answer.content.decode()


def test_an_item_of_a_foreign_lot_is_not_there():
    street = Street()
    item = measured(street)
    client, _ = signed_in("lead", crew=street.crew)

    assert client.get(reverse("desk:item", args=[item.pk])).status_code == 404
    assert post(client, "item-rejection", item, of="1", reason="x").status_code == 404


def test_the_limits_of_a_reading_are_said_in_both_languages():
    street = Street()
    item = street.phase("underground").items.get(
        key="yard/water_service/depth.underground"
    )
    said = []

    for language in ("en", "es"):
        client, _ = signed_in("office", language=language)
        answer = client.get(reverse("desk:item", args=[item.pk]))
        said.append(answer.context["line"].targets)

    assert said == [["depth: at least 12 in."], ["profundidad: mínimo 12 pulg."]]
