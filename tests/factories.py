"""Makes objects for tests; what a test depends on it says itself."""

from datetime import UTC, datetime
from itertools import count

from phases.actions.entries import answer_item, photo_arrived
from phases.actions.lots import create_lot
from phases.defaults import load_defaults
from phases.log import Who, writing
from phases.models import CatalogueRow, LotPhase, PhaseKind, Photo
from tracker.people.models import Crew, Member
from tracker.sites.models import (
    Builder,
    InspectionKind,
    Jurisdiction,
    Lot,
    Option,
    Plan,
    PlanFixture,
    Room,
    Subdivision,
    Superintendent,
)

NOW = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)
_n = count(1)


def make_member(role="office", **fields):
    n = next(_n)
    fields.setdefault("username", f"member{n}")
    fields.setdefault("name", f"Member {n}")
    return Member.objects.create_user(role=role, password="pass-1234", **fields)


def make_crew(**fields):
    fields.setdefault("name", f"Crew {next(_n)}")
    fields.setdefault("skills", ["underground", "rough", "topout", "trim"])
    return Crew.objects.create(**fields)


def make_builder(**fields):
    fields.setdefault("name", f"Builder {next(_n)}")
    return Builder.objects.create(**fields)


def make_superintendent(builder=None, **fields):
    fields.setdefault("name", f"Super {next(_n)}")
    return Superintendent.objects.create(builder=builder or make_builder(), **fields)


def make_jurisdiction(kinds=("ground", "rough", "topout", "final"), **fields):
    """An office with one kind a phase, named after the trade's usual words."""
    fields.setdefault("name", f"Office {next(_n)}")
    fields.setdefault(
        "rules",
        {
            "timezone": "America/Chicago",
            "cutoff": "15:00",
            "lead": {"unit": "inspection_days", "amount": 1},
        },
    )
    office = Jurisdiction.objects.create(**fields)
    proves = {"ground": "underground", "final": "trim"}
    for place, code in enumerate(kinds):
        InspectionKind.objects.create(
            jurisdiction=office,
            code=code,
            name_en=code.title(),
            name_es=code.title(),
            proves=[proves.get(code, code)],
            position=place,
        )
    return office


def make_subdivision(builder=None, jurisdiction=None, **fields):
    fields.setdefault("name", f"Subdivision {next(_n)}")
    fields.setdefault("code_book", "IRC")
    fields.setdefault("edition", "2021")
    return Subdivision.objects.create(
        builder=builder or make_builder(),
        jurisdiction=jurisdiction or make_jurisdiction(),
        **fields,
    )


def make_plan(builder=None, fixtures=("closet",), **fields):
    """A plan with one bathroom that holds the given kinds of fixture."""
    fields.setdefault("code", f"P{next(_n)}")
    plan = Plan.objects.create(builder=builder or make_builder(), **fields)
    bath = Room.objects.create(
        plan=plan, key="bath", kind="bath", name_en="Bath", name_es="Baño"
    )
    for n, kind in enumerate(fixtures, start=1):
        PlanFixture.objects.create(
            plan=plan, room=bath, key=f"{kind}{n}"[:40], kind=kind, wall="back"
        )
    return plan


def make_option(plan, fixtures=(), **fields):
    fields.setdefault("code", f"O{next(_n)}")
    fields.setdefault("name", f"Option {fields['code']}")
    option = Option.objects.create(plan=plan, **fields)
    for n, kind in enumerate(fixtures, start=1):
        PlanFixture.objects.create(
            plan=plan,
            option=option,
            room=plan.rooms.first(),
            key=f"{option.code.lower()}-{kind}{n}"[:40],
            kind=kind,
            wall="back",
        )
    return option


def ensure_defaults():
    if not PhaseKind.objects.exists() or not CatalogueRow.objects.exists():
        load_defaults()


def make_lot(subdivision=None, plan=None, by=None, now=NOW, **fields) -> Lot:
    """A lot with its route and, where a plan is given, its check items."""
    ensure_defaults()
    fields.setdefault("label", str(next(_n)))
    if subdivision is None:
        subdivision = make_subdivision(builder=plan.builder if plan else None)
    who = Who(member=by or make_member("office"))
    return create_lot(subdivision, plan=plan, who=who, now=now, **fields)


def phase_of(lot, code="topout") -> LotPhase:
    return lot.phases.select_related("kind", "lot__subdivision").get(kind__code=code)


def kind_of(lot, code="topout") -> InspectionKind:
    return InspectionKind.objects.get(
        jurisdiction=lot.subdivision.jurisdiction, code=code
    )


def prove(item, *, who, now=NOW, unique=0):
    """Answer an item as it asks; photos are made and have arrived."""
    if item.proof == "measure":
        low = item.spec["least"]
        value = low if low is not None else item.spec["most"]
        payload = {"value": value, "unit": item.spec["unit"]}
        answer_item(item, answer="measure", who=who, now=now, payload=payload)
    elif item.proof == "test":
        answer_item(item, answer="test", who=who, now=now, payload={"passed": True})
    elif item.proof != "photo":
        answer_item(item, answer="tick", who=who, now=now)
    for n in range(max(item.photos_needed, item.proof == "photo")):
        sha = f"{item.pk:024x}{unique:024x}{n:016x}"
        answer_item(item, answer="photo", who=who, now=now, payload={"sha": sha})
        Photo.objects.create(
            sha256=sha,
            file="photos/p.jpg",
            thumb="thumbs/p.jpg",
            width=1,
            height=1,
            bytes_received=1,
            received_at=now,
        )
        photo_arrived(sha, now=now)


def prove_phase(phase, *, who, now=NOW):
    with writing(now=now):
        for item in phase.items.filter(removed_at=None):
            prove(item, who=who, now=now)
