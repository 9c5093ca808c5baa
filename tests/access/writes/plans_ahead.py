"""What is sent to the look-ahead."""

from typing import Any

from django.utils import timezone

from phases.models import LotPhase
from tests.access.world import World
from tracker.people.models import Crew
from tracker.planning.actions.drafts import half_day, set_pin
from tracker.planning.adapter.keys import Keys
from tracker.planning.models import PlanningRules, PlanVersion

Data = dict[str, Any]


def draft(world: World) -> PlanVersion:
    return PlanVersion.objects.get(**world.things["draft"]["own"])


def one_job(world: World) -> Data:
    """A job of the draft, as it stands there."""
    version = draft(world)
    job = next(one for one in version.plan["jobs"] if one["start_quarter"] is not None)
    return {
        **{"lot": job["lot"], "phase": job["phase"], "crew": job["crew"]},
        **{"half": job["start_quarter"] // 2, "revision": version.revision},
    }


def pinned(world: World) -> None:
    version, job = draft(world), one_job(world)
    keys = Keys.read(version.keys)
    set_pin(
        LotPhase.objects.get(pk=keys.phases[job["lot"], job["phase"]]),
        crew=Crew.objects.get(pk=keys.crews[job["crew"]]),
        day=half_day(version, job["half"]),
        who=world.own.by,
        now=timezone.now(),
    )


def weights(world: World) -> Data:
    rules = PlanningRules.get()
    names = ("move", "crew_change", "day_change", "buffer", "told_days", "hold_days")
    return {"late_day": 12, **{name: getattr(rules, name) for name in names}}


def revision(world: World) -> Data:
    return {"revision": draft(world).revision}


def remedy(world: World) -> None:
    version = draft(world)
    change = {"kind": "pin", "code": "no_pins", "params": {}}
    version.remedies = [{**change, "saves": 9, "late": 1, "moves": 0}]
    version.save(update_fields=["remedies"])


def helping(world: World) -> Data:
    """A crew that does other work."""
    phase = LotPhase.objects.get(**world.things["phase"]["own"])
    other = Crew.objects.exclude(pk=phase.crew_id).filter(is_active=True).first()
    return {"crew": other.pk if other else 0, "on": timezone.localdate().isoformat()}
