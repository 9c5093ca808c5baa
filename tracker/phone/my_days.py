"""The published plan on a person's phone: his crew's days, and what is new in them."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.db.models import Q, QuerySet

from phases.models import LotPhase, PhaseHelper, PhaseKind
from tracker.people.models import Member
from tracker.planning.models import CrewNotice
from tracker.planning.queries import published
from tracker.sites.models import Lot

Doc = dict[str, Any]
OPEN_WORK = ("not_ready", "ready", "planned", "working")


def plan_doc(member: Member, *, today: date) -> Doc:
    """{"number", "published_at", "days", "news"}: the crew's own part of the plan.

    `news` is null when everything has been acknowledged; a person without a crew has
    no days and no news. The number of statements does not depend on the plan.
    """
    plan = published()
    crew = member.crew_id
    names = {
        kind.code: {"en": kind.name_en, "es": kind.name_es}
        for kind in PhaseKind.objects.all()
    }
    unread = list(unread_of(member)) if crew else []
    return {
        "number": plan.number if plan else None,
        "published_at": plan.published_at.isoformat()
        if plan and plan.published_at
        else None,
        "days": _days(crew, names, today=today) if crew else [],
        "news": _news(unread, crew, names) if unread and crew else None,
    }


def unread_of(member: Member) -> QuerySet[CrewNotice]:
    """Notices of the member's own crew that nobody has acknowledged, oldest first."""
    return CrewNotice.objects.filter(
        crew=member.crew_id, crew__isnull=False, seen_at=None
    ).order_by("made_at", "pk")


def newest_unread(member: Member) -> int | None:
    """The notice that the next acknowledgement names; one statement."""
    return unread_of(member).values_list("pk", flat=True).last()


def _days(crew: int, names: dict[str, Doc], *, today: date) -> list[Doc]:
    """What the crew has been told of, from today on, in the order of its days.

    Its own work, and the days for which it is lent to another crew.
    """
    found = [
        {
            **_job(row, names),
            "start": max(row.planned_start, today).isoformat(),
            "half": row.planned_half if row.planned_start >= today else 0,
            "end": max(row.planned_end or row.planned_start, today).isoformat(),
            "helps": False,
            "working": row.work == "working",
        }
        for row in _own(crew, today=today)
        if row.planned_start is not None
    ]
    found += [
        {
            **_job(lent.lot_phase, names),
            "start": lent.on.isoformat(),
            "half": 0,
            "end": lent.on.isoformat(),
            "helps": True,
            "working": lent.lot_phase.work == "working" and lent.on == today,
        }
        for lent in _lent(crew, today=today)
        if lent.on is not None
    ]
    return sorted(found, key=lambda one: (one["start"], one["half"], one["lot"]))


def _own(crew: int, *, today: date) -> QuerySet[LotPhase]:
    return (
        LotPhase.objects.filter(
            Q(planned_end__gte=today) | Q(planned_start__gte=today) | Q(work="working"),
            crew=crew,
            planned_start__isnull=False,
            work__in=OPEN_WORK,
            lot__retired_at=None,
        )
        .select_related("lot__subdivision", "kind")
        .order_by("planned_start", "planned_half", "lot", "position")
    )


def _lent(crew: int, *, today: date) -> QuerySet[PhaseHelper]:
    """The days themselves: the job may go on long before and after."""
    return (
        PhaseHelper.objects.filter(
            crew=crew,
            on__gte=today,
            lot_phase__work__in=OPEN_WORK,
            lot_phase__lot__retired_at=None,
        )
        .exclude(lot_phase__crew=crew)
        .select_related("lot_phase__lot__subdivision", "lot_phase__kind")
        .order_by("on", "lot_phase")
    )


def _job(row: LotPhase, names: dict[str, Doc]) -> Doc:
    return {**_lot(row.lot), "phase": names[row.kind.code]}


def _lot(lot: Lot) -> Doc:
    return {
        "lot": lot.pk,
        "name": {"en": lot.name, "es": lot.name_es},
        "subdivision": lot.subdivision.name,
        "address": lot.address,
    }


def _news(unread: list[CrewNotice], crew: int, names: dict[str, Doc]) -> Doc:
    changes = net_changes(notice.changes for notice in unread)
    lots = Lot.objects.select_related("subdivision").in_bulk(
        {one["lot_pk"] for one in changes}
    )
    return {
        "notice": unread[-1].pk,
        "since": unread[0].made_at.isoformat(),
        "first_day": min(notice.first_day for notice in unread).isoformat(),
        "changes": [
            {
                **_lot(lots[one["lot_pk"]]),
                "phase": names.get(one["phase"], {"en": one["phase"], "es": ""}),
                "was": _told(one["was"], crew),
                "now": _told(one["now"], crew),
            }
            for one in changes
            if one["lot_pk"] in lots
        ],
    }


def net_changes(notices: Iterable[list[Doc]]) -> list[Doc]:
    """What all unread notices together change, oldest first: there and back is none."""
    net: dict[tuple[int, str, str], Doc] = {}
    for changes in notices:
        for one in changes:
            # A day as helper stands for itself, whatever becomes of the job.
            helps = bool(one["now"] and one["now"].get("helps"))
            lent = one["now"]["start"] if helps else ""
            name = (one["lot_pk"], one["phase"], lent)
            known = net.setdefault(name, dict(one))
            known["now"] = one["now"]
    return [one for one in net.values() if one["was"] != one["now"]]


def _told(told: Doc | None, crew: int) -> Doc | None:
    if told is None:
        return None
    known = {
        "start": told["start"],
        "half": told["half"],
        "ours": told["crew"] == crew,
    }
    return {**known, "helps": True} if told.get("helps") else known
