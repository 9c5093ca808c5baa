"""A long list is applied by the worker, once, and nothing of it is lost."""

from datetime import timedelta

import pytest
from django.urls import reverse

from phases.actions.lots import update_lot
from phases.log import Who
from tests.desk.scene import signed_in
from tests.factories import NOW, ensure_defaults, make_builder, make_member
from tracker.desk import tasks
from tracker.desk.imports import applying
from tracker.desk.imports.actions import decide, receive_list
from tracker.errors import Refused
from tracker.sites.models import Lot, LotImport

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _short(monkeypatch):
    ensure_defaults()
    monkeypatch.setattr(applying, "AT_ONCE", 2)


def handed_in(who, rows=3):
    lines = "".join(f"{n},Heron,{n} Elm St\n" for n in range(1, rows + 1))
    return receive_list(
        f"Lot,Subdivision,Address\n{lines}".encode(),
        file_name="lots.csv",
        builder=make_builder(),
        who=who,
        now=NOW,
    )


def asked(who, **more):
    return applying.ask_to_apply(handed_in(who, **more), who=who, now=NOW)


def office():
    return Who(member=make_member("office"))


def test_a_short_list_is_applied_at_once_and_a_long_one_by_the_worker():
    assert [applying.is_long(handed_in(office(), rows)) for rows in (2, 3)] == [
        False,
        True,
    ]


def test_the_worker_applies_the_list_in_the_name_of_who_asked():
    who = office()
    row = asked(who)

    assert Lot.objects.count() == 0
    assert applying.work_on(row.pk, clock=lambda: NOW) == "applied"
    row.refresh_from_db()
    assert (row.applied_by, row.in_work, Lot.objects.count()) == (who.name, False, 3)
    assert applying.how_far(row) == (3, 3)


def test_a_second_delivery_does_nothing():
    row = asked(office())
    applying.work_on(row.pk, clock=lambda: NOW)

    assert applying.work_on(row.pk, clock=lambda: NOW) == "nothing to do"
    assert Lot.objects.count() == 3


def test_a_list_in_work_is_neither_asked_for_again_nor_decided():
    who = office()
    row = asked(who)
    words = {
        "sheet": "",
        "mapping": {},
        "joins": {},
        "otherwise": "",
        "remember": False,
    }

    with pytest.raises(Refused, match="being applied"):
        applying.ask_to_apply(row, who=who, now=NOW)
    with pytest.raises(Refused, match="being applied"):
        decide(row, who=who, **words)


def test_a_list_that_cannot_be_applied_says_why_and_can_be_asked_for_again():
    who = office()
    row = receive_list(
        b"Lot,Address\n1,1 Elm St\n2,2 Elm St\n3,3 Elm St\n",
        file_name="lots.csv",
        builder=make_builder(),
        who=who,
        now=NOW,
    )
    applying.ask_to_apply(row, who=who, now=NOW)

    assert applying.work_on(row.pk, clock=lambda: NOW) == "failed"
    row.refresh_from_db()
    assert (row.in_work, row.failed) == (
        False,
        {"code": "subdivision_needed", "count": 3},
    )
    applying.ask_to_apply(row, who=who, now=NOW)


def test_what_a_dead_worker_left_is_taken_up_again():
    row = asked(office())
    late = NOW + applying.QUIET + timedelta(seconds=1)

    assert applying.left_behind(now=NOW + applying.QUIET) == []
    assert applying.left_behind(now=late) == [row.pk]
    applying._tell(row.pk, lambda: late, 0, 0)
    assert applying.left_behind(now=late + timedelta(minutes=1)) == []


def test_a_queue_out_of_order_is_no_reason_to_refuse_a_list(
    monkeypatch, django_capture_on_commit_callbacks
):
    def down(pk):
        raise tasks.apply_list.OperationalError("no broker")

    monkeypatch.setattr(tasks.apply_list, "delay", down)
    with django_capture_on_commit_callbacks(execute=True):
        row = asked(office())

    assert row.in_work
    late = NOW + applying.QUIET + timedelta(seconds=1)
    assert applying.left_behind(now=late) == [row.pk]


def test_the_sweep_applies_what_was_left(monkeypatch):
    row = asked(office())
    LotImport.objects.filter(pk=row.pk).update(asked_at=NOW - timedelta(days=300))

    assert tasks.sweep_lists() == 1
    assert (Lot.objects.count(), tasks.sweep_lists()) == (3, 0)


def test_the_page_shows_how_far_it_is_and_then_the_list():
    client, member = signed_in("office")
    row = handed_in(Who(member=member))
    page = reverse("desk:import", args=[row.pk])

    client.post(reverse("desk:import-application", args=[row.pk]))
    applying._tell(row.pk, lambda: NOW, 50, 10_000)
    working = client.get(page).content.decode()
    applying.work_on(row.pk, clock=lambda: NOW)
    asked_again = client.get(page, headers={"HX-Request": "true"})

    assert "50 / 10,000" in working
    assert asked_again.headers["HX-Refresh"] == "true"
    assert client.get(page).context["total"] == 3


def test_superintendents_of_a_list_are_added_when_a_person_says_so():
    client, member = signed_in("office")
    builder = make_builder()
    row = receive_list(
        b"Lot,Subdivision,Super\n1,Heron,Ann  Wren\n2,Heron,ann wren\n3,Heron,\n",
        file_name="lots.csv",
        builder=builder,
        who=Who(member=member),
        now=NOW,
    )
    page = reverse("desk:import", args=[row.pk])
    form = client.get(page).context["form"]
    data = {field.html_name: field.value() or "" for field in form}
    assert form.people == {"person-0": "Ann Wren"}

    client.post(page, data | {"person-0": "on"})
    client.post(reverse("desk:import-application", args=[row.pk]))
    applying.work_on(row.pk, clock=lambda: NOW)

    assert [str(s.name) for s in builder.superintendents.all()] == ["Ann Wren"]
    named = Lot.objects.order_by("label").values_list("superintendent__name", flat=True)
    assert list(named) == ["Ann Wren", "Ann Wren", None]


def test_a_long_list_is_undone_by_the_worker_too():
    who, later = office(), NOW + timedelta(hours=1)
    row = asked(who)
    with pytest.raises(Refused, match="being applied"):
        applying.ask_to_undo(row, who=who, now=NOW)
    applying.work_on(row.pk, clock=lambda: NOW)

    applying.ask_to_undo(row, who=who, now=later)

    assert Lot.objects.open().count() == 3
    assert applying.work_on(row.pk, clock=lambda: later) == "undone"
    assert Lot.objects.open().count() == 0
    assert applying.work_on(row.pk, clock=lambda: later) == "nothing to do"
    with pytest.raises(Refused, match="undone"):
        applying.ask_to_undo(row, who=who, now=later)


def test_a_list_that_was_built_on_says_so_after_the_worker_tried(client):
    who, later = office(), NOW + timedelta(hours=1)
    row = asked(who)
    applying.work_on(row.pk, clock=lambda: NOW)
    update_lot(Lot.objects.first(), address="9 Elm St", who=who, now=NOW)

    applying.ask_to_undo(row, who=who, now=later)

    assert applying.work_on(row.pk, clock=lambda: later) == "failed"
    row.refresh_from_db()
    assert (row.in_work, row.failed["code"]) == (False, "list_built_on")
    assert Lot.objects.open().count() == 3
    client.force_login(who.member)
    page = client.get(reverse("desk:import", args=[row.pk])).content.decode()
    assert "The worker could not do it" in page
