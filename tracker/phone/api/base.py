"""What every view of the API shares: our mark, problem details, who asks."""

from collections.abc import Callable
from typing import Any

from django.utils import timezone
from rest_framework import serializers, status
from rest_framework.authentication import SessionAuthentication
from rest_framework.exceptions import NotFound
from rest_framework.negotiation import DefaultContentNegotiation
from rest_framework.renderers import JSONRenderer
from rest_framework.response import Response
from rest_framework.views import APIView

from tracker.people.models import Device
from tracker.phone.problems import OURS, exception_handler
from tracker.phone.tokens import DeviceToken, IsDevice, IsOffice, seen


class ProblemSerializer(serializers.Serializer):
    """Problem details (RFC 9457); `en` and `es` say the same as `title`."""

    type = serializers.CharField()
    title = serializers.CharField()
    status = serializers.IntegerField()
    detail = serializers.CharField()
    code = serializers.CharField()
    en = serializers.CharField()
    es = serializers.CharField()


# For @extend_schema: every operation may answer these.
PROBLEMS = {
    (code, "application/problem+json"): ProblemSerializer
    for code in (400, 401, 403, 404, 405, 406, 409, 413, 415, 422, 429, 503)
}


def problems(*codes: int) -> dict[Any, Any]:
    return {
        key: value for key, value in PROBLEMS.items() if key[0] in {*codes, 405, 406}
    }


class OnlyJson(DefaultContentNegotiation):
    """We speak JSON; a phone behind an odd proxy is answered whatever it accepts."""

    def select_renderer(self, request: Any, renderers: Any, format_suffix: Any = None):
        return renderers[0], renderers[0].media_type


class ApiView(APIView):
    """JSON in and out, errors as problem details, nothing kept by any cache."""

    renderer_classes = [JSONRenderer]
    content_negotiation_class = OnlyJson

    def get_exception_handler(self) -> Callable[..., Response | None]:
        return exception_handler

    def finalize_response(self, request: Any, response: Any, *args: Any, **more: Any):
        response = super().finalize_response(request, response, *args, **more)
        response["Cache-Control"] = "no-store"
        return response


class Missing(ApiView):
    """An address below the API's that there is not."""

    authentication_classes: list[Any] = []
    permission_classes: list[Any] = []
    schema = None

    def initial(self, request: Any, *args: Any, **kwargs: Any) -> None:
        raise NotFound


class PhoneView(ApiView):
    """For phones, by their token."""

    authentication_classes = [DeviceToken]
    permission_classes = [IsDevice]

    def initial(self, request: Any, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        self.now = timezone.now()
        if isinstance(request.auth, Device):
            seen(
                request.auth,
                waiting=request.headers.get("X-Waiting", "")[:8],
                page_version=request.headers.get("X-Page", ""),
            )


class OfficeView(ApiView):
    """For office and owner, by their session."""

    authentication_classes = [SessionAuthentication]
    permission_classes = [IsOffice]


def ours(body: dict[str, Any], status_code: int = status.HTTP_200_OK) -> Response:
    """An answer that carries our mark, so that no other page is taken for it."""
    return Response({"from": OURS, **body}, status=status_code)
