"""Inputs of gas cases: material, table, outlets, sections, sizes on hand."""

from collections.abc import Mapping
from typing import Any

from .. import gas
from ..tables import Absent, Cell
from .inputs import BadInput, Inputs, check_number, check_size, each, shown

_METAL = ("schedule 40", "steel", "black", "metallic", "iron")
# Gas pipe that the code has tables for and the reference has not.
_UNLISTED = ("copper", "semirigid", "semi-rigid", "polyamide", "pa-11", "aluminum")


def material_of(text: str) -> str:
    """Words of the tables for a material name."""
    low = text.lower()
    if named := next((word for word in _UNLISTED if word in low), None):
        raise Absent(f"The reference holds no gas table of {named}.")
    if "csst" in low or "corrugated" in low:
        return "CSST"
    if "poly" in low or low in ("pe", "pe pipe"):
        return "polyethylene plastic pipe"
    if any(word in low for word in _METAL):
        return "Schedule 40 metallic pipe"
    raise BadInput(
        "material",
        f"material {text!r} has no gas table. Give Schedule 40, CSST or polyethylene.",
    )


def table_of(given: Inputs, *, drop_key: str = "pressure_drop_in_wc") -> gas.Table:
    """The table that is named, or the one of the material and drop."""
    named = gas.table(given.text("table")) if given.has("table") else None
    material = (
        material_of(given.text("material", "pipe")) if given.has("material", "pipe")
        else None
    )  # fmt: skip
    drop = given.length(drop_key) if given.has(drop_key) else None
    if (found := named) is not None:
        if material and not found.material.startswith(material):
            raise BadInput(
                "material", f"material: table {found.name} is for {found.material}."
            )
        if given.has("pressure_drop_psi"):
            psi = given.length("pressure_drop_psi")
            if found.drop_unit != "psi" or psi != found.drop:
                raise BadInput(
                    "pressure_drop_psi",
                    f"pressure_drop_psi: table {found.name} is printed for "
                    f"{found.drop:g} {found.drop_unit}",
                )
        if drop is not None and (found.drop_unit != "in. w.c." or drop != found.drop):
            raise BadInput(
                drop_key,
                f"{drop_key}: table {found.name} is printed for {found.drop:g} "
                f"{found.drop_unit}",
            )
        return found
    if material is None:
        given.key_of("material")
    propane = "propane" in given.text("gas", "fuel", default="natural").lower()
    for name, found in gas.tables().items():
        if name[-1] != ")" or found.material != material:
            continue
        if found.drop_unit != "in. w.c." or (found.unit != "cfh") != propane:
            continue
        if found.drop == (0.5 if drop is None else drop):
            return found
    raise Absent(f"The reference holds no {material} table for this pressure drop.")


def multiplier(given: Inputs, table: gas.Table) -> tuple[float, tuple[Cell, ...]]:
    """Gravity multiplier of a natural gas table; 1 at 0.60 and for propane."""
    gravity = given.length("specific_gravity", default=0.6)
    if table.unit != "cfh" or gravity == 0.6:
        return 1.0, ()
    value, cell = gas.gravity_multiplier(gravity)
    return value, (cell,)


def available(given: Inputs, table: gas.Table) -> tuple[str, ...] | None:
    """Sizes on hand as the table names them, or None for all."""
    for names in (("available_ehd",), ("available_sizes_in", "available_in")):
        if given.has(*names):
            key, listed = given.items(*names)
            return tuple(
                _size_name(value, f"{key}[{at}]", table)
                for at, value in enumerate(listed)
            )
    return None


def _size_name(value: object, key: str, table: gas.Table) -> str:
    if isinstance(value, str) and value in table.sizes:
        return value
    if table.material.startswith("CSST"):
        name = f"EHD {check_number(value, key, over=0):g}"
    else:
        wanted = check_size(value, key)
        name = next((s for s in table.sizes if gas.size_order(s) == wanted), "")
    if name not in table.sizes:
        # A size that the table has not is simply never chosen.
        return name or str(value)
    return name


def shown_size(size: str) -> str | int:
    """`3/4` stays; EHD 18 is the number 18."""
    return int(size.split()[1]) if size.startswith("EHD") else size


def size_key(table: gas.Table) -> str:
    """Name of the size in a result: ehd for CSST, else size_in."""
    return "ehd" if table.material.startswith("CSST") else "size_in"


def flows_of(given: Inputs, table: gas.Table) -> dict[str, float]:
    """Load of every outlet in the table's unit."""
    if given.has("outlets_cfh", "loads_cfh"):
        key, values = given.mapping("outlets_cfh", "loads_cfh")
        return each(values, key, lambda v, k: check_number(v, k))
    key, values = given.mapping("outlets_btu_h", "appliances_btu_h")
    inputs = each(values, key, lambda v, k: check_number(v, k))
    heat = given.length("heating_value_btu_per_cf", default=1000.0)
    per = 1000.0 if table.unit != "cfh" else heat
    return {name: value / per for name, value in inputs.items()}


def sections_of(given: Inputs, outlets: Mapping[str, Any]) -> dict[str, list[str]]:
    """Outlets beyond every section; each must be one that has a load."""
    if not given.has("sections"):
        return {}
    key, values = given.mapping("sections")
    found = {}
    for name, beyond in values.items():
        where = f"{key}.{name}"
        if not isinstance(beyond, list) or not beyond:
            raise BadInput(where, f"{where}: list the outlets beyond the section.")
        for outlet in beyond:
            if not isinstance(outlet, str) or outlet not in outlets:
                raise BadInput(where, f"{where}: outlet {shown(outlet)} has no load.")
        if len(set(beyond)) != len(beyond):
            raise BadInput(where, f"{where}: an outlet is listed twice.")
        found[name] = [str(outlet) for outlet in beyond]
    return found
