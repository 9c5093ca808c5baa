"""What a row means in our own terms: subdivision, label, plan and option codes."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from .record import CellError, LotRow

# Fields of a lot that a list may set; a blank cell of the list never empties one.
FIELDS = (
    "address",
    "parcel",
    "permit",
    "issued",
    "mirrored",
    "foundation",
    "gate_code",
    "superintendent",
    "plan",
    "options",
    "start",
    "closing",
)
Value = str | bool | date | tuple[str, ...] | None


@dataclass(frozen=True)
class KnownLot:
    """A lot of ours as far as a list can speak of it. `plan` and options are codes."""

    pk: int
    subdivision: str
    label: str = ""
    block: str = ""
    unit: str = ""
    values: Mapping[str, Value] = field(default_factory=dict)
    # "" on the street, "undone" by an undone import, "retired" by the office.
    gone: str = ""


@dataclass(frozen=True)
class KnownPlan:
    code: str
    name: str = ""
    options: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Known:
    """What one builder has: lots, plans, superintendents, and names of subdivisions.

    `subdivisions` maps each spelling in small letters (names and joined spellings)
    to the name that it stands for.
    """

    lots: Sequence[KnownLot] = ()
    plans: Sequence[KnownPlan] = ()
    superintendents: Sequence[str] = ()
    subdivisions: Mapping[str, str] = field(default_factory=dict)


def squeeze(text: str) -> str:
    """Small letters and single spaces: how two spellings are held to be the same."""
    return " ".join(text.casefold().split())


def plat_of(row: LotRow, *, otherwise: str = "") -> str:
    """Name of the subdivision that the row is for, with the phase column's phase."""
    name = row.subdivision or otherwise
    if name and row.phase and squeeze(row.phase) not in squeeze(name).split():
        word = "" if re.match(r"(?i)ph|filing|sec", row.phase) else "Phase "
        name = f"{name} {word}{row.phase}"
    return name[:160]


def values_of(
    row: LotRow, known: Known, headers: Mapping[str, str]
) -> tuple[dict[str, Value], list[CellError], list[str]]:
    """Fields to set, cells that name nothing of ours, and notes for a person."""
    values: dict[str, Value] = {
        name: getattr(row, name)
        for name in FIELDS
        if name not in ("plan", "options", "superintendent")
        and getattr(row, name) is not None
    }
    errors: list[CellError] = []
    notes: list[str] = []
    if row.plan:
        _take_plan(row, known, headers, values, errors)
    elif row.options:
        errors.append(
            CellError(
                headers.get("options", "options"),
                ", ".join(row.options),
                "Options without a plan.",
                "Name the plan that these options belong to.",
            )
        )
    if row.superintendent:
        names = {squeeze(name): name for name in known.superintendents}
        name = names.get(squeeze(row.superintendent))
        if name:
            values["superintendent"] = name
        else:
            notes.append(f"superintendent {row.superintendent} is not known yet")
    return values, errors, notes


def _take_plan(
    row: LotRow,
    known: Known,
    headers: Mapping[str, str],
    values: dict[str, Value],
    errors: list[CellError],
) -> None:
    plan = find_plan(row.plan or "", row.elevation, known.plans)
    if plan is None:
        errors.append(
            CellError(
                headers.get("plan", "plan"),
                row.plan or "",
                "This builder has no plan of that name.",
                "Add the plan first, or leave the column out.",
            )
        )
        return
    values["plan"] = plan.code
    codes: list[str] = []
    for text in row.options:
        code = _option_code(text, plan)
        if code is None:
            errors.append(
                CellError(
                    headers.get("options", "options"),
                    text,
                    f"Plan {plan.code} has no option of that name.",
                    "Add the option to the plan, or correct it in the list.",
                )
            )
        else:
            codes.append(code)
    if row.options:
        values["options"] = tuple(sorted(set(codes)))


def find_plan(
    text: str, elevation: str | None, plans: Sequence[KnownPlan]
) -> KnownPlan | None:
    """The plan that a list means by `1820`, `Plan 1820`, `1820 B` or its name."""
    named = {squeeze(plan.name): plan for plan in plans if plan.name}
    named |= {squeeze(plan.code): plan for plan in plans}
    bare = re.sub(r"(?i)^(?:plan|model)\s+(?:no\.?|#)?\s*", "", text).strip()
    tries = [f"{bare} {elevation}", f"{bare}{elevation}", f"{bare}-{elevation}"]
    if not elevation:
        tries = []
    tries += [text, bare, re.sub(r"[\s-]*[A-Za-z]$", "", bare)]
    return next((named[t] for one in tries if (t := squeeze(one)) in named), None)


def _option_code(text: str, plan: KnownPlan) -> str | None:
    for code, name in plan.options.items():
        if squeeze(text) in (squeeze(code), squeeze(name)):
            return code
    return None
