"""Who did what: every route that writes leaves a trace with the name of the person."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from django.apps import apps
from django.core.cache import cache
from django.db import transaction
from django.urls import reverse
from simple_history.utils import get_history_manager_for_model

from phases.models import Fact
from tests.access.table import TABLE
from tests.access.test_routes import caller
from tests.access.world import World, make_world
from tests.access.writes import NO_TRACE, WRITES
from tests.access.writes.write import Write

pytestmark = pytest.mark.django_db

OWNERS = (
    "desk:gate",
    "desk:catalogue-row",
    "desk:money-prices",
    "desk:money-draw-removal",
    "desk:money-piece-removal",
)
SAFE = {"GET", "HEAD", "OPTIONS"}
NAMED = ("made_by", "revoked_by", "decided_by", "settled_by", "said_by")
IMPORTED = ("uploaded_by", "applied_by", "undone_by")
PLANNED = (
    "published_by",
    "asked_by",
    "changed_by",
    "lifted_by",
    "seen_by",
    "taken_back_by",
)
ROWS = [
    (model, name)
    for model in apps.get_models()
    for name in (*NAMED, *IMPORTED, *PLANNED)
    if name in {field.name for field in model._meta.concrete_fields}
]
HISTORIES = [model for model in apps.get_models() if hasattr(model, "history")]


@pytest.fixture(scope="module")
def world(django_db_setup, django_db_blocker) -> Iterator[World]:
    with django_db_blocker.unblock(), transaction.atomic():
        yield make_world()
        transaction.set_rollback(True)


class Trail:
    """What stood in the log, the histories and the named rows before a request."""

    def __init__(self, person: Any) -> None:
        self.person = person
        self.facts = set(Fact.objects.values_list("no", flat=True))
        self.versions = {m: self._versions(m) for m in HISTORIES}
        self.rows = {(m, name): self._rows(m, name) for m, name in ROWS}

    def _versions(self, model: Any) -> set[int]:
        manager = get_history_manager_for_model(model)
        return set(manager.values_list("history_id", flat=True))

    def _rows(self, model: Any, name: str) -> set[Any]:
        field = model._meta.get_field(name)
        person = self.person if field.is_relation else str(self.person)
        if field.is_relation and not isinstance(person, field.related_model):
            return set()
        rows = model.objects.filter(**{name: person})
        return set(rows.values_list("pk", flat=True))

    def left(self) -> set[str]:
        """Facts and versions since then that name the person; where there are none,
        rows that do."""
        facts = Fact.objects.exclude(no__in=self.facts)
        found = {
            f"fact:{fact.kind}"
            for fact in facts.select_related("by", "superintendent")
            if self.person in (fact.by, fact.superintendent)
        }
        for model, before in self.versions.items():
            rows = get_history_manager_for_model(model).exclude(history_id__in=before)
            if any(row.history_user == self.person for row in rows):
                found.add(f"history:{model.__name__}")
        return found or {
            f"row:{model.__name__}.{name}"
            for (model, name), before in self.rows.items()
            if self._rows(model, name) - before
        }


def address(write: Write, world: World) -> str:
    thing = write.thing or next(r.thing for r in TABLE if r.route == write.route)
    at = dict(world.things[thing]["own"])
    if write.by in world.secrets:
        at["secret"] = world.secrets[write.by]
    return reverse(write.route, kwargs=at) + write.query(world)


def who(write: Write, world: World) -> Any:
    if write.by == "personal link":
        return world.own.superintendent
    return world.people["plumber" if write.by == "phone" else write.by]


def made(write: Write, world: World) -> tuple[Any, set[str]]:
    """The answer to the request and the traces that it left; then all is undone."""
    cache.clear()
    with transaction.atomic():
        write.before(world)
        trail = Trail(who(write, world))
        client = caller(world, write.by)
        path = address(write, world)
        answer = getattr(client, write.method.lower())(path, **write.body(world))
        left = trail.left()
        transaction.set_rollback(True)
    for row in (world.own.correction, world.own.change):
        row.refresh_from_db()
    return answer, left


def test_every_writing_route_is_tried():
    there = {(row.route, m) for row in TABLE for m in row.answers.keys() - SAFE}

    assert {(one.route, one.method) for one in WRITES} | NO_TRACE == there


@pytest.mark.parametrize("write", WRITES, ids=lambda one: one.route)
def test_a_write_names_its_person(world, write):
    answer, left = made(write, world)

    assert answer.status_code < 400, answer.getvalue()[-3000:]
    assert left == set(write.trace)


@pytest.mark.parametrize("route", OWNERS)
def test_the_office_does_not_write_what_is_the_owners(world, route):
    (write,) = (one for one in WRITES if one.route == route)

    assert made(write, world)[1] == set(write.trace)
    assert made(replace(write, by="office"), world)[1] == set()
