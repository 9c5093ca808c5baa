"""Take a lot list in: receive, decide, apply in one transaction, undo."""

import hashlib
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from pathlib import PurePath

from django.core.files.base import ContentFile
from django.db import transaction
from django.db.models import Max

from phases import rules
from phases.actions.lots import retire_lot
from phases.log import Who, writing
from phases.models import Fact
from tracker.desk.imports.looking import Looked, look, look_at
from tracker.desk.imports.writing_lots import places_of, with_values, write_rows
from tracker.errors import Refused
from tracker.sites.lotlist.meaning import squeeze
from tracker.sites.lotlist.record import CHANGED, NEW, counts_of
from tracker.sites.models import (
    Builder,
    LotImport,
    LotImportRow,
    Subdivision,
    SubdivisionAlias,
    Superintendent,
)

# So many rows of a list are written together.
TOGETHER = 250


@transaction.atomic
def receive_list(
    data: bytes,
    *,
    file_name: str,
    builder: Builder,
    who: Who,
    now: datetime,
    sheet: str = "",
    mapping: Mapping[str, str] | None = None,
) -> LotImport:
    """Keep an uploaded list for its dry run.

    Raises:
        Unreadable: when it is no lot list; nothing is kept then.
    """
    rules.check(rules.why_not_office(who.member))
    looked = look_at(data, builder=builder, sheet=sheet or None, mapping=mapping)
    name = PurePath(file_name.replace("\\", "/")).name[-120:] or "list"
    lot_import = LotImport(
        builder=builder,
        file_name=name,
        sha256=hashlib.sha256(data).hexdigest(),
        uploaded_by=who.name,
        uploaded_at=now,
        sheet=sheet,
        mapping=dict(mapping or {}),
        counts=counts_of(looked.listing.rows),
    )
    # The name on disk is ours: an uploaded one may hold anything.
    suffix = ".xlsx" if data.startswith(b"PK") else ".csv"
    lot_import.file.save(f"{lot_import.sha256[:16]}{suffix}", ContentFile(data))
    return lot_import


@transaction.atomic
def decide(
    lot_import: LotImport,
    *,
    who: Who,
    sheet: str,
    mapping: Mapping[str, str],
    joins: Mapping[str, str],
    otherwise: str,
    remember: bool,
    people: Sequence[str] = (),
) -> Looked:
    """Keep a person's word on columns, spellings, people and rows without a street.

    Args:
        people: superintendents of the list that are to be added to the builder.

    Raises:
        Unreadable: for a column or sheet that is not there; nothing is kept then.
    """
    rules.check(rules.why_not_office(who.member))
    lot_import = _locked(lot_import)
    if lot_import.applied_at is not None:
        raise Refused("list_applied")
    if lot_import.in_work:
        raise Refused("list_in_work")
    lot_import.sheet = sheet
    lot_import.mapping = dict(mapping)
    lot_import.joins = dict(joins)
    lot_import.otherwise = otherwise.strip()[:160]
    for name in people:
        Superintendent.objects.get_or_create(builder=lot_import.builder, name=name)
    looked = look(lot_import)
    lot_import.counts = counts_of(looked.listing.rows)
    lot_import.save()
    if remember:
        builder = lot_import.builder
        builder.list_mapping = {**builder.list_mapping, **mapping}
        builder.save(update_fields=["list_mapping"])
    return looked


def apply_import(
    lot_import: LotImport,
    *,
    who: Who,
    now: datetime,
    progress: Callable[[int, int], None] | None = None,
) -> LotImport:
    """Make and change the lots of the list: all of it or nothing.

    Args:
        progress: told from time to time how many rows of how many are done.
    """
    rules.check(rules.why_not_office(who.member))
    with writing(now=now):
        lot_import = _locked(lot_import)
        if lot_import.applied_at is not None:
            raise Refused("list_applied")
        # Looked at again under the lock: lots may have changed since the dry run.
        looked = look(lot_import)
        if looked.homeless:
            raise Refused("subdivision_needed", count=looked.homeless)
        _join_spellings(lot_import, who)
        streets = _streets(lot_import.builder, looked)
        places = places_of(looked.judged, streets)
        entries: list[LotImportRow] = []
        for start in range(0, len(looked.judged), TOGETHER):
            some = looked.judged[start : start + TOGETHER]
            entries += write_rows(lot_import, some, streets, places, who=who, now=now)
            if progress:
                progress(len(entries), len(looked.judged))
        last = _last_facts([entry.lot_id for entry in entries if entry.lot_id])
        for entry in entries:
            entry.last_fact = last.get(entry.lot_id, 0)
        LotImportRow.objects.bulk_create(entries, batch_size=500)
        lot_import.counts = counts_of(looked.listing.rows)
        lot_import.applied_at = now
        lot_import.applied_by = who.name
        lot_import.asked_at, lot_import.failed = None, {}
        lot_import.save()
    return lot_import


def undo_import(
    lot_import: LotImport,
    *,
    who: Who,
    now: datetime,
    progress: Callable[[int, int], None] | None = None,
) -> LotImport:
    """Take an applied list back while nothing was built on it.

    Lots that it made leave the street, lots that it changed get their old values;
    the facts of both stay in the log.
    """
    rules.check(rules.why_not_office(who.member))
    with writing(now=now):
        lot_import = _locked(lot_import)
        if lot_import.applied_at is None:
            raise Refused("list_not_applied")
        if lot_import.undone_at is not None:
            raise Refused("list_undone")
        entries = list(
            lot_import.rows.filter(status__in=(NEW, CHANGED)).select_related(
                "lot__subdivision", "lot__plan"
            )
        )
        if built := _built_on(entries):
            raise Refused("list_built_on", lots=built)
        reason = f"The list {lot_import.file_name} was undone."
        for done, entry in enumerate(entries, start=1):
            if entry.status == NEW:
                retire_lot(entry.lot, reason=reason, who=who, now=now)
            else:
                with_values(entry.lot, entry.before, who=who, now=now)
            if progress and (done % TOGETHER == 0 or done == len(entries)):
                progress(done, len(entries))
        lot_import.undone_at = now
        lot_import.undone_by = who.name
        lot_import.asked_at, lot_import.failed = None, {}
        lot_import.save()
    return lot_import


def why_not_undo(lot_import: LotImport) -> Refused | None:
    """Reason why an applied list cannot be undone, for the page."""
    if lot_import.applied_at is None:
        return Refused("list_not_applied")
    if lot_import.undone_at is not None:
        return Refused("list_undone")
    entries = lot_import.rows.filter(status__in=(NEW, CHANGED))
    built = _built_on(list(entries.select_related("lot__subdivision")))
    return Refused("list_built_on", lots=built) if built else None


def _locked(lot_import: LotImport) -> LotImport:
    return (
        LotImport.objects.select_for_update(of=("self",))
        .select_related("builder")
        .get(pk=lot_import.pk)
    )


def _join_spellings(lot_import: LotImport, who: Who) -> None:
    for spelling, name in lot_import.joins.items():
        street, _ = Subdivision.objects.get_or_create(
            builder=lot_import.builder, name=name
        )
        SubdivisionAlias.objects.get_or_create(
            builder=lot_import.builder,
            spelling=spelling,
            defaults={"subdivision": street, "joined_by": who.name},
        )


def _streets(builder: Builder, looked: Looked) -> dict[str, Subdivision]:
    streets = {s.name: s for s in Subdivision.objects.filter(builder=builder)}
    for name in looked.unknown:
        streets.setdefault(
            name, Subdivision.objects.get_or_create(builder=builder, name=name)[0]
        )
    # One name written in two cases is one subdivision.
    for one in looked.judged:
        if one.row.status == NEW and one.subdivision not in streets:
            same = squeeze(one.subdivision)
            streets[one.subdivision] = next(
                s for name, s in streets.items() if squeeze(name) == same
            )
    return streets


def _last_facts(lots: list[int]) -> dict[int, int]:
    newest: dict[int, int] = {}
    for start in range(0, len(lots), 500):
        some = Fact.objects.filter(lot__in=lots[start : start + 500])
        newest.update(some.order_by().values_list("lot").annotate(Max("no")))
    return newest


def _built_on(entries: list[LotImportRow]) -> list[dict[str, str] | str]:
    """Names of lots on which something happened after the import, the first five."""
    last = _last_facts([entry.lot_id for entry in entries if entry.lot_id])
    built = [
        {
            "code": "lot_on_street",
            "en": entry.lot.name,
            "es": entry.lot.name_es,
            "street": entry.lot.subdivision.name,
        }
        for entry in entries
        if last.get(entry.lot_id, 0) > entry.last_fact
    ]
    return built[:5] + ([f"+{len(built) - 5}"] if len(built) > 5 else [])
