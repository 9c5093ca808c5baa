"""The settings pages."""

import json

import pytest
from django.urls import reverse

from phases.models import Following, ReadyPart
from tests.factories import (
    ensure_defaults,
    make_builder,
    make_jurisdiction,
    make_lot,
    make_member,
    make_plan,
    phase_of,
)
from tracker.desk.setup.tables import TABLES
from tracker.people.models import Role
from tracker.sites.models import Builder, InspectionKind, Jurisdiction

pytestmark = pytest.mark.django_db


@pytest.fixture
def office(client):
    client.force_login(make_member("office"))
    return client


def url(slug, pk=None):
    if pk is None:
        return reverse("desk:setup-new", args=[slug])
    return reverse("desk:setup-row", args=[slug, pk])


@pytest.mark.parametrize("slug", TABLES)
def test_every_table_is_shown_and_its_form_opens(office, slug):
    ensure_defaults()
    make_builder()
    make_jurisdiction()

    assert office.get(reverse("desk:setup-rows", args=[slug])).status_code == 200
    assert office.get(url(slug)).status_code == 200


def test_a_builder_is_added_and_the_history_names_who_did_it(office):
    answer = office.post(url("builders"), {"name": "Fenmark Homes"})

    assert answer.status_code == 302
    row = Builder.history.get(name="Fenmark Homes")
    assert row.history_user.role == Role.OFFICE


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("en", "rules.lead.unit: must be one of &quot;inspection_days&quot;, "),
        ("es", "rules.lead.unit: debe ser uno de &quot;inspection_days&quot;, "),
    ],
)
def test_a_wrong_rule_of_an_office_is_said_with_its_key(office, language, said):
    rules = {"timezone": "America/Chicago", "lead": {"unit": "weeks", "amount": 1}}
    fields = {"name": "Port Ellery", "rules": json.dumps(rules)}
    office.cookies["django_language"] = language

    answer = office.post(url("offices"), fields)

    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert not Jurisdiction.objects.exists()


def test_an_office_whose_rules_nobody_knows_may_be_written_down(office):
    assert office.post(url("offices"), {"name": "Marrow"}).status_code == 302
    assert Jurisdiction.objects.get().rules == {}


def test_the_office_may_not_change_what_is_the_owners(office):
    ensure_defaults()

    assert office.post(url("company"), {"name": "Us"}).status_code == 403
    assert office.post(url("phases"), {"code": "x"}).status_code == 403


@pytest.mark.parametrize("role", ["lead", "plumber"])
def test_only_the_office_opens_the_settings(client, role):
    client.force_login(make_member(role))

    assert client.get(reverse("desk:setup")).status_code == 403


def test_a_new_kind_of_inspection_is_waited_for_at_once(
    office, django_capture_on_commit_callbacks
):
    lot = make_lot()
    jurisdiction = lot.subdivision.jurisdiction
    fields = {
        "jurisdiction": jurisdiction.pk,
        "code": "sewer",
        "name_en": "Sewer",
        "name_es": "Drenaje",
        "position": 9,
        "proves": ["underground"],
    }

    with django_capture_on_commit_callbacks(execute=True):
        assert office.post(url("kinds"), fields).status_code == 302

    assert InspectionKind.objects.filter(code="sewer").exists()
    kinds = phase_of(lot, "underground").inspection_reason["kinds"]
    assert kinds == ["ground", "sewer"]


def test_a_part_that_is_no_longer_required_is_no_longer_waited_for(
    office, django_capture_on_commit_callbacks
):
    lot = make_lot()
    part = ReadyPart.objects.get(kind__code="underground", code="locate")
    fields = {
        "kind": part.kind_id,
        "code": part.code,
        "name_en": part.name_en,
        "name_es": part.name_es,
        "owed_by": part.owed_by,
        "position": part.position,
    }

    with django_capture_on_commit_callbacks(execute=True):
        office.post(url("readiness", part.pk), fields)

    assert "locate" not in phase_of(lot, "underground").work_reason["parts"]


def test_another_edition_and_other_local_changes_bring_the_open_lots_along(office):
    lot = make_lot(plan=make_plan())
    street = lot.subdivision
    make_lot()  # without a plan there is no list to follow
    fields = {
        "builder": street.builder_id,
        "name": street.name,
        "jurisdiction": street.jurisdiction_id or "",
        "code_book": "IRC",
        "edition": "2024",
        "time_zone": street.time_zone,
        "map_x": 0,
        "map_y": 0,
    }

    answer = office.post(url("subdivisions", street.pk), fields)
    assert answer.status_code == 302
    office.post(url("subdivisions", street.pk), fields | {"address": "Elm Rd"})

    row = Following.objects.get()
    assert (row.what, row.name, row.waiting) == ("book", street.name, [lot.pk])

    jurisdiction = make_jurisdiction()
    street.jurisdiction = jurisdiction
    street.save()
    change = [{"code": "IRC", "edition": 2024, "effective": "2026-01-01"}]
    office.post(
        url("offices", jurisdiction.pk),
        {
            "name": jurisdiction.name,
            "rules": json.dumps(jurisdiction.rules),
            "amendments": json.dumps(change),
        },
    )

    assert Following.objects.filter(name=jurisdiction.name).get().total == 1
