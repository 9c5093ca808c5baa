"""What happened, on the lots and in the settings, the latest first."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.apps import apps
from django.db.models import QuerySet
from simple_history.utils import get_history_manager_for_model

from phases.models import Fact

LAST = 200
HIDDEN = ("password", "last_login")


def facts(kind: str, member: str) -> QuerySet[Fact]:
    """Facts of all lots; `kind` and `member` (a number) narrow them."""
    rows = Fact.objects.select_related(
        "by", "superintendent", "device", "item", "lot_phase__kind", "lot__subdivision"
    ).order_by("-no")
    if kind:
        rows = rows.filter(kind=kind)
    if member.isdecimal() and len(member) < 18:
        rows = rows.filter(by=int(member))
    return rows


def fact_kinds() -> list[str]:
    return list(Fact.objects.order_by("kind").values_list("kind", flat=True).distinct())


@dataclass(frozen=True)
class Change:
    """One saved version of a row that is no fact: settings, plans, people, prices."""

    when: datetime
    who: str
    what: str
    name: str
    how: str
    fields: tuple[tuple[str, Any, Any], ...]


def changes() -> list[Change]:
    """The last changes of every table that keeps a history: two statements a table."""
    found: list[Change] = []
    for model in apps.get_models():
        if not hasattr(model, "history"):
            continue
        manager = get_history_manager_for_model(model)
        rows = list(
            manager.select_related("history_user").order_by(
                "-history_date", "-history_id"
            )[:LAST]
        )
        before = _before(manager, rows)
        found += [_change(model, row, before.get(row.history_id)) for row in rows]
    found.sort(key=lambda change: change.when, reverse=True)
    return found[:LAST]


def _before(manager: Any, rows: list[Any]) -> dict[int, Any]:
    """The version before each of these rows."""
    ids = {row.id for row in rows if row.history_type == "~"}
    earlier = manager.filter(id__in=ids).order_by("id", "history_date", "history_id")
    found: dict[int, Any] = {}
    last: dict[int, Any] = {}
    for row in earlier:
        if row.id in last:
            found[row.history_id] = last[row.id]
        last[row.id] = row
    return found


def _change(model: Any, row: Any, before: Any) -> Change:
    names = [
        field.attname
        for field in model._meta.concrete_fields
        if field.name not in HIDDEN and hasattr(row, field.attname)
    ]
    fields = ()
    if before is not None:
        fields = tuple(
            (name, getattr(before, name), getattr(row, name))
            for name in names
            if getattr(before, name) != getattr(row, name)
        )
    return Change(
        row.history_date,
        str(row.history_user or "Plumbrow"),
        str(model._meta.verbose_name),
        _name(row),
        row.history_type,
        fields,
    )


def _name(row: Any) -> str:
    for column in ("name", "code", "key", "label", "name_en", "number"):
        if value := getattr(row, column, None):
            return str(value)
    return str(row.id)
