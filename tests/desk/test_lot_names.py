"""A lot is named in the reader's language, wherever it stands."""

import re

import pytest
from django.urls import reverse

from phases.log import Who
from tests.desk.scene import Street, signed_in
from tests.factories import NOW, make_lot, make_member
from tests.planning.scene import MORNING, planned, street, two_crews
from tracker.desk.imports.many_dates import What, say_dates
from tracker.errors import Refused
from tracker.planning.actions.publishing import publish
from tracker.planning.adapter.labels import Label, label_of
from tracker.sites.models import Lot

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("fields", "english", "spanish"),
    [
        ({"label": "18A"}, "Lot 18A", "Lote 18A"),
        ({"label": "18A", "block": "6"}, "Lot 18A, Block 6", "Lote 18A, Manzana 6"),
        ({"label": "4", "unit": "B"}, "Lot 4, B", "Lote 4, B"),
        ({"label": "", "address": "9 Elm St"}, "9 Elm St", "9 Elm St"),
    ],
)
def test_a_name_in_both_languages(fields, english, spanish):
    lot = Lot(**fields)

    assert (lot.name, lot.name_es) == (english, spanish)


def test_the_label_of_a_plan_in_both_languages():
    label = Label(label_of(Lot(label="14", block="6", unit="B"), "Elm"))

    assert label == label.in_language("en") == "14 B block 6, Elm"
    assert label.in_language("es") == "14 B manzana 6, Elm"
    assert label.short == "14 B·6"


def text(client, address):
    """What people read or hear of a page: no code, no value that a form sends."""
    page = client.get(address).content.decode()
    return re.sub(r'(data-lot|value)="[^"]*"', "", page)


@pytest.mark.parametrize("language", ["en", "es"])
def test_pages_of_the_plan_say_the_block_in_the_readers_language(language):
    who = Who(member=make_member("owner"))
    lots = street(who, 2)
    Lot.objects.filter(pk__in=[lot.pk for lot in lots]).update(block="6")
    two_crews()
    draft = planned(who)
    client, _ = signed_in(language=language)
    block, other = ("manzana 6", "block 6")[:: 1 if language == "es" else -1]
    board = reverse("desk:look-ahead")

    pages = {
        "crews": text(client, f"{board}?plan={draft.pk}"),
        "lots": text(client, f"{board}?plan={draft.pk}&by=lot"),
        "why": text(client, reverse("desk:look-ahead-why", args=[draft.pk])),
    }
    publish(draft, who=who, now=MORNING)
    pages["told"] = text(client, board)

    for name, page in pages.items():
        assert f" {block}, " in page, name
        assert f" {other}, " not in page, name


@pytest.mark.parametrize("language", ["en", "es"])
def test_pages_of_the_desk_name_a_lot_in_the_readers_language(language):
    scene = Street(1)
    Lot.objects.update(block="6")
    client, _ = signed_in("owner", language=language)
    lot = Lot.objects.get(pk=scene.lots[0].pk)
    name = lot.in_language(language)
    other = lot.in_language("en" if language == "es" else "es")

    for page in (
        reverse("desk:street-dates", args=[lot.subdivision_id]),
        f"{reverse('desk:season')}?street={lot.subdivision_id}",
        reverse("desk:lot-tests", args=[lot.pk]),
        reverse("desk:after-lot", args=[lot.pk]),
    ):
        shown = text(client, page)
        assert name in shown, page
        assert other not in shown, page


def test_a_refusal_names_lots_in_the_readers_language():
    scene = Street(1)
    bare = make_lot(subdivision=scene.subdivision, label="9", block="6")
    bare.phases.all().delete()

    with pytest.raises(Refused) as refused:
        say_dates(
            [bare],
            what=What("ready", "rough"),
            day=NOW.date(),
            status="predicted",
            said_by="Ann",
            who=scene.office,
            now=NOW,
        )

    assert "Lot 9, Block 6" in refused.value.say("en")
    assert "Lote 9, Manzana 6" in refused.value.say("es")
