"""A list is applied as a whole, and found again."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from phases.log import Who
from phases.models import Fact
from tests.desk.import_scene import LIST, applied, counts, decided, received
from tests.factories import (
    NOW,
    ensure_defaults,
    make_builder,
    make_lot,
    make_member,
    make_option,
    make_plan,
    make_subdivision,
)
from tracker.desk.imports import actions
from tracker.desk.imports.actions import (
    apply_import,
)
from tracker.desk.imports.known import known_of
from tracker.desk.imports.looking import look
from tracker.errors import Refused
from tracker.sites.lotlist import Unreadable, counts_of
from tracker.sites.models import (
    Lot,
    LotImport,
    LotImportRow,
    Subdivision,
    SubdivisionAlias,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def stored(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def who():
    ensure_defaults()
    return Who(member=make_member("office"))


def test_a_dry_run_changes_nothing(who):
    builder = make_builder()

    looked = look(received(LIST, builder, who))

    assert counts_of(looked.listing.rows)["new"] == 3
    assert looked.unknown == ("Heron", "HERON ADD")
    assert [(p["spelling"], p["like"]) for p in looked.spellings] == [
        ("HERON ADD", "Heron")
    ]
    assert (Lot.objects.count(), Subdivision.objects.count()) == (0, 0)


def test_applying_makes_lots_with_phases_and_facts(who):
    builder = make_builder()

    lot_import = applied(LIST, builder, who)

    assert counts(lot_import) == {"new": 3}
    lot = Lot.objects.get(label="1")
    assert (lot.subdivision.name, lot.block, lot.address, lot.permit_number) == (
        "Heron",
        "A",
        "12 Elm St",
        "P1",
    )
    assert lot.phases.count() == 4
    assert list(Fact.objects.filter(lot=lot).values_list("kind", "by")) == [
        ("lot_made", who.member.pk)
    ]
    assert set(Subdivision.objects.values_list("name", flat=True)) == {
        "Heron",
        "HERON ADD",
    }


def test_the_same_list_again_changes_nothing(who):
    builder = make_builder()
    applied(LIST, builder, who)
    facts = Fact.objects.count()

    again = applied(LIST, builder, who)

    assert counts(again) == {"unchanged": 3}
    assert (Lot.objects.count(), Fact.objects.count()) == (3, facts)


def test_a_spelling_joined_by_a_person_is_kept_with_his_name(who):
    builder = make_builder()

    applied(LIST, builder, who, joins={"HERON ADD": "Heron"})

    assert Subdivision.objects.get().lots.count() == 3
    alias = SubdivisionAlias.objects.get()
    assert (alias.spelling, alias.joined_by) == ("HERON ADD", who.name)
    assert counts(applied(LIST, builder, who)) == {"unchanged": 3}


def test_rows_without_a_subdivision_must_be_given_one(who):
    builder = make_builder()
    data = b"Lot,Address\n1,12 Elm St\n"
    lot_import = received(data, builder, who)

    with pytest.raises(Refused, match="no subdivision: 1"):
        apply_import(lot_import, who=who, now=NOW)
    decided(lot_import, who, otherwise="Heron")
    apply_import(lot_import, who=who, now=NOW)

    assert Lot.objects.get().subdivision.name == "Heron"


def test_a_changed_row_changes_only_what_it_says(who):
    builder = make_builder()
    applied(LIST, builder, who)

    changed = applied(LIST.replace(b"14 Elm St", b"15 Elm St"), builder, who)

    assert counts(changed) == {"changed": 1, "unchanged": 2}
    lot = Lot.objects.get(label="2")
    assert (lot.address, lot.permit_number) == ("15 Elm St", "P2")
    entry = LotImportRow.objects.get(lot_import=changed, status="changed")
    assert (entry.lot, entry.before) == (lot, {"address": "14 Elm St"})


def test_plans_options_and_dates_of_a_release_arrive_in_one_sheet(who):
    builder = make_builder()
    plan = make_plan(builder, code="1820")
    make_option(plan, code="TUB2", fixtures=("tub",))
    street = make_subdivision(builder, name="Heron")
    lots = [make_lot(street, label=str(n), by=who.member) for n in (1, 2)]
    data = (
        b"Lot,Community,Plan,Options,Swing,Start Date\n"
        b"1,Heron,1820,TUB2,R,3/4/2026\n2,Heron,1820,,L,2026-03-05\n"
    )

    lot_import = applied(data, builder, who)

    assert counts(lot_import) == {"changed": 2}
    first, second = Lot.objects.filter(pk__in=[lot.pk for lot in lots]).order_by("pk")
    assert (first.plan, first.mirrored, second.mirrored) == (plan, True, False)
    assert [o.code for o in first.options.all()] == ["TUB2"]
    assert [(d.what, d.date) for d in second.dates.all()] == [
        ("start", date(2026, 3, 5))
    ]
    assert counts(applied(data, builder, who)) == {"unchanged": 2}


def test_a_failure_in_the_middle_leaves_nothing_behind(who, monkeypatch):
    builder = make_builder()
    lot_import = received(LIST, builder, who)
    make, made = actions.write_rows, []

    def fail_at_third(*args, **kwargs):
        made.append(make(*args, **kwargs))
        if len(made) == 3:
            raise RuntimeError("power cut")
        return made[-1]

    monkeypatch.setattr(actions, "TOGETHER", 1)
    monkeypatch.setattr(actions, "write_rows", fail_at_third)
    with pytest.raises(RuntimeError):
        apply_import(lot_import, who=who, now=NOW)

    assert (Lot.objects.count(), Fact.objects.count()) == (0, 0)
    assert LotImport.objects.get().applied_at is None


def test_columns_told_once_are_remembered_for_the_builder(who):
    builder = make_builder()
    data = b"A1,Lot,Address\nx,1,12 Elm St\n"
    lot_import = received(data, builder, who)

    decided(lot_import, who, mapping={"A1": "subdivision"}, remember=True)

    builder.refresh_from_db()
    assert builder.list_mapping == {"A1": "subdivision"}
    assert look(received(data, builder, who)).listing.columns["subdivision"] == "A1"
    assert look(received(LIST, builder, who)).listing.columns["lot"] == "Lot"


def test_a_list_that_cannot_be_read_is_not_kept(who):
    with pytest.raises(Unreadable):
        received(b"%PDF-1.7", make_builder(), who)

    assert LotImport.objects.count() == 0


@pytest.mark.parametrize("role", ["lead", "plumber"])
def test_only_the_office_takes_lists_in(role):
    with pytest.raises(Refused):
        received(LIST, make_builder(), Who(member=make_member(role)))


def test_another_builders_lots_are_neither_seen_nor_touched(who):
    applied(LIST, make_builder(), who)

    other = applied(LIST, make_builder(), who)

    assert counts(other) == {"new": 3}
    assert Lot.objects.count() == 6


@pytest.mark.parametrize("lots", [1, 6])
def test_a_comparison_takes_the_same_statements_however_many_lots(who, lots):
    builder = make_builder()
    plan = make_plan(builder)
    make_option(plan)
    street = make_subdivision(builder)
    for _ in range(lots):
        make_lot(street, plan=plan, by=who.member)

    with CaptureQueriesContext(
        connection,
    ) as queries:
        known = known_of(builder)

    assert (len(known.lots), len(queries)) == (lots, 9)
