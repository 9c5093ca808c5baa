"""The page that releases many lots of a street at once."""

from datetime import date

import pytest
from django.urls import reverse

from tests.factories import (
    ensure_defaults,
    make_builder,
    make_lot,
    make_member,
    make_option,
    make_plan,
    make_subdivision,
)
from tracker.sites.models import Lot

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def stored(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    ensure_defaults()


@pytest.fixture
def office(client):
    client.force_login(make_member("office"))
    return client


@pytest.fixture
def street():
    builder = make_builder()
    plan = make_plan(builder, code="1820")
    make_option(plan, code="TUB2")
    street = make_subdivision(builder, name="Heron")
    for label in ("1", "2", "3"):
        make_lot(street, label=label)
    return street


def release(client, street, **said):
    address = reverse("desk:starts") + f"?subdivision={street.pk}"
    return client.post(address, said)


def test_many_lots_are_released_in_one_form(office, street):
    plan = street.builder.plans.get()
    one, two, three = Lot.objects.order_by("label")
    said = {"said_by": "Super of Heron"}
    for lot in (one, two):
        said |= {
            f"lot-{lot.pk}-chosen": "on",
            f"lot-{lot.pk}-plan": plan.pk,
            f"lot-{lot.pk}-options": [plan.options.get().pk],
            f"lot-{lot.pk}-mirrored": "yes",
            f"lot-{lot.pk}-start": "2026-04-01",
            f"lot-{lot.pk}-ready": "2026-04-06",
        }

    answer = release(office, street, **said)

    assert answer.status_code == 302
    assert [lot.plan for lot in Lot.objects.order_by("label")] == [plan, plan, None]
    one.refresh_from_db()
    assert (one.mirrored, [o.code for o in one.options.all()]) == (True, ["TUB2"])
    assert [(d.what, d.date, d.said_by) for d in one.dates.all()] == [
        ("start", date(2026, 4, 1), "Super of Heron"),
        ("ready", date(2026, 4, 6), "Super of Heron"),
    ]
    assert three.dates.count() == 0


def test_days_for_all_are_taken_by_rows_that_say_nothing_else(office, street):
    one, two, three = Lot.objects.order_by("label")
    said = {f"lot-{lot.pk}-chosen": "on" for lot in (one, two)}

    release(
        office,
        street,
        **said,
        **{f"lot-{two.pk}-start": "2026-04-08", "all-start": "2026-04-01"},
        **{"said_by": "Super of Heron"},
    )
    page = office.get(reverse("desk:starts") + f"?subdivision={street.pk}&all=1")

    days = [[d.date for d in lot.dates.all()] for lot in (one, two, three)]
    assert days == [[date(2026, 4, 1)], [date(2026, 4, 8)], []]
    known = {row.lot.pk: row.known for row in page.context["rows"]}
    assert known[two.pk] == {"start": date(2026, 4, 8)}


def test_one_wrong_field_releases_nothing(office, street):
    plan = street.builder.plans.get()
    one, two, _ = Lot.objects.order_by("label")

    page = release(
        office,
        street,
        **{
            f"lot-{one.pk}-chosen": "on",
            f"lot-{one.pk}-plan": plan.pk,
            f"lot-{two.pk}-chosen": "on",
            f"lot-{two.pk}-options": [plan.options.get().pk],
        },
    )

    assert "Not options of this plan: TUB2." in page.content.decode()
    assert Lot.objects.filter(plan=None).count() == 3


def test_nothing_chosen_is_said(office, street):
    assert "Choose at least one lot." in release(office, street).content.decode()


@pytest.mark.parametrize("more", [0, 3])
def test_the_release_form_takes_the_same_statements_however_many_lots(
    office, street, more, django_assert_num_queries
):
    for _ in range(more):
        make_lot(street)
    address = reverse("desk:starts") + f"?subdivision={street.pk}"

    with django_assert_num_queries(10):
        page = office.get(address)

    assert len(page.context["rows"]) == 3 + more
