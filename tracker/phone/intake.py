"""Takes in operations: each at most once, each with its own receipt.

The receipt is written in the transaction of the effect and given out after commit.
One that cannot be applied is set aside whole, so that nothing a person entered is
dropped, and the others of its batch go on.
"""

import json
import logging
from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Any

from django.db import InterfaceError, OperationalError
from django.db.models import F
from django.db.models.functions import Greatest

from phases.log import Who, writing
from phases.models import Fact
from tracker.errors import Refused
from tracker.people.models import Device
from tracker.phone.apply import ENTRY_KINDS, Later, apply
from tracker.phone.models import Operation, SetAside
from tracker.phone.operations import Op, Unreadable, digest_of, read_operation
from tracker.phone.words import both

logger = logging.getLogger(__name__)

LONGEST_RUN = 20
SKEW_MATTERS = timedelta(minutes=2)
FOR_NOW = (OperationalError, InterfaceError, OSError)


def take_all(
    bodies: Iterable[object], *, device: Device, now: datetime, skew: timedelta
) -> list[dict[str, Any]]:
    """Receipts in the order asked; applied in the order of the phone's own sequence."""
    given = list(bodies)
    read: list[Op | Unreadable] = [_read(body) for body in given]
    places = sorted(
        range(len(given)),
        key=lambda n: read[n].seq if isinstance(read[n], Op) else 0,  # type: ignore[union-attr]
    )
    receipts: dict[int, dict[str, Any]] = {}
    for run in _runs(places, read):
        # One refresh of the lot for the whole run; each operation in its own savepoint.
        done: dict[int, dict[str, Any]] = {}
        with writing(now=now):
            for place in run:
                op, body = read[place], given[place]
                if isinstance(op, Unreadable):
                    done[place] = _unreadable(body, op, device=device, now=now)
                else:
                    done[place] = take(op, body, device=device, now=now, skew=skew)
        receipts |= done
    return [receipts[place] for place in range(len(given))]


def _runs(places: list[int], read: list[Op | Unreadable]) -> list[list[int]]:
    """Plain answers together; an act that looks at what they amount to, alone."""
    runs: list[list[int]] = []
    for place in places:
        op = read[place]
        plain = isinstance(op, Unreadable) or op.kind in ENTRY_KINDS
        last = read[runs[-1][-1]] if runs else None
        joins = isinstance(last, Unreadable) or (last and last.kind in ENTRY_KINDS)
        if plain and joins and len(runs[-1]) < LONGEST_RUN:
            runs[-1].append(place)
        else:
            runs.append([place])
    return runs


def note_phone(device: Device, *, ops: list[object], skew: timedelta) -> None:
    """The highest sequence seen of a phone, and how far its clock is off."""
    seqs = [op.seq for op in map(_read, ops) if isinstance(op, Op)]
    Device.objects.filter(pk=device.pk).update(
        last_seq=Greatest(F("last_seq"), max(seqs, default=0)),
        clock_skew_seconds=max(-(2**31), min(2**31 - 1, int(skew.total_seconds()))),
    )


def _read(body: object) -> Op | Unreadable:
    try:
        return read_operation(body)
    except Unreadable as error:
        return error


def take(
    op: Op, body: object, *, device: Device, now: datetime, skew: timedelta
) -> dict[str, Any]:
    """One operation; the receipt is true once the outermost `writing` has ended."""
    if known := Operation.objects.filter(pk=op.id).first():
        return _known(known, op, body, device=device, now=now)
    try:
        with writing(now=now):
            # Asked again under the lock: the same batch may come in twice at once.
            if known := Operation.objects.filter(pk=op.id).first():
                return _known(known, op, body, device=device, now=now)
            return _first(op, body, device=device, now=now, skew=skew)
    except Later as wait:
        return {"id": str(op.id), "result": "later", **both({"code": wait.code})}


def _first(
    op: Op, body: object, *, device: Device, now: datetime, skew: timedelta
) -> dict[str, Any]:
    reason = _why_set_aside(op, device)
    if reason is None:
        if op.after and not Operation.objects.filter(pk=op.after).exists():
            raise Later("waits_for")
        reason = _effect(op, device=device, now=now, skew=skew)
    operation = Operation.objects.create(
        id=op.id,
        device=device,
        seq=op.seq,
        kind=op.kind,
        digest=op.digest,
        result=Operation.REFUSED if reason else Operation.APPLIED,
        reason=reason or {},
        fact_no=Fact.objects.filter(op=op.id).values_list("no", flat=True).first(),
        sha256=op.sha,
        claimed_at=op.at,
        received_at=now,
    )
    if reason:
        set_aside(body, reason, device=device, now=now)
    return receipt_of(operation)


def _why_set_aside(op: Op, device: Device) -> dict[str, Any] | None:
    """Not applied whatever it says: never under another name, never once shut out."""
    if device.revoked_at is not None:
        return {"code": "device_revoked"}
    if not device.member.is_active:
        return {"code": "member_disabled"}
    if op.member != device.member_id:
        return {"code": "other_person"}
    return None


def _effect(
    op: Op, *, device: Device, now: datetime, skew: timedelta
) -> dict[str, Any] | None:
    """Apply; None when it was, else the reason it was not, with nothing half done."""
    who = Who(
        member=device.member,
        device=device,
        device_seq=op.seq,
        op=op.id,
        happened_at=happened_at(op.at, now=now, skew=skew),
    )
    try:
        with writing(now=now):
            apply(op, who=who, now=now)
    except Refused as refused:
        return refused.reason
    except (Later, *FOR_NOW):
        raise
    except Exception:
        # A poison record: the others go on, and somebody looks at this one.
        logger.exception("Operation %s could not be applied.", op.id)
        return {"code": "fault"}
    return None


def happened_at(at: datetime, *, now: datetime, skew: timedelta) -> datetime:
    """The phone's claim, put right by how far its clock is off, and never ahead."""
    if abs(skew) > SKEW_MATTERS:
        at -= skew
    return min(at, now)


def set_aside(
    body: object, reason: dict[str, Any], *, device: Device, now: datetime
) -> None:
    """Keep an operation whole until somebody settles it; the same one once."""
    SetAside.objects.get_or_create(
        device=device,
        digest=digest_of(body),
        defaults={
            "text": json.dumps(body),
            "reason": reason,
            "set_aside_at": now,
        },
    )


def receipt_of(operation: Operation, *, again: bool = False) -> dict[str, Any]:
    applied = operation.result == Operation.APPLIED
    said = {"code": "", "en": "", "es": ""} if applied else both(operation.reason)
    return {
        "id": str(operation.pk),
        "result": "had" if applied and again else operation.result,
        **said,
        "no": operation.fact_no,
        "sha256": operation.sha256,
    }


def _known(
    known: Operation, op: Op, body: object, *, device: Device, now: datetime
) -> dict[str, Any]:
    """The same receipt as before, unless the id now carries something else."""
    if known.digest == op.digest:
        return receipt_of(known, again=True)
    set_aside(body, {"code": "id_reused"}, device=device, now=now)
    return {
        "id": str(op.id),
        "result": "refused",
        **both({"code": "id_reused"}),
        "no": None,
        "sha256": "",
    }


def _unreadable(
    body: object, error: Unreadable, *, device: Device, now: datetime
) -> dict[str, Any]:
    given = body.get("id") if isinstance(body, dict) else None
    set_aside(
        body, {"code": "unreadable", "detail": str(error)}, device=device, now=now
    )
    said = both({"code": "unreadable"})
    return {
        "id": str(given)[:80],
        "result": "refused",
        **said,
        "detail": str(error),
        "no": None,
        "sha256": "",
    }
