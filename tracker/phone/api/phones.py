"""Letting phones in; listing and revoking them."""

import io
from typing import Any

import segno
from django.conf import settings
from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.throttling import SimpleRateThrottle

from tracker.clients import client_ip
from tracker.people.models import Device, Member
from tracker.phone import enrolment, feed, queries
from tracker.phone.api import schemas
from tracker.phone.api.base import ApiView, OfficeView, ours, problems
from tracker.phone.problems import Problem


class CodeGuesses(SimpleRateThrottle):
    """Guessing a code of 128 bits is hopeless; this keeps the noise down."""

    scope = "enrol"
    rate = "30/min"

    def get_cache_key(self, request: Request, view: Any) -> str:
        ident = client_ip(request._request)
        return self.cache_format % {"scope": self.scope, "ident": ident}


def member_doc(member: Member) -> dict[str, str]:
    return {
        "id": str(member.pk),
        "name": member.name,
        "role": member.role,
        "language": member.language,
    }


class Enrolments(ApiView):
    """A phone shows the office's code and gets its token, once."""

    authentication_classes: list[Any] = []
    permission_classes: list[Any] = []
    throttle_classes = [CodeGuesses]

    @extend_schema(
        request=schemas.EnrolmentIn,
        auth=[],
        responses={201: schemas.EnrolmentOut, **problems(400, 403, 415, 429, 503)},
    )
    def post(self, request: Request) -> Response:
        form = schemas.EnrolmentIn(data=request.data)
        form.is_valid(raise_exception=True)
        found = enrolment.enrol(
            form.validated_data["code"],
            name=form.validated_data["name"],
            now=timezone.now(),
        )
        if found is None:
            raise Problem(403, "bad_code")
        device, token = found
        return ours(
            {
                "token": token,
                "device": str(device.pk),
                "epoch": str(feed.position().epoch),
                "member": member_doc(device.member),
            },
            201,
        )


class EnrolCodes(OfficeView):
    """A code for one member's phone, as address and as QR picture."""

    @extend_schema(
        request=schemas.CodeIn,
        responses={201: schemas.CodeOut, **problems(400, 401, 403, 404, 409, 415)},
    )
    def post(self, request: Request) -> Response:
        form = schemas.CodeIn(data=request.data)
        form.is_valid(raise_exception=True)
        member = get_object_or_404(Member, pk=form.validated_data["member"])
        code = enrolment.make_code(member, made_by=request.user, now=timezone.now())
        url = enrol_url(code)
        return ours({"code": code, "url": url, "qr": qr_svg(url)}, 201)


def enrol_url(code: str) -> str:
    """The code stands behind #, so it reaches no server's log."""
    return f"{settings.PUBLIC_URL}/phone/#enrol={code}"


def qr_svg(url: str) -> str:
    out = io.BytesIO()
    segno.make(url, error="m").save(
        out, kind="svg", scale=6, xmldecl=False, title="Plumbrow"
    )
    return out.getvalue().decode()


class Devices(OfficeView):
    @extend_schema(responses={200: schemas.DevicesOut, **problems(401, 403)})
    def get(self, request: Request) -> Response:
        return ours({"devices": queries.devices()})


class OneDevice(OfficeView):
    @extend_schema(responses={204: None, **problems(401, 403, 404)})
    def delete(self, request: Request, pk: str) -> Response:
        """Revoke: what the phone still sends is set aside, not applied."""
        device = get_object_or_404(Device, pk=pk)
        enrolment.revoke(device, by=request.user, now=timezone.now())
        return Response(status=204)
