"""People: members, crews and phones."""

import pytest
from django.urls import reverse

from tests.desk.scene import NOW, signed_in
from tests.factories import ensure_defaults, make_crew, make_member
from tracker.errors import Refused
from tracker.people.actions import save_member
from tracker.people.models import Crew, Device, Member

pytestmark = pytest.mark.django_db


def member_data(**more):
    data = {
        "name": "Nico Baeza",
        "username": "nico",
        "role": "plumber",
        "language": "es",
        "is_active": "on",
    }
    return data | more


@pytest.mark.parametrize("rows", [1, 3])
def test_people_take_five_statements(rows, django_assert_num_queries):
    for _ in range(rows):
        member = make_member("plumber", crew=make_crew())
        Device.objects.create(
            member=member, name="Phone", token_hash=f"{member.pk}", enrolled_at=NOW
        )
    client, _ = signed_in("office")

    with django_assert_num_queries(5):
        answer = client.get(reverse("desk:people"))

    assert len(answer.context["phones"]) == rows


def test_the_office_lets_a_plumber_in_without_a_password():
    client, _ = signed_in("office")

    client.post(reverse("desk:member-new"), member_data())

    member = Member.objects.get(username="nico")
    assert (member.role, member.language) == ("plumber", "es")
    assert member.has_usable_password() is False


def test_the_office_makes_no_owner():
    client, _ = signed_in("office")

    answer = client.post(reverse("desk:member-new"), member_data(role="owner"))

    assert "role" in answer.context["form"].errors
    assert Member.objects.filter(username="nico").count() == 0


def test_the_office_does_not_change_the_owner():
    owner = make_member("owner", name="Wren Quill")
    client, _ = signed_in("office")

    client.post(
        reverse("desk:member", args=[owner.pk]),
        member_data(username=owner.username, role="lead", password="taken-over-99"),
    )

    owner.refresh_from_db()
    assert (owner.name, owner.role) == ("Wren Quill", "owner")
    assert owner.check_password("pass-1234")


def test_the_owner_gives_a_password_that_is_not_too_easy():
    client, _ = signed_in("owner")
    url = reverse("desk:member-new")

    refused = client.post(url, member_data(role="office", password="password"))
    assert refused.status_code == 422

    client.post(url, member_data(role="office", password="level-and-plumb-7"))
    assert Member.objects.get(username="nico").check_password("level-and-plumb-7")


def test_one_owner_must_stay():
    owner = make_member("owner")
    owner.role = "lead"

    with pytest.raises(Refused, match="One owner must stay"):
        save_member(owner, by=Member.objects.get(pk=owner.pk))


def test_the_last_owner_does_not_shut_himself_out():
    client, owner = signed_in("owner")

    data = member_data(username=owner.username, role="owner")
    del data["is_active"]
    answer = client.post(reverse("desk:member", args=[owner.pk]), data)

    owner.refresh_from_db()
    assert (answer.status_code, owner.is_active) == (422, True)


def test_a_name_that_is_taken_is_refused():
    make_member("plumber", username="nico")
    client, _ = signed_in("office")

    answer = client.post(reverse("desk:member-new"), member_data())

    assert "username" in answer.context["form"].errors


def test_a_crew_is_made_with_what_it_knows():
    ensure_defaults()
    client, _ = signed_in("office")

    client.post(
        reverse("desk:crew-new"),
        {"name": "Ditch Three", "skills": ["underground"], "speed": "1.1"},
    )

    crew = Crew.objects.get(name="Ditch Three")
    assert (crew.skills, crew.speed, crew.is_active) == (["underground"], 1.1, False)


def test_a_crew_without_speed_is_refused():
    client, _ = signed_in("office")

    answer = client.post(reverse("desk:crew-new"), {"name": "Stuck", "speed": "0"})

    assert answer.status_code == 422
    assert Crew.objects.count() == 0


def test_a_member_who_may_not_sign_in_is_out_at_once():
    member_client, member = signed_in("office")
    owner = make_member("owner")
    member.is_active = False

    save_member(member, by=owner)

    assert member_client.get("/").status_code == 302
