"""What the clock does for the phases."""

from celery import shared_task


@shared_task
def refresh_for_today() -> int:
    """Midnight changes answers (a cover date comes near); safe to run twice."""
    from django.utils import timezone  # leaf

    from phases.log import writing  # leaf
    from phases.refresh import BATCH, refresh_lots  # leaf
    from tracker.sites.models import Lot  # leaf

    ids = list(Lot.objects.open().order_by("pk").values_list("pk", flat=True))
    changed = 0
    # Batch by batch, so that phones are not kept waiting behind one long lock.
    for start in range(0, len(ids), BATCH):
        now = timezone.now()
        with writing(now=now):
            changed += refresh_lots(ids[start : start + BATCH], now=now)
    return changed


@shared_task
def follow_plan(plan_id: int, member_id: int | None) -> int:
    """A plan was changed: its open lots follow; safe to run twice."""
    from django.utils import timezone  # leaf

    from phases.actions import plans  # leaf
    from phases.log import Who  # leaf
    from tracker.people.models import Member  # leaf
    from tracker.sites.models import Plan  # leaf

    plan = Plan.objects.filter(pk=plan_id).first()
    if plan is None:
        return 0
    who = Who(member=Member.objects.filter(pk=member_id).first())
    return plans.follow_plan(plan, who=who, now=timezone.now())
