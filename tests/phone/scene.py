"""One invented house on one street, with a crew, its lead and their phones."""

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

from phases.actions import lots, work
from phases.log import Who
from phases.models import CheckItem, ItemSpec, LotPhase, PhaseKind
from tracker.people.models import Crew, Device, Member
from tracker.phone.enrolment import hashed
from tracker.sites.models import (
    Builder,
    Company,
    InspectionKind,
    Jurisdiction,
    Lot,
    Subdivision,
)

NOW = datetime(2026, 3, 4, 15, 0, tzinfo=UTC)  # a Wednesday morning in Chicago
TODAY = date(2026, 3, 4)


@dataclass
class Scene:
    """`tokens` are by device id; items by key."""

    crew: Crew
    office: Member
    lead: Member
    plumber: Member
    subdivision: Subdivision
    lot: Lot
    phase: LotPhase
    items: dict[str, CheckItem] = field(default_factory=dict)
    tokens: dict[UUID, str] = field(default_factory=dict)

    def phone(self, member: Member | None = None) -> Device:
        return make_phone(member or self.plumber, self.tokens)

    def bearer(self, device: Device) -> dict[str, str]:
        return {"HTTP_AUTHORIZATION": f"Bearer {self.tokens[device.pk]}"}


def make_phone(member: Member, tokens: dict[UUID, str]) -> Device:
    token = f"token-{uuid4()}"
    device = Device.objects.create(
        member=member, name="phone", token_hash=hashed(token), enrolled_at=NOW
    )
    tokens[device.pk] = token
    return device


def make_member(name: str, role: str, crew: Crew | None = None) -> Member:
    return Member.objects.create_user(
        name.lower(), "not a common one 7", name=name, role=role, crew=crew
    )


def make_item(phase: LotPhase, key: str, **spec: Any) -> CheckItem:
    proof = spec.pop("proof", "tick")
    photos = spec.pop("photos", 0)
    room = spec.pop("room", "bath")
    shown = {
        "text_en": key.replace("-", " "),
        "text_es": f"{key} (es)",
        "room_en": "Bath 2",
        "room_es": "Baño 2",
        "targets": [],
        "from_list": False,
        **spec,
    }
    item = CheckItem.objects.create(
        lot_phase=phase,
        key=key,
        room_key=room,
        walk_order=phase.items.count(),
        proof=proof,
        photos_needed=photos,
        spec=shown,
    )
    ItemSpec.objects.create(item=item, version=1, spec=shown)
    return item


ITEMS: dict[str, dict[str, Any]] = {
    "closet-drain": {"proof": "tick"},
    "lavatory-drain": {"proof": "tick"},
    "shower-head": {
        "proof": "measure",
        "unit": "in16",
        "least": 1276,
        "most": 1308,
        "measure": "height",
        "targets": [
            {
                "axis": "height",
                "bare": 1292,
                "finished": 1280,
                "bare_from": "subfloor",
                "finished_from": "finished_floor",
                "minus": 16,
                "plus": 16,
            }
        ],
    },
    "tub-valve": {"proof": "photo", "photos": 1},
    "water-test": {"proof": "test"},
}


def make_lot(subdivision: Subdivision, office: Member, label: str) -> Lot:
    return lots.create_lot(
        subdivision, who=Who(member=office), now=NOW, label=label, block="6"
    )


def plan_lot(lot: Lot, crew: Crew, office: Member, *, day: date = TODAY) -> LotPhase:
    phase = lot.phases.get(kind__code="topout")
    work.plan_phase(
        phase,
        crew=crew,
        start=day,
        end=day + timedelta(days=1),
        who=Who(member=office),
        now=NOW,
    )
    phase.refresh_from_db()
    return phase


def make_scene(*, day: date = TODAY) -> Scene:
    Company.objects.get_or_create(name="Ridgewater Plumbing")
    for place, code in enumerate(("underground", "rough", "topout", "trim")):
        PhaseKind.objects.get_or_create(
            code=code,
            defaults={
                "name_en": code.title(),
                "name_es": f"{code} (es)",
                "position": place,
                "conceals_en": "drywall" if code != "trim" else "",
            },
        )
    city = Jurisdiction.objects.create(name="Town of Fallow Creek")
    InspectionKind.objects.create(
        jurisdiction=city,
        code="top-out",
        name_en="Top out",
        name_es="Instalación en muros",
        proves=["topout"],
    )
    builder = Builder.objects.create(name="Larkhollow Homes")
    subdivision = Subdivision.objects.create(
        builder=builder, jurisdiction=city, name="Larkhollow"
    )
    crew = Crew.objects.create(name="Crew 1")
    office = make_member("Odile", "office")
    lot = make_lot(subdivision, office, "18A")
    phase = plan_lot(lot, crew, office, day=day)
    scene = Scene(
        crew=crew,
        office=office,
        lead=make_member("Lew", "lead", crew),
        plumber=make_member("Pilar", "plumber", crew),
        subdivision=subdivision,
        lot=lot,
        phase=phase,
    )
    scene.items = {
        key: make_item(phase, key, **dict(spec)) for key, spec in ITEMS.items()
    }
    return scene


_seq = 0


def op(scene: Scene, kind: str, target: str, **more: Any) -> dict[str, Any]:
    """An operation of the plumber, as his phone would write it."""
    global _seq
    _seq += 1
    body = {
        "id": str(uuid4()),
        "seq": _seq,
        "member": str(scene.plumber.pk),
        "kind": kind,
        "lot": scene.lot.pk,
        "target": target,
        "version": None,
        "payload": {},
        "at": NOW.isoformat(),
        "after": None,
    }
    return {**body, **more}


def on_item(scene: Scene, kind: str, key: str, **more: Any) -> dict[str, Any]:
    return op(scene, kind, f"item:{scene.items[key].pk}", **more)
