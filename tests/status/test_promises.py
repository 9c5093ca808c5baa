"""The promise date on a builder's page."""

from tests.status.scene import day, now
from tracker.planning.adapter.keys import Keys
from tracker.planning.models import PlanVersion
from tracker.planning.queries import promised
from tracker.status import queries


def test_a_phase_still_to_pass_shows_the_day_that_the_published_plan_promises(
    scene, client
):
    phase = scene.phase("underground")
    keys = Keys(phases={("L", "underground"): phase.pk})
    odds = [["L", "underground", 1, 2, 3, 4, 5, 6, 0.9]]
    plan = PlanVersion.objects.create(
        status=PlanVersion.PUBLISHED,
        number=1,
        day0=day(),
        until=day(20),
        problem={},
        keys=keys.as_json(),
        odds=odds,
        made_at=now(),
    )
    on = promised()[phase.pk].on
    (house,) = queries.houses([scene.lot], now=now())
    address = f"{scene.link()}lots/{scene.lot.pk}/"

    assert queries.promises(house) == {phase.pk: on}
    assert "Likely passed by" in client.get(address).content.decode()

    plan.day0 = day(-60)
    plan.save()
    assert "Likely passed by" not in client.get(address).content.decode()
