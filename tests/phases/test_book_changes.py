"""What another book, edition, permit date or amendment changes on a street's lots."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from phases.actions.outlines import accept_outline, keep_guess, save_outline
from phases.book_changes import book_changes, books_of
from phases.log import Who
from phases.sizing.tables import Book
from tests.factories import (
    NOW,
    make_jurisdiction,
    make_lot,
    make_member,
    make_plan,
    make_subdivision,
)
from tracker.sites.models import Lot, Subdivision

pytestmark = pytest.mark.django_db
FIXTURES = ("closet", "lavatory", "tub_shower")


def fresh():
    return list(
        Lot.objects.select_related("plan", "subdivision__jurisdiction")
        .prefetch_related("options")
        .order_by("pk")
    )


@pytest.fixture
def street():
    """Two lots of one plan, whose accepted drain lies at 1/8 in. a foot."""
    who = Who(member=make_member("office"))
    plan = make_plan(fixtures=FIXTURES)
    subdivision = make_subdivision(plan.builder, make_jurisdiction())
    kept = keep_guess(plan, [], book=Book("IRC"), who=who, now=NOW)
    text = kept.text.replace(
        "building-drain size=3 length=40 slope=1/4",
        "building-drain size=3 length=40 slope=1/8",
    )
    assert text != kept.text
    edited = save_outline(
        plan, [], text=text, extras=kept.extras, site={}, book=Book("IRC"), who=who,
        now=NOW,
    )  # fmt: skip
    accept_outline(edited, name="Wren Quill", who=who, now=NOW)
    for _ in range(2):
        make_lot(subdivision, plan=plan, by=who.member)
    return subdivision


def change(street, **fields):
    before = books_of(fresh())
    Subdivision.objects.filter(pk=street.pk).update(**fields)
    return book_changes(fresh(), before)


def test_another_book_tells_each_lot_which_pipes_no_longer_hold(street):
    changed = change(street, code_book="UPC")

    assert [(c.before.title, c.after.title) for c in changed] == [
        ("IRC 2021", "UPC 2021")
    ] * 2
    # UPC 708.1 asks 1/4 in. a foot for every size (SLP-UPC-007).
    assert "building-drain" in changed[0].no_longer_checked
    slope = next(
        m
        for m in changed[0].moves
        if (m.check, m.where) == ("least slope", "building-drain")
    )
    assert (slope.before, slope.after) == ("pass", "fail")
    assert (slope.limit_before, slope.limit_after) == (0.125, 0.25)


def test_nothing_is_told_where_the_book_stays(street):
    assert change(street, name="Another name") == ()


def test_an_amendment_of_the_office_is_another_book(street):
    before = books_of(fresh())
    street.jurisdiction.amendments = [
        {"cell": "SLP-IRC-006", "value": "0.25", "note": "Ordinance 7"}
    ]
    street.jurisdiction.save()

    changed = book_changes(fresh(), before)

    assert [c.after.title for c in changed] == ["IRC 2021, amended"] * 2
    assert changed[0].no_longer_checked == ("building-drain",)


def test_only_lots_whose_permit_falls_under_the_new_edition_change(street):
    old, new = fresh()
    Lot.objects.filter(pk=old.pk).update(permit_issued_on=date(2024, 5, 1))
    Lot.objects.filter(pk=new.pk).update(permit_issued_on=date(2025, 5, 1))
    adoptions = [{"code": "IRC", "edition": 2021, "effective": "2020-01-01"}]
    street.jurisdiction.amendments = adoptions
    street.jurisdiction.save()
    before = books_of(fresh())
    later = {"code": "UPC", "edition": 2024, "effective": "2025-01-01"}
    street.jurisdiction.amendments = [*adoptions, later]
    street.jurisdiction.save()

    changed = book_changes(fresh(), before)

    assert [(c.lot.pk, c.after.title) for c in changed] == [(new.pk, "UPC 2024")]


def test_a_lot_without_an_accepted_outline_changes_its_book_and_no_pipe(street):
    bare = make_lot(street, plan=None)

    changed = change(street, code_book="UPC")

    (mine,) = [c for c in changed if c.lot.pk == bare.pk]
    assert (mine.after.title, mine.moves) == ("UPC 2021", ())


def test_a_street_without_a_book_has_none_and_says_so(street):
    changed = change(street, code_book="", edition="")

    assert [(c.after, c.moves) for c in changed] == [(None, ())] * 2


@pytest.mark.parametrize("more", [0, 4])
def test_many_lots_take_one_statement_more(street, more):
    for _ in range(more):
        make_lot(street, plan=fresh()[0].plan)
    before = books_of(fresh())
    Subdivision.objects.filter(pk=street.pk).update(code_book="UPC")
    lots = fresh()

    with CaptureQueriesContext(connection) as asked:
        book_changes(lots, before)

    assert len(asked) == 1
