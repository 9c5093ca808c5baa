"""A lot with everything that can hang on it."""

import io
from dataclasses import replace
from datetime import timedelta
from typing import Any
from uuid import uuid4

from django.core.files.base import ContentFile
from django.utils import timezone
from PIL import Image

from inspections.actions import put_up_test
from inspections.models import InspectionRequest
from phases.actions.corrections import Finding, open_correction
from phases.actions.entries import answer_item, photo_arrived
from phases.actions.holds import set_hold
from phases.actions.work import plan_phase
from phases.log import Who
from phases.models import LotPhase, Photo
from tests import factories as make
from tracker.sites.models import DrawingSheet


def picture(shade: int) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (64, 48), (shade, 90, 120)).save(out, "JPEG")
    return out.getvalue()


class House:
    """A lot with everything that can hang on it, built by one crew."""

    def __init__(self, shade: int) -> None:
        self.now = timezone.now()
        self.office = make.make_member("office")
        self.by = Who(member=self.office)
        self.crew = make.make_crew()
        self.builder = make.make_builder()
        self.superintendent = make.make_superintendent(self.builder)
        self.street = make.make_subdivision(self.builder, time_zone="UTC")
        self.plan = make.make_plan(self.builder, fixtures=("closet", "lavatory"))
        self.option = make.make_option(self.plan, fixtures=("tub",))
        self.lot = make.make_lot(self.street, self.plan, by=self.office, now=self.now)
        self.topout = self._planned("topout", days=1)
        self.trim = make.phase_of(self.lot, "trim")
        self.photo = self._photo(shade)
        self.sheet = self._sheet()
        self.hold = set_hold(
            self.lot, text="No power", owed_by="builder", who=self.by, now=self.now
        )
        self.correction = self._correction("Drain knocked loose")
        self.change = self._correction("Second sink", source="change", billable=True)
        self.call = self._call()
        self.test = put_up_test(
            self.topout,
            system="dwv",
            medium="water",
            material="pvc",
            who=self.by,
            now=self.now,
            readings={},
        )

    def _planned(self, code: str, *, days: int) -> LotPhase:
        day = (self.now + timedelta(days=days)).date()
        phase = make.phase_of(self.lot, code)
        plan_phase(phase, crew=self.crew, start=day, end=day, who=self.by, now=self.now)
        return make.phase_of(self.lot, code)

    def _photo(self, shade: int) -> str:
        self.item = self.topout.items.filter(photos_needed__gt=0).first()
        sha, self.op = f"{shade:064x}", uuid4()
        by = replace(self.by, op=self.op)
        payload = {"sha": sha}
        answer_item(self.item, answer="photo", who=by, now=self.now, payload=payload)
        row = Photo(
            sha256=sha, width=64, height=48, bytes_received=9, received_at=self.now
        )
        row.file.save(f"{sha[-8:]}.jpg", ContentFile(picture(shade)), save=False)
        row.thumb.save(f"{sha[-8:]}.jpg", ContentFile(picture(shade)), save=False)
        row.save()
        photo_arrived(sha, now=self.now)
        return sha

    def _sheet(self) -> DrawingSheet:
        row = DrawingSheet(
            plan=self.plan,
            title="First floor",
            dated=self.now.date(),
            content_type="application/pdf",
            sha256=f"{self.plan.pk:064x}",
        )
        row.file.save("sheet.pdf", ContentFile(b"%PDF-1.4 a sheet"), save=False)
        row.save()
        return row

    def _correction(self, text: str, **more: Any) -> Any:
        finding = Finding(text=text, phase=self.topout, **more)
        return open_correction(self.lot, finding, who=self.by, now=self.now)

    def _call(self) -> InspectionRequest:
        return InspectionRequest.objects.create(
            lot=self.lot,
            kind=make.kind_of(self.lot, "topout"),
            for_date=(self.now + timedelta(days=2)).date(),
            asked_at=self.now,
            asked_by=self.office.name,
            changed_at=self.now,
        )

    def things(self) -> dict[str, dict[str, Any]]:
        return {
            "lot": {"pk": self.lot.pk},
            "street": {"pk": self.street.pk},
            "phase": {"pk": self.topout.pk},
            "hold": {"pk": self.hold.pk},
            "correction": {"pk": self.correction.pk},
            "change": {"pk": self.change.pk},
            "call": {"pk": self.call.pk},
            "photo": {"sha": self.photo},
            "sheet": {"pk": self.sheet.pk},
            "item": {"pk": self.item.pk},
            "test": {"pk": self.test.pk},
            "lot file": {"pk": self.lot.pk, "kind": "csv"},
            "lot phase": {"pk": self.lot.pk, "phase": "topout"},
        }
