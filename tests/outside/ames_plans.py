"""The Ames houses as plans: which column becomes which fixture.

Full Bath           a bath above ground: closet, lavatory, tub-shower; the second
                    has a double lavatory and a separate shower instead
Half Bath           closet and lavatory, on the ground floor
Bsmt Full Bath      closet, lavatory, shower in the basement; Bsmt Half Bath: no shower
Kitchen AbvGr       sink on a wall, disposer, dishwasher, range (gas where the heat is
                    gas); the first kitchen has the ice-maker box
Total Bsmt SF       above 0 (or any basement bath): basement, with laundry, heater and
                    a floor drain in it; else they stand on the ground floor, no drain
Foundation          Slab: slab; else basement or crawl space by the line above
2nd Flr SF          above 0: two storeys; all full baths upstairs, except that
                    without a half bath the first stays on the ground floor
Heating             GasA, GasW: gas on the lot, gas heater; GasA: gas furnace
Central Air         Y: condensate, into the floor drain or else the first lavatory
Fireplaces          gas fireplaces where the heat is gas
Garage Type         attached or built in: one of two hose bibbs lies across the garage
"""

from phases.catalogue import Fixture, House, Room
from tests.outside.ames_count import number


def house_of(row: dict[str, str]) -> House:
    """One row of the file as a house."""
    storeys = 2 if number(row, "2nd Flr SF") > 0 else 1
    low = number(row, "Bsmt Full Bath") + number(row, "Bsmt Half Bath")
    basement = number(row, "Total Bsmt SF") > 0 or low > 0
    gas = row["Heating"] in ("GasA", "GasW")
    if row["Foundation"] == "Slab" and not basement:
        foundation = "slab"
    else:
        foundation = "basement" if basement else "crawl"
    rooms = [
        *_kitchens(row, gas=gas),
        *_baths(row, storeys=storeys),
        _laundry(basement=basement),
        _mechanical(row, basement=basement, gas=gas),
        _outside(row),
    ]
    if gas and number(row, "Fireplaces"):
        places = number(row, "Fireplaces")
        rooms.append(
            Room(
                "living",
                "living",
                order=9,
                fixtures=(Fixture("fireplace", "gas_fireplace", quantity=places),),
            )
        )
    return House(
        rooms=tuple(rooms),
        foundation=foundation,
        storeys=storeys,
        facts={"fuel": "gas" if gas else "none"},
    )


def _kitchens(row: dict[str, str], *, gas: bool) -> list[Room]:
    rooms = []
    for n in range(1, number(row, "Kitchen AbvGr") + 1):
        fixtures = [
            Fixture("sink", "kitchen_sink", wall="back"),
            Fixture("disposer", "disposer", wall="back"),
            Fixture("dishwasher", "dishwasher", wall="back"),
        ]
        if gas:
            fixtures.append(Fixture("range", "gas_range", wall="left"))
        if n == 1:
            fixtures.append(Fixture("ice", "ice_maker", wall="right"))
        rooms.append(Room(f"kitchen{n}", "kitchen", order=n, fixtures=tuple(fixtures)))
    return rooms


def _baths(row: dict[str, str], *, storeys: int) -> list[Room]:
    rooms = []
    for n in range(1, number(row, "Half Bath") + 1):
        rooms.append(_bath(f"half{n}", "half_bath", floor=1, order=20 + n))
    for n in range(1, number(row, "Full Bath") + 1):
        stays_down = n == 1 and not number(row, "Half Bath")
        floor = 1 if stays_down else storeys
        bathing = "shower" if n == 2 else "tub_shower"
        rooms.append(
            _bath(f"bath{n}", "bath", floor=floor, order=10 + n, bathing=bathing)
        )
    for n in range(1, number(row, "Bsmt Full Bath") + 1):
        rooms.append(_bath(f"lowbath{n}", "bath", floor=0, order=n, bathing="shower"))
    for n in range(1, number(row, "Bsmt Half Bath") + 1):
        rooms.append(_bath(f"lowhalf{n}", "half_bath", floor=0, order=5 + n))
    return rooms


def _bath(key: str, kind: str, *, floor: int, order: int, bathing: str = "") -> Room:
    lavatory = "lavatory_double" if key == "bath2" else "lavatory"
    fixtures = [
        Fixture("closet", "closet", wall="back"),
        Fixture("lavatory", lavatory, wall="left"),
    ]
    if bathing:
        fixtures.append(Fixture("bathing", bathing, wall="right"))
    return Room(key, kind, floor=floor, order=order, fixtures=tuple(fixtures))


def _laundry(*, basement: bool) -> Room:
    fixtures = [Fixture("washer", "washer_box"), Fixture("dryer", "dryer_box")]
    if basement:
        fixtures.append(Fixture("drain", "floor_drain", position="floor"))
    floor = 0 if basement else 1
    return Room("laundry", "laundry", floor=floor, order=7, fixtures=tuple(fixtures))


def _mechanical(row: dict[str, str], *, basement: bool, gas: bool) -> Room:
    fixtures = [Fixture("heater", "tank_gas" if gas else "tank_electric")]
    if row["Heating"] == "GasA":
        fixtures.append(Fixture("furnace", "gas_furnace"))
    if row["Central Air"] == "Y":
        into = "floor_drain" if basement else "lavatory"
        beside = "laundry/drain" if basement else "bath1/lavatory"
        fixtures.append(
            Fixture("air", "ac_condensate", beside=beside, params={"into": into})
        )
    floor = 0 if basement else 1
    return Room(
        "mechanical", "mechanical", floor=floor, order=8, fixtures=tuple(fixtures)
    )


def _outside(row: dict[str, str]) -> Room:
    attached = row["Garage Type"] in ("Attchd", "BuiltIn", "2Types", "Basment")
    front = Fixture(
        "front", "hose_bibb", params={"run": "garage" if attached else "near"}
    )
    return Room(
        "outside", "outside", order=30, fixtures=(front, Fixture("rear", "hose_bibb"))
    )
