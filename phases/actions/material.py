"""What lots really used, and the waste that the office sets by hand."""

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal, InvalidOperation

from phases import rules
from phases.log import Who, writing
from phases.models import LotPhase, MaterialUse, MaterialWaste
from phases.sizing.materials import Line
from tracker.errors import Refused

MOST_USED = 100_000


def enter_use(
    phase: LotPhase,
    used: Mapping[Line, str],
    *,
    who: Who,
    now: datetime,
) -> list[MaterialUse]:
    """Write down what a lot phase used of each line; blank lines are left alone.

    Everything is checked before anything is kept, so that no half of a slip is lost.
    """
    rules.check(rules.why_not_lead(who.member))
    rows = [
        MaterialUse(
            lot_phase=phase,
            item=line.item,
            size=line.size,
            unit=line.unit,
            net=line.net,
            used=_amount(text, line),
            entered_by=who.member,
            entered_at=now,
        )
        for line, text in used.items()
        if text.strip()
    ]
    with writing(now=now) as log:
        made = MaterialUse.objects.bulk_create(rows)
        if made:
            log.append(
                "material_used", lot=phase.lot, phase=phase, who=who, lines=len(made)
            )
    return made


def _amount(text: str, line: Line) -> float:
    name = f"{line.item} {line.size}".strip()
    try:
        amount = float(text.strip().replace(",", "."))
    except ValueError:
        raise Refused("use_not_number", item=name) from None
    if not 0 <= amount <= MOST_USED:
        raise Refused("use_not_number", item=name)
    return amount


def set_waste(item: str, percent: str, *, who: Who) -> MaterialWaste | None:
    """Waste of an item by hand; blank goes back to what lots taught."""
    rules.check(rules.why_not_office(who.member))
    if not percent.strip():
        MaterialWaste.objects.filter(item=item).delete()
        return None
    try:
        value = Decimal(percent.strip().replace(",", "."))
    except InvalidOperation:
        raise Refused("waste_out_of_range", item=item) from None
    # A NaN compares with nothing, so it is refused like any other.
    if not value.is_finite() or not 0 <= value <= 200:
        raise Refused("waste_out_of_range", item=item)
    row, _ = MaterialWaste.objects.update_or_create(
        item=item[:120],
        defaults={"percent": round(value, 1), "set_by": who.member},
    )
    return row
