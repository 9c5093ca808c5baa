"""One date of many lots of a street: one transaction, a fact for each lot."""

import re
from datetime import date

import pytest
from django.urls import reverse

from phases.actions.dates import say_date
from phases.models import Fact, LotPhase
from tests.desk.scene import Street, signed_in
from tests.factories import NOW, phase_of
from tracker.desk.imports.many_dates import What, in_range, say_dates
from tracker.errors import Refused
from tracker.sites.models import BuilderDate

pytestmark = pytest.mark.django_db
FRIDAY = date(2026, 3, 6)


@pytest.fixture
def street():
    scene = Street(lots=4)
    for number, lot in enumerate(scene.lots, 12):
        lot.label = str(number)
        lot.save()
    return scene


def said(street, lots, **more):
    fields = {
        "what": What("ready", "rough"),
        "day": FRIDAY,
        "status": "predicted",
        "said_by": "Ann Wren",
        "who": street.office,
        "now": NOW,
    }
    return say_dates(lots, **fields | more)


def test_a_date_is_said_of_each_lot_with_who_said_it(street):
    assert said(street, street.lots[:3]) == 3

    rows = BuilderDate.objects.all()
    assert {(r.lot_id, r.what, r.phase, r.date, r.said_by) for r in rows} == {
        (lot.pk, "ready", "rough", FRIDAY, "Ann Wren") for lot in street.lots[:3]
    }
    assert phase_of(street.lots[0], "rough").ready_date == FRIDAY
    assert phase_of(street.lots[3], "rough").ready_date is None


def test_a_lot_without_the_phase_is_named_and_nothing_is_said_of_any(street):
    LotPhase.objects.filter(lot=street.lots[2], kind__code="rough").delete()

    with pytest.raises(Refused, match="no such phase: Lot 14"):
        said(street, street.lots)

    assert Fact.objects.filter(kind="date_said").count() == 0


@pytest.mark.parametrize(
    ("more", "text"),
    [({"lots": []}, "at least one lot"), ({"said_by": " "}, "who said so")],
)
def test_a_date_of_no_lot_or_by_nobody_is_refused(street, more, text):
    with pytest.raises(Refused, match=text):
        said(street, **{"lots": street.lots} | more)


def test_a_part_that_is_due_leaves_the_day_of_the_phase_alone(street):
    lot = street.lots[0]
    rough = phase_of(lot, "rough")
    say_date(lot, what="ready", phase=rough, date=FRIDAY, who=street.office, now=NOW)
    part = rough.kind.parts.first().code

    said(street, [lot], what=What("ready", "rough", part), day=date(2026, 3, 4))

    assert phase_of(lot, "rough").ready_date == FRIDAY
    client, _ = signed_in("office")
    page = client.get(reverse("desk:lot", args=[lot.pk])).content.decode()
    assert re.search(r"due \S.*, said by Ann Wren", page)


def test_a_cover_date_has_no_parts(street):
    with pytest.raises(Refused):
        said(street, street.lots, what=What("cover", "rough", "framing"))


@pytest.mark.parametrize(
    ("label", "text", "expected"),
    [
        ("12", "12-18", True),
        ("18A", "12-18", True),
        ("19", "12-18, 21", False),
        ("21", "12-18, 21", True),
        ("3A", "3a", True),
        ("3A", "3", False),
        ("D6", "1-9", False),
        ("7", "", False),
    ],
)
def test_lots_are_named_by_numbers_and_ranges(label, text, expected):
    assert in_range(label, text) is expected


def test_the_page_shows_what_is_known_and_says_the_date(street):
    client, _ = signed_in("office")
    address = reverse("desk:street-dates", args=[street.subdivision.pk])
    address += "?what=ready|rough|"
    data = {"status": "predicted", "said_by": "Ann Wren", "date": "2026-03-06"}

    done = client.post(address, data | {"named": "12-13", "lots": [street.lots[3].pk]})
    page = client.get(address)

    assert done.status_code == 302
    known = [row.date if row else None for _, row, _ in page.context["rows"]]
    assert known == [FRIDAY, FRIDAY, None, FRIDAY]


def test_a_number_that_is_no_lot_here_is_said(street):
    client, _ = signed_in("office")
    address = reverse("desk:street-dates", args=[street.subdivision.pk])
    data = {"status": "predicted", "said_by": "Ann Wren", "named": "12, 99"}

    answer = client.post(address, data)

    assert answer.status_code == 422
    assert "No lot here is named 99." in answer.content.decode()
    assert Fact.objects.filter(kind="date_said").count() == 0


def test_two_hundred_lots_take_no_more_statements_to_show(
    street, django_assert_max_num_queries
):
    client, _ = signed_in("office")
    address = reverse("desk:street-dates", args=[street.subdivision.pk])

    with django_assert_max_num_queries(14):
        client.get(address)
