"""Errors of the REST API as problem details (RFC 9457), in both languages."""

from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import InterfaceError, OperationalError
from django.http import Http404
from rest_framework import exceptions, status
from rest_framework.response import Response

from tracker.errors import Refused
from tracker.phone.words import both

OURS = "plumbrow"
CONTENT_TYPE = "application/problem+json"
SIGN_IN = (exceptions.NotAuthenticated, exceptions.AuthenticationFailed)


class Problem(exceptions.APIException):
    """A refusal with a code of `tracker.phone.words` and further members."""

    def __init__(self, status_code: int, code: str, **members: Any) -> None:
        super().__init__(detail=code)
        self.status_code = status_code
        self.code = code
        self.members = members


def problem(status_code: int, code: str, *, detail: str = "", **members: Any):
    """A response of type application/problem+json that carries our mark."""
    said = both({"code": code, **members})
    body = {
        "type": f"urn:plumbrow:problem:{code}",
        "title": said["en"],
        "status": status_code,
        "detail": detail or said["en"],
        **said,
        **members,
        "from": OURS,
    }
    return Response(body, status=status_code, content_type=CONTENT_TYPE)


def exception_handler(error: Exception, context: dict[str, Any]) -> Response | None:
    """Turn what a view raised into problem details; None: a bug, let it be a 500."""
    headers: dict[str, str] = {}
    if isinstance(error, exceptions.APIException):
        if isinstance(error, SIGN_IN):
            headers["WWW-Authenticate"] = 'Bearer realm="plumbrow"'
        if wait := getattr(error, "wait", None):
            headers["Retry-After"] = str(int(wait) + 1)
    answer = _answer(error)
    if answer is not None:
        for name, value in headers.items():
            answer[name] = value
    return answer


def _answer(error: Exception) -> Response | None:
    if isinstance(error, Problem):
        return problem(error.status_code, error.code, **error.members)
    if isinstance(error, Refused):
        return _refused(error)
    if isinstance(error, Http404 | exceptions.NotFound):
        return problem(status.HTTP_404_NOT_FOUND, "not_found")
    if isinstance(error, SIGN_IN):
        return problem(status.HTTP_401_UNAUTHORIZED, "sign_in")
    if isinstance(error, PermissionDenied | exceptions.PermissionDenied):
        return problem(status.HTTP_403_FORBIDDEN, "not_allowed")
    if isinstance(error, exceptions.Throttled):
        return problem(status.HTTP_429_TOO_MANY_REQUESTS, "too_many_tries")
    if isinstance(error, exceptions.APIException):
        return problem(error.status_code, "bad_request", detail=str(error.detail))
    if isinstance(error, OperationalError | InterfaceError | OSError):
        # The database or the disk says no for now: the phone keeps all and comes back.
        return problem(status.HTTP_503_SERVICE_UNAVAILABLE, "server_fault")
    return None


def _refused(error: Refused) -> Response:
    said = both(error.reason)
    body = {
        "type": f"urn:plumbrow:problem:{error.code}",
        "title": said["en"],
        "status": status.HTTP_409_CONFLICT,
        "detail": said["en"],
        **said,
        "from": OURS,
    }
    return Response(body, status=409, content_type=CONTENT_TYPE)
