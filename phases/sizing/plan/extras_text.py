"""What an outline does not draw, as text for people: read it, print it.

    house baths=2.5 bedrooms=3
    heater first_hour=62 input=40000 efficiency=0.82 rise=70 vent=yes condensate=yes
    condensate ac tons=3 size=3/4 slope=1/8 into=lavatory_tailpiece
    cut tub-joist notch joist lumber=2x10 inches=1 span=12 at=6
    clear bath-closet closet side=15 front=21

One line a thing; `#` starts a remark.
"""

from fractions import Fraction

from ..outline.build import OutlineError, Problem
from ..said import say
from .extras import Clearance, Condensate, Extras, FramingCut, HeaterFacts

Values = dict[str, float | bool | str]
# Name in the text, the field it fills, and how it is read.
_HOUSE = {"baths": ("baths", "number"), "bedrooms": ("bedrooms", "whole")}
_HEATER = {
    "first_hour": ("first_hour_gal", "number"),
    "input": ("input_btu_h", "number"),
    "efficiency": ("efficiency", "number"),
    "rise": ("rise_f", "number"),
    "vent": ("has_vent", "yes"),
    "condensate": ("has_condensate", "yes"),
}
_LINE = {
    "tons": ("tons", "number"),
    "size": ("size", "text"),
    "slope": ("slope", "number"),
    "into": ("into", "text"),
}
_CUT = {
    "lumber": ("lumber", "text"),
    "inches": ("inches", "number"),
    "span": ("span_ft", "number"),
    "at": ("from_end_ft", "number"),
    "edge": ("edge_in", "number"),
    "bearing": ("bearing", "yes"),
    "doubled": ("doubled", "yes"),
    "engineered": ("engineered", "yes"),
}
_CLEAR = {
    "side": ("side_in", "number"),
    "next": ("next_in", "number"),
    "front": ("front_in", "number"),
    "area": ("area_sq_in", "number"),
    "standpipe": ("standpipe_in", "number"),
    "trap": ("trap_in", "number"),
}
_WORDS = "house, heater, condensate, cut, clear"


def parse_extras(text: str) -> Extras:
    """Extras from text. Raises OutlineError that names every bad line."""
    house: Values = {}
    heater: Values = {}
    lines: list[Condensate] = []
    cuts: list[FramingCut] = []
    clear: list[Clearance] = []
    problems: list[Problem] = []
    for number, raw in enumerate(text.splitlines(), start=1):
        words = raw.split("#", 1)[0].split()
        if not words:
            continue
        try:
            match words[0]:
                case "house":
                    house |= _values(words[1:], _HOUSE)
                case "heater":
                    heater |= _values(words[1:], _HEATER)
                case "condensate":
                    lines.append(_condensate(words[1:]))
                case "cut":
                    cuts.append(_cut(words[1:]))
                case "clear":
                    clear.append(_clear(words[1:]))
                case other:
                    raise ValueError(say("extras_start", word=other, known=_WORDS))
        except ValueError as error:
            problems.append(Problem(f"line {number}", words[0], error.args[0]))
    if problems:
        raise OutlineError(problems)
    return Extras(
        heater=HeaterFacts(**heater),  # type: ignore[arg-type]
        condensate=tuple(lines), cuts=tuple(cuts), clear=tuple(clear), **house,  # type: ignore[arg-type]
    )  # fmt: skip


def _condensate(words: list[str]) -> Condensate:
    if not words:
        raise ValueError(say("condensate_name"))
    values = {"size": "3/4", "slope": 0.125, **_values(words[1:], _LINE)}
    if missing := [name for name in ("tons", "into") if name not in values]:
        raise ValueError(
            say("condensate_say", key=words[0], missing="=, ".join(missing))
        )
    return Condensate(words[0], **values)  # type: ignore[arg-type]


def _cut(words: list[str]) -> FramingCut:
    if len(words) < 3:
        raise ValueError(say("cut_write"))
    values = _values(words[3:], _CUT)
    if missing := [name for name in ("lumber", "inches") if name not in values]:
        raise ValueError(say("cut_say", key=words[0], missing="=, ".join(missing)))
    return FramingCut(*words[:3], **values)  # type: ignore[arg-type]


def _clear(words: list[str]) -> Clearance:
    if len(words) < 2:
        raise ValueError(say("clear_write"))
    return Clearance(*words[:2], **_values(words[2:], _CLEAR))  # type: ignore[arg-type]


def _values(words: list[str], known: dict[str, tuple[str, str]]) -> Values:
    found: Values = {}
    for word in words:
        name, mark, value = word.partition("=")
        if not mark or not value:
            raise ValueError(say("write_value", word=word))
        if name not in known:
            raise ValueError(say("name_unknown", name=name, known=", ".join(known)))
        field, how = known[name]
        found[field] = _read(value, how, name)
    return found


def _read(value: str, how: str, name: str) -> float | bool | str:
    if how == "text":
        return value
    if how == "yes":
        if value not in ("yes", "no"):
            raise ValueError(say("yes_or_no", name=name, value=value))
        return value == "yes"
    try:
        number = Fraction(value)
    except (ValueError, ZeroDivisionError):
        raise ValueError(say("no_number", name=name, value=value)) from None
    if not 0 <= number < 10**7:
        raise ValueError(say("out_of_range", name=name, value=value))
    if how == "whole":
        if number.denominator != 1:
            raise ValueError(say("whole_number", name=name, value=value))
        return int(number)
    return float(number)


def show_extras(extras: Extras) -> str:
    """The text that `parse_extras` reads back to the same extras."""
    found = [
        _shown(["house"], extras, Extras(), _HOUSE),
        _shown(["heater"], extras.heater, HeaterFacts(), _HEATER),
    ]
    lines = [words for words in found if "=" in words]
    for line in extras.condensate:
        lines.append(_shown(["condensate", line.key], line, None, _LINE))
    for cut in extras.cuts:
        default = FramingCut("x", "hole", "stud", "2x4", 1.0)
        words = ["cut", cut.key, cut.kind, cut.member]
        shown = _shown(words, cut, default, _CUT, always=("lumber", "inches"))
        lines.append(shown)
    for room in extras.clear:
        words = ["clear", room.key, room.kind]
        lines.append(_shown(words, room, None, _CLEAR))
    return "".join(f"{line}\n" for line in lines)


def _shown(
    words: list[str], thing: object, default: object,
    known: dict[str, tuple[str, str]], *, always: tuple[str, ...] = (),
) -> str:  # fmt: skip
    parts = list(words)
    for name, (field, how) in known.items():
        value = getattr(thing, field)
        same = default is not None and value == getattr(default, field)
        if value is None or (same and name not in always):
            continue
        if how == "yes":
            parts.append(f"{name}={'yes' if value else 'no'}")
        else:
            parts.append(f"{name}={value if how == 'text' else repr_number(value)}")
    return " ".join(parts)


def repr_number(value: float) -> str:
    """12 for 12.0, 0.125 as it is."""
    return repr(int(value)) if value == int(value) else repr(value)
