"""Changing the design: a plan's rooms, fixtures, options and sheets; the catalogue.

A change that contradicts itself is refused with the reason. Open lots of the plan
follow in a task, lot by lot, so that phones are not kept waiting behind one lock.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime

from django.core.files.base import ContentFile
from django.db import transaction

from phases import rules
from phases.actions.following import catalogue_follows, plan_follows
from phases.catalogue import (
    Catalogue,
    CatalogueError,
    Demand,
    PlanError,
    apply_options,
    stub_out_list,
)
from phases.house_of import catalogue_now, plan_of
from phases.log import Who
from phases.models import CatalogueRow
from phases.touched import lots_touched
from tracker.errors import Refused
from tracker.sites.models import (
    DrawingSheet,
    Option,
    Plan,
    PlanFixture,
    Room,
)

Part = Plan | Room | PlanFixture | Option


def save_part(
    plan: Plan,
    part: Part,
    *,
    who: Who,
    now: datetime,
    removes: Iterable[PlanFixture] | None = None,
) -> Part:
    """Save the plan itself or a room, fixture or option of it, new or changed.

    `removes` are the fixtures that an option takes away; None leaves them.
    """
    rules.check(rules.why_not_office(who.member))
    with transaction.atomic():
        part.save()
        if removes is not None and isinstance(part, Option):
            part.removes.set(removes)
        _checked(plan)
        plan_follows(plan, who=who, now=now)
    return part


def drop_part(
    plan: Plan, part: Room | PlanFixture | Option, *, who: Who, now: datetime
) -> None:
    """Take a room, fixture or option off the plan. Answered items stay on the lots."""
    rules.check(rules.why_not_office(who.member))
    if isinstance(part, Option) and part.lots.exists():
        raise Refused("option_chosen", count=part.lots.count())
    with transaction.atomic():
        part.delete()
        _checked(plan)
        plan_follows(plan, who=who, now=now)


def list_of(
    plan: Plan, codes: Sequence[str] = (), *, mirrored: bool = False
) -> tuple[Demand, ...]:
    """The stub-out list of a plan with these options. Raises PlanError."""
    house, options = plan_of(plan)
    house = apply_options(house, [options[code] for code in codes if code in options])
    return stub_out_list(replace(house, mirrored=mirrored), catalogue_now())


def _checked(plan: Plan) -> None:
    """Refuse a plan that gives no list, alone or with one of its options."""
    catalogue = catalogue_now()
    kinds = plan.fixtures.values_list("kind", flat=True)
    if strange := sorted(set(kinds) - set(catalogue.kinds)):
        raise Refused("no_such", what=", ".join(strange))
    try:
        house, options = plan_of(plan)
        stub_out_list(house, catalogue)
        for option in options.values():
            stub_out_list(apply_options(house, [option]), catalogue)
    except PlanError as error:
        raise Refused("plan_wrong", text=str(error)) from None


def add_sheet(
    plan: Plan,
    *,
    title: str,
    dated: date,
    data: bytes,
    content_type: str,
    sha256: str,
    name: str,
    who: Who,
    option: Option | None = None,
) -> DrawingSheet:
    """Keep a drawing sheet; a newer one of the same title supersedes the older."""
    rules.check(rules.why_not_office(who.member))
    sheet = DrawingSheet(
        plan=plan,
        option=option,
        title=title,
        dated=dated,
        content_type=content_type,
        sha256=sha256,
    )
    sheet.file.save(name, ContentFile(data), save=False)
    sheet.save()
    return sheet


def changed_catalogue(row: CatalogueRow, cells: dict[str, str]) -> Catalogue:
    """The catalogue as it would be with these cells; refused where it is not sound."""
    tables: dict[str, list[dict[str, str]]] = {}
    for other in CatalogueRow.objects.order_by("table", "position", "key"):
        shown = cells if other.pk == row.pk else other.cells
        tables.setdefault(other.table, []).append(shown)
    try:
        return Catalogue.from_rows(tables)
    except CatalogueError as error:
        raise Refused("catalogue_wrong", text=str(error)) from None


def save_catalogue_row(
    row: CatalogueRow, cells: dict[str, str], *, who: Who, now: datetime
) -> CatalogueRow:
    """Change a row of the catalogue; the whole must still be sound. Owner alone.

    Unanswered items of open lots follow in a task.
    """
    rules.check(rules.why_not_owner(who.member))
    catalogue = changed_catalogue(row, cells)
    if row.cells == cells:
        return row
    lots = lots_touched(catalogue)
    with transaction.atomic():
        row.cells, row.edited = cells, True
        row.save(update_fields=["cells", "edited"])
        catalogue_follows(row.key, who=who, now=now, only=lots)
    return row
