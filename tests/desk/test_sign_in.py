"""The door, the language, and who may open which page."""

import pytest
from django.test import Client
from django.urls import reverse

from tests.desk.scene import Street, signed_in
from tests.factories import make_member

pytestmark = pytest.mark.django_db

LEADS = ["desk:today", "desk:inspections"]
OFFICE = [
    "desk:plans",
    "desk:catalogue",
    "desk:people",
    "desk:member-new",
    "desk:crew-new",
    "desk:record",
    "desk:changes",
]
EVERYBODY = ["desk:streets", "desk:lots"]


def test_name_and_password_open_the_door_in_ones_own_language():
    make_member("office", username="sadie", language="es")
    client = Client()

    answer = client.post(
        reverse("desk:sign-in"), {"username": "sadie", "password": "pass-1234"}
    )

    assert (answer.status_code, answer.url) == (302, "/")
    assert "Hoy" in client.get("/").content.decode()


@pytest.mark.parametrize(
    ("language", "said"),
    [("en", "Wait 15 minutes"), ("es", "Espere 15 minutos")],
)
def test_too_many_wrong_passwords_are_answered_by_a_page_that_says_what_to_do(
    language, said
):
    make_member("office", username="sadie")
    client = Client()
    client.cookies["django_language"] = language
    form = {"username": "sadie", "password": "wrong"}

    answers = [client.post(reverse("desk:sign-in"), form) for _ in range(9)]

    last = answers[-1]
    assert [answer.status_code for answer in answers[:3]] == [200] * 3
    assert (last.status_code, last["Retry-After"]) == (429, "900")
    assert last["Content-Type"].startswith("text/html")
    assert said in last.content.decode()
    # The right one does not help before the time is over.
    form["password"] = "pass-1234"
    assert client.post(reverse("desk:sign-in"), form).status_code == 429


def test_every_page_loads_from_us_alone_and_runs_no_script_of_its_own():
    page = Client().get(reverse("desk:sign-in"))

    policy = dict(
        part.split(" ", 1) for part in page["Content-Security-Policy"].split("; ")
    )
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == "'self'"
    assert policy["frame-ancestors"] == "'none'"
    assert policy["form-action"] == "'self'"
    assert "unsafe-eval" not in page["Content-Security-Policy"]
    assert [name for name in policy if "unsafe-inline" in policy[name]] == [
        "style-src-attr"
    ]
    assert page["Permissions-Policy"].startswith("camera=(self)")
    assert page["X-Content-Type-Options"] == "nosniff"
    assert page["Cross-Origin-Opener-Policy"] == "same-origin"


def test_a_wrong_password_is_said_in_words():
    make_member("office", username="sadie")

    answer = Client().post(
        reverse("desk:sign-in"), {"username": "sadie", "password": "wrong"}
    )

    assert "Name and password do not fit" in answer.content.decode()


def test_sign_out_shuts_the_door_behind():
    client, _ = signed_in("office")

    client.post(reverse("desk:sign-out"))

    assert client.get("/").url == "/sign-in/?next=/"


def test_the_language_is_kept_with_the_member():
    client, member = signed_in("office")

    answer = client.post(
        reverse("desk:language"), {"language": "es", "next": "/streets/"}
    )

    member.refresh_from_db()
    assert (answer.url, member.language) == ("/streets/", "es")
    assert "Calles" in client.get("/streets/").content.decode()


@pytest.mark.parametrize("back", ["https://elsewhere.example/", "//elsewhere", ""])
def test_the_language_switch_leads_nowhere_else(back):
    client, _ = signed_in("office")

    answer = client.post(reverse("desk:language"), {"language": "es", "next": back})

    assert answer.url == "/"


def test_an_unknown_language_changes_nothing():
    client, member = signed_in("office")

    client.post(reverse("desk:language"), {"language": "xx", "next": "/"})

    member.refresh_from_db()
    assert member.language == "en"


@pytest.mark.parametrize("route", [*EVERYBODY, *LEADS, *OFFICE])
def test_no_page_opens_without_signing_in(route):
    page = reverse(route)

    assert Client().get(page).url == f"/sign-in/?next={page}"


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("route", [*EVERYBODY, *LEADS, *OFFICE])
def test_every_page_opens_for_the_office_with_nothing_and_with_a_street(
    route, language
):
    client, _ = signed_in("office", language=language)
    assert client.get(reverse(route)).status_code == 200

    Street()
    assert client.get(reverse(route)).status_code == 200


@pytest.mark.parametrize("route", OFFICE)
@pytest.mark.parametrize("role", ["lead", "plumber"])
def test_a_page_of_the_office_is_shut_to_crews(route, role):
    client, _ = signed_in(role)

    answer = client.get(reverse(route))

    assert answer.status_code == 403
    assert "Your role may not open this page" in answer.content.decode()


def test_the_bar_shows_only_what_one_may_open():
    def entries(role):
        text = signed_in(role)[0].get(reverse("desk:lots")).content.decode()
        return {
            word
            for word in ("Today", "Lots", "Money", "People")
            if f">{word}</a>" in text
        }

    assert entries("plumber") == {"Lots"}
    assert entries("lead") == {"Today", "Lots"}
    assert entries("office") == {"Today", "Lots", "Money", "People"}


def test_a_page_that_is_not_there_says_so_with_the_bar():
    client, _ = signed_in("office")

    text = client.get("/no-such-page/").content.decode()

    assert "This page is not here" in text
    assert ">Streets</a>" in text
