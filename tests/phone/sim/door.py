"""The back door: makes a world, plays the office, and tells what the server holds."""

import base64
from datetime import date, datetime, timedelta
from itertools import count
from pathlib import Path

from django.conf import settings
from django.contrib.auth import login
from django.http import JsonResponse
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt

from phases.actions import work
from phases.actions.plans import add_sheet
from phases.log import Who
from phases.models import CheckItem, Fact, ItemSpec, Photo, PhotoUse
from tests.phone import pictures_made
from tests.phone.scene import ITEMS, make_item, make_lot, make_member, make_scene
from tracker.people.models import Crew, Device, Member
from tracker.phone import views
from tracker.phone.api.sync import today_here
from tracker.phone.enrolment import hashed, make_code
from tracker.phone.models import Operation, SetAside, Upload
from tracker.planning.models import CrewNotice, PlanVersion
from tracker.sites.models import Lot, Plan, Subdivision
from tracker.status.actions.links import make_link

_numbers = count(1)


def _office() -> tuple[Subdivision, Member]:
    if not Subdivision.objects.exists():
        make_scene(day=today_here(timezone.now()))
    return Subdivision.objects.first(), Member.objects.get(role="office")


@csrf_exempt
def world(request):
    """A lot of its own, a crew of its own, three people with a phone each."""
    subdivision, office = _office()
    number = f"{Lot.objects.count()}-{next(_numbers)}"
    crew = Crew.objects.create(name=f"Crew {number}")
    lot = make_lot(subdivision, office, number)
    now = timezone.now()
    today = today_here(now)
    phase = lot.phases.get(kind__code="topout")
    work.plan_phase(
        phase, crew=crew, start=today, end=today, who=Who(member=office), now=now
    )
    items = {key: make_item(phase, key, **dict(spec)) for key, spec in ITEMS.items()}
    people = [
        make_member(f"{name}-{number}", role, crew)
        for name, role in (("Ann", "plumber"), ("Ben", "plumber"), ("Lea", "lead"))
    ]
    pictures = [
        base64.b64encode(pictures_made.jpeg(seed=seed, size=(64, 48))).decode()
        for seed in range(6)
    ]
    return JsonResponse(
        {
            "lot": lot.pk,
            "phase": phase.pk,
            "items": {key: item.pk for key, item in items.items()},
            "people": [_enrolled(person) for person in people],
            "pictures": pictures,
            "cursor": _cursor(),
        }
    )


def _cursor() -> str:
    from tracker.phone import feed

    here = feed.position()
    return feed.cursor_of(here, here.last_no)


def _enrolled(member: Member) -> dict:
    token = f"sim-{member.pk}-{Device.objects.count()}-{next(_numbers)}"
    device = Device.objects.create(
        member=member,
        name="sim",
        token_hash=hashed(token),
        enrolled_at=timezone.now(),
    )
    return {
        "id": str(member.pk),
        "name": member.name,
        "role": member.role,
        "token": token,
        "device": str(device.pk),
    }


@csrf_exempt
def enrol(request):
    return JsonResponse(_enrolled(Member.objects.get(pk=request.GET["member"])))


def session(request):
    """A session of the office, as signing in would give it."""
    _, office = _office()
    login(request, office, backend="django.contrib.auth.backends.ModelBackend")
    request.session.save()
    return JsonResponse({"session": request.session.session_key})


def link(request):
    """The secret of a builder's link, made as the office makes it."""
    subdivision, office = _office()
    _, secret = make_link(subdivision.builder, by=office, now=timezone.now())
    return JsonResponse({"secret": secret})


def code(request):
    """An enrolment code, as the office would make it."""
    _, office = _office()
    member = Member.objects.get(pk=request.GET["member"])
    return JsonResponse({"code": make_code(member, made_by=office, now=timezone.now())})


@csrf_exempt
def office(request):
    """remove or change an item; tell a crew of a changed day; put out a release or
    a drawing; revoke, expire or disable a person's phones."""
    act, now = request.GET["act"], timezone.now()
    if act == "remove":
        CheckItem.objects.filter(pk=request.GET["item"]).update(removed_at=now)
    elif act == "change":
        item = CheckItem.objects.get(pk=request.GET["item"])
        item.version += 1
        item.spec = {**item.spec, "text_en": f"changed {item.version}"}
        item.save()
        ItemSpec.objects.create(item=item, version=item.version, spec=item.spec)
    elif act == "sheet":
        _sheet(Lot.objects.get(pk=request.GET["lot"]), request.GET["dated"])
    elif act == "release":
        views.release = lambda: request.GET["name"]
    elif act == "notify":
        _notify(Lot.objects.get(pk=request.GET["lot"]), now)
    else:
        devices = Device.objects.filter(member=request.GET["member"])
        if act == "revoke":
            devices.update(revoked_at=now)
        elif act == "expire":
            for device in devices:
                device.token_hash = hashed(f"gone {device.token_hash}")
                device.save(update_fields=["token_hash"])
        elif act == "disable":
            Member.objects.filter(pk=request.GET["member"]).update(is_active=False)
    return JsonResponse({"done": act})


def _notify(lot: Lot, now: datetime) -> None:
    """A published plan moves the lot's top out from yesterday to today."""
    phase = lot.phases.get(kind__code="topout")
    number = PlanVersion.objects.count() + 1
    version = PlanVersion.objects.create(
        status=PlanVersion.SUPERSEDED,
        number=number,
        day0=phase.planned_start,
        until=phase.planned_start,
        problem={},
        keys={},
        made_at=now,
        published_at=now,
    )
    before = phase.planned_start - timedelta(days=1)
    was, told = (
        {"crew": phase.crew_id, "start": day.isoformat(), "half": 0}
        for day in (before, phase.planned_start)
    )
    change = {"lot": lot.label, "lot_pk": lot.pk, "phase": "topout"}
    CrewNotice.objects.create(
        version=version,
        crew=phase.crew,
        changes=[{**change, "was": was, "now": told}],
        first_day=before,
        made_at=now,
    )


def _sheet(lot: Lot, dated: str) -> None:
    """A drawing of the lot's plan, as the office uploads it."""
    if lot.plan is None:
        builder = lot.subdivision.builder
        lot.plan = Plan.objects.create(builder=builder, code=f"Plan {lot.label}")
        lot.save(update_fields=["plan"])
    data = pictures_made.jpeg(seed=int(dated[-2:]), size=(320, 240))
    add_sheet(
        lot.plan,
        title="Plumbing",
        dated=date.fromisoformat(dated),
        name="plumbing.jpg",
        data=data,
        content_type="image/jpeg",
        sha256=pictures_made.sha(data),
        who=Who(member=Member.objects.get(role="office")),
    )


def truth(request):
    """Everything the server holds of one lot and the phones of these people."""
    lot = request.GET["lot"]
    people = request.GET["people"].split(",")
    facts = Fact.objects.filter(lot=lot).order_by("no")
    return JsonResponse(
        {
            "operations": {
                str(row.pk): [row.result, row.reason.get("code", ""), row.sha256]
                for row in Operation.objects.filter(device__member__in=people)
            },
            "aside": [
                row.body.get("id")
                for row in SetAside.objects.filter(device__member__in=people)
            ],
            "facts": [
                {
                    "no": fact.no,
                    "op": str(fact.op) if fact.op else None,
                    "kind": fact.kind,
                    "item": fact.item_id,
                    "by": str(fact.by_id),
                    "seq": fact.device_seq,
                    "device": str(fact.device_id),
                    "behind": (fact.recorded_at - fact.happened_at).total_seconds(),
                    "payload": fact.payload,
                }
                for fact in facts
            ],
            "items": {
                str(item.pk): [item.state, item.answer.get("value")]
                for item in CheckItem.objects.filter(lot_phase__lot=lot)
            },
            "photos": list(
                Photo.objects.filter(sent_by__in=people).values_list(
                    "sha256", flat=True
                )
            ),
            "uses": [
                [use.photo_sha, use.item_id] for use in PhotoUse.objects.filter(lot=lot)
            ],
            "notices": [
                [row.pk, row.seen_by]
                for row in CrewNotice.objects.filter(crew__members__in=people)
                .distinct()
                .order_by("pk")
            ],
            "half": _half(people),
        }
    )


def _half(people: list[str]) -> list[str]:
    """Rows that speak of a file that is not there, or not whole."""
    media = Path(settings.MEDIA_ROOT)
    bad = []
    for photo in Photo.objects.filter(sent_by__in=people):
        for name in (photo.file.name, photo.thumb.name):
            path = media / name
            if not path.exists() or not path.read_bytes().endswith(b"\xff\xd9"):
                bad.append(name)
    for upload in Upload.objects.filter(state=Upload.OPEN, device__member__in=people):
        path = media / "uploads" / upload.pk[:2] / f"{upload.pk}.part"
        if upload.offset and path.stat().st_size < upload.offset:
            bad.append(upload.pk)
    return bad
