"""A date that moves a published job is shown to the office before it counts."""

import pytest

from phases.models import Fact
from tests.factories import make_member
from tests.status.scene import day, now
from tests.status.test_superintendent import post_date
from tracker.errors import Refused
from tracker.sites.models import BuilderDate
from tracker.status import queries
from tracker.status.actions.proposals import accept_proposal, decline_proposal
from tracker.status.models import DateProposal

pytestmark = pytest.mark.django_db


@pytest.fixture
def planned(scene):
    scene.says("underground", "ready", day(5))
    scene.plans("underground", day(6), day(7))
    return scene


def proposed(scene, client, after=9):
    phase = scene.phase("underground")
    answer = post_date(client, scene.personal(), phase, day(after), was=day(5))
    assert answer.url.endswith("?said=asked")
    return DateProposal.objects.get(state="open")


def kinds(scene):
    rows = Fact.objects.filter(lot=scene.lot, kind__startswith="date_")
    return [(fact.kind, str(fact.superintendent or fact.by)) for fact in rows]


def test_a_moved_date_of_a_planned_phase_waits_for_the_office(planned, client):
    proposal = proposed(planned, client)

    assert planned.phase("underground").ready_date == day(5)
    assert (proposal.date, proposal.was) == (day(9), day(5))
    assert proposal.job == planned.phase("underground")
    assert list(queries.open_proposals()) == [proposal]
    assert kinds(planned)[-1] == ("date_proposed", planned.superintendent.name)
    shown = client.get(f"{planned.personal()}lots/{planned.lot.pk}/").content.decode()
    assert "The office is asked first" in shown


def test_accepted_it_counts_as_the_superintendents_word(planned, client):
    proposal = proposed(planned, client)

    accept_proposal(proposal, by=planned.office, now=now())

    assert planned.phase("underground").ready_date == day(9)
    said = BuilderDate.objects.latest("fact_no")
    assert (said.said_by, said.status) == (planned.superintendent.name, "revised")
    assert kinds(planned)[-2:] == [
        ("date_proposal_accepted", planned.office.name),
        ("date_said", planned.superintendent.name),
    ]
    assert list(queries.open_proposals()) == []


def test_declined_the_date_stays_and_he_reads_the_reason(planned, client):
    proposal = proposed(planned, client)

    decline_proposal(
        proposal, reason="The crew is gone by then.", by=planned.office, now=now()
    )

    assert planned.phase("underground").ready_date == day(5)
    assert kinds(planned)[-1] == ("date_proposal_declined", planned.office.name)
    path = f"lots/{planned.lot.pk}/"
    assert "The crew is gone" in client.get(planned.personal() + path).content.decode()
    assert "The crew is gone" not in client.get(planned.link() + path).content.decode()


def test_a_decline_needs_a_reason_and_an_answer_is_given_once(planned, client):
    proposal = proposed(planned, client)

    with pytest.raises(Refused, match="Say why"):
        decline_proposal(proposal, reason=" ", by=planned.office, now=now())
    accept_proposal(proposal, by=planned.office, now=now())
    with pytest.raises(Refused, match="already closed"):
        accept_proposal(proposal, by=planned.office, now=now())
    with pytest.raises(Refused, match="already closed"):
        decline_proposal(proposal, reason="Late", by=planned.office, now=now())


@pytest.mark.parametrize("role", ["lead", "plumber"])
def test_only_the_office_answers(planned, client, role):
    proposal = proposed(planned, client)
    member = make_member(role)

    with pytest.raises(Refused, match="Your role may not"):
        accept_proposal(proposal, by=member, now=now())
    client.force_login(member)
    path = f"/date-proposals/{proposal.pk}/decision/"
    assert client.post(path, {"answer": "accept"}).status_code == 403
    assert planned.phase("underground").ready_date == day(5)


def test_his_later_word_replaces_the_earlier_one(planned, client):
    first = proposed(planned, client, after=9)
    second = proposed(planned, client, after=10)

    first.refresh_from_db()
    assert (first.state, second.date) == ("replaced", day(10))
    assert list(queries.open_proposals()) == [second]


def test_confirming_the_old_date_takes_the_proposal_back(planned, client):
    proposal = proposed(planned, client)

    phase = planned.phase("underground")
    post_date(client, planned.personal(), phase, day(5), was=day(5))

    proposal.refresh_from_db()
    assert proposal.state == "replaced"
    assert planned.phase("underground").ready_date == day(5)


def test_the_office_answers_on_a_page_and_goes_back_to_where_it_was(planned, client):
    proposal = proposed(planned, client)
    client.force_login(planned.office)
    path = f"/date-proposals/{proposal.pk}/decision/"

    refused = client.post(path, {"answer": "decline", "next": "https://elsewhere/"})
    answer = client.post(path, {"answer": "accept", "next": "/somewhere/"})

    assert (refused.url, answer.url) == ("/links/", "/somewhere/")
    assert planned.phase("underground").ready_date == day(9)


def test_the_partial_for_today_shows_what_waits(planned, client, rf):
    from django.template import Context, Template

    request = rf.get("/")
    page = Template(
        "{% load status %}{% moved_dates as proposals %}"
        "{% include 'status/_proposals.html' %}"
    )
    assert "Dates that builders moved" not in page.render(Context({"request": request}))
    proposal = proposed(planned, client)

    shown = page.render(Context({"request": request}))

    assert "Dates that builders moved" in shown
    assert f"/date-proposals/{proposal.pk}/decision/" in shown
    assert planned.superintendent.name in shown
