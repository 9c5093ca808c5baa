"""Open lots follow a change of the catalogue or of the code book."""

from datetime import timedelta

import pytest
from django.core.management import call_command
from django.db import transaction

from phases import house_of, tasks
from phases.actions.following import (
    QUIET,
    book_follows,
    catalogue_follows,
    left_behind,
    work_on,
)
from phases.actions.lots import update_lot
from phases.actions.outlines import accept_outline, keep_guess
from phases.actions.plans import changed_catalogue, save_catalogue_row
from phases.actions.work import start_work, work_done
from phases.log import Who
from phases.models import CatalogueRow, CheckItem, Correction, Following
from phases.sizing.tables import Book
from phases.touched import Touched, touched_by
from tests.factories import NOW, make_lot, make_member, make_plan, phase_of, prove

pytestmark = pytest.mark.django_db
FIXTURES = ("closet", "lavatory")
DRAIN = "bath/closet1/drain.rough"


@pytest.fixture(autouse=True)
def _fresh_catalogue():
    # Numbers of edits come again after each test's rollback.
    house_of._read_catalogue.cache_clear()
    yield
    house_of._read_catalogue.cache_clear()


@pytest.fixture
def owner():
    return Who(member=make_member("owner"))


@pytest.fixture
def worker(django_capture_on_commit_callbacks):
    """What is sent to the worker inside the block runs at its end."""
    return lambda: django_capture_on_commit_callbacks(execute=True)


def row_of(fixture, key, phase="rough"):
    return next(
        row
        for row in CatalogueRow.objects.filter(table="demands")
        if (row.cells["fixture"], row.cells["key"], row.cells["phase"])
        == (fixture, key, phase)
    )


def item_of(lot, key=DRAIN):
    return CheckItem.objects.get(lot_phase__lot=lot, key=key)


def reworded(row):
    return row.cells | {"text_en": "Closet drain as the owner says it"}


def test_an_edit_of_the_catalogue_reaches_open_items_and_leaves_answered_ones(
    owner, worker
):
    plan = make_plan(fixtures=FIXTURES, foundation="crawl")
    still_open, answered = make_lot(plan=plan), make_lot(plan=plan)
    prove(item_of(answered), who=owner)
    row = row_of("closet", "drain")

    seen = touched_by(changed_catalogue(row, reworded(row)))
    with worker():
        save_catalogue_row(row, reworded(row), who=owner, now=NOW)

    assert seen == Touched(lots=1, items=1, stay=1)
    assert item_of(still_open).spec["text_en"] == "Closet drain as the owner says it"
    assert item_of(still_open).version == 2
    assert item_of(answered).spec["text_en"].startswith("Closet drain, 3 in.")
    assert (item_of(answered).version, Correction.objects.count()) == (1, 0)
    assert Following.objects.get().finished_at is not None


def test_a_later_change_of_the_lot_says_nothing_of_what_the_catalogue_changed(
    owner, worker
):
    lot = make_lot(plan=make_plan(fixtures=FIXTURES, foundation="crawl"))
    prove(item_of(lot), who=owner)
    row = row_of("closet", "drain")
    with worker():
        save_catalogue_row(row, reworded(row), who=owner, now=NOW)

    update_lot(lot, foundation="basement", who=owner, now=NOW)
    update_lot(lot, foundation="crawl", who=owner, now=NOW)

    assert not Correction.objects.filter(text__contains="Closet drain").exists()


def test_a_new_demand_never_comes_into_a_phase_whose_work_is_done(owner, worker):
    plan = make_plan(fixtures=FIXTURES, foundation="crawl")
    done, still_open = make_lot(plan=plan), make_lot(plan=plan)
    phase = phase_of(done, "rough")
    start_work(phase, who=owner, now=NOW)
    work_done(phase, who=owner, now=NOW)
    row = row_of("closet", "clear")
    cells = row.cells | {"key": "other"}

    with worker():
        save_catalogue_row(row, cells, who=owner, now=NOW)
    update_lot(done, mirrored=True, who=owner, now=NOW)

    items = CheckItem.objects.filter(key="bath/closet1/other.rough", removed_at=None)
    assert [item.lot_phase.lot for item in items] == [still_open]
    assert not Correction.objects.filter(source="change", lot=done).exists()


def test_what_a_dead_worker_left_is_taken_up_again(owner, worker, monkeypatch):
    plan = make_plan(fixtures=FIXTURES, foundation="crawl")
    lots = [make_lot(plan=plan) for _ in range(3)]
    row = row_of("closet", "drain")
    monkeypatch.setattr(tasks.follow, "delay", lambda pk: None)
    with worker():
        save_catalogue_row(row, reworded(row), who=owner, now=NOW)
    waiting = Following.objects.get()

    assert waiting.waiting == [lot.pk for lot in lots]
    assert left_behind(now=NOW + QUIET) == []
    assert left_behind(now=NOW + QUIET + timedelta(seconds=1)) == [waiting.pk]
    assert work_on(waiting.pk, clock=lambda: NOW) == 3
    assert work_on(waiting.pk, clock=lambda: NOW) == 0
    assert {item_of(lot).version for lot in lots} == {2}


def test_the_same_change_asked_twice_before_it_began_is_one(owner):
    make_lot(plan=make_plan(fixtures=FIXTURES, foundation="crawl"))
    with transaction.atomic():
        catalogue_follows("a", who=owner, now=NOW)
        catalogue_follows("a", who=owner, now=NOW)

    assert Following.objects.count() == 1


def test_another_edition_of_the_code_book_reaches_the_sizes_of_open_lots(owner, worker):
    plan = make_plan(fixtures=FIXTURES, foundation="crawl")
    lot = make_lot(plan=plan)
    outline = keep_guess(plan, [], book=Book("IRC", 2021), who=owner, now=NOW)
    accept_outline(outline, name="Wren Quill", who=owner, now=NOW)
    assert item_of(lot).spec["checked"] == "IRC 2021"
    street = lot.subdivision
    street.edition = "2024"
    street.save()

    with worker():
        book_follows([street], name=street.name, who=owner, now=NOW)

    assert item_of(lot).spec["checked"] == "IRC 2024"


def test_the_sweep_gives_out_what_nobody_works_on(owner, worker, monkeypatch):
    plan = make_plan(fixtures=FIXTURES, foundation="crawl")
    lot = make_lot(plan=plan)
    row = row_of("closet", "drain")
    save_catalogue_row(row, reworded(row), who=owner, now=NOW)

    assert item_of(lot).version == 1
    assert tasks.sweep_following() == 1
    assert item_of(lot).version == 2
    assert tasks.sweep_following() == 0


def test_a_release_that_changes_the_catalogue_is_followed_too(worker):
    plan = make_plan(fixtures=FIXTURES, foundation="crawl")
    lot = make_lot(plan=plan)
    row = row_of("closet", "drain")
    CatalogueRow.objects.filter(pk=row.pk).update(cells=reworded(row), position=900)

    with worker():
        call_command("load_defaults")
    row.refresh_from_db()

    assert (row.cells["text_en"][:12], row.position < 900) == ("Closet drain", True)
    assert Following.objects.get().what == "catalogue"
    assert item_of(lot).spec["text_en"] == row.cells["text_en"].replace("{size}", "3")
    with worker():
        call_command("load_defaults")
    assert Following.objects.count() == 1


def test_an_edited_row_keeps_its_cells_and_only_takes_its_place():
    make_plan(fixtures=FIXTURES, foundation="crawl")
    make_lot()
    row = row_of("closet", "drain")
    CatalogueRow.objects.filter(pk=row.pk).update(
        cells=reworded(row), position=900, edited=True
    )

    call_command("load_defaults")
    row.refresh_from_db()

    assert row.cells["text_en"] == "Closet drain as the owner says it"
    assert row.position < 900


def test_a_queue_out_of_order_is_no_reason_to_refuse_a_change(
    owner, monkeypatch, django_capture_on_commit_callbacks
):
    def down(pk):
        raise tasks.follow.OperationalError("no broker")

    monkeypatch.setattr(tasks.follow, "delay", down)
    make_lot(plan=make_plan(), by=owner.member)
    with django_capture_on_commit_callbacks(execute=True):
        row = catalogue_follows("closet", who=owner, now=NOW)

    assert left_behind(now=NOW + QUIET + timedelta(seconds=1)) == [row.pk]
