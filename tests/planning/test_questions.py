"""What the owner asks of a plan himself: one change, really planned, as a draft."""

import html
import re

import pytest
from django.urls import reverse
from django.utils import timezone

from tests.planning.scene import MORNING, owner, planned, street, two_crews
from tracker.planning.models import PlanVersion, SolveRun

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def morning(monkeypatch):
    monkeypatch.setattr(timezone, "now", lambda: MORNING)


@pytest.fixture
def draft(client):
    who = owner()
    client.force_login(who.member)
    two_crews()
    street(who, 2)
    return planned(who)


def asked(client, draft):
    path = reverse("desk:look-ahead-why", args=[draft.pk])
    text = client.get(path).content.decode()
    found = re.findall(r'<option value="([^"]+)">([^<]+)</option>', text)
    return {html.unescape(said): html.unescape(value) for value, said in found}


def test_a_crew_an_office_and_each_lot_can_be_asked_about(client, draft):
    said = asked(client, draft)

    assert any(one.startswith("One more crew for") for one in said)
    assert any("one inspection a day more" in one for one in said)
    assert sum(one.startswith("The builder is a day sooner") for one in said) == 2


def test_a_question_becomes_a_draft_that_supposes_it(client, draft):
    said = asked(client, draft)
    words = next(one for one in said if one.startswith("The builder is a day sooner"))
    path = reverse("desk:look-ahead-what-ifs", args=[draft.pk])

    client.post(path, {"question": said[words]})

    made = PlanVersion.objects.exclude(pk=draft.pk).get()
    assert made.what_if["code"] == "builder_sooner"
    assert SolveRun.objects.filter(version=made, what="solve").exists()


@pytest.mark.parametrize("question", ["{}", "nonsense", '{"code": "one_more_crew"}'])
def test_a_question_nobody_offered_is_refused(client, draft, question):
    path = reverse("desk:look-ahead-what-ifs", args=[draft.pk])

    assert client.post(path, {"question": question}).status_code == 400
    assert PlanVersion.objects.count() == 1
