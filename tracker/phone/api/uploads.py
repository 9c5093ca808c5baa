"""Photos in chunks. Everything is in the address and the body, since proxies lose
headers; the headers that resumable uploads usually carry are understood as well."""

import re
from datetime import datetime
from typing import Any

from django.utils.dateparse import parse_datetime
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.exceptions import ParseError
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response

from tracker.phone import uploads
from tracker.phone.api import schemas
from tracker.phone.api.base import PhoneView, ours, problems
from tracker.phone.problems import Problem
from tracker.phone.tokens import AnyDeviceToken

_SHA = re.compile(r"[0-9a-f]{64}\Z")


class Bytes(BaseParser):
    """The body as it came, whatever type a phone says it has."""

    media_type = "application/octet-stream"

    def parse(self, stream: Any, media_type: Any = None, context: Any = None) -> bytes:
        return stream.read(uploads.MOST_CHUNK + 1)


class AnyBytes(Bytes):
    media_type = "*/*"


def query(name: str, kind: Any, **more: Any) -> OpenApiParameter:
    return OpenApiParameter(name, kind, **more)


class OneUpload(PhoneView):
    """A photo on its way in. A revoked phone may still deliver: it is set aside."""

    authentication_classes = [AnyDeviceToken]
    parser_classes = [Bytes, AnyBytes]

    @extend_schema(
        parameters=[
            query("fresh", OpenApiTypes.STR),
            query("length", OpenApiTypes.INT),
        ],
        responses={200: schemas.UploadOut, **problems(401, 404, 503)},
    )
    def get(self, request: Request, sha: str) -> Response:
        """How much of the photo is here; `fresh` keeps caches from answering."""
        status = uploads.status_of(sha)
        return _with_headers(ours(status), status)

    @extend_schema(
        operation_id="uploads_head",
        responses={200: None, **problems(401, 404, 503)},
        methods=["HEAD"],
    )
    def head(self, request: Request, sha: str) -> Response:
        status = uploads.status_of(sha)
        return _with_headers(Response(status=200), status)

    @extend_schema(
        parameters=[
            query("offset", OpenApiTypes.INT, required=True),
            query("length", OpenApiTypes.INT, required=True),
            query(
                "chunk",
                OpenApiTypes.STR,
                required=True,
                description="SHA-256 of the chunk as 64 hex digits.",
            ),
            query("taken", OpenApiTypes.STR),
            query("type", OpenApiTypes.STR),
        ],
        request={"application/octet-stream": OpenApiTypes.BINARY},
        responses={
            200: schemas.UploadOut,
            **problems(400, 401, 404, 409, 413, 422, 429, 503),
        },
    )
    def patch(self, request: Request, sha: str) -> Response:
        """Add a chunk. 409: another place or connection; 422: damaged, not taken."""
        status = uploads.receive(
            sha, _chunk(request), device=request.auth, now=self.now
        )
        return _with_headers(ours(status), status)


def _chunk(request: Request) -> uploads.Chunk:
    length_said = request.META.get("CONTENT_LENGTH") or "0"
    if length_said.isdigit() and int(length_said) > uploads.MOST_CHUNK:
        raise Problem(413, "too_large")
    # The body first: a connection cut on its way raises here, before anything is kept.
    data = request.data
    if not isinstance(data, bytes):
        data = b""
    asked = request.query_params
    sha = asked.get("chunk", "")
    if not _SHA.match(sha):
        raise ParseError("chunk must be 64 hex digits.")
    if length_said.isdigit() and int(length_said) != len(data):
        raise Problem(422, "chunk_corrupt")
    return uploads.Chunk(
        offset=_number(asked.get("offset"), "offset"),
        length=_number(asked.get("length"), "length"),
        sha256=sha,
        data=data,
        taken_at=_moment(asked.get("taken", "")),
    )


def _number(text: str | None, name: str) -> int:
    if not text or not text.isascii() or not text.isdigit() or len(text) > 12:
        raise ParseError(f"{name} must be a whole number.")
    return int(text)


def _moment(text: str) -> datetime | None:
    try:
        found = parse_datetime(text)
    except ValueError:
        return None
    return found if found and found.tzinfo else None


def _with_headers(answer: Response, status: dict[str, Any]) -> Response:
    answer["Upload-Offset"] = str(status["offset"])
    if status["length"] is not None:
        answer["Upload-Length"] = str(status["length"])
    return answer
