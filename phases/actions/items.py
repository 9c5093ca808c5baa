"""Check items from the stub-out list, and what a later change does to them.

Unanswered items follow the list. An answered item stays as it was answered, and
after work is done or covered every new, changed or lost demand is a correction with
its reason (concrete to cut, wall to open): never a silent new item or silent drop.
"""

from typing import Any

from phases.actions.corrections import Finding, append_correction
from phases.catalogue import Catalogue, Demand
from phases.house_of import catalogue_now, demands_of
from phases.log import Log, Who
from phases.models import CheckItem, ItemSpec, LotPhase
from tracker.sites.models import Lot

LATE = ("done", "proven")


def sync_items(
    log: Log,
    lot: Lot,
    *,
    who: Who,
    catalogue: Catalogue | None = None,
    open_only: bool = False,
) -> None:
    """Bring the items of a lot in line with its plan, options and the catalogue.

    Args:
        open_only: a change of the catalogue: answered items and phases whose work is
            done stay as they were asked for, and nothing is said about them, now or
            at a later change of the plan.
    """
    phases = {p.kind.code: p for p in lot.phases.select_related("kind", "crew")}
    wanted = {
        demand.key: demand
        for demand in demands_of(lot, catalogue or catalogue_now())
        if demand.phase in phases
    }
    items = {
        item.key: item
        for item in CheckItem.objects.filter(lot_phase__lot=lot).select_related(
            "lot_phase__kind"
        )
    }
    answered = set(
        lot.facts.filter(kind="entry").values_list("item", flat=True).distinct()
    )
    new = [d for key, d in wanted.items() if key not in items]
    if open_only:
        late = [d for d in new if is_late(phases[d.phase])]
        _add_unasked(log, phases, late)
        new = [d for d in new if not is_late(phases[d.phase])]
    _add(log, lot, phases, new, who=who)
    for key, item in items.items():
        demand = wanted.get(key)
        if not item.spec.get("from_list", True):
            continue
        if open_only and (item.pk in answered or is_late(item.lot_phase)):
            _know(item, demand)
        elif _is_known(item, demand):
            continue
        elif demand is None:
            if item.removed_at is None:
                _lose(log, lot, item, answered=item.pk in answered, who=who)
        elif item.removed_at is not None or _differs(item, demand):
            _change(log, lot, item, demand, answered=item.pk in answered, who=who)
    log.touch(lot)


def spec_of(demand: Demand) -> dict[str, Any]:
    """What an item shows and asks, as plain JSON; lengths in sixteenths (in16).

    `checked` is there where the size was checked: the code book and edition.
    """
    target = demand.target(demand.measure) if demand.measure else None
    least, most, unit = demand.least, demand.most, demand.unit
    if target is not None:
        least = target.bare - target.minus
        most = None if target.plus is None else target.bare + target.plus
        unit = "in16"
    return {
        "text_en": demand.text_en,
        "text_es": demand.text_es,
        "room_en": demand.room_en,
        "room_es": demand.room_es,
        "fixture": demand.fixture,
        "kind": demand.kind,
        "outlet": demand.outlet,
        "systems": [demand.kind, demand.outlet],
        "quantity": demand.quantity,
        "size": demand.size,
        "targets": [
            {name: getattr(t, name) for name in t.__slots__} for t in demand.targets
        ],
        "measure": demand.measure,
        "unit": unit,
        "least": least,
        "most": most,
        "minutes": demand.minutes,
        "handoff": demand.handoff,
        "advisory": demand.advisory,
        "source": demand.source,
        **({"checked": demand.checked} if demand.checked else {}),
    }


# Demands that a change of the catalogue brought after a phase's work was done.
UNASKED = "Came into the catalogue after the work was done"


def _add_unasked(log: Log, phases: dict[str, LotPhase], demands: list[Demand]) -> None:
    CheckItem.objects.bulk_create(
        CheckItem(
            lot_phase=phases[demand.phase],
            key=demand.key,
            removed_at=log.now,
            removed_reason=UNASKED,
            **_columns(demand),
        )
        for demand in demands
    )


def _know(item: CheckItem, demand: Demand | None) -> None:
    """Keep what the catalogue now asks beside an item that stays as it is."""
    new = spec_of(demand) if demand else None
    if item.removed_reason == UNASKED:
        item.spec = new or item.spec
    elif item.removed_at is None and _told(item) != new:
        item.spec = {**item.spec, "pending": new}
    item.save(update_fields=["spec"])


def _is_known(item: CheckItem, demand: Demand | None) -> bool:
    """Nothing to do or say: the list asks what it is already known to ask."""
    if item.removed_at is not None and item.removed_reason == UNASKED:
        return demand is None or item.spec == spec_of(demand)
    return demand is None and _told(item) is None


def _told(item: CheckItem) -> Any:
    """What the list last asked of an item, whatever it was answered on."""
    return item.spec.get("pending", item.spec)


def _differs(item: CheckItem, demand: Demand) -> bool:
    return bool(_told(item) != spec_of(demand))


def is_late(phase: LotPhase) -> bool:
    """Work is done or covered, so that a change has to be cut or opened for."""
    return phase.work in LATE or phase.covered_on is not None


def _cut(phase: LotPhase) -> tuple[str, str]:
    if phase.covered_on is None:
        return ("work is done", "el trabajo está hecho")
    what = (phase.kind.conceals_en or "covered", phase.kind.conceals_es or "cubierto")
    return (f"to be opened: {what[0]}", f"hay que abrir: {what[1]}")


def _add(
    log: Log, lot: Lot, phases: dict[str, LotPhase], new: list[Demand], *, who: Who
) -> None:
    made = CheckItem.objects.bulk_create(
        CheckItem(lot_phase=phases[demand.phase], key=demand.key, **_columns(demand))
        for demand in new
    )
    ItemSpec.objects.bulk_create(
        ItemSpec(item=item, version=1, spec=item.spec) for item in made
    )
    for item in made:
        if is_late(item.lot_phase):
            _say_change(log, lot, item, "Added to the plan", "Añadido al plano", who)


def _columns(demand: Demand) -> dict[str, Any]:
    return {
        "room_key": demand.room,
        "walk_order": _walk_number(demand.walk),
        "proof": demand.proof,
        "photos_needed": demand.photos,
        "concealed": demand.concealed,
        "spec": spec_of(demand),
    }


def _walk_number(walk: tuple[int, ...]) -> int:
    """The walk sort key as one number that keeps its order."""
    number = 0
    for place, base in zip(
        (*walk, 0, 0, 0, 0, 0)[:5], (8, 100, 8, 100, 2000), strict=True
    ):
        number = number * base + min(max(place, 0), base - 1)
    return number


def _lose(log: Log, lot: Lot, item: CheckItem, *, answered: bool, who: Who) -> None:
    if is_late(item.lot_phase) or answered:
        _say_change(
            log, lot, item, "No longer on the plan", "Ya no está en el plano", who
        )
    item.removed_at = log.now
    item.removed_reason = "No longer on the plan"
    item.save(update_fields=["removed_at", "removed_reason"])
    log.append(
        "item_removed", lot=lot, phase=item.lot_phase, item=item, who=_plain(who)
    )


def _change(
    log: Log, lot: Lot, item: CheckItem, demand: Demand, *, answered: bool, who: Who
) -> None:
    """A changed demand: the item follows unless somebody has answered it."""
    back = item.removed_at is not None
    if not back and _only_marked(log, lot, item, demand, who):
        return
    if answered and not back:
        _say_change(log, lot, item, *_what_changed(item, demand), who)
        item.spec = {**item.spec, "pending": spec_of(demand)}
        item.save(update_fields=["spec"])
        return
    for name, value in _columns(demand).items():
        setattr(item, name, value)
    item.removed_at, item.removed_reason = None, ""
    item.version += 1
    item.save()
    ItemSpec.objects.create(item=item, version=item.version, spec=item.spec)
    log.append(
        "item_changed",
        lot=lot,
        phase=item.lot_phase,
        item=item,
        who=_plain(who),
        version=item.version,
    )
    if is_late(item.lot_phase):
        _say_change(log, lot, item, "Changed on the plan", "Cambió en el plano", who)


def _only_marked(log: Log, lot: Lot, item: CheckItem, demand: Demand, who: Who) -> bool:
    """Whether nothing but the mark of a checked size came or went; then it is set.

    Nobody has to do anything for that, so the answer stands as it is.
    """
    new, told = spec_of(demand), _told(item)
    if told is None or {**told, "checked": ""} != {**new, "checked": ""}:
        return False
    item.spec = {**item.spec, "pending": new} if "pending" in item.spec else new
    item.save(update_fields=["spec"])
    log.append(
        "item_changed",
        lot=lot,
        phase=item.lot_phase,
        item=item,
        who=_plain(who),
        version=item.version,
    )
    return True


def _what_changed(item: CheckItem, demand: Demand) -> tuple[str, str]:
    old = (_told(item) or {}).get("size", "")
    if old and demand.size and old != demand.size:
        return (
            f"Size {old} is now {demand.size} on the plan",
            f"La medida {old} ahora es {demand.size} en el plano",
        )
    return "Changed on the plan", "Cambió en el plano"


def _say_change(
    log: Log, lot: Lot, item: CheckItem, en: str, es: str, who: Who
) -> None:
    reason = _cut(item.lot_phase)
    spec = item.spec
    append_correction(
        log,
        lot,
        Finding(
            text=f"{en}: {spec['text_en']} ({spec['room_en']}); {reason[0]}",
            text_es=f"{es}: {spec['text_es']} ({spec['room_es']}); {reason[1]}",
            source="change",
            phase=item.lot_phase,
            item=item,
            billable=is_late(item.lot_phase),
        ),
        who=_plain(who),
    )


def _plain(who: Who) -> Who:
    return Who(member=who.member, superintendent=who.superintendent)
