"""The pages of the imports: upload, look, decide, apply, undo, correct."""

import csv
import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from openpyxl import load_workbook

from tests.factories import (
    ensure_defaults,
    make_builder,
    make_member,
)
from tracker.sites.models import Builder, Lot, LotImport, Subdivision

pytestmark = pytest.mark.django_db

LIST = (
    b"Lot,Block,Subdivision,Address,Start\n"
    b"1,A,Heron,12 Elm St,2026-03-04\n2,A,HERON ADD,14 Elm St,\n"
    b"3,A,,16 Elm St,soon\n"
)


@pytest.fixture(autouse=True)
def stored(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    ensure_defaults()


@pytest.fixture
def office(client):
    client.force_login(make_member("office"))
    return client


def hand_in(client, data=LIST, name="list.csv", **fields):
    if "builder" not in fields:
        fields["builder"] = make_builder().pk
    return client.post(
        reverse("desk:imports"), {"file": SimpleUploadedFile(name, data), **fields}
    )


def handed_in(client, data=LIST, **fields):
    hand_in(client, data, **fields)
    return LotImport.objects.latest("pk")


def answers(page, **said):
    """What a browser would post from the decision form."""
    form = page.context["form"]
    return {name: form[name].value() or "" for name in form.fields} | said


def test_an_uploaded_list_is_looked_at_and_nothing_is_changed(office):
    answer = hand_in(office)

    lot_import = LotImport.objects.get()
    assert answer.url == reverse("desk:import", args=[lot_import.pk])
    page = office.get(answer.url)
    assert page.context["counts"] == [
        ("new", 2),
        ("changed", 0),
        ("unchanged", 0),
        ("skipped", 0),
        ("bad", 1),
    ]
    text = page.content.decode()
    assert "12 Elm St" in text
    assert "This is not a date. Write it as 2026-03-04." in text
    assert Lot.objects.count() == 0


def test_what_is_no_list_is_refused_in_the_form_and_leaves_nothing(office):
    page = hand_in(office, b"%PDF-1.7", new_builder="Heron Homes", builder="")

    assert "PDF" in page.content.decode()
    assert (LotImport.objects.count(), Builder.objects.count()) == (0, 0)


def test_a_list_needs_a_builder(office):
    page = hand_in(office, builder="")

    assert page.context["form"].errors["builder"] == [
        "Choose the builder whose list it is."
    ]


def test_decisions_are_kept_and_used(office):
    lot_import = handed_in(office)
    address = reverse("desk:import", args=[lot_import.pk])
    page = office.get(address)
    form = page.context["form"]
    join = next(key for key, name in form.joins.items() if name == "HERON ADD")
    start = next(key for key, name in form.columns.items() if name == "Start")

    office.post(
        address,
        answers(page, **{join: "Heron", start: "", "otherwise": "Oak"}, remember="on"),
    )

    lot_import.refresh_from_db()
    assert (lot_import.joins, lot_import.otherwise) == ({"HERON ADD": "Heron"}, "Oak")
    assert lot_import.mapping["Start"] == "-"
    assert lot_import.builder.list_mapping["Lot"] == "lot"
    office.post(reverse("desk:import-application", args=[lot_import.pk]))
    names = Lot.objects.order_by("label").values_list("subdivision__name", flat=True)
    assert list(names) == ["Heron", "Heron", "Oak"]


def test_one_field_cannot_be_taken_from_two_columns(office):
    lot_import = handed_in(office)
    address = reverse("desk:import", args=[lot_import.pk])

    page = office.post(
        address, answers(office.get(address), **{"column-3": "lot"}, remember="")
    )

    errors = page.context["form"].errors["column-3"]
    assert errors == ["lot is already taken from “Lot”."]
    lot_import.refresh_from_db()
    assert lot_import.mapping == {}


def test_a_list_is_applied_then_undone_from_its_page(office):
    lot_import = handed_in(
        office, LIST.replace(b",,16 Elm St,soon", b",Heron,16 Elm St,")
    )
    address = reverse("desk:import", args=[lot_import.pk])

    office.post(reverse("desk:import-application", args=[lot_import.pk]))

    page = office.get(address)
    assert [lot.label for lot in Lot.objects.open().order_by("label")] == [
        "1",
        "2",
        "3",
    ]
    assert (page.context["why_not_undo"], page.context["total"]) == (None, 3)
    office.post(reverse("desk:import-undoing", args=[lot_import.pk]))
    assert Lot.objects.open().count() == 0
    assert "Undone by" in office.get(address).content.decode()


def test_a_refusal_is_said_on_the_page(office):
    data = b"Lot,Address\n1,12 Elm St\n"
    lot_import = handed_in(office, data)

    answer = office.post(
        reverse("desk:import-application", args=[lot_import.pk]), follow=True
    )

    assert "no subdivision: 1" in answer.content.decode()
    assert (Lot.objects.count(), Subdivision.objects.count()) == (0, 0)


@pytest.mark.parametrize("then_apply", [False, True])
def test_the_rows_to_correct_can_be_downloaded(office, then_apply):
    lot_import = handed_in(office)
    if then_apply:
        office.post(reverse("desk:import-application", args=[lot_import.pk]))

    sheet = office.get(reverse("desk:import-errors-csv", args=[lot_import.pk]))
    book = office.get(reverse("desk:import-errors-xlsx", args=[lot_import.pk]))

    lines = list(csv.reader(io.StringIO(sheet.content.decode("utf-8-sig"))))
    expected = ["4", "Start", "soon", "This is not a date.", "Write it as 2026-03-04."]
    assert lines[1:] == [[*expected, "bad"]]
    page = load_workbook(io.BytesIO(book.content)).active
    assert [cell.value for cell in page[2]][:3] == [4, "Start", "soon"]


def test_rows_are_shown_by_state_and_by_the_hundred(office):
    data = b"Lot,Subdivision\n" + b"".join(b"%d,Heron\n" % n for n in range(1, 151))
    lot_import = handed_in(office, data)
    address = reverse("desk:import", args=[lot_import.pk])

    assert len(office.get(address).context["page"].object_list) == 100
    assert len(office.get(address + "?page=2").context["page"].object_list) == 50
    assert len(office.get(address + "?status=bad").context["page"].object_list) == 0


@pytest.mark.parametrize("role", ["lead", "plumber", None])
def test_only_the_office_opens_these_pages(client, role):
    office = make_member("office")
    client.force_login(office)
    pk = handed_in(client).pk
    client.logout()
    if role:
        client.force_login(make_member(role))
    gets = [
        reverse("desk:imports"),
        reverse("desk:import", args=[pk]),
        reverse("desk:import-errors-csv", args=[pk]),
        reverse("desk:import-errors-xlsx", args=[pk]),
        reverse("desk:starts"),
    ]
    posts = [
        reverse("desk:import-application", args=[pk]),
        reverse("desk:import-undoing", args=[pk]),
    ]

    answers = [client.get(one) for one in gets] + [client.post(one) for one in posts]

    assert {answer.status_code for answer in answers} == {403 if role else 302}
    assert Lot.objects.count() == 0


def test_a_list_that_is_not_there_is_not_found(office):
    assert office.get(reverse("desk:import", args=[999])).status_code == 404
    address = reverse("desk:import-application", args=[999])
    assert office.post(address).status_code == 404


def test_a_stored_list_that_is_gone_is_said_and_does_not_break_the_page(office):
    lot_import = handed_in(office)
    lot_import.file.storage.delete(lot_import.file.name)

    page = office.get(reverse("desk:import", args=[lot_import.pk]))

    assert page.status_code == 409
    assert "Upload it again" in page.content.decode()
