"""Lots down, operations up, and the feed."""

from datetime import timedelta
from zoneinfo import ZoneInfo

from django.http import FileResponse, Http404, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.utils.decorators import method_decorator
from django.views.decorators.gzip import gzip_page
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from phases.models import Photo, PhotoUse
from tracker.phone import feed, intake
from tracker.phone.api import schemas
from tracker.phone.api.base import PhoneView, ours, problems
from tracker.phone.api.phones import member_doc
from tracker.phone.lot_docs import lot_docs
from tracker.phone.my_days import newest_unread, plan_doc
from tracker.phone.my_lots import lots_for
from tracker.phone.queries import newest_sheet
from tracker.phone.tokens import AnyDeviceToken
from tracker.sites.models import Company, DrawingSheet, Lot


def today_here(now):
    """The contractor's own day."""
    return now.astimezone(ZoneInfo(Company.get().time_zone)).date()


@method_decorator(gzip_page, name="dispatch")
class MyLots(PhoneView):
    """Everything for today and the next three working days."""

    @extend_schema(responses={200: schemas.Lots, **problems(401, 503)})
    def get(self, request: Request) -> Response:
        today = today_here(self.now)
        # The cursor is read first: what happens meanwhile comes with the next pull.
        position = feed.position()
        sheet = newest_sheet()
        ids, until = lots_for(request.user, today=today)
        return ours(
            {
                "epoch": str(position.epoch),
                "cursor": feed.cursor_of(position, position.last_no),
                "today": today.isoformat(),
                "complete_until": until.isoformat(),
                "member": member_doc(request.user),
                "plan": plan_doc(request.user, today=today),
                "sheet": sheet,
                "now": self.now.isoformat(),
                "lots": lot_docs(ids, member=request.user, today=today),
            }
        )


@method_decorator(gzip_page, name="dispatch")
class OneLot(PhoneView):
    @extend_schema(
        operation_id="one_lot",
        responses={200: schemas.OneLot, **problems(401, 404, 503)},
    )
    def get(self, request: Request, pk: int) -> Response:
        today = today_here(self.now)
        docs = lot_docs([pk], member=request.user, today=today)
        if not docs:
            raise Http404
        return ours({"epoch": str(feed.position().epoch), "lot": docs[0]})


class Operations(PhoneView):
    """Takes a batch; each operation gets its own receipt, after commit."""

    authentication_classes = [AnyDeviceToken]

    @extend_schema(
        request=schemas.OperationsIn,
        responses={
            200: schemas.OperationsOut,
            **problems(400, 401, 413, 415, 503),
        },
    )
    def post(self, request: Request) -> Response:
        form = schemas.OperationsIn(data=request.data)
        form.is_valid(raise_exception=True)
        sent_at = form.validated_data.get("sent_at")
        skew = sent_at - self.now if sent_at else timedelta(0)
        # As sent: a form would change what the receipt's digest is over.
        bodies = request.data["operations"]
        receipts = intake.take_all(bodies, device=request.auth, now=self.now, skew=skew)
        intake.note_phone(request.auth, ops=bodies, skew=skew)
        return ours({"epoch": str(feed.position().epoch), "receipts": receipts})


class Feed(PhoneView):
    @extend_schema(
        parameters=[OpenApiParameter("cursor", OpenApiTypes.STR)],
        responses={200: schemas.FeedOut, **problems(401, 503)},
    )
    def get(self, request: Request) -> Response:
        page = feed.read_feed(
            request.query_params.get("cursor", "")[:80],
            member=request.user,
            today=today_here(self.now),
        )
        page["news"] = newest_unread(request.user)
        page["sheet"] = newest_sheet()
        page["now"] = self.now.isoformat()
        return ours(page)


class Sheet(PhoneView):
    """A drawing sheet of a plan of one of the person's lots."""

    @extend_schema(
        responses={(200, "application/pdf"): OpenApiTypes.BINARY, **problems(401, 404)}
    )
    def get(self, request: Request, pk: int) -> HttpResponseBase:
        plans = Lot.objects.visible_to(request.user).values("plan")
        sheet = get_object_or_404(DrawingSheet, pk=pk, plan__in=plans)
        return _file(sheet.file, sheet.content_type)


class Thumbnail(PhoneView):
    """A small picture of a photo that is used on one of the person's lots."""

    @extend_schema(
        responses={(200, "image/jpeg"): OpenApiTypes.BINARY, **problems(401, 404)}
    )
    def get(self, request: Request, sha: str) -> HttpResponseBase:
        lots = Lot.objects.visible_to(request.user)
        if not PhotoUse.objects.filter(photo_sha=sha, lot__in=lots).exists():
            raise Http404
        return _file(get_object_or_404(Photo, pk=sha).thumb, "image/jpeg")


def _file(file, content_type: str) -> FileResponse:
    try:
        answer = FileResponse(file.open("rb"), content_type=content_type)
    except FileNotFoundError:
        raise Http404 from None
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Content-Disposition"] = "inline"
    return answer
