"""Spellings are proposed to a person, numbers never confused."""

import pytest

from tracker.sites.lotlist.spelling import propose, why_alike


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("HERON WALK ESTATES", "HERONWALK EST"),
        ("HERON'S ADD", "HERONS ADDITION"),
        ("HERON PARK PH7", "Heron Park Phase VII"),
        ("HERON VISTA 13TH", "HERON VISTA PHASE 13"),
        ("HERON VISTA 13TH SUPP", "HERON VISTA 13TH"),
        ("HERON HGTS #3", "HERON HEIGHTS NO 3"),
        ("TERRACES ON 3RD ST", "TERRACE ON 3RD STREET"),
        ("HERON PARK PHASE VII, PHASE 2", "HERON PARK PH7"),
        ("HERON WALK ESTATES PH 1", "HERONWALK"),
    ],
)
def test_spellings_of_one_plat_are_put_before_a_person(one, other):
    assert why_alike(one, other)
    assert why_alike(other, one)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("HERON VISTA PHASE 12", "HERON VISTA PHASE 13"),
        ("HERON PARK PH 1", "HERON PARK PH 2"),
        ("HERON RIDGE", "OAK RIDGE"),
        ("44 HERON", "4 HERON"),
    ],
)
def test_different_phases_and_places_are_never_proposed(one, other):
    assert why_alike(one, other) is None


def test_a_known_name_is_offered_before_another_new_spelling():
    proposals = propose(["HERON ADD", "HERON ADDN"], known=["Heron Addition"])

    assert [(p["spelling"], p["like"]) for p in proposals] == [
        ("HERON ADD", "Heron Addition"),
        ("HERON ADDN", "Heron Addition"),
    ]
