"""Streets and lists of lots: what they show, and in how many statements."""

from datetime import date

import pytest
from django.urls import reverse

from phases.actions.holds import set_hold
from phases.actions.work import plan_phase, start_work
from phases.models import LotPhase
from tests.desk.scene import NOW, Street, signed_in
from tests.factories import make_lot, make_plan, phase_of
from tracker.desk.street import queries
from tracker.desk.street.rules import next_step

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("rows", [1, 3, 20])
def test_a_street_takes_eleven_statements_for_any_number_of_lots(
    rows, django_assert_num_queries
):
    street = Street(lots=rows)
    client, _ = signed_in("office")

    with django_assert_num_queries(11):
        answer = client.get(reverse("desk:street", args=[street.subdivision.pk]))

    assert len(answer.context["rows"]) == rows


@pytest.mark.parametrize("rows", [1, 3])
def test_the_list_of_lots_takes_nine_statements(rows, django_assert_num_queries):
    Street(lots=rows)
    client, _ = signed_in("office")

    with django_assert_num_queries(9):
        answer = client.get(reverse("desk:lots"))

    assert len(answer.context["rows"]) == rows


@pytest.mark.parametrize("rows", [1, 3])
def test_the_list_of_streets_takes_five_statements(rows, django_assert_num_queries):
    for _ in range(rows):
        Street()
    client, _ = signed_in("office")

    with django_assert_num_queries(5):
        answer = client.get(reverse("desk:streets"))

    assert len(answer.context["streets"]) == rows


def test_a_street_shows_each_lot_with_house_plan_step_and_what_it_waits_for():
    street = Street()
    set_hold(
        street.lots[0], owed_by="builder", text="No power yet", who=street.lead, now=NOW
    )
    client, _ = signed_in("office")

    text = client.get(
        reverse("desk:street", args=[street.subdivision.pk])
    ).content.decode()

    for said in (
        f"Lot {street.lots[0].label}: Below slab: held",
        street.plan.code,
        "Get it ready",
        "No power yet",
        "nobody has said ready",
    ):
        assert said in text


def test_a_crew_sees_only_its_own_lots_of_a_street():
    street = Street(lots=2)
    day = date(2026, 3, 3)
    plan_phase(
        street.phase("underground"),
        crew=street.crew,
        start=day,
        end=day,
        who=street.office,
        now=NOW,
    )
    client, _ = signed_in("plumber", crew=street.crew)

    answer = client.get(reverse("desk:street", args=[street.subdivision.pk]))

    assert [row.lot for row in answer.context["rows"]] == [street.lots[0]]


def test_a_street_without_a_lot_of_ones_own_is_not_there():
    street = Street()
    client, _ = signed_in("plumber", crew=street.crew)

    foreign = client.get(reverse("desk:street", args=[street.subdivision.pk]))
    missing = client.get(reverse("desk:street", args=[street.subdivision.pk + 999]))

    assert (foreign.status_code, missing.status_code) == (404, 404)


def test_filters_leave_the_lots_that_fit():
    street = Street()
    other = make_lot(
        street.subdivision, plan=make_plan(street.builder), address="9 Elm"
    )
    start_work(phase_of(other, "underground"), who=street.lead, now=NOW)
    client, _ = signed_in("office")
    page = reverse("desk:street", args=[street.subdivision.pk])

    def shown(**asked):
        return [row.lot for row in client.get(page, asked).context["rows"]]

    assert shown(word="working") == [other]
    assert shown(plan=street.plan.code) == [street.lots[0]]
    assert shown(q="elm") == [other]
    assert shown(q=f"lot {other.label}") == [other]
    assert shown(q="nothing like it") == []


def test_lots_sort_by_number_and_by_next_date():
    street = Street(lots=0)
    ten, two = street.lot(label="10"), street.lot(label="2")
    day = date(2026, 3, 9)
    plan_phase(
        phase_of(ten, "underground"),
        crew=street.crew,
        start=day,
        end=day,
        who=street.office,
        now=NOW,
    )
    client, _ = signed_in("office")
    page = reverse("desk:street", args=[street.subdivision.pk])

    def shown(sort):
        return [row.lot for row in client.get(page, {"sort": sort}).context["rows"]]

    assert shown("lot") == [two, ten]
    assert shown("date") == [ten, two]
    assert shown("odd") == [ten, two]


def test_a_long_street_shows_all_its_houses_and_a_page_of_rows(monkeypatch):
    monkeypatch.setattr(queries, "PAGE", 2)
    street = Street(lots=0)
    lots = [street.lot(label=str(n), address="9 Elm") for n in (5, 3, 1, 4, 2)]
    client, _ = signed_in("office")
    page = reverse("desk:street", args=[street.subdivision.pk])

    first = client.get(page, {"sort": "lot", "q": "elm"})
    last = client.get(page, {"sort": "lot", "q": "elm", "page": "3"})
    whole = client.get(page, {"sort": "lot", "page": "all"})

    assert [row.lot.label for row in first.context["rows"]] == ["1", "2"]
    assert [row.lot.label for row in last.context["rows"]] == ["5"]
    assert [row.lot.label for row in whole.context["rows"]] == list("12345")
    text = first.content.decode()
    assert 'href="?q=elm&amp;sort=lot&amp;page=2"' in text
    for lot in lots:
        assert f'<a href="{reverse("desk:lot", args=[lot.pk])}" tabindex="-1">' in text


def test_a_phase_that_is_inspected_with_a_later_one_waits_for_its_work():
    open_kinds = {"code": "kinds_open", "kinds": ["topout"]}
    done = {"word": "on_test", "work": "done", "inspection": "not_called"}
    rough = LotPhase(pk=2, inspection_reason=open_kinds, **done)
    later = LotPhase(pk=3, word="ready", work="ready", inspection_reason=open_kinds)

    assert next_step([rough, later]).phase is later
    later.work = "done"
    assert next_step([rough, later]).phase is rough
    rough.inspection_reason = {"code": "kinds_open", "kinds": ["pan", "topout"]}
    later.work = "ready"
    assert next_step([rough, later]).text == "Call in"


@pytest.mark.parametrize(
    ("columns", "step"),
    [
        ({"word": "not_ready", "work": "not_ready"}, "Get it ready"),
        ({"word": "ready", "work": "ready"}, "Send a crew"),
        ({"word": "planned", "work": "planned"}, "Start the work"),
        ({"word": "working", "work": "working"}, "Finish the work"),
        (
            {"word": "done", "work": "done", "call_in_missing": [{"code": "x"}]},
            "Prove it",
        ),
        ({"word": "on_test", "work": "done"}, "Call in"),
        ({"word": "done", "work": "done", "inspection": "called_in"}, "Inspection"),
        (
            {"word": "failed", "inspection": "failed", "open_corrections": 1},
            "Put right",
        ),
        ({"word": "failed", "inspection": "failed"}, "Call in again"),
        ({"word": "unproven", "cover": "covered_unproven"}, "Prove what is covered"),
        ({"word": "passed"}, "Close the house"),
    ],
)
def test_the_next_step_follows_from_the_phase(columns, step):
    assert next_step([LotPhase(**columns)]).text == step


def test_a_lot_without_phases_needs_a_route():
    assert next_step([]).text == "Give it a route"


def test_lots_are_found_by_any_of_their_words():
    street = Street(lots=0)
    lot = street.lot(label="7QX", address="12 Wick Street", permit_number="P-77")
    street.lot(label="8", address="14 Wick Street")
    _, office = signed_in("office")

    plan, builder = street.plan.code, street.builder.name
    for text in ("7qx wick", "p-77", f"7qx {plan}", f"7qx {builder}"):
        assert list(queries.find_lots(office, text)) == [lot], text
    assert queries.find_lots(office, "wick").count() == 2


def test_a_street_reads_in_spanish():
    street = Street()
    client, _ = signed_in("office", language="es")

    text = client.get(
        reverse("desk:street", args=[street.subdivision.pk])
    ).content.decode()

    for said in ("Siguiente paso", "Prepararla", "no está lista", "Lote"):
        assert said in text
