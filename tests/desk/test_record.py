"""The audit trail: every change in words, in both languages, however far back."""

from datetime import date, timedelta

import pytest
from django.apps import apps
from django.urls import reverse

from phases.actions.lots import EDITABLE, update_lot
from tests.desk.scene import NOW, Street, signed_in
from tests.factories import make_builder, make_crew, make_member
from tracker.desk.record import queries
from tracker.desk.record.columns import COLUMNS, value_text
from tracker.desk.spanish import words
from tracker.people.actions import save_member

pytestmark = pytest.mark.django_db
HISTORIES = [model for model in apps.get_models() if hasattr(model, "history")]
SAME = {"extras"}  # reads alike in both languages


def column_words():
    for model in HISTORIES:
        yield str(model._meta.verbose_name)
        for field in queries.columns_of(model):
            yield COLUMNS.get(field.name) or field.name.replace("_", " ")
    for name in EDITABLE:
        yield COLUMNS.get(name) or name.replace("_", " ")


def test_every_column_that_keeps_a_history_has_words_in_both_languages():
    found = set(column_words())

    assert len(found) > 100
    assert [text for text in sorted(found) if text not in words()] == []
    assert [text for text in found if "_" in text] == []
    assert [t for t in found if words()[t] == t and t not in SAME] == []


@pytest.mark.parametrize(
    ("value", "english", "spanish"),
    [
        (None, "–", "–"),
        (True, "yes", "sí"),
        (date(2026, 3, 2), "2026-03-02", "2026-03-02"),
        ({"cutoff": "9", "days": ["tue"]}, *["cutoff: 9; days: tue"] * 2),
        ([], "–", "–"),
        ("x" * 400, "x" * 160 + "…", "x" * 160 + "…"),
    ],
)  # fmt: skip
def test_values_are_said_in_words(value, english, spanish):
    assert (value_text(value, "en"), value_text(value, "es")) == (english, spanish)


def test_a_changed_member_is_told_with_the_names_of_his_crews():
    client, office = signed_in("owner")
    first, second = make_crew(name="Frame Four"), make_crew(name="Trim Six")
    lead = make_member("lead", crew=first)
    lead.crew = second
    save_member(lead, by=office)

    english = client.get(reverse("desk:changes")).content.decode()
    client.cookies["django_language"] = "es"
    spanish = client.get(reverse("desk:changes")).content.decode()

    assert "crew: Frame Four → Trim Six" in english
    assert "cuadrilla: Frame Four → Trim Six" in spanish


def test_a_changed_lot_is_told_in_words_on_its_record():
    street = Street()
    lot = street.lots[0]
    update_lot(lot, who=street.office, now=NOW, warranty_until=date(2027, 3, 2))
    client, _ = signed_in("office", language="es")

    page = client.get(reverse("desk:lot-record", args=[lot.pk])).content.decode()

    assert "cambiaron datos: garantía hasta: – → 2027-03-02" in page
    assert "warranty_until" not in page


def test_older_changes_are_a_page_further(monkeypatch):
    monkeypatch.setattr(queries, "LAST", 3)
    rows = [make_builder(name=f"Builder {n}") for n in range(5)]
    for n, row in enumerate(rows):
        row.history.update(history_date=NOW + timedelta(hours=n))
    client, _ = signed_in("office")
    address = reverse("desk:changes")

    newest = queries.changes(before=NOW + timedelta(hours=9))
    page = client.get(address, {"before": newest[-1].when.isoformat()})

    assert [row.name for row in newest] == ["Builder 4", "Builder 3", "Builder 2"]
    shown = [row.name for row in page.context["changes"]]
    assert shown == ["Builder 1", "Builder 0"]
    assert client.get(address, {"before": "yesterday"}).status_code == 200
