"""Each cell of the table is asked of the server; what is not in the table fails."""

import json
import re
from collections import Counter
from collections.abc import Iterator
from http.cookies import SimpleCookie
from typing import Any
from uuid import uuid4

import pytest
from django.core.cache import cache
from django.db import transaction
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils import timezone

from tests.access.table import BUILDER, DESK, LINKS, OK, OPEN, REST, SIGN_IN, TABLE, WHO
from tests.access.table import Row as TableRow
from tests.access.world import NO_PK, World, make_world
from tracker.sites.models.lots import LotQuerySet

pytestmark = pytest.mark.django_db

METHODS = ("GET", "POST", "PUT", "PATCH", "DELETE")
OBJECTS = ("own", "other", "missing")
# Drawn anew for each answer.
TOKEN = re.compile(rb'(csrfmiddlewaretoken" value="|x-csrftoken": ")[^"]+')
NO_SIGN_OF_IT = ("Content-Type", "Location", "Cache-Control", "Content-Disposition")


@pytest.fixture(scope="module")
def world(django_db_setup, django_db_blocker) -> Iterator[World]:
    with django_db_blocker.unblock(), transaction.atomic():
        yield make_world()
        transaction.set_rollback(True)


def routes(patterns: Any = None, space: str = "") -> Iterator[tuple[str, URLPattern]]:
    """(full name, pattern) of every route, in the order in which they are tried."""
    for one in get_resolver().url_patterns if patterns is None else patterns:
        if isinstance(one, URLResolver):
            inside = f"{space}{one.namespace}:" if one.namespace else space
            yield from routes(one.url_patterns, inside)
        else:
            yield f"{space}{one.name or one.pattern}", one


def address(row: TableRow, world: World, role: str, which: str) -> str:
    at = dict(world.things[row.thing][which])
    if role in world.secrets:
        at["secret"] = world.secrets[role]
    if row.route == "phone:missing":
        return "/api/v1/nothing/"
    return reverse(row.route, kwargs=at)


def caller(world: World, role: str) -> Client:
    headers = {}
    if role in world.tokens:
        headers["HTTP_AUTHORIZATION"] = f"Bearer {world.tokens[role]}"
    client = Client(raise_request_exception=False, **headers)
    if role in world.people:
        client.force_login(world.people[role])
    return client


def ask(client: Client, method: str, path: str, row: TableRow) -> Any:
    """One request whose effect is undone."""
    cache.clear()  # guesses are counted there
    kept = client.cookies.output(header="", sep=";")
    with transaction.atomic():
        answer = client.generic(method, path, *sent(row))
        answer.whole = answer.getvalue()
        transaction.set_rollback(True)
    client.cookies = SimpleCookie(kept)
    return answer


def sent(row: TableRow) -> tuple[str, ...]:
    return () if row.sent is None else (json.dumps(row.sent), "application/json")


def told(answer: Any) -> str | int:
    if answer.status_code == 302 and answer["Location"].startswith("/sign-in/?next="):
        return SIGN_IN
    return answer.status_code


def same(answer: Any, path: str, at: dict[str, Any]) -> tuple[Any, ...]:
    """What an answer says, without what only repeats the question."""
    body = TOKEN.sub(b"", answer.whole).replace(path.encode(), b"<path>")
    for value in sorted(map(str, at.values()), key=len, reverse=True):
        body = body.replace(value.encode(), b"<key>") if len(value) > 8 else body
    headers = [answer.headers.get(name, "") for name in NO_SIGN_OF_IT]
    return (answer.status_code, body, *(h.replace(path, "<path>") for h in headers))


def wrong_cells(world: World, rows: tuple[TableRow, ...]) -> Iterator[str]:
    """Each cell asked; a line for each answer that the table does not give."""
    clients = {
        role: caller(world, role)
        for role in {role for row in rows for role in WHO[row.who]}
    }
    for row in rows:
        for role, cells in WHO[row.who].items():
            for method, ok in row.answers.items():
                yield from _wrong(world, row, role, clients[role], method, ok, cells)


def _wrong(
    world: World,
    row: TableRow,
    role: str,
    client: Client,
    method: str,
    ok: int,
    cells: Any,
) -> Iterator[str]:
    missing = None
    things = world.things[row.thing]
    for which, cell in reversed(list(zip(OBJECTS, cells, strict=True))):
        if which not in things:
            continue
        path = address(row, world, role, which)
        answer = ask(client, method, path, row)
        wanted = ok if cell == OK else cell
        if told(answer) != wanted:
            yield (
                f"{row.route} {method} {role} {which}: {told(answer)}, table {wanted}"
            )
        seen = same(answer, path, things[which])
        if which == "missing":
            missing = seen
        elif cell != OK and missing is not None and seen != missing:
            yield f"{row.route} {method} {role} {which}: not as if it were missing"


def test_every_route_stands_in_the_table_once():
    there = [name for name, _ in routes()]

    assert Counter(row.route for row in TABLE) == Counter(there)


@pytest.mark.parametrize("rows", [OPEN, DESK], ids=["open", "desk"])
def test_pages_answer_each_role_and_object_as_the_table_says(world, rows):
    assert list(wrong_cells(world, rows)) == []


def test_the_api_answers_each_caller_and_object_as_the_table_says(world):
    assert list(wrong_cells(world, REST)) == []


def test_builders_pages_answer_each_link_and_house_as_the_table_says(world):
    assert list(wrong_cells(world, BUILDER)) == []


def test_a_method_that_is_not_in_the_table_is_refused(world):
    found = []
    strongest = {
        **dict.fromkeys(WHO, "owner"),
        "not signed in": "anonymous",
        "phones": "phone",
        "phones, shut too": "phone",
        **dict.fromkeys(("links", "personal", "links, whole"), "personal link"),
    }
    for row in TABLE:
        role = strongest[row.who]
        client, path = caller(world, role), address(row, world, role, "own")
        for method in METHODS:
            if method not in row.answers:
                status = ask(client, method, path, row).status_code
                if status != 405:
                    found.append(f"{row.route} {method}: {status}")

    assert found == []


def test_a_page_from_another_site_cannot_write(world):
    """Every form of the office and of a superintendent wants its token."""
    found = []
    for row in (*DESK, *BUILDER):
        for method in row.answers.keys() & {"POST", "PUT", "PATCH", "DELETE"}:
            role = "personal link" if row.who in ("personal",) else "owner"
            client = Client(enforce_csrf_checks=True, raise_request_exception=False)
            if role in world.people:
                client.force_login(world.people[role])
            path = address(row, world, role, "own")
            status = ask(client, method, path, row).status_code
            if status != 403:
                found.append(f"{row.route} {method}: {status}")

    assert found == []


def test_the_last_of_all_links_still_counts(world):
    """The roles of links in the table are the links that were made."""
    assert set(world.secrets) == set(LINKS)


def test_an_open_door_is_seen(world, monkeypatch):
    """Were every lot visible to everybody, the table would say so of each page."""
    monkeypatch.setattr(LotQuerySet, "visible_to", lambda lots, member: lots)
    rows = tuple(row for row in TABLE if row.route in ("desk:lot", "phone:thumbnail"))

    assert list(wrong_cells(world, rows)) == [
        "desk:lot GET plumber other: 200, table 404",
        "desk:lot GET plumber other: not as if it were missing",
        "desk:lot GET lead other: 200, table 404",
        "desk:lot GET lead other: not as if it were missing",
        "phone:thumbnail GET phone other: 200, table 404",
        "phone:thumbnail GET phone other: not as if it were missing",
    ]


def test_an_operation_on_anothers_lot_is_refused_like_one_on_no_lot(world):
    """The objects that a phone names stand in the body, not in the address."""
    house = world.other

    def receipt(lot: int, target: str) -> dict[str, Any]:
        client = caller(world, "phone")
        op = {
            **{"id": str(uuid4()), "seq": 1, "kind": "note", "version": None},
            **{"member": str(world.people["plumber"].pk), "after": None},
            **{"lot": lot, "target": target, "payload": {"text": "Seen"}},
            "at": timezone.now().isoformat(),
        }
        with transaction.atomic():
            answer = client.post(
                "/api/v1/operations/",
                json.dumps({"operations": [op]}),
                content_type="application/json",
            )
            transaction.set_rollback(True)
        (said,) = answer.json()["receipts"]
        assert said.pop("id") == op["id"]
        return said

    missing = receipt(NO_PK, f"item:{NO_PK}")
    assert missing["result"] == "refused"
    assert receipt(house.lot.pk, f"item:{house.item.pk}") == missing
    assert receipt(house.lot.pk, f"phase:{house.topout.pk}") == missing
    own = receipt(world.own.lot.pk, f"item:{NO_PK}")
    assert receipt(world.own.lot.pk, f"item:{house.item.pk}") == own
