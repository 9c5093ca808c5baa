"""People: members, crews, and the phones that were let in."""

from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from tracker.desk.access import office
from tracker.desk.doing import act
from tracker.desk.people import forms, queries
from tracker.people.actions import save_crew, save_member
from tracker.people.models import Crew, Member
from tracker.people.rules import why_not_manage


@office
@require_GET
def people(request: HttpRequest) -> HttpResponse:
    return render(
        request,
        "desk/people.html",
        {"crews": queries.by_crew(), "phones": queries.phones()},
    )


@office
@require_http_methods(["GET", "POST"])
def member(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """A new member, or one to change."""
    row = get_object_or_404(Member, pk=pk) if pk else None
    shut = why_not_manage(request.user, row) if row else None
    form = forms.MemberForm(request.POST or None, instance=row, by=request.user)

    def action(now: datetime) -> None:
        save_member(
            form.save(commit=False),
            by=request.user,
            password=form.cleaned_data["password"],
        )

    if request.method == "POST" and act(request, form, action):
        return redirect("desk:people")
    return render(
        request,
        "desk/member.html",
        {"form": form, "member": row, "shut": shut},
        status=422 if form.errors else 200,
    )


@office
@require_http_methods(["GET", "POST"])
def crew(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """A new crew, or one to change."""
    row = get_object_or_404(Crew, pk=pk) if pk else None
    form = forms.CrewForm(request.POST or None, instance=row)

    def action(now: datetime) -> None:
        save_crew(form.save(commit=False), by=request.user)

    if request.method == "POST" and act(request, form, action):
        return redirect("desk:people")
    return render(
        request,
        "desk/crew.html",
        {"form": form, "crew": row},
        status=422 if form.errors else 200,
    )
