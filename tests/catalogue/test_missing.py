"""Absence opens no gate: markers where no list can be made."""

import pytest

from phases.catalogue import (
    PHASES,
    Catalogue,
    Fixture,
    read_tables,
    stub_out_list,
)
from tests.catalogue.houses import house_of, keys_of, listed, room_of


def markers(found):
    return [key for key, demand in found.items() if demand.proof == "no_list"]


def test_a_house_without_rooms_is_not_proven_in_any_phase():
    found = listed()

    assert list(found) == [f"house/no_list.{phase}" for phase in PHASES]
    assert {d.text_en for d in found.values()} == {
        "not proven: no list. This house has no rooms on its plan."
    }
    assert all(demand.concealed for demand in found.values())


def test_a_room_without_fixtures_is_not_proven_beside_rooms_that_are():
    found = listed(room_of(Fixture("closet1", "closet")), room_of(key="empty"))

    assert markers(found) == [f"empty/no_list.{phase}" for phase in PHASES]


def test_a_room_said_to_have_no_plumbing_needs_no_list():
    found = listed(
        room_of(Fixture("closet1", "closet")),
        room_of(Fixture("none", "no_plumbing"), key="den", kind="living"),
    )

    assert keys_of(found, start="den/") == []


@pytest.mark.parametrize(
    ("fixture", "facts", "reason"),
    [
        (Fixture("x", "fountain"), {}, "The catalogue does not know fountain."),
        (
            Fixture("x", "lavatory", params={"bowls": "9"}),
            {},
            "The plan says bowls=9, which the catalogue does not know.",
        ),
        (
            Fixture("x", "gas_range"),
            {"fuel": "none"},
            "gas range needs fuel gas and the lot has none.",
        ),
        (
            Fixture("x", "dishwasher", beside="sink9"),
            {},
            "dishwasher works with a fixture that is not on the plan.",
        ),
        (
            Fixture("x", "ac_condensate"),
            {},
            "air-conditioner condensate does not say which fixture it works with, "
            "and there is none to guess.",
        ),
    ],
)
def test_what_cannot_be_listed_is_marked_with_its_reason(fixture, facts, reason):
    found = listed(room_of(fixture), facts=facts)

    assert markers(found) == [f"bath1/x/no_list.{phase}" for phase in PHASES]
    assert found["bath1/x/no_list.rough"].text_en == f"not proven: no list. {reason}"


def test_a_fact_that_the_catalogue_does_not_know_is_marked_on_the_house():
    found = listed(room_of(Fixture("c", "closet")), facts={"fuel": "coal"})

    assert markers(found) == [f"house/fact/no_list.{phase}" for phase in PHASES]
    assert "fuel=coal" in found["house/fact/no_list.trim"].text_es


def test_a_kind_whose_rows_were_all_taken_away_is_marked():
    tables = read_tables()
    tables["demands"] = [r for r in tables["demands"] if "bidet" not in r["fixture"]]
    catalogue = Catalogue.from_rows(tables)

    found = stub_out_list(house_of(room_of(Fixture("b", "bidet"))), catalogue)

    assert [d.key for d in found if d.proof == "no_list"] == [
        f"bath1/b/no_list.{phase}" for phase in PHASES
    ]
