"""One of everything twice: on a lot of our crew and on a lot of another crew.

What must not be seen is made first, with files behind the photos and sheets, so that
an open door would show it. `things[kind]` gives the address's arguments of `own`,
`other` and `missing` objects.
"""

from dataclasses import dataclass, field
from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.utils import timezone

from inspections.calendar import make_link as make_feed
from inspections.models import VisitFee, WalkHint
from phases.actions.outlines import keep_guess
from phases.models import (
    CatalogueRow,
    Charge,
    DrawTerm,
    Invoice,
    PieceRate,
    PlanOutline,
    ReadyPart,
)
from phases.sizing.tables import Book
from tests import factories as make
from tests.access.ahead import draft_of, notice, rain, standing_pin, waiting_run
from tests.access.house import House
from tracker.desk.imports.actions import receive_list
from tracker.people.models import CrewDayOff, Device, Member
from tracker.phone.enrolment import hashed, make_code
from tracker.phone.models import SetAside
from tracker.planning.models import PlanVersion
from tracker.status.actions.links import make_link
from tracker.status.models import DateProposal

NO_PK = 9_000_001
NO_UUID = UUID(int=1)
NO_SHA = "0" * 64
LIST = b"Subdivision,Lot,Block,Address\nAlder Row,41,6,12 Alder Row\n"
Things = dict[str, dict[str, dict[str, Any]]]


@dataclass
class World:
    own: House
    other: House
    people: dict[str, Member]
    tokens: dict[str, str]
    secrets: dict[str, str]
    ready_part: str
    things: Things = field(default_factory=dict)


def make_world() -> World:
    other, own = House(200), House(100)
    people = _people(own)
    part = ReadyPart.objects.filter(kind=own.topout.kind, owed_by="builder").first()
    world = World(own, other, people, _tokens(people), _secrets(own), part.code)
    for kind, at in own.things().items():
        world.things[kind] = {
            "own": at,
            "other": other.things()[kind],
            "missing": astray(at),
        }
    for kind, at in _office_things(world).items():
        world.things[kind] = {"own": at, "missing": astray(at)}
    world.things["plan-part"] = _plan_parts(own, other)
    world.things["setting"]["missing"] = {"slug": "nothing"}
    world.things["notice"] = _notices(world, own, other)
    pin = standing_pin(own, timezone.now())
    world.things["pin"] = {"own": {"pk": pin}, "missing": {"pk": NO_PK}}
    world.things["rain"] = {"own": {"day": rain(own, timezone.now())}}
    off = CrewDayOff.objects.create(crew=own.crew, date=timezone.localdate())
    world.things["day off"] = {"own": {"pk": off.pk}, "missing": {"pk": NO_PK}}
    world.things["upload"] = {"own": {"sha": NO_SHA}}
    world.things["file"] = {"own": {"kind": "csv"}}
    world.things[""] = {"own": {}}
    return world


def astray(at: dict[str, Any]) -> dict[str, Any]:
    """The same address with a key that nothing has."""
    none = {"pk": NO_PK, "sha": NO_SHA, "token": "x" * 43}
    if isinstance(at.get("pk"), UUID):
        none["pk"] = NO_UUID
    return {**at, **{name: none[name] for name in at.keys() & none.keys()}}


def _people(own: House) -> dict[str, Member]:
    people = {
        role: make.make_member(role, crew=own.crew if role in CREW else None)
        for role in ("plumber", "lead", "office", "owner")
    }
    # Signed in once, and let go since.
    people["left"] = make.make_member("owner", is_active=False)
    return people


CREW = ("plumber", "lead")


def _tokens(people: dict[str, Member]) -> dict[str, str]:
    now = timezone.now()
    for token, shut in (("phone", None), ("shut phone", now)):
        Device.objects.create(
            member=people["plumber"],
            name=token,
            token_hash=hashed(token),
            enrolled_at=now,
            revoked_at=shut,
        )
    return {name: name for name in ("phone", "shut phone")}


def _secrets(own: House) -> dict[str, str]:
    """Secrets of links by what they are; `unknown` never was one."""
    now = timezone.now()
    long_ago = now - timedelta(days=60)
    elsewhere = make.make_subdivision(own.builder)

    def link(**more: Any) -> tuple[Any, str]:
        return make_link(own.builder, by=own.office, **{"now": now, **more})

    revoked, secret = link()
    revoked.revoked_at, revoked.revoked_by = now, own.office
    revoked.save()
    gone = make.make_superintendent(own.builder)
    personal_of_gone = link(superintendent=gone)[1]
    gone.is_active = False
    gone.save()
    return {
        "shared link": link()[1],
        "personal link": link(superintendent=own.superintendent)[1],
        "link of another street": link(subdivision=elsewhere)[1],
        "revoked link": secret,
        "link out of date": link(now=long_ago, days=30)[1],
        "link of one who left": personal_of_gone,
        "unknown link": "x" * 43,
    }


def _plan_parts(own: House, other: House) -> dict[str, dict[str, Any]]:
    """`other` is a part of another plan, asked for below this one."""
    at = {"pk": own.plan.pk, "what": "fixtures"}
    return {
        "own": {**at, "part_pk": own.plan.fixtures.first().pk},
        "other": {**at, "part_pk": other.plan.fixtures.first().pk},
        "missing": {**at, "part_pk": NO_PK},
    }


def _notices(world: World, own: House, other: House) -> dict[str, dict[str, Any]]:
    now = timezone.now()
    draft = PlanVersion.objects.get(**world.things["draft"]["own"])
    return {
        "own": {"pk": notice(draft, own, now).pk},
        "other": {"pk": notice(draft, other, now).pk},
        "missing": {"pk": NO_PK},
    }


def _office_things(world: World) -> dict[str, dict[str, Any]]:
    own, now = world.own, timezone.now()
    fee = VisitFee.objects.create(
        lot=own.lot,
        jurisdiction=own.street.jurisdiction,
        reason="failed",
        amount=Decimal(60),
        charged_on=now.date(),
        noted_by=own.office.name,
    )
    hint = WalkHint.objects.create(
        phase_kind=own.topout.kind,
        demand="closet/flange",
        text_en="Flange",
        text_es="Brida",
        offered_at=now,
    )
    proposal = DateProposal.objects.create(
        lot=own.lot,
        lot_phase=own.topout,
        job=own.topout,
        what="ready",
        date=now.date(),
        superintendent=own.superintendent,
        made_at=now,
    )
    aside = SetAside.objects.create(
        device=Device.objects.get(name="phone"),
        digest="d",
        text='{"kind": "tick"}',
        reason={"code": "bad_operation"},
        set_aside_at=now,
    )
    link, _ = make_link(own.builder, by=own.office, now=now)
    _outline(world.other)  # without one there is no list of material
    draft = draft_of(own, now)
    feed, token = make_feed(who=own.by, now=now, crew=own.crew)
    rows = {
        "measure": own.topout.items.filter(proof="measure").first(),
        "draft": draft,
        "run": waiting_run(draft_of(own, now), own, now),
        "feed": feed,
        "outline": _outline(own),
        "plan": own.plan,
        "member": world.people["plumber"],
        "crew": own.crew,
        "builder": own.builder,
        "catalogue-row": CatalogueRow.objects.filter(table="demands").first(),
        "device": Device.objects.get(name="phone"),
        "import": _import(own),
        "fee": fee,
        "hint": hint,
        "proposal": proposal,
        "set-aside": aside,
        "link": link,
        **_money(own),
    }
    plan = {"pk": own.plan.pk}
    return {
        **{kind: {"pk": row.pk} for kind, row in rows.items()},
        "calendar": {"token": token},
        "plan-parts": {**plan, "what": "rooms"},
        "plan file": {**plan, "kind": "csv"},
        "plan diagram": {**plan, "system": "drain"},
        "setting": {"slug": "builders"},
        "setting row": {"slug": "builders", "pk": own.builder.pk},
    }


def _outline(own: House) -> PlanOutline:
    book = Book("IRC", 2021)
    return keep_guess(own.plan, (), book=book, who=own.by, now=timezone.now())


def _import(own: House) -> Any:
    return receive_list(
        LIST,
        file_name="list.csv",
        builder=own.builder,
        who=own.by,
        now=timezone.now(),
    )


def _money(own: House) -> dict[str, Any]:
    now = timezone.now()
    kind = own.topout.kind
    Charge.objects.create(
        lot=own.lot,
        sort=Charge.EXTRA,
        text="Second sink",
        amount=Decimal(120),
        earned_on=now.date(),
        made_by=own.office.name,
        made_at=now,
    )
    return {
        "invoice": Invoice.objects.create(
            builder=own.builder,
            number="1001",
            date=now.date(),
            made_by=own.office.name,
            made_at=now,
        ),
        "draw": DrawTerm.objects.create(
            builder=own.builder, kind=kind, amount=Decimal(900)
        ),
        "piece": PieceRate.objects.create(kind=kind, amount=Decimal(200)),
    }


def enrol_code(world: World, role: str) -> str:
    """A code by which a phone of this person is let in."""
    now, office = timezone.now(), world.people["office"]
    return make_code(world.people[role], made_by=office, now=now)
