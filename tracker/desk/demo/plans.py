"""The nine plans of the demo, written short: rooms, their finishes and fixtures.

A fixture is `kind` or `kind:key=value,...`; `wall`, `hand`, `at` (position) and `beside` are
columns of the plan fixture, everything else is a parameter of the catalogue.
"""

# ruff: noqa: E501 (tables read better one row a line)

from dataclasses import dataclass, field

MASTER = (
    "closet:wall=right lavatory_double:wall=back shower:wall=left,hand=left,pan=site"
)
MASTER_SOAK = f"{MASTER} soaking_tub:wall=front,hand=right"
HALL = "closet:wall=back lavatory:wall=back tub_shower:wall=left,hand=left"
HALF = "closet:wall=back lavatory:wall=right"
KITCHEN = (
    "kitchen_sink:wall=back dishwasher:wall=back,beside=kitchen_sink "
    "disposer:wall=back,beside=kitchen_sink ice_maker:wall=left"
)
ISLAND = (
    "kitchen_sink:at=island dishwasher:at=island,beside=kitchen_sink "
    "disposer:at=island,beside=kitchen_sink ice_maker:wall=left"
)
LAUNDRY = "washer_box:wall=back dryer_box:wall=back"
YARD = "hose_bibb:wall=back,at=outside,run=near"


@dataclass(frozen=True)
class RoomText:
    key: str
    kind: str
    floor: int
    en: str
    es: str
    fixtures: str
    tile: bool = False


@dataclass(frozen=True)
class OptionText:
    code: str
    name: str
    room: str
    adds: str = ""
    removes: tuple[str, ...] = ()


@dataclass(frozen=True)
class PlanText:
    builder: str
    code: str
    name: str
    storeys: int
    foundation: str
    fuel: str
    rooms: tuple[RoomText, ...]
    options: tuple[OptionText, ...] = ()
    quarters: dict[str, int] = field(default_factory=dict)


def house(
    *,
    kitchen: str,
    heater: str,
    upstairs: bool = False,
    baths: int = 2,
    half: bool = False,
    master: str = MASTER,
    garage: str = "hose_bibb:wall=front,at=outside,run=garage",
) -> tuple[RoomText, ...]:
    """Rooms of a usual house; upstairs puts the bedrooms' baths on floor 2."""
    up = 2 if upstairs else 1
    rooms = [
        RoomText("kitchen", "kitchen", 1, "Kitchen", "Cocina", kitchen),
        RoomText("laundry", "laundry", up, "Laundry", "Lavandería", LAUNDRY),
        RoomText("master", "bath", up, "Main bath", "Baño principal", master, True),
    ]
    for n in range(2, baths + 1):
        rooms.append(
            RoomText(f"bath{n}", "bath", up, f"Bath {n}", f"Baño {n}", HALL, True)
        )
    if half:
        rooms.append(RoomText("half", "half_bath", 1, "Half bath", "Medio baño", HALF))
    rooms += [
        RoomText("garage", "garage", 1, "Garage", "Cochera", f"{heater} {garage}"),
        RoomText("outside", "outside", 1, "Outside walls", "Muros exteriores", YARD),
    ]
    return tuple(rooms)


TANK = "tank_gas:place=garage"
TANKLESS = "tankless_gas:place=garage"
ELECTRIC = "tank_electric:place=garage"
GAS = "gas_range:wall=left gas_fireplace:wall=back"

PLANS = [
    PlanText(
        "Veldmarsh Homes", "1640", "The Alder", 1, "slab", "gas",
        house(kitchen=f"{KITCHEN} gas_range:wall=right", heater=TANK),
        (OptionText("TANKLESS", "Tankless heater", "garage", TANKLESS, ("garage/tank_gas",)),
         OptionText("BAR", "Bar sink", "kitchen", "bar_sink:wall=right")),
    ),
    PlanText(
        "Veldmarsh Homes", "2210", "The Linden", 2, "slab", "gas",
        house(kitchen=f"{ISLAND} gas_range:wall=right", heater=TANKLESS, upstairs=True, baths=2, half=True),
        (OptionText("SOAK", "Soaking tub", "master", "soaking_tub:wall=front,hand=right"),
         OptionText("GRILL", "Grill stub", "outside", "gas_grill:wall=back,at=outside")),
        {"underground": 5, "topout": 8},
    ),
    PlanText(
        "Veldmarsh Homes", "2875", "The Hawthorn", 2, "slab", "gas",
        house(kitchen=f"{ISLAND} gas_cooktop:wall=right", heater=TANKLESS, upstairs=True, baths=3, half=True, master=MASTER_SOAK),
        (OptionText("SINK", "Laundry sink", "laundry", "laundry_sink:wall=right"),),
        {"underground": 6, "rough": 8, "topout": 8, "trim": 6},
    ),
    PlanText(
        "Orrin Tace Builders", "QB-14", "Quarryman", 1, "crawl", "none",
        house(kitchen=KITCHEN, heater=ELECTRIC),
        (OptionText("LOOP", "Filtration loop", "garage", "filtration_loop:wall=left,drain=yes"),),
    ),
    PlanText(
        "Orrin Tace Builders", "QB-19", "Mason", 1, "crawl", "gas",
        house(kitchen=f"{KITCHEN} gas_range:wall=right", heater=TANK, half=True),
        (OptionText("FIRE", "Fireplace", "kitchen", "gas_fireplace:wall=back,control=switch"),),
    ),
    PlanText(
        "Orrin Tace Builders", "QB-24", "Stonecutter", 2, "basement", "gas",
        house(kitchen=f"{ISLAND} gas_range:wall=right", heater=TANKLESS, upstairs=True, baths=2, half=True)
        + (RoomText("cellar", "basement", 0, "Basement", "Sótano", "floor_drain:at=floor"),),
        (OptionText("LAUNDRY2", "Second laundry", "half", "washer_box:wall=left"),),
        {"underground": 6, "rough": 7},
    ),
    PlanText(
        "Castermoor Homes", "C-16", "Curlew", 1, "slab", "none",
        house(kitchen=KITCHEN, heater=ELECTRIC),
        (OptionText("FRIDGE", "Second refrigerator water", "garage", "refrigerator_water:wall=left"),),
    ),
    PlanText(
        "Castermoor Homes", "C-21", "Sandpiper", 2, "slab", "gas",
        house(kitchen=f"{KITCHEN} {GAS}", heater=TANK, upstairs=True, half=True),
        (OptionText("TANKLESS", "Tankless heater", "garage", TANKLESS, ("garage/tank_gas",)),),
    ),
    PlanText(
        "Castermoor Homes", "C-27", "Avocet", 2, "slab", "gas",
        house(kitchen=f"{ISLAND} {GAS}", heater=TANKLESS, upstairs=True, baths=3, half=True),
        (OptionText("GRILL", "Grill stub", "outside", "gas_grill:wall=back,at=outside"),),
        {"underground": 6, "rough": 8, "topout": 8, "trim": 6},
    ),
]  # fmt: skip
