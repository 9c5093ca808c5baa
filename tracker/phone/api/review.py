"""What was set aside, for the office to settle."""

from django.http import Http404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from tracker.phone import queries
from tracker.phone.api import schemas
from tracker.phone.api.base import OfficeView, ours, problems
from tracker.phone.models import SetAside


class SetAsides(OfficeView):
    @extend_schema(responses={200: schemas.SetAsideList, **problems(401, 403)})
    def get(self, request: Request) -> Response:
        return ours({"waiting": queries.set_aside()})


class Settlement(OfficeView):
    """POST settles one: the words say how. The operation itself stays for ever."""

    @extend_schema(
        request=schemas.SettleIn,
        responses={204: None, **problems(400, 401, 403, 404, 415)},
    )
    def post(self, request: Request, pk: int) -> Response:
        form = schemas.SettleIn(data=request.data)
        form.is_valid(raise_exception=True)
        # Claim before acting: two people may settle the same one.
        moved = SetAside.objects.filter(pk=pk, settled_at=None).update(
            settled_at=timezone.now(),
            settled_by=request.user,
            settled_how=form.validated_data["how"],
        )
        if not moved:
            raise Http404
        return Response(status=204)
