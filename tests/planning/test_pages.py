"""The look-ahead's pages: what they show, what they write, how much they ask."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from phases.log import Who
from tests.factories import make_member
from tests.planning.scene import MORNING, owner, planned, street, two_crews
from tracker.people.models import Crew
from tracker.planning.actions.publishing import publish
from tracker.planning.models import (
    PlanVersion,
    SolveRun,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def morning(monkeypatch):
    monkeypatch.setattr(timezone, "now", lambda: MORNING)


@pytest.fixture
def who():
    return owner()


@pytest.fixture
def page(client, who):
    client.force_login(who.member)
    return client


def address(name, *args):
    return reverse(f"desk:{name}", args=args)


def shown(client, path):
    answer = client.get(path)
    assert answer.status_code == 200
    return answer.content.decode()


def test_without_a_plan_the_page_says_what_to_do(page):
    assert "makes the first draft" in shown(page, address("look-ahead"))


def test_a_draft_is_begun_and_planned_by_the_worker(
    page, who, django_capture_on_commit_callbacks
):
    street(who)
    two_crews()

    with django_capture_on_commit_callbacks(execute=False) as queued:
        answer = page.post(address("look-ahead-drafts"))

    draft = PlanVersion.objects.get()
    assert answer["Location"].endswith(f"?plan={draft.pk}")
    assert (len(queued), SolveRun.objects.get().state) == (1, "waiting")
    assert "waiting for the worker" in shown(
        page, f"{address('look-ahead')}?plan={draft.pk}"
    )


def test_the_sheet_shows_crews_down_with_strips_visits_and_walls(page, who):
    (lot,) = street(who)
    two_crews()
    from tests.planning.scene import dated, day

    dated(lot, who, what="cover", on=day(9))
    draft = planned(who)

    found = shown(page, f"{address('look-ahead')}?plan={draft.pk}")

    assert found.count('class="strip p-underground') == 1
    assert 'data-line="Ditch"' in found
    assert 'class="visit' in found
    assert 'class="brick' in found
    by_lot = shown(page, f"{address('look-ahead')}?plan={draft.pk}&by=lot&days=60")
    assert by_lot.count('class="strip') == 4
    assert 'class="wall' in by_lot


def test_what_would_change_is_shown_by_crew_and_by_lot_before_publishing(page, who):
    street(who, 2)
    two_crews()
    draft = planned(who)

    found = shown(page, f"{address('look-ahead')}?plan={draft.pk}")

    assert "What changes for crews" in found
    assert found.count("not told") >= 2


def test_a_lead_never_sees_a_draft(page, who, client):
    street(who)
    two_crews()
    draft = planned(who)
    client.force_login(make_member("lead", crew=Crew.objects.first()))

    found = shown(client, f"{address('look-ahead')}?plan={draft.pk}")

    assert 'class="strip' not in found


def test_reasons_promises_and_what_was_left_out_are_told(page, who):
    street(who, 2, ready=False)
    two_crews()
    draft = planned(who)
    PlanVersion.objects.filter(pk=draft.pk).update(
        remedies=[
            {
                **{"kind": "crew", "code": "one_more_crew"},
                **{"params": {"phase": "rough"}, "saves": 9, "late": 2, "moves": 1},
            }
        ]
    )

    found = shown(page, address("look-ahead-why", draft.pk))

    assert "nobody has said it is ready" in found
    assert found.count('<td class="figure" data-label="On time">') == 8
    assert "One more crew for rough" in found


def test_reasons_are_told_in_spanish_too(client):
    who = Who(member=make_member("owner", language="es"))
    lots = street(who, 3)
    two_crews()
    from tests.planning.scene import TODAY, dated

    for lot in lots:
        dated(lot, who, what="need_by", on=TODAY)
    draft = planned(who)
    assert draft.why
    client.force_login(who.member)
    client.cookies["django_language"] = "es"

    found = shown(client, address("look-ahead-why", draft.pk))

    assert "de atraso: " in found
    assert " late: " not in found


def test_season_and_load_show_the_plan(page, who):
    lots = street(who, 3)
    two_crews()
    publish(planned(who), who=who, now=MORNING)

    season = shown(page, f"{address('season')}?street={lots[0].subdivision_id}")
    load = shown(page, address("load"))

    assert season.count('class="lob') == 4
    assert "The same dates as a table" in season
    assert "by need-by dates: crew-days needed" in load
    # Three lots are a day and a half of the two crews' two weeks: both are idle.
    assert "idle crew-days in the plan: " in load


def test_season_load_and_calibration_without_anything_say_so(page):
    for name in ("season", "load", "look-ahead-calibration"):
        assert 'class="empty"' in shown(page, address(name))


def asked(client, path):
    with CaptureQueriesContext(connection) as caught:
        shown(client, path)
    return len(caught)


@pytest.mark.parametrize(
    "path", ["look-ahead", "look-ahead?by=lot", "season", "load", "look-ahead-why"]
)
def test_statements_do_not_grow_with_the_lots(page, who, path):
    two_crews()
    counts = []
    for lots in (1, 2):
        made = street(who, lots)
        draft = planned(who, iterations=200)
        name, _, query = path.partition("?")
        args = [draft.pk] if name == "look-ahead-why" else []
        street_pk = made[0].subdivision_id
        counts.append(
            asked(
                page,
                f"{address(name, *args)}?plan={draft.pk}&street={street_pk}&{query}",
            )
        )
        PlanVersion.objects.exclude(pk=draft.pk).delete()

    assert counts[1] <= counts[0]
    assert counts[0] < 25
