"""One test as it stood on the pipe."""

import math
from dataclasses import dataclass, fields
from datetime import datetime
from typing import ClassVar

from tracker.words import say

SYSTEMS = ("dwv", "building_sewer", "shower_pan", "water_supply", "gas")
GASES = ("air", "nitrogen", "carbon_dioxide", "inert_gas")
MEDIA = (*GASES, "water", "vacuum", "smoke", "oxygen", "fuel_gas")
PLASTICS = ("pvc", "abs", "cpvc", "pex", "polyethylene", "polypropylene")
METALS = ("copper", "cast_iron", "steel", "csst", "brass", "stainless_steel")
FREEZING_F = 32.0

# Least and most that a reading can be; beyond lies a slip of the pen.
_SPANS = {
    "start_psig": (0.0, 1000.0),
    "end_psig": (0.0, 1000.0),
    "start_f": (-60.0, 160.0),
    "end_f": (-60.0, 160.0),
    "head_ft": (0.0, 300.0),
    "end_head_ft": (0.0, 300.0),
    "depth_in": (0.0, 60.0),
    "minutes": (0.0, 60.0 * 24 * 31),
    "gauge_top_psi": (0.01, 10_000.0),
    "gauge_mark_psi": (0.0001, 100.0),
    "working_psig": (0.0, 1000.0),
    "volume_cuft": (0.0, 100_000.0),
    "elevation_ft": (-300.0, 15_000.0),
}


class BadReading(ValueError):
    """A reading that cannot be; `reason` says which and why in both languages."""

    def __init__(self, code: str, field: str, **params: object) -> None:
        named = {"code": f"pipe_of_{field}"}
        self.reason = {"code": f"pipe_{code}", "field": named, **params}
        super().__init__(say(self.reason))


@dataclass(frozen=True, slots=True, kw_only=True)
class TestRecord:
    """Readings of one test. None means that nobody wrote it down.

    Pressures are gauge psi (a vacuum counts downwards, 5 = five below the air),
    temperatures F of what is in the pipe, head ft above the highest fitting tested,
    depth in. at the threshold. Raises BadReading for a reading that cannot be.
    """

    __test__: ClassVar[bool] = False

    system: str
    medium: str
    material: str
    minutes: float | None = None
    start_psig: float | None = None
    end_psig: float | None = None
    start_f: float | None = None
    end_f: float | None = None
    head_ft: float | None = None
    end_head_ft: float | None = None
    depth_in: float | None = None
    working_psig: float | None = None
    gauge_top_psi: float | None = None
    gauge_mark_psi: float | None = None
    leak_seen: bool | None = None
    air_added: bool = False
    dwelling: bool = True
    volume_cuft: float | None = None
    elevation_ft: float = 0.0
    taken_by: str = ""
    taken_at: datetime | None = None
    gauge_photo: str = ""

    def __post_init__(self) -> None:
        known = {
            "system": SYSTEMS,
            "medium": MEDIA,
            "material": (*PLASTICS, *METALS),
        }
        for name, words in known.items():
            if getattr(self, name) not in words:
                raise BadReading("not_one_of", name, known=list(words))
        for field in fields(self):
            value = getattr(self, field.name)
            if field.name in _SPANS and value is not None:
                _check_reading(field.name, value)

    @property
    def plastic(self) -> bool:
        return self.material in PLASTICS

    @property
    def gaseous(self) -> bool:
        """A gas is shut in: temperature moves it and it stores energy."""
        return self.medium in (*GASES, "oxygen", "fuel_gas")


def _check_reading(name: str, value: float) -> None:
    least, most = _SPANS[name]
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadReading("not_a_number", name)
    if not (math.isfinite(value) and least <= value <= most):
        raise BadReading(
            "not_from_to",
            name,
            least=f"{least:g}",
            most=f"{most:g}",
            found=f"{value:g}",
        )


def frost_warning(*, medium: str, forecast_low_f: float | None) -> str | None:
    """What to say of a water test when frost is forecast; None when there is none."""
    if medium != "water" or forecast_low_f is None or forecast_low_f >= FREEZING_F:
        return None
    return (
        f"Frost is forecast ({forecast_low_f:g} F): water left in the pipe may freeze "
        "and split it. Drain it, or keep it warm."
    )
