"""400 houses of Ames, Iowa, sized under three books (De Cock 2011, houses/README.md).

Column to fixture, on purpose simpler than a plan and told here whole:
Full Bath        closet, lavatory, tub-shower; upstairs where 2nd Flr SF is above 0
Half Bath        closet, lavatory on the ground floor
Bsmt Full Bath   closet, lavatory, shower; Bsmt Half Bath without the shower (floor 0)
Kitchen AbvGr    sink, dishwasher, gas range; the first also an ice-maker box
laundry          washer box, gas dryer; basement where Total Bsmt SF is above 0
Heating GasA/W   gas tank heater, and a furnace for GasA; else an electric heater
Fireplaces       as many gas fireplaces where the heat is gas
always           two hose bibbs
"""

import time
from collections import Counter

import pytest

from phases.sizing.outline.guess import guess
from phases.sizing.outline.site import Placed, Site
from phases.sizing.plan.check import check_plan
from phases.sizing.tables import Book
from tests.sizing.reference import table

HOUSES = table("houses/ames_sample_400")
BOOKS = (Book("IPC"), Book("IRC"), Book("UPC"))


def number(row, column):
    return 0 if row[column] in ("", "NA") else int(float(row[column]))


def bath(floor, name, *kinds):
    return [Placed(floor, name, kind) for kind in kinds]


def house(row):
    """Fixtures and site of one row, by the mapping above."""
    upper = 2 if number(row, "2nd Flr SF") else 1
    low = 0 if number(row, "Total Bsmt SF") else 1
    gas = row["Heating"] in ("GasA", "GasW")
    found = []
    for at in range(number(row, "Full Bath")):
        found += bath(upper, f"bath-{at}", "closet", "lavatory", "tub_shower")
    for at in range(number(row, "Half Bath")):
        found += bath(1, f"half-{at}", "closet", "lavatory")
    for at in range(number(row, "Bsmt Full Bath")):
        found += bath(0, f"low-{at}", "closet", "lavatory", "shower")
    for at in range(number(row, "Bsmt Half Bath")):
        found += bath(0, f"low-half-{at}", "closet", "lavatory")
    for at in range(max(number(row, "Kitchen AbvGr"), 1)):
        found += bath(1, f"kitchen-{at}", "kitchen_sink", "dishwasher")
        if gas:
            found.append(Placed(1, f"kitchen-{at}", "gas_range"))
    found.append(Placed(1, "kitchen-0", "ice_maker"))
    found.append(Placed(low, "laundry", "washer_box"))
    found.append(Placed(low, "mechanical", "tank_gas" if gas else "tank_electric"))
    if gas:
        found.append(Placed(low, "laundry", "gas_dryer"))
        if row["Heating"] == "GasA":
            found.append(Placed(low, "mechanical", "gas_furnace"))
        if number(row, "Fireplaces"):
            found.append(
                Placed(1, "living", "gas_fireplace", number(row, "Fireplaces"))
            )
    found.append(Placed(1, "outside", "hose_bibb", 2))
    site = Site(storeys=upper, foundation="basement" if low == 0 else "slab")
    return found, site


def baths(row):
    whole = number(row, "Full Bath") + number(row, "Bsmt Full Bath")
    return whole + (number(row, "Half Bath") + number(row, "Bsmt Half Bath")) / 2


def first(root, role):
    return next(node.size for node in root.walk() if node.role == role)


@pytest.fixture(scope="module")
def sized():
    """Every house in every book, with its plan check: (row, book, outline, report).

    Processor time, which neighbours on the machine do not change.
    """
    start = time.process_time()
    found = []
    for row in HOUSES:
        placed, site = house(row)
        for book in BOOKS:
            outline = guess(placed, site=site, book=book)
            report = check_plan(outline, book=book, site=site)
            found.append((row, book, outline, report))
    return found, time.process_time() - start


def test_four_hundred_houses_are_sized_in_three_books_within_a_minute(sized):
    found, seconds = sized

    assert len(HOUSES) == 400
    assert len(found) == 1200
    assert seconds < 60


def test_the_sizes_are_those_of_houses(sized, capsys):
    found, seconds = sized
    seen = {}
    for _, book, outline, _ in found:
        seen.setdefault((book.code, "building drain"), Counter())[
            first(outline.drain, "building_drain")
        ] += 1
        seen.setdefault((book.code, "water service"), Counter())[
            first(outline.water, "service")
        ] += 1
        if outline.gas is not None:
            trunk = outline.gas.children[0].size
            seen.setdefault((book.code, "gas at the meter"), Counter())[trunk] += 1
    with capsys.disabled():
        print(f"\n400 houses in three books, {seconds:.1f} s")
        for (code, what), sizes in sorted(seen.items()):
            print(f"  {code} {what}: {dict(sorted(sizes.items()))}")

    for (_, what), sizes in seen.items():
        allowed = {
            "building drain": {"3", "4"},
            "water service": {"3/4", "1", "1-1/4", "1-1/2"},
            "gas at the meter": {"1/2", "3/4", "1", "1-1/4", "1-1/2"},
        }[what]
        assert set(sizes) <= allowed


def test_a_house_of_two_and_a_half_baths_drains_through_3_or_4_inches(sized):
    found, _ = sized
    drains = {
        first(outline.drain, "building_drain")
        for row, _, outline, _ in found
        if baths(row) == 2.5
    }

    assert drains
    assert drains <= {"3", "4"}


def test_upc_counts_three_closets_on_a_3_in_building_drain_and_a_fourth_asks_4(sized):
    found, _ = sized
    for row, book, outline, _ in found:
        closets = sum(
            number(row, column)
            for column in ("Full Bath", "Half Bath", "Bsmt Full Bath", "Bsmt Half Bath")
        )
        if book.code == "UPC" and closets > 3:
            assert first(outline.drain, "building_drain") == "4"


def test_no_guess_fails_its_own_check_on_a_drain_a_vent_or_a_gas_pipe(sized):
    found, _ = sized
    wrong = [
        (row["Order"], book.code, finding.sentence)
        for row, book, _, report in found
        for finding in report.findings
        if not finding.ok
        and finding.check not in ("velocity", "residual pressure", "gas size")
    ]

    assert wrong == []


def test_drainage_units_equal_a_plain_count_of_the_columns(sized):
    # UPC 702.1: closet 3, lavatory 1, tub or shower 2, kitchen sink 2, washer 3.
    found, _ = sized
    for row, book, _, report in found:
        if book.code != "UPC":
            continue
        whole = number(row, "Full Bath") + number(row, "Bsmt Full Bath")
        half = number(row, "Half Bath") + number(row, "Bsmt Half Bath")
        kitchens = max(number(row, "Kitchen AbvGr"), 1)
        units = 6 * whole + 4 * half + 2 * kitchens + 3
        value = next(
            f.value
            for f in report.findings
            if f.check == "drain capacity" and f.where == "building-drain"
        )
        assert value == units
