"""What the office writes: plans, people, settings, imports, money, links."""

from tests.access.writes.payloads import (
    accepted,
    applied,
    catalogue_cells,
    columns,
    crew,
    day,
    finished,
    fixture,
    lot_list,
    make_listed,
    one_charge,
    outline,
    passed,
    person,
    plan,
    price,
    release,
    room,
    sheet,
    signed,
    used,
)
from tests.access.writes.plans_ahead import (
    helping,
    one_job,
    pinned,
    remedy,
    revision,
    weights,
)
from tests.access.writes.write import Write

OFFICE = (
    Write(
        *("desk:look-ahead-drafts", "POST"),
        trace=(
            "row:PlanVersion.changed_by",
            "row:PlanVersion.made_by",
            "row:SolveRun.asked_by",
        ),
        data=lambda w: {"title": "Rain on Friday"},
        by="office",
    ),
    Write(
        *("desk:look-ahead-rain", "POST", ("row:RainDay.said_by",)),
        data=lambda w: {"first": day(8)},
        by="office",
    ),
    Write(
        *("desk:look-ahead-rain-removal", "POST", ("row:RainDay.taken_back_by",)),
        by="office",
    ),
    Write(
        *("desk:look-ahead-days-off", "POST", ("history:CrewDayOff",)),
        data=lambda w: {"crew": w.own.crew.pk, "off_first": "2027-03-03"},
        by="office",
    ),
    Write(
        *("desk:look-ahead-day-off-removal", "POST", ("history:CrewDayOff",)),
        by="office",
    ),
    Write("desk:look-ahead-rules", "POST", ("history:PlanningRules",), weights),
    Write("desk:look-ahead-seen", "POST", ("row:CrewNotice.seen_by",), by="lead"),
    Write(
        *("desk:look-ahead-runs", "POST", ("row:SolveRun.asked_by",)),
        data=lambda w: {"what": "solve", "seconds": "1"},
        by="office",
    ),
    Write(
        *("desk:look-ahead-what-ifs", "POST"),
        trace=(
            "row:PlanVersion.changed_by",
            "row:PlanVersion.made_by",
            "row:SolveRun.asked_by",
        ),
        data=lambda w: {"number": 0},
        by="office",
        before=remedy,
    ),
    Write(
        *("desk:look-ahead-helper", "POST", ("fact:helper_lent",)),
        data=helping,
        by="office",
    ),
    Write(
        *("desk:look-ahead-broken-off", "POST", ("fact:broken_off",)),
        data=lambda w: {"quarters_left": 2, "reason": "Rock"},
        by="lead",
    ),
    Write(
        *("desk:look-ahead-moves", "POST"),
        trace=("row:PlanVersion.changed_by", "row:SolveRun.asked_by"),
        data=one_job,
        by="office",
    ),
    Write(
        *("desk:look-ahead-pins", "POST"),
        trace=("row:Pin.made_by", "row:SolveRun.asked_by"),
        data=one_job,
        by="office",
    ),
    Write(
        *(
            "desk:look-ahead-unpin",
            "POST",
            ("row:Pin.lifted_by", "row:SolveRun.asked_by"),
        ),
        data=one_job,
        by="office",
        before=pinned,
    ),
    Write(
        *("desk:look-ahead-pin-removal", "POST", ("row:Pin.lifted_by",)),
        by="office",
    ),
    Write(
        *("desk:look-ahead-publication", "POST", ("row:PlanVersion.published_by",)),
        data=revision,
    ),
    Write(
        *("desk:look-ahead-removal", "POST", ("row:PlanVersion.changed_by",)),
        by="office",
    ),
    Write("desk:plans", "POST", ("history:Plan",), plan, by="office"),
    Write("desk:plan", "POST", ("history:Plan",), plan, by="office"),
    Write("desk:plan-parts", "POST", ("history:Room",), room, by="office"),
    Write("desk:plan-part", "POST", ("history:PlanFixture",), fixture, by="office"),
    Write("desk:plan-part-removal", "POST", ("history:PlanFixture",), by="office"),
    Write("desk:plan-sheets", "POST", ("history:DrawingSheet",), sheet, by="office"),
    Write("desk:plan-outline", "POST", ("history:PlanOutline",), outline),
    Write("desk:plan-outline-guess", "POST", ("history:PlanOutline",)),
    Write(
        *(
            "desk:plan-outline-acceptance",
            "POST",
            ("fact:item_changed", "history:PlanOutline"),
        ),
        data=lambda w: {"name": "Ann Alder"},
    ),
    Write(
        *(
            "desk:outline-withdrawal",
            "POST",
            ("fact:item_changed", "history:PlanOutline"),
        ),
        data=lambda w: {"reason": "Wrong vent"},
        before=accepted,
    ),
    Write("desk:lot-materials", "POST", ("fact:material_used",), used),
    Write(
        *("desk:materials-waste", "POST", ("history:MaterialWaste",)),
        data=lambda w: {"item": "PVC pipe", "percent": "12"},
    ),
    Write("desk:catalogue-row", "POST", ("history:CatalogueRow",), catalogue_cells),
    Write("desk:member-new", "POST", ("history:Member",), person, by="office"),
    Write("desk:member", "POST", ("history:Member",), person, by="office"),
    Write("desk:crew-new", "POST", ("history:Crew",), crew, by="office"),
    Write("desk:crew", "POST", ("history:Crew",), crew, by="office"),
    Write(
        *("desk:setup-new", "POST", ("history:Builder",)),
        data=lambda w: {"name": "Quarry Homes"},
        by="office",
    ),
    Write(
        *("desk:setup-row", "POST", ("history:Builder",)),
        data=lambda w: {"name": "Quarry Homes"},
        by="office",
    ),
    Write("desk:imports", "POST", ("row:LotImport.uploaded_by",), lot_list),
    Write("desk:import", "POST", ("history:Builder",), columns),
    Write(
        *("desk:import-application", "POST", ("fact:lot_made", "history:Lot")),
        before=make_listed,
    ),
    Write(
        *("desk:import-undoing", "POST", ("fact:lot_retired", "history:Lot")),
        before=applied,
    ),
    Write(
        *("desk:starts", "POST", ("fact:date_said",)),
        data=release,
        query=lambda w: f"?subdivision={w.own.street.pk}&all=1",
    ),
    Write(
        *("desk:street-dates", "POST", ("fact:date_said",)),
        data=lambda w: {
            **{"lots": [w.own.lot.pk], "date": day(9), "status": "predicted"},
            **{"said_by": "A. Wren"},
        },
        by="office",
    ),
    Write(
        "desk:money-builder",
        "POST",
        ("fact:billed", "history:Invoice"),
        one_charge,
        by="office",
    ),
    Write(
        *("desk:money-paid", "POST", ("history:Invoice",)),
        data=lambda w: {"on": day()},
        by="office",
    ),
    Write(
        *("desk:money-extra", "POST", ("fact:extra_priced",)),
        data=lambda w: {
            **signed(w),
            **{"lot": w.own.lot.pk, "sort": "extra", "text": "Loop for softener"},
        },
        by="office",
    ),
    Write("desk:money-price", "POST", ("fact:extra_priced",), signed, by="office"),
    Write(
        *("desk:money-order", "POST", ("fact:purchase_order",)),
        data=lambda w: {"number": "PO-7714"},
        by="office",
    ),
    Write("desk:money-pay", "POST", ("fact:piece_paid",), before=passed, by="office"),
    Write(
        *("desk:money-prices", "POST", ("history:DrawTerm",)),
        data=lambda w: price(w, "draw"),
    ),
    Write("desk:money-draw-removal", "POST", ("history:DrawTerm",)),
    Write("desk:money-piece-removal", "POST", ("history:PieceRate",)),
    Write(
        *("desk:after-lot", "POST"),
        trace=("fact:date_said", "fact:lot_changed", "history:Lot"),
        data=lambda w: {
            **{"act": "closing", "closed_on": day()},
            "warranty_until": day(365),
        },
        before=finished,
        by="office",
    ),
    Write(
        *("status:links", "POST", ("row:Link.made_by",)),
        data=lambda w: {"builder": w.own.builder.pk, "days": 30},
        by="office",
    ),
    Write("status:revocation", "POST", ("row:Link.revoked_by",), by="office"),
    Write(
        *("status:decision", "POST", ("fact:date_proposal_accepted",)),
        data=lambda w: {"answer": "accept"},
        by="office",
    ),
    Write(
        *("phone:enrol-codes", "POST", ("row:EnrolCode.made_by",)),
        data=lambda w: {"member": w.people["plumber"].pk},
        by="office",
        json=True,
    ),
    Write("phone:device", "DELETE", ("history:Device",), by="office"),
    Write(
        *("phone:settlement", "POST", ("row:SetAside.settled_by",)),
        data=lambda w: {"how": "Asked Ann."},
        by="office",
        json=True,
    ),
)
