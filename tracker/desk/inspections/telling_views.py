"""Whether a member is told of notices by mail or in his browser; both off at first."""

from datetime import datetime

from django import forms
from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from inspections.actions.push import add_push_address, say_wishes
from inspections.notices.writing import ways_open
from tracker.desk.access import leads
from tracker.desk.doing import act


class TellingForm(forms.Form):
    email = forms.EmailField(label="Mail address", required=False)
    wants_email = forms.BooleanField(label="Tell me by mail", required=False)
    wants_push = forms.BooleanField(label="Tell me in this browser", required=False)
    endpoint = forms.CharField(max_length=500, required=False, widget=forms.HiddenInput)
    p256dh = forms.CharField(max_length=120, required=False, widget=forms.HiddenInput)
    auth = forms.CharField(max_length=60, required=False, widget=forms.HiddenInput)


@leads
@require_http_methods(["GET", "POST"])
def telling(request: HttpRequest) -> HttpResponse:
    """What this member asked for; his browser's push address comes with the form."""
    member = request.user
    form = TellingForm(
        request.POST if request.method == "POST" else None,
        initial={
            "email": member.email,
            "wants_email": member.wants_email,
            "wants_push": member.wants_push,
        },
    )

    def save(now: datetime) -> None:
        said = form.cleaned_data
        if said["wants_push"] and said["endpoint"]:
            address = {name: said[name] for name in ("endpoint", "p256dh", "auth")}
            add_push_address(member, now=now, **address)
        say_wishes(
            member,
            email=said["email"],
            wants_email=said["wants_email"],
            wants_push=said["wants_push"],
        )

    if request.method == "POST" and act(request, form, save):
        return redirect("desk:telling")
    return render(
        request,
        "desk/inspections/telling.html",
        {"form": form, "ways": ways_open(), "push_key": settings.PUSH_PUBLIC_KEY},
    )
