"""The page of tests on the pipe: put up, read, disturbed, taken down; frost."""

import pytest
from django.urls import reverse

from inspections.models import PipeTest
from phases.log import Who
from tests.factories import make_member, phase_of
from tests.inspections.scene import office_lot

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return Who(member=make_member("office"))


def test_the_page_of_tests_puts_one_up_and_takes_it_down(client, office):
    lot = office_lot(office)
    client.force_login(office.member)
    address = reverse("desk:lot-tests", args=[lot.pk])
    assert client.get(address).status_code == 200
    said = {
        "phase": phase_of(lot).pk,
        "system": "gas",
        "medium": "air",
        "material": "steel",
        "start_psig": "20",
        "minutes": "15",
    }
    bad = client.post(address, {**said, "minutes": "99999999"})
    assert "cannot be" in bad.content.decode()
    assert client.post(address, said).status_code == 302
    test = PipeTest.objects.get()
    client.post(reverse("desk:test-readings", args=[test.pk]), {"end_psig": "20"})
    client.post(reverse("desk:test-event", args=[test.pk]), {"event": "lost_pressure"})
    client.post(reverse("desk:test-event", args=[test.pk]), {"event": "nonsense"})
    client.post(reverse("desk:test-taking-down", args=[test.pk]), {"caps_left": "2"})
    client.post(
        reverse("desk:lot-forecast", args=[lot.pk]), {"on": "2030-01-02", "low_f": "20"}
    )
    test.refresh_from_db()
    assert (test.is_up, test.test_again, test.caps_left) == (False, "test_lost", 2)
    assert test.readings["end_psig"] == 20
    assert "it lost pressure" in client.get(address).content.decode()
