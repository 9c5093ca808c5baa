"""Tests on the pipe from a phone: put up, read, photographed, disturbed, taken down."""

from datetime import datetime
from typing import Any
from uuid import UUID

from inspections.actions import (
    note_test,
    photograph_test,
    put_up_test,
    read_test,
    take_down_test,
)
from inspections.models import PipeTest
from phases.log import Who
from phases.models import LotPhase
from tracker.errors import Refused
from tracker.phone.operations import Op
from tracker.sites.models import Lot

# What a phone may write down of a test, as `inspections.pipe_tests.TestRecord` has it.
READINGS = (
    "start_psig",
    "end_psig",
    "start_f",
    "end_f",
    "head_ft",
    "end_head_ft",
    "depth_in",
    "minutes",
    "gauge_top_psi",
    "gauge_mark_psi",
    "working_psig",
    "leak_seen",
)


def put_up(op: Op, phase: LotPhase, *, who: Who, now: datetime) -> None:
    """The test takes the operation's id, so the phone knows it before we do."""
    words = {
        name: str(op.payload.get(name, ""))[:16]
        for name in ("system", "medium", "material")
    }
    put_up_test(
        phase, **words, who=who, now=now, readings=_readings(op), photo=op.sha, id=op.id
    )


def go_on(op: Op, lot: Lot, *, who: Who, now: datetime) -> None:
    """What came after: readings, the gauge's picture, a loss, or that it is down."""
    if op.target_kind != "test":
        raise Refused("bad_value", field="target", value=op.target_kind)
    test = PipeTest.objects.filter(pk=UUID(op.target), lot_phase__lot=lot).first()
    if test is None:
        raise Refused("no_such", what="test on the pipe")
    what = op.payload.get("what")
    if what == "read":
        read_test(test, readings=_readings(op), who=who, now=now)
    elif what == "photo":
        photograph_test(test, photo=op.sha, who=who, now=now)
    elif what in ("lost_pressure", "disturbed"):
        note_test(test, event=what, who=who, now=now)
    elif what == "down":
        take_down_test(test, who=who, now=now, caps_left=_caps(op))
    else:
        raise Refused("unknown_kind", value=str(what)[:40])


def _readings(op: Op) -> dict[str, Any]:
    """Numbers and yes or no by the names we know; TestRecord says what cannot be."""
    given = op.payload.get("readings", {})
    if not isinstance(given, dict):
        raise Refused("bad_value", field="readings", value=str(given)[:40])
    known = {name: given[name] for name in READINGS if given.get(name) is not None}
    leak = known.get("leak_seen", False)
    if not isinstance(leak, bool):
        raise Refused("bad_value", field="leak", value=str(leak)[:40])
    return known


def _caps(op: Op) -> int:
    caps = op.payload.get("caps", 0)
    if isinstance(caps, bool) or not isinstance(caps, int):
        raise Refused("bad_value", field="caps", value=str(caps)[:40])
    return caps
