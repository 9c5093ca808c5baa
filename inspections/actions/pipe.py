"""Tests on the pipe: put up, read, photographed, disturbed, taken down."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any
from uuid import UUID, uuid4

from inspections.models import Forecast, PipeTest
from inspections.pipe_state import FACT, READ, judged, refresh_tests
from inspections.pipe_tests import TestRecord
from inspections.pipe_tests.records import BadReading
from inspections.pipe_tests.verdicts import FAIL, as_one, because
from phases.log import Log, Who, writing
from phases.models import CheckItem, ItemSpec, LotPhase, PhotoUse
from phases.rules import check, why_not_lead, why_not_work
from tracker.errors import Refused
from tracker.sites.models import Subdivision

EVENTS = ("lost_pressure", "disturbed", "inspected")
# A test that may not be made at all, whatever its readings.
NEVER_TOPICS = ("office", "medium", "plastic")
PLACES = {"gas": "gas piping", "dwv": "drains", "water_supply": "water piping"}


def _record(system: str, medium: str, readings: Mapping[str, Any]) -> TestRecord:
    try:
        return TestRecord(system=system, medium=medium, **readings)
    except BadReading as wrong:
        raise Refused("bad_reading", why=wrong.reason) from None
    except TypeError:
        raise Refused("bad_reading", why=because("unknown_reading")) from None


def why_not_test(phase: LotPhase, record: TestRecord) -> Refused | None:
    """A medium that the book or the office refuses, said with the caution."""
    verdict = judged(phase.lot, record)
    for found in verdict.checks:
        if found.topic in NEVER_TOPICS and found.outcome == FAIL:
            return Refused(
                "test_refused",
                why=found.reason,
                source=f" ({found.provenance})" if found.provenance else "",
                caution=as_one(verdict.cautions),
            )
    return None


def put_up_test(
    phase: LotPhase,
    *,
    system: str,
    medium: str,
    material: str,
    who: Who,
    now: datetime,
    readings: Mapping[str, Any] | None = None,
    photo: str = "",
    id: UUID | None = None,
) -> PipeTest:
    """The test is up: what with, on what, what the gauge shows.

    `readings` are fields of TestRecord. Raises Refused for a reading that cannot be,
    and for a test that the code book or the office refuses.
    """
    check(why_not_work(who.member))
    given = {**(readings or {}), "material": material}
    check(why_not_test(phase, _record(system, medium, given)))
    given.pop("material")
    with writing(now=now) as log:
        test = id or uuid4()
        first = not _standing(phase)
        _append(
            log,
            phase,
            test,
            "put_up",
            who,
            system=system,
            medium=medium,
            material=material,
            readings=given,
        )
        if photo:
            _append(log, phase, test, "photo", _plain(who), photo=photo)
        if first:
            log.append(
                "on_test", lot=phase.lot, phase=phase, who=_plain(who), system=system
            )
        return _derived(phase, test)


def read_test(
    test: PipeTest, *, readings: Mapping[str, Any], who: Who, now: datetime
) -> PipeTest:
    """What gauge and thermometer show later; the verdict is made again."""
    check(why_not_work(who.member))
    given = {key: value for key, value in readings.items() if key != "material"}
    _record(test.system, test.medium, {**test.readings, **given})
    return _event(test, READ, who=who, now=now, readings=given)


def photograph_test(test: PipeTest, *, photo: str, who: Who, now: datetime) -> PipeTest:
    check(why_not_work(who.member))
    if len(photo) != 64:
        raise Refused("photo_missing")
    return _event(test, "photo", who=who, now=now, photo=photo)


def note_test(test: PipeTest, *, event: str, who: Who, now: datetime) -> PipeTest:
    """It lost pressure, was disturbed, or the inspector saw it."""
    check(why_not_work(who.member))
    if event not in EVENTS:
        raise Refused("unknown_kind", value=event)
    return _event(test, event, who=who, now=now)


def take_down_test(
    test: PipeTest, *, who: Who, now: datetime, caps_left: int = 0
) -> PipeTest:
    """The test comes down; caps and plugs left in become an item of the trim."""
    check(why_not_work(who.member))
    if not 0 <= caps_left <= 200:
        raise Refused("bad_value", field="caps", value=caps_left)
    if not test.is_up:
        raise Refused("already_closed")
    return _event(test, "taken_down", who=who, now=now, caps=caps_left)


def _event(
    test: PipeTest, event: str, *, who: Who, now: datetime, **payload: Any
) -> PipeTest:
    phase = _phase(test.lot_phase_id)
    with writing(now=now) as log:
        _append(log, phase, test.pk, event, who, **payload)
        if event == "taken_down" and payload["caps"]:
            _cap_item(log, phase, test, payload["caps"], _plain(who))
        made = _derived(phase, test.pk)
        gone = event in ("taken_down", "lost_pressure", "disturbed")
        if gone and not _standing(phase):
            words = event.replace("_", " ")
            log.append(
                "off_test", lot=phase.lot, phase=phase, who=_plain(who), reason=words
            )
        return made


def _phase(pk: int) -> LotPhase:
    return LotPhase.objects.select_related("lot__subdivision__jurisdiction").get(pk=pk)


def _standing(phase: LotPhase) -> bool:
    return PipeTest.objects.filter(lot_phase=phase, is_up=True, test_again="").exists()


def _derived(phase: LotPhase, test: UUID) -> PipeTest:
    tests = refresh_tests(_phase(phase.pk))
    return next(row for row in tests if str(row.pk) == str(test))


def _append(
    log: Log, phase: LotPhase, test: UUID, event: str, who: Who, **payload: Any
) -> None:
    fact = log.append(
        FACT,
        lot=phase.lot,
        phase=phase,
        who=who,
        test=str(test),
        event=event,
        **payload,
    )
    if payload.get("photo"):
        PhotoUse.objects.create(photo_sha=payload["photo"], lot=phase.lot, fact=fact)


def append_inspected(log: Log, phase: LotPhase, *, systems: set[str], who: Who) -> None:
    """The inspector was there: tests of these systems that are up have been seen."""
    seen = PipeTest.objects.filter(lot_phase=phase, is_up=True, system__in=systems)
    for test in seen:
        _append(log, phase, test.pk, "inspected", who)
        refresh_tests(_phase(phase.pk))


def _plain(who: Who) -> Who:
    # An op id marks one fact only; the further ones of the same act carry none.
    return Who(member=who.member, device=who.device, happened_at=who.happened_at)


def _cap_item(log: Log, phase: LotPhase, test: PipeTest, caps: int, who: Who) -> None:
    last = phase.lot.phases.order_by("-position").first()
    trim = phase.lot.phases.filter(kind__code="trim").first() or last
    words = test.system.replace("_", " ")
    spec = {
        "text_en": f"Clear {caps} test caps or plugs ({words})",
        "text_es": f"Quitar {caps} tapones de prueba ({words})",
        "room_en": "Whole house",
        "room_es": "Toda la casa",
        "fixture": "",
        "kind": "",
        "outlet": "",
        "systems": [],
        "quantity": caps,
        "unit": "",
        "least": None,
        "most": None,
        "from_list": False,
    }
    item, made = CheckItem.objects.get_or_create(
        lot_phase=trim,
        key=f"caps/{test.pk}",
        defaults={"concealed": False, "spec": spec},
    )
    if made:
        ItemSpec.objects.create(item=item, version=1, spec=spec)
        log.append("item_added", lot=phase.lot, phase=trim, item=item, who=who)


def say_forecast(
    subdivision: Subdivision, *, on: date, low_f: float, who: Who, now: datetime
) -> Forecast:
    """The coldest hour forecast for a day, typed in or read from a file."""
    check(why_not_lead(who.member))
    if not -80 <= low_f <= 140:
        raise Refused("bad_value", field="low", value=low_f)
    forecast, _ = Forecast.objects.update_or_create(
        subdivision=subdivision,
        on=on,
        defaults={"low_f": low_f, "said_by": who.name, "said_at": now},
    )
    return forecast
