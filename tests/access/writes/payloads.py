"""What is sent, and what must have happened before it can be taken."""

from datetime import date, timedelta
from typing import Any
from uuid import uuid4

from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from phases.actions.corrections import close_correction, correction_done
from phases.actions.entries import answer_item
from phases.actions.inspection_facts import RESULTS
from phases.actions.outlines import accept_outline
from phases.house_of import catalogue_now
from phases.log import Who
from phases.models import (
    CatalogueRow,
    Charge,
    CheckItem,
    LotPhase,
    PlanOutline,
    ReadyPart,
)
from tests import factories as make
from tests.access.world import LIST, World
from tracker.desk.checks.material_queries import lots_file
from tracker.desk.checks.material_views import field_of
from tracker.desk.imports.actions import apply_import
from tracker.desk.plans.catalogue_views import mark_of
from tracker.sites.models import LotImport, Subdivision

Data = dict[str, Any]


def day(after: int = 0) -> date:
    return (timezone.now() + timedelta(days=after)).date()


def put_right(world: World) -> None:
    own = world.own
    correction_done(own.correction, who=own.by, now=timezone.now())


def change_made(world: World) -> None:
    own = world.own
    correction_done(own.change, who=own.by, now=timezone.now())


def closed(world: World) -> None:
    put_right(world)
    own = world.own
    own.correction.refresh_from_db()
    close_correction(own.correction, who=own.by, now=timezone.now())


def measured_twice(world: World) -> None:
    """Two figures of one item that differ; the office or a lead says which counts."""
    item = CheckItem.objects.get(**world.things["measure"]["own"])
    low = item.spec["least"]
    for by, value in (("plumber", low), ("lead", low + 3)):
        who = Who(member=world.people[by])
        payload = {"value": value, "unit": item.spec["unit"]}
        now = timezone.now()
        answer_item(item, answer="measure", who=who, now=now, payload=payload)


def passed(world: World) -> None:
    LotPhase.objects.filter(pk=world.own.topout.pk).update(
        passed_on=day(), open_corrections=0
    )


def finished(world: World) -> None:
    world.own.lot.phases.update(passed_on=day())


def applied(world: World) -> None:
    make_listed(world)
    row = LotImport.objects.get(**world.things["import"]["own"])
    apply_import(row, who=world.own.by, now=timezone.now())


def make_listed(world: World) -> None:
    """The street that the list names, so that the list may be applied."""
    place = world.own.street
    Subdivision.objects.create(
        builder=place.builder,
        jurisdiction=place.jurisdiction,
        name="Alder Row",
        code_book="IRC",
        edition="2021",
    )


def accepted(world: World) -> None:
    row = PlanOutline.objects.get(**world.things["outline"]["own"])
    accept_outline(row, name="Ann Alder", who=world.own.by, now=timezone.now())


def fixture(world: World) -> Data:
    return {
        "room": world.own.plan.rooms.first().pk,
        "key": "sink1",
        "kind": "lavatory",
        "quantity": 1,
        "place": "wall",
        "wall": "back",
        "along_from": "left",
        "position": 5,
    }


def room(world: World) -> Data:
    return {
        **{"key": "bath2", "kind": "bath", "name_en": "Bath 2", "name_es": "Baño 2"},
        **{"floor": 1, "position": 2, "board": "1/2", "stud": "3 1/2"},
        **{"tiled": "none", "stack": "", "vent": ""},
    }


def part_there(world: World) -> Data:
    parts = ReadyPart.objects.filter(kind=world.own.trim.kind).exclude(owed_by="us")
    phase = world.own.trim.pk
    return {"phase": phase, "part": parts.first().code, "ready": "yes"}


def columns(world: World) -> Data:
    fields = ("subdivision", "lot", "block", "address")
    chosen = {f"column-{place}": field for place, field in enumerate(fields)}
    return {**chosen, "remember": "on"}


def plan(world: World) -> Data:
    facts = {f"fact_{name}": value for name, value in first_facts().items()}
    return {
        **{"builder": world.own.builder.pk, "code": "P-900", "name": "Nine hundred"},
        **{"storeys": 1, "foundation": "slab", "is_active": "on"},
        **facts,
    }


def first_facts() -> dict[str, str]:
    return {name: fact.values[0] for name, fact in catalogue_now().facts.items()}


def details(world: World) -> Data:
    return {"label": world.own.lot.label, "position": 3, "gate_code": "4711"}


def used(world: World) -> Data:
    lines = lots_file([world.own.lot]).list_of(world.own.lot).phase("topout")
    return {"phase": "topout", field_of(lines[0]): "12"}


def catalogue_cells(world: World) -> Data:
    cells = CatalogueRow.objects.get(**world.things["catalogue-row"]["own"]).cells
    cells = {**cells, "text_en": f"{cells['text_en']} Look twice."}
    return {**cells, "seen": mark_of(cells)}


def one_operation(world: World) -> Data:
    item = world.own.topout.items.filter(proof="tick").first()
    return {
        "operations": [
            {
                **{"id": str(uuid4()), "seq": 1, "kind": "note", "version": None},
                **{"member": str(world.people["plumber"].pk), "after": None},
                **{"lot": world.own.lot.pk, "target": f"item:{item.pk}"},
                **{"payload": {"text": "Moved"}, "at": timezone.now().isoformat()},
            }
        ]
    }


def outline(world: World) -> Data:
    row = PlanOutline.objects.get(**world.things["outline"]["own"])
    return {"text": row.text, "extras": row.extras, "base_version": row.version}


def release(world: World) -> Data:
    lot = world.own.lot
    return {f"lot-{lot.pk}-chosen": "on", f"lot-{lot.pk}-start": day(20)}


def sheet(world: World) -> Data:
    file = SimpleUploadedFile("a1.pdf", b"%PDF-1.4 first floor")
    return {"title": "First floor", "dated": day(), "file": file}


def lot_list(world: World) -> Data:
    file = SimpleUploadedFile("starts.csv", LIST)
    return {"builder": world.own.builder.pk, "file": file}


def one_charge(world: World) -> Data:
    charge = Charge.objects.filter(lot=world.own.lot, invoice=None).first()
    return {"charge": charge.pk, "number": "1002", "on": day()}


def person(world: World) -> Data:
    return {
        **{"name": "Rosa Lindgren", "username": "rosa", "role": "plumber"},
        **{"language": "es", "is_active": "on"},
    }


def crew(world: World) -> Data:
    return {"name": "Night crew", "skills": ["trim"], "speed": "1", "is_active": "on"}


def price(world: World, table: str) -> Data:
    shown = {
        "kind": world.own.trim.kind.pk,
        "amount": "410",
        "builder": world.own.builder.pk,
        "earned_on": "pass",
    }
    return {"table": table, **{f"{table}-{name}": v for name, v in shown.items()}}


def signed(world: World) -> Data:
    return {"amount": "85", "signer": "B. Stone", "on": day()}


def result(world: World) -> Data:
    kind = make.kind_of(world.own.lot, "topout")
    return {"kind": kind.pk, "result": RESULTS[0], "on": day(), "pays": "us"}
