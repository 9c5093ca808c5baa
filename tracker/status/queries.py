"""What a link shows, in a fixed number of statements however many houses."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from datetime import date, datetime
from typing import Any

from django.db.models import F, OuterRef, Q, QuerySet, Subquery

from inspections.models import InspectionRequest, InspectionResult
from phases.loaded import local_date
from phases.models import (
    CheckItem,
    Correction,
    Hold,
    LotPhase,
    Photo,
    PhotoUse,
    ReadyPart,
)
from tracker.planning.queries import promised
from tracker.sites.models import Lot
from tracker.status.houses import House, Inspected, Line, Part, Proof
from tracker.status.models import DateProposal, Link
from tracker.status.rules import BEFORE_WORK

Rows = dict[int, list[Any]]


def lots_of(link: Link) -> QuerySet[Lot]:
    """The houses that a link opens; everything it shows starts here."""
    lots = Lot.objects.open().filter(subdivision__builder=link.builder_id)
    if link.subdivision_id is not None:
        lots = lots.filter(subdivision=link.subdivision_id)
    return lots.select_related("subdivision", "plan").order_by(
        "subdivision__name", "subdivision", "position", "label", "pk"
    )


def houses(lots: Iterable[Lot], *, now: datetime) -> list[House]:
    """Houses with phases, proofs, inspections and what is waited for."""
    made = {
        lot.pk: House(lot, today=local_date(now, lot))
        for lot in lots  # keeps the order
    }
    inspected = _inspected(made.keys())
    parts = _by(ReadyPart.objects.filter(is_required=True), "kind_id")
    phases, proofs = _phases_and_proofs(made.keys())
    for phase in phases:
        phase.lot = made[phase.lot_id].lot
        made[phase.lot_id].lines.append(
            Line(
                phase,
                proof=proofs.get(phase.pk),
                inspections=tuple(
                    seen
                    for seen in inspected[phase.lot_id]
                    if phase.kind.code in seen.kind.proves
                ),
                parts=_parts(phase, parts[phase.kind_id]),
            )
        )
    _add_what_waits(made)
    return list(made.values())


def promises(house: House) -> Mapping[int, date]:
    """By lot phase still to pass: the day promised by the published plan.

    A day that has gone by promises nothing any more, and a promise is not shown.
    """
    found = promised()
    return {
        phase.pk: found[phase.pk].on
        for phase in house.phases
        if not phase.passed_on
        and phase.pk in found
        and found[phase.pk].on >= house.today
    }


def _phases_and_proofs(
    lot_ids: Iterable[int],
) -> tuple[list[LotPhase], Mapping[int, Proof]]:
    proven = CheckItem.objects.filter(
        lot_phase=OuterRef("pk"), state=CheckItem.PROVEN, removed_at=None
    ).order_by(F("answered_at").desc(nulls_last=True), "-pk")
    pictured = proven.filter(answer__has_key="photos")
    phases = list(
        LotPhase.objects.filter(lot__in=lot_ids)
        .select_related("kind", "crew")
        .annotate(
            last_item=Subquery(proven.values("pk")[:1]),
            last_picture=Subquery(pictured.values("pk")[:1]),
        )
        .order_by("lot", "position")
    )
    wanted = {p.last_item for p in phases} | {p.last_picture for p in phases}
    items = CheckItem.objects.in_bulk(wanted - {None})
    taken = [sha for item in items.values() for sha in item.answer.get("photos") or ()]
    arrived = set(Photo.objects.filter(pk__in=taken).values_list("pk", flat=True))
    proofs = {
        phase.pk: _proof(items[phase.last_item], items.get(phase.last_picture), arrived)
        for phase in phases
        if phase.last_item is not None
    }
    return phases, proofs


def _proof(
    item: CheckItem, pictured: CheckItem | None, arrived: Collection[str]
) -> Proof:
    spec = item.spec
    taken = (pictured.answer.get("photos") or ()) if pictured else ()
    photos = [sha for sha in taken if sha in arrived]
    said = item.answer.get("proven_on")
    return Proof(
        on=date.fromisoformat(said) if said else item.answered_at.date(),
        text_en=spec.get("text_en", item.key),
        text_es=spec.get("text_es", item.key),
        room_en=spec.get("room_en", ""),
        room_es=spec.get("room_es", ""),
        photo=photos[-1] if photos else "",
    )


def _parts(phase: LotPhase, rows: Iterable[ReadyPart]) -> tuple[Part, ...]:
    """Said or not, as far as the phase's own answer tells."""
    reason = phase.work_reason
    if phase.work not in BEFORE_WORK or reason.get("code") == "previous_open":
        return ()
    unsaid = reason.get("parts", ())
    return tuple(Part(row, said=row.code not in unsaid) for row in rows)


def _inspected(lot_ids: Iterable[int]) -> Mapping[int, list[Inspected]]:
    """Per lot and kind: called in, else the latest result."""
    latest: dict[tuple[int, int], Inspected] = {}
    results = InspectionResult.objects.filter(lot__in=lot_ids).exclude(
        result="cancelled"
    )
    for row in results.select_related("kind").order_by("recorded_at", "on"):
        latest[row.lot_id, row.kind_id] = Inspected(row.kind, row.result, row.on)
    waiting = InspectionRequest.objects.waiting().filter(lot__in=lot_ids)
    for row in waiting.select_related("kind"):
        latest[row.lot_id, row.kind_id] = Inspected(row.kind, "called_in", row.for_date)
    found: dict[int, list[Inspected]] = defaultdict(list)
    for (lot_id, _), seen in latest.items():
        found[lot_id].append(seen)
    for rows in found.values():
        rows.sort(key=lambda seen: (seen.kind.position, seen.kind.code))
    return found


def _add_what_waits(made: Mapping[int, House]) -> None:
    holds = Hold.objects.filter(lot__in=made, lifted_on=None, owed_by="builder")
    for hold in holds.select_related("lot_phase__kind"):
        made[hold.lot_id].holds.append(hold)
    corrections = Correction.objects.filter(lot__in=made).filter(
        Q(state="done") | Q(state="open", owed_by="builder")
    )
    for correction in corrections.select_related("lot_phase__kind"):
        made[correction.lot_id].corrections.append(correction)
    proposals = DateProposal.objects.filter(lot__in=made, state=DateProposal.OPEN)
    for proposal in proposals:
        made[proposal.lot_id].proposals.append(proposal)


def _by(rows: Iterable[Any], field: str) -> Rows:
    found: Rows = defaultdict(list)
    for row in rows:
        found[getattr(row, field)].append(row)
    return found


def thumbnail(link: Link, sha: str) -> Photo | None:
    """A photo that stands as proof on a house of this link; any other is not there."""
    uses = PhotoUse.objects.filter(
        photo_sha=sha,
        lot__in=lots_of(link).values("pk"),
        item__state=CheckItem.PROVEN,
        item__removed_at=None,
    ).select_related("item")
    if not any(sha in (use.item.answer.get("photos") or ()) for use in uses):
        return None
    return Photo.objects.filter(pk=sha).first()


def open_proposals() -> QuerySet[DateProposal]:
    """Moved dates that wait for the office, oldest first."""
    return DateProposal.objects.filter(state=DateProposal.OPEN).select_related(
        "lot__subdivision__builder", "lot_phase__kind", "job__kind", "superintendent"
    )


def last_decisions(link: Link, lot: Lot) -> list[DateProposal]:
    """The office's latest answer on each date that this superintendent proposed."""
    rows = (
        DateProposal.objects.filter(lot=lot, superintendent=link.superintendent_id)
        .exclude(state=DateProposal.REPLACED)
        .select_related("lot_phase__kind")
        .order_by("-made_at")
    )
    latest: dict[tuple[int, str], DateProposal] = {}
    for row in rows:
        latest.setdefault((row.lot_phase_id, row.what), row)
    return [row for row in latest.values() if row.state != DateProposal.OPEN]


def links(builder_id: int | None = None) -> QuerySet[Link]:
    """Every link for the office's list, live ones first."""
    rows = Link.objects.select_related(
        "builder", "subdivision", "superintendent", "made_by", "revoked_by"
    )
    if builder_id is not None:
        rows = rows.filter(builder=builder_id)
    return rows.order_by(
        F("revoked_at").asc(nulls_first=True), "builder__name", "-made_at"
    )
