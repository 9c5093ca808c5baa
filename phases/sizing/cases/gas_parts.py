"""Parts of a gas system that bring their own load and length.

`sections` (or `branches`) is an object of parts, or a list of parts with a name; a
part may also stand as `section_B` or `branch`, or alone in the inputs. A part gives
its load, and its length: from the point of delivery, or its own with `under` (the part
upstream) or `path` (all parts on the way to it).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from .. import gas
from .inputs import BadInput, Inputs, shown

# The one branch of a case that names none.
LONE = ""
MOST_PARTS = 300
_GROUPS = ("sections", "branches", "parts", "runs")
_LOADS = ("load_cfh", "demand_cfh", "flow_cfh")
_INPUTS = ("load_btu_h", "input_btu_h", "demand_btu_h")
_SERVES = ("outlets", "serves", "beyond", "appliances")
_LENGTHS = (
    "branch_length_ft", "run_length_ft", "total_length_ft", "distance_ft", "length_ft",
    "longest_length_ft",
)  # fmt: skip
_UNDER = ("under", "upstream", "parent", "from")


@dataclass(frozen=True, slots=True)
class Part:
    """A section: its load in the table's unit, and the length it is sized by."""

    name: str
    load: float
    length_ft: float


def load_of(part: Inputs, given: Inputs, table: gas.Table) -> float:
    """The load of a part in the table's unit."""
    if part.has(*_LOADS):
        load = part.number(*_LOADS)
        return load if table.unit == "cfh" else load * _heat(given) / 1000
    value = part.number(*_INPUTS)
    return value / (_heat(given) if table.unit == "cfh" else 1000.0)


def _heat(given: Inputs) -> float:
    return given.length("heating_value_btu_per_cf", default=1000.0)


def parts_of(
    given: Inputs, table: gas.Table, flows: Mapping[str, float]
) -> tuple[Part, ...]:
    """Every part; none where outlets and lists are given. flows are the outlets'."""
    found = _named(given)
    if not found and not flows and given.has(*_LOADS, *_INPUTS):
        name = given.text("section", "branch_name", "appliance", default=LONE)
        length = given.length(*_LENGTHS)
        return (Part(name, load_of(given, given, table), length),)
    if len(found) > MOST_PARTS:
        raise BadInput("sections", f"sections: give at most {MOST_PARTS} parts.")
    _check_upstream(found)
    return tuple(
        Part(name, _load(name, found, given, table, flows), _length(name, found, given))
        for name in found
    )


def _named(given: Inputs) -> dict[str, Inputs]:
    found: dict[str, Inputs] = {}
    for key, value in given.values.items():
        word = str(key).lower()
        if word in _GROUPS and isinstance(value, dict):
            if not value or not all(isinstance(v, dict) for v in value.values()):
                continue
            given.has(key)
            for name, part in value.items():
                found[name] = Inputs(part, prefix=f"{key}.{name}.")
        elif word in _GROUPS and isinstance(value, list):
            given.has(key)
            for at, part in enumerate(value):
                _add(found, part, f"{key}[{at}]")
        elif word.startswith(("section_", "branch_")) and isinstance(value, dict):
            if not {*_LOADS, *_INPUTS, *_SERVES, *_LENGTHS, *_UNDER} & set(value):
                continue  # lengths by name, such as branch_lengths_ft
            given.has(key)
            found[key[len(word.split("_")[0]) + 1 :]] = Inputs(value, prefix=f"{key}.")
        elif word in ("branch", "added") and isinstance(value, dict):
            given.has(key)
            _add(found, value, str(key), default=word)
    return found


def _add(
    found: dict[str, Inputs], part: object, where: str, default: str | None = None
) -> None:
    if not isinstance(part, dict):
        raise BadInput(where, f"{where}: give an object with load and length.")
    inputs = Inputs(part, prefix=f"{where}.")
    name = inputs.text("section", "name", "key", "branch", default=default)
    if name in found:
        raise BadInput(where, f"{where}: {name} stands twice.")
    found[name] = inputs


def _check_upstream(found: Mapping[str, Inputs]) -> None:
    """Every part upstream is there, and no part comes back to itself."""
    for name, part in found.items():
        way = [name]
        while part.has(*_UNDER):
            upstream = part.text(*_UNDER)
            where = part.prefix + part.key_of(*_UNDER)
            if upstream not in found:
                raise BadInput(where, f"{where}: there is no section {upstream!r}.")
            if upstream in way:
                raise BadInput(where, f"{where}: the sections run in a loop.")
            way.append(upstream)
            part = found[upstream]


def _beyond(name: str, found: Mapping[str, Inputs]) -> list[str]:
    """Parts right downstream."""
    return [
        other
        for other, part in found.items()
        if part.has(*_UNDER) and part.text(*_UNDER) == name
    ]


def _load(
    name: str, found: Mapping[str, Inputs], given: Inputs, table: gas.Table,
    flows: Mapping[str, float],
) -> float:  # fmt: skip
    """A part's own load, that of the outlets it serves, or of what hangs on it."""
    part = found[name]
    after = _beyond(name, found)
    if part.has(*_LOADS, *_INPUTS):
        load = load_of(part, given, table)
    elif part.has(*_SERVES):
        load = _served(part, flows)
    elif name in flows:
        load = flows[name]
    elif after:
        load = sum(_load(other, found, given, table, flows) for other in after)
    else:
        load = load_of(part, given, table)
    part.has("appliance", "fixture", "note", "path")
    part.refuse_other_units()
    return load


def _served(part: Inputs, flows: Mapping[str, float]) -> float:
    key, names = part.items(*_SERVES)
    for name in names:
        if not isinstance(name, str) or name not in flows:
            raise BadInput(key, f"{key}: outlet {shown(name)} has no load.")
    return sum(flows[name] for name in dict.fromkeys(names))


def _length(name: str, found: Mapping[str, Inputs], given: Inputs) -> float:
    """Feet from the point of delivery to the most remote outlet beyond the part."""
    part = found[name]
    if part.has("path"):
        return _path(part, found)
    after = _beyond(name, found)
    if part.has(*_UNDER) or after:
        return _before(name, found) + _remotest(name, found)
    if not part.has(*_LENGTHS) and given.has("longest_length_ft"):
        return given.length("longest_length_ft")
    return part.length(*_LENGTHS)


def _path(part: Inputs, found: Mapping[str, Inputs]) -> float:
    key, names = part.items("path")
    for name in names:
        if not isinstance(name, str) or name not in found:
            raise BadInput(key, f"{key}: there is no section {shown(name)}.")
    return sum(found[name].length(*_LENGTHS) for name in names)


def _before(name: str, found: Mapping[str, Inputs]) -> float:
    """Lengths of the parts upstream."""
    part = found[name]
    if not part.has(*_UNDER):
        return 0.0
    upstream = part.text(*_UNDER)
    return _before(upstream, found) + found[upstream].length(*_LENGTHS)


def _remotest(name: str, found: Mapping[str, Inputs]) -> float:
    after = max((_remotest(o, found) for o in _beyond(name, found)), default=0.0)
    return found[name].length(*_LENGTHS) + after


def shown_loads(parts: tuple[Part, ...]) -> tuple[dict[str, float], dict[str, Any]]:
    """Loads and lengths by name."""
    return {p.name: p.load for p in parts}, {p.name: p.length_ft for p in parts}
