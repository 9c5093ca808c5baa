"""What is written of lots: pages of the lot, phones, a superintendent's link."""

from tests import factories as make
from tests.access.writes.payloads import (
    change_made,
    closed,
    day,
    details,
    measured_twice,
    one_operation,
    part_there,
    put_right,
    result,
)
from tests.access.writes.write import Write

LOTS = (
    Write("desk:language", "POST", ("history:Member",), lambda w: {"language": "es"}),
    Write(
        *("desk:lot-dates", "POST", ("fact:date_said",)),
        data=lambda w: {"what": "closing", "status": "predicted", "date": day(40)},
        by="lead",
    ),
    Write(
        *("desk:lot-holds", "POST", ("fact:hold_set",)),
        data=lambda w: {"owed_by": "city", "text": "Meter not set"},
        by="plumber",
    ),
    Write(
        *("desk:lot-corrections", "POST", ("fact:correction_opened",)),
        data=lambda w: {"text": "Plate missing", "owed_by": "us", "source": "walk"},
        by="plumber",
    ),
    Write(
        *("desk:lot-calls", "POST", ("fact:called_in",)),
        data=lambda w: {
            "kind": make.kind_of(w.own.lot, "final").pk,
            "for_date": day(5),
            "confirmation": "C-77",
        },
        by="lead",
    ),
    Write(
        *("desk:lot-results", "POST", ("fact:result",)),
        data=result,
        by="lead",
    ),
    Write("desk:lot-details", "POST", ("fact:lot_changed", "history:Lot"), details),
    Write(
        *("desk:lot-plan", "POST", ("fact:plan_chosen", "history:Lot")),
        data=lambda w: {"plan": w.own.plan.pk, "options": [w.own.option.pk]},
    ),
    Write(
        *("desk:item-rejection", "POST", ("fact:entry",)),
        data=lambda w: {"of": str(w.own.op), "reason": "The wrong wall"},
        by="lead",
    ),
    Write(
        *("desk:item-settlement", "POST", ("fact:entry",)),
        data=lambda w: {"reason": "Measured again together"},
        by="office",
        before=measured_twice,
        thing="measure",
    ),
    Write(
        *("desk:readiness", "POST", ("fact:part_said",)),
        data=lambda w: {"part": w.ready_part},
        by="lead",
    ),
    Write(
        *("desk:move", "POST", ("fact:date_said",)),
        data=lambda w: {"start": day(9)},
        by="lead",
    ),
    Write(
        *("desk:sending", "POST", ("fact:planned",)),
        data=lambda w: {"crew": w.own.crew.pk, "start": day(3), "days": 2},
        by="office",
    ),
    Write(
        *("desk:progress", "POST", ("fact:started",)),
        data=lambda w: {"act": "started"},
        by="plumber",
    ),
    Write(
        *("desk:gate", "POST", ("fact:gate_overridden",)),
        data=lambda w: {"gate": "cover", "reason": "The inspector saw it"},
    ),
    Write("desk:hold-lifting", "POST", ("fact:hold_lifted",), by="lead"),
    Write("desk:correction-done", "POST", ("fact:correction_done",), by="plumber"),
    Write(
        *("desk:correction-closing", "POST", ("fact:correction_closed",)),
        by="lead",
        before=put_right,
    ),
    Write(
        *("desk:correction-reopening", "POST", ("fact:correction_reopened",)),
        data=lambda w: {"reason": "Still leaks"},
        by="lead",
        before=closed,
    ),
    Write(
        *("desk:call-cancelling", "POST", ("fact:call_cancelled",)),
        data=lambda w: {"reason": "Not ready"},
        by="lead",
    ),
    Write(
        *("desk:visit-calls", "POST", ("fact:called_in",)),
        data=lambda w: {"kinds": "final", "for_date": day(5), "confirmation": "C-78"},
        by="lead",
    ),
    Write(
        *("desk:call-day", "POST", ("fact:called_in",)),
        data=lambda w: {"for_date": day(6), "note": "They moved it"},
        by="lead",
    ),
    Write(
        *("desk:call-withdrawal", "POST", ("fact:call_cancelled",)),
        data=lambda w: {"reason": "Not ready"},
        by="lead",
    ),
    Write(
        *("desk:call-result", "POST", ("fact:result",)),
        data=result,
        by="lead",
    ),
    Write(
        *("desk:telling", "POST", ("history:Member",)),
        data=lambda w: {"email": "lead@example.com", "wants_email": "on"},
        by="lead",
    ),
    Write(
        *("desk:walk-hint", "POST", ("row:WalkHint.decided_by",)),
        data=lambda w: {"take": "yes"},
        by="lead",
    ),
    Write(
        *("desk:visit-fee", "POST", ("fact:visit_fee",)),
        data=lambda w: {"amount": "75", "pays": "builder", "note": "Locked gate"},
    ),
    Write(
        *("desk:visit-fee-paid", "POST", ("fact:visit_fee_paid",)),
        data=lambda w: {"on": day()},
    ),
    Write(
        *("desk:feeds", "POST", ("row:CalendarLink.made_by",)),
        data=lambda w: {"of": f"crew:{w.own.crew.pk}"},
    ),
    Write("desk:feed-revocation", "POST", ("row:CalendarLink.revoked_by",)),
    Write(
        *("desk:lot-tests", "POST", ("fact:pipe_test",)),
        data=lambda w: {
            **{"phase": w.own.topout.pk, "system": "dwv", "medium": "water"},
            **{"material": "pvc", "head_ft": "10"},
        },
        by="plumber",
    ),
    Write(
        *("desk:lot-forecast", "POST", ("row:Forecast.said_by",)),
        data=lambda w: {"on": day(1), "low_f": "24"},
        by="lead",
    ),
    Write(
        *("desk:test-readings", "POST", ("fact:pipe_test",)),
        data=lambda w: {"head_ft": "10", "minutes": "15"},
        by="plumber",
    ),
    Write(
        *("desk:test-event", "POST", ("fact:off_test", "fact:pipe_test")),
        data=lambda w: {"event": "disturbed"},
        by="plumber",
    ),
    Write(
        *("desk:test-taking-down", "POST", ("fact:off_test", "fact:pipe_test")),
        data=lambda w: {"caps_left": 0},
        by="plumber",
    ),
    Write(
        *("phone:operations", "POST", ("fact:entry",)),
        data=one_operation,
        by="phone",
        json=True,
    ),
    Write(
        *("status:dates", "POST", ("fact:date_said",)),
        data=lambda w: {
            **{"phase": w.own.trim.pk, "what": "ready", "date": day(30)},
        },
        by="personal link",
    ),
    Write(
        *("status:parts", "POST", ("fact:part_said",)),
        data=part_there,
        by="personal link",
    ),
    Write("status:lifting", "POST", ("fact:hold_lifted",), by="personal link"),
    Write(
        *("status:acceptance", "POST", ("fact:correction_closed",)),
        by="personal link",
        before=change_made,
        thing="change",
    ),
)
