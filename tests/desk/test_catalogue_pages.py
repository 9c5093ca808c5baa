"""The catalogue on its pages: found, changed by the owner, never broken."""

import pytest
from django.urls import reverse

from phases.catalogue import SCHEMA
from phases.models import CatalogueRow, Following
from tests.desk.scene import Street, signed_in
from tracker.desk.plans.columns import COLUMN_NAMES
from tracker.desk.spanish import words

pytestmark = pytest.mark.django_db


def test_the_owner_changes_the_catalogue_and_the_office_may_not():
    Street()
    row = CatalogueRow.objects.filter(table="room_kinds").first()
    url = reverse("desk:catalogue-row", args=[row.pk])
    data = row.cells | {"name_en": "Wash room"}

    refused = signed_in("office")[0].post(url, data)
    assert "Only the owner" in refused.content.decode()

    owner, member = signed_in("owner")
    owner.post(url, data)
    row.refresh_from_db()
    assert (row.cells["name_en"], row.edited) == ("Wash room", True)
    assert row.history.first().history_user == member


def test_a_catalogue_that_would_not_work_out_is_refused_with_the_reason():
    Street()
    row = CatalogueRow.objects.filter(table="demands").first()
    client, _ = signed_in("owner")

    answer = client.post(
        reverse("desk:catalogue-row", args=[row.pk]), row.cells | {"phase": "roofing"}
    )

    assert answer.status_code == 422
    assert "there is no phase" in answer.content.decode()
    row.refresh_from_db()
    assert row.edited is False


def test_rows_of_the_catalogue_are_found_by_words():
    Street()
    client, _ = signed_in("office")

    found = client.get(
        reverse("desk:catalogue"), {"table": "fixture_kinds", "q": "inodoro"}
    ).context["rows"]

    assert [row.cells["code"] for row, _ in found] == ["closet"]


def test_the_page_says_what_a_change_touches_before_it_is_saved():
    Street(lots=2)
    row = CatalogueRow.objects.get(
        table="demands", cells__fixture="closet", cells__key="cold"
    )
    url = reverse("desk:catalogue-row", args=[row.pk])
    cells = row.cells | {"text_en": "Closet cold as the owner says it"}
    client, _ = signed_in("owner")

    asked = client.post(url, cells)
    row.refresh_from_db()
    assert "This change reaches 2 unanswered items on 2 lots." in asked.content.decode()
    assert row.edited is False

    # What is typed after that is looked at again.
    again = client.post(url, cells | {"text_es": "Fría", "seen": asked.context["mark"]})
    assert again.context["touched"].items == 2

    client.post(url, cells | {"seen": asked.context["mark"]})
    row.refresh_from_db()
    assert row.cells["text_en"] == "Closet cold as the owner says it"
    assert Following.objects.get().total == 2


def test_every_column_of_every_table_has_a_name_in_both_languages():
    columns = {column for table in SCHEMA.values() for column in table}

    assert columns - set(COLUMN_NAMES) == set()
    assert set(COLUMN_NAMES) - columns == set()
    assert [name for name in COLUMN_NAMES.values() if name not in words()] == []
