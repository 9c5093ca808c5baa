"""The REST API keeps to the description that it publishes, whatever it is asked."""

import json
import os
import shutil
import urllib.request

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, settings
from schemathesis import checks
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from tests.phone.sim.run import Server

pytestmark = [pytest.mark.schema, pytest.mark.service]

EXAMPLES = int(os.environ.get("SCHEMA_EXAMPLES", "3"))
CSRF = "a" * 32
CHECKS = [
    checks.not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]


@pytest.fixture(scope="module")
def server(migrated, tmp_path_factory):
    folder = tmp_path_factory.mktemp("published")
    shutil.copy(migrated, folder / "sim.sqlite3")
    with Server(folder) as server:
        yield server


@pytest.fixture(scope="module")
def published(server):
    """The description as the server gives it out."""
    return schemathesis.openapi.from_url(address(server, "api/v1/schema/"))


def address(server, path):
    return f"http://127.0.0.1:{server.port}/{path}"


@pytest.fixture(scope="module")
def callers(server):
    """Headers of a phone, of an office session, and of nobody."""
    with urllib.request.urlopen(address(server, "__world__")) as reply:
        token = json.load(reply)["people"][0]["token"]
    with urllib.request.urlopen(address(server, "__session__")) as reply:
        session = json.load(reply)["session"]
    return [
        {"Authorization": f"Bearer {token}"},
        {
            "Cookie": f"sessionid={session}; csrftoken={CSRF}",
            "X-CSRFToken": CSRF,
        },
        {},
    ]


schema = schemathesis.pytest.from_fixture("published")


@schema.parametrize()
@settings(
    max_examples=EXAMPLES,
    deadline=None,
    derandomize=True,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)
def test_no_request_gets_an_answer_that_is_not_described(case, callers):
    for headers in callers:
        answer = case.call(headers=headers, timeout=20)
        case.validate_response(answer, checks=CHECKS)


@pytest.mark.django_db
def test_the_description_is_published_to_anybody_and_names_every_operation(client):
    reply = client.get("/api/v1/schema/")

    said = json.loads(reply.content)
    assert said["openapi"].startswith("3.")
    assert sorted(said["paths"]) == [
        "/api/v1/devices/",
        "/api/v1/devices/{id}/",
        "/api/v1/enrol-codes/",
        "/api/v1/enrolments/",
        "/api/v1/feed/",
        "/api/v1/lots/",
        "/api/v1/lots/{id}/",
        "/api/v1/operations/",
        "/api/v1/photos/{sha}/thumbnail/",
        "/api/v1/set-aside/",
        "/api/v1/set-aside/{id}/settlement/",
        "/api/v1/sheets/{id}/",
        "/api/v1/uploads/{sha}/",
    ]


@pytest.mark.parametrize(
    ("address", "status"),
    [
        ("/api/v1/lots/", 401),
        ("/api/v1/devices/", 401),
        ("/api/v1/enrolments/", 405),
        ("/api/v1/nothing/", 404),
    ],
)
@pytest.mark.django_db
def test_an_error_is_problem_details(client, address, status):
    """RFC 9457: type, title, status and detail, under its own media type."""
    reply = client.get(address)

    body = reply.json()
    assert (reply.status_code, reply["Content-Type"]) == (
        status,
        "application/problem+json",
    )
    assert {"type", "title", "status", "detail"} <= set(body)
    assert body["status"] == status
