"""Writing an outline: text, figures, extras, accepting and withdrawing."""

import re

import pytest

from phases.models import PlanOutline
from tests.desk.checks_scene import Checked
from tests.desk.scene import signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return signed_in("office")[0]


def text_of(response):
    """The page's words, without marks."""
    plain = re.sub(r"<(script|style).*?</\1>|<[^>]+>", " ", response.content.decode())
    return re.sub(r"\s+", " ", plain)


def form_of(scene, **changes):
    return {
        "text": scene.outline.text,
        "extras": scene.outline.extras,
        "base_version": scene.outline.version,
        **changes,
    }


def test_a_text_with_mistakes_is_told_at_its_lines_and_nothing_is_lost(office):
    scene = Checked()
    text = scene.outline.text.replace("length=40", "length=0", 1)

    page = office.post(f"/plans/{scene.plan.pk}/outline/", form_of(scene, text=text))

    assert page.status_code == 422
    assert "line 2: sewer has zero length" in text_of(page)
    assert text in page.content.decode()
    assert PlanOutline.objects.count() == 1


def test_a_text_is_checked_while_it_is_written_without_being_kept(office):
    scene = Checked()
    text = scene.outline.text.replace("size=3 length=3", "size=2 length=3")

    live = office.post(
        f"/plans/{scene.plan.pk}/outline/trying/", form_of(scene, text=text)
    )

    assert live.context["live"][0].finding.where == "bath-closet"
    assert [(c.key, c.before, c.after) for c in live.context["size_changes"]] == [
        ("bath-closet", "3", "2")
    ]
    assert PlanOutline.objects.count() == 1


def test_an_edit_is_kept_as_the_next_version_with_its_figures(office):
    scene = Checked()
    text = scene.outline.text.replace("length=40", "length=55", 1)

    done = office.post(
        f"/plans/{scene.plan.pk}/outline/",
        form_of(scene, text=text, static_psi="95", storey_ft="9"),
    )

    assert done.status_code == 302
    last = PlanOutline.objects.latest_first().first()
    assert (last.version, last.is_guess, last.is_accepted) == (2, False, False)
    assert last.site == {"static_psi": 95.0}


@pytest.mark.parametrize("figure", ["0", "1e9", "abc", "nan"])
def test_a_figure_out_of_range_is_refused_at_its_field(office, figure):
    scene = Checked()

    page = office.post(
        f"/plans/{scene.plan.pk}/outline/", form_of(scene, static_psi=figure)
    )

    assert page.status_code == 422
    assert "static_psi" in page.context["form"].errors


def test_condensate_and_cuts_are_checked_from_their_text(office):
    scene = Checked()
    extras = "condensate ac tons=3 into=vent\n" + (
        "cut tub-joist notch joist lumber=2x10 inches=1 span=12 at=6\n"
    )

    live = office.post(
        f"/plans/{scene.plan.pk}/outline/trying/", form_of(scene, extras=extras)
    )

    wrong = {(r.finding.where, r.finding.check) for r in live.context["live"]}
    assert {("ac", "condensate end"), ("tub-joist", "framing cut")} <= wrong


def test_a_wrong_extra_is_told_at_its_line(office):
    scene = Checked()

    live = office.post(
        f"/plans/{scene.plan.pk}/outline/trying/",
        form_of(scene, extras="house baths=2\ncondensate ac tons=3"),
    )

    told = [(field, str(problem)) for field, problem in live.context["problems"]]
    assert told == [("extras", "line 2: Condensate ac: say into=.")]


def test_accepting_names_the_person_and_withdrawing_asks_why(office):
    scene = Checked(accepted=False)
    page = f"/plans/{scene.plan.pk}/outline/acceptance/"

    office.post(page, {"name": "Ada Voss"}, follow=True)
    row = PlanOutline.objects.get()
    office.post(f"/outlines/{row.pk}/withdrawal/", {"reason": ""}, follow=True)
    assert PlanOutline.objects.get().is_accepted
    office.post(f"/outlines/{row.pk}/withdrawal/", {"reason": "wrong plan"})

    row.refresh_from_db()
    assert (row.accepted_name, row.withdrawn_reason) == ("Ada Voss", "wrong plan")
    assert row.is_accepted is False


def test_accepting_a_guess_that_nobody_kept_keeps_it_first(office):
    scene = Checked(guessed=False)

    office.post(f"/plans/{scene.plan.pk}/outline/acceptance/", {"name": "Ada Voss"})

    assert PlanOutline.objects.get().is_accepted


def test_guessing_again_adds_a_version(office):
    scene = Checked()

    office.post(f"/plans/{scene.plan.pk}/outline/guess/?option=BID")

    assert [(o.options, o.version) for o in PlanOutline.objects.all()] == [
        ("", 1),
        ("BID", 1),
    ]
