"""The office's side: links made and revoked, moved dates accepted or declined."""

from collections.abc import Callable
from functools import wraps

import segno
from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_http_methods, require_POST

from phases import rules as house_rules
from tracker.errors import Refused
from tracker.status import queries, words
from tracker.status.actions.links import make_link, revoke_link
from tracker.status.actions.proposals import accept_proposal, decline_proposal
from tracker.status.forms import LinkForm
from tracker.status.models import DateProposal, Link
from tracker.status.views import reader

View = Callable[..., HttpResponse]


def office_only(view: View) -> View:
    @login_required
    @wraps(view)
    def guarded(request: HttpRequest, **more: object) -> HttpResponse:
        if house_rules.why_not_office(request.user):
            raise PermissionDenied
        return view(request, **more)

    return guarded


@office_only
@require_http_methods(["GET", "HEAD", "POST"])
def links(request: HttpRequest) -> HttpResponse:
    """The list of links; a post makes one and shows its address, this once."""
    made = None
    form = LinkForm(
        request.POST if request.method == "POST" else None,
        initial={"builder": request.GET.get("for")},
        language=reader(),
    )
    if request.method == "POST" and form.is_valid():
        try:
            made = _made(request, form.cleaned_data)
            form = LinkForm(language=reader())
        except Refused as refused:
            form.add_error(None, words.say(refused, reader()))
    status = 200 if made or request.method != "POST" else 409
    response = render(
        request,
        "status/links.html",
        {"links": queries.links(), "form": form, "made": made, "now": timezone.now()},
        status=status,
    )
    # The address of a new link stands on this page only.
    response["Cache-Control"] = "no-store"
    return response


def _made(request: HttpRequest, said: dict) -> dict:
    link, secret = make_link(
        said["builder"],
        by=request.user,
        now=timezone.now(),
        subdivision=said["subdivision"],
        superintendent=said["superintendent"],
        days=said["days"],
        note=said["note"],
    )
    path = reverse("status:page", kwargs={"secret": secret})
    address = settings.PUBLIC_URL.rstrip("/") + path
    return {"link": link, "address": address, "drawing": drawing(address)}


def drawing(address: str) -> str:
    """The address as a QR drawing, SVG text (ISO/IEC 18004, by segno)."""
    code = segno.make(address, error="m", micro=False)
    return code.svg_inline(scale=5, border=4, dark="#1c2530", light="#fff")


@office_only
@require_POST
def revocation(request: HttpRequest, pk: int) -> HttpResponse:
    revoke_link(get_object_or_404(Link, pk=pk), by=request.user, now=timezone.now())
    said = "The link is revoked. Its address answers nobody from now on."
    messages.success(request, words.text(said, reader()))
    return _back(request)


@office_only
@require_POST
def decision(request: HttpRequest, pk: object) -> HttpResponse:
    """`answer` is accept, or decline with a reason."""
    proposal = get_object_or_404(DateProposal, pk=pk)
    now = timezone.now()
    try:
        if request.POST.get("answer") == "accept":
            accept_proposal(proposal, by=request.user, now=now)
            said = "The date counts from now on. Look at the plan."
        else:
            reason = request.POST.get("reason", "")
            decline_proposal(proposal, reason=reason, by=request.user, now=now)
            said = "Declined. The superintendent reads your reason."
        messages.success(request, words.text(said, reader()))
    except Refused as refused:
        messages.error(request, words.say(refused, reader()))
    return _back(request)


def _back(request: HttpRequest) -> HttpResponse:
    """To the page that asked, if it is ours."""
    to = request.POST.get("next", "")
    if url_has_allowed_host_and_scheme(to, allowed_hosts={request.get_host()}):
        return redirect(to)
    return redirect("status:links")
