"""What happened, on the lots and in the settings, the latest first."""

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from django.apps import apps
from django.db.models import QuerySet
from simple_history.utils import get_history_manager_for_model

from phases.models import Fact

LAST = 200
HIDDEN = ("password", "last_login")
NAMED_BY = ("name", "code", "key", "label", "name_en", "title", "number")


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
    """One saved version of a row that is no fact: settings, plans, people, prices.

    `fields` are (column, value before, value after); of a related row its name.
    """

    when: datetime
    who: str
    what: str
    name: str
    how: str
    fields: tuple[tuple[Any, Any, Any], ...]


def changes(*, before: datetime | None = None) -> list[Change]:
    """The last changes of every table that keeps a history, older than `before`.

    Two statements a table, and one for the names of each related table.
    """
    found: list[Change] = []
    for model in apps.get_models():
        if not hasattr(model, "history"):
            continue
        manager = get_history_manager_for_model(model)
        rows = manager.select_related("history_user").order_by(
            "-history_date", "-history_id"
        )
        if before is not None:
            rows = rows.filter(history_date__lt=before)
        shown = list(rows[:LAST])
        earlier = _before(manager, shown)
        found += [_change(model, row, earlier.get(row.history_id)) for row in shown]
    found.sort(key=lambda change: change.when, reverse=True)
    return _with_names(found[:LAST])


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
    fields = ()
    if before is not None:
        fields = tuple(
            (field, getattr(before, field.attname), getattr(row, field.attname))
            for field in columns_of(model)
            if getattr(before, field.attname) != getattr(row, field.attname)
        )
    return Change(
        row.history_date,
        str(row.history_user or "Plumbrow"),
        str(model._meta.verbose_name),
        _name(row),
        row.history_type,
        fields,
    )


def columns_of(model: Any) -> list[Any]:
    """Fields whose changes are kept and may be shown."""
    kept = {field.name for field in model.history.model._meta.concrete_fields}
    return [
        field
        for field in model._meta.concrete_fields
        if field.name in kept and field.name not in HIDDEN and not field.primary_key
    ]


def _with_names(rows: list[Change]) -> list[Change]:
    """Related rows by name instead of by number; one that is gone stays a number."""
    wanted: dict[Any, set[Any]] = defaultdict(set)
    for row in rows:
        for field, old, new in row.fields:
            if field.is_relation:
                wanted[field.related_model] |= {old, new} - {None}
    names = {model: model._base_manager.in_bulk(ids) for model, ids in wanted.items()}

    def named(field: Any, value: Any) -> Any:
        if not field.is_relation or value is None:
            return value
        return _name(names[field.related_model].get(value, value))

    return [
        replace(
            row, fields=tuple((f, named(f, a), named(f, b)) for f, a, b in row.fields)
        )
        for row in rows
    ]


def _name(row: Any) -> str:
    for column in NAMED_BY:
        if value := getattr(row, column, None):
            return str(value)
    return str(getattr(row, "id", row))
