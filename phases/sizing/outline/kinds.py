"""What each fixture kind of the catalogue means for sizing. The one place that maps.

Kinds that bring no pipe of their own (walls, sleeves, boxes by others) are absent.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Kind:
    """Sizing facts of a fixture kind.

    load        row of the drainage and supply tables
    times       how many of that row one piece counts
    arm_in      usual trap arm; arm_ft its usual length
    drain, hot, cold   which pipes it has
    appliance   row of gas_appliance_inputs.csv
    gas_btu_h   input where the table has no fitting row
    """

    load: str = ""
    times: int = 1
    arm_in: str = ""
    arm_ft: float = 3.0
    drain: bool = False
    hot: bool = False
    cold: bool = False
    appliance: str = ""


def _bath(load: str, arm_in: str, arm_ft: float = 3.0, times: int = 1) -> Kind:
    return Kind(load, times, arm_in, arm_ft, drain=True, hot=True, cold=True)


TANKLESS = "tankless whole-house water heater, usual top input"
KINDS: dict[str, Kind] = {
    "closet": Kind(
        "water_closet_private_1_6", 1, "3", 3.0, drain=True, cold=True
    ),
    "lavatory": _bath("lavatory", "1-1/2", 2.5),
    "lavatory_double": _bath("lavatory", "1-1/2", 2.5, 2),
    "tub": _bath("bathtub", "1-1/2"),
    "tub_shower": _bath("bathtub", "1-1/2"),
    "soaking_tub": _bath("bathtub", "1-1/2"),
    "shower": _bath("shower_le_5_7gpm", "2"),
    "bidet": _bath("bidet", "1-1/2", 2.5),
    "kitchen_sink": _bath("kitchen_sink", "1-1/2", 2.5),
    "bar_sink": _bath("bar_sink", "1-1/2", 2.5),
    "washer_box": _bath("clothes_washer_standpipe", "2"),
    "laundry_sink": _bath("laundry_tub", "1-1/2", 2.5),
    "floor_drain": Kind("floor_drain", 1, "2", 3.0, drain=True),
    "dishwasher": Kind("dishwasher_independent", hot=True),
    "ice_maker": Kind("ice_maker", cold=True),
    "refrigerator_water": Kind("ice_maker", cold=True),
    "hose_bibb": Kind("hose_bibb", cold=True),
    "tank_gas": Kind(appliance="water heater, storage, 50 gal"),
    "tankless_gas": Kind(appliance=TANKLESS),
    "tank_electric": Kind(),
    "gas_range": Kind(appliance="range, free standing, domestic"),
    "gas_cooktop": Kind(appliance="built-in top unit (cooktop)"),
    "gas_dryer": Kind(appliance="clothes dryer, domestic (type 1)"),
    "gas_fireplace": Kind(appliance="gas fireplace, direct vent"),
    "gas_furnace": Kind(appliance="warm air furnace, single family"),
    "gas_grill": Kind(appliance="barbecue"),
    "ac_condensate": Kind(),
}  # fmt: skip
HEATERS = ("tank_gas", "tankless_gas", "tank_electric")
CLOSET_KINDS = frozenset({"closet"})
BATHING_KINDS = frozenset({"tub", "tub_shower", "soaking_tub", "shower"})
LAVATORY_KINDS = frozenset({"lavatory", "lavatory_double"})
# Sediment trap: not for these (IFGC 408.4); shutoff valve: for every appliance.
NO_SEDIMENT_TRAP = frozenset(
    {"gas_range", "gas_cooktop", "gas_dryer", "gas_fireplace", "gas_grill"}
)
