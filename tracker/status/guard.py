"""The door of the builder's page: who has a live secret comes in, all others see the
same answer, and an address that tries many secrets waits."""

import hashlib
import ipaddress
from collections.abc import Callable
from datetime import datetime, timedelta
from functools import wraps
from typing import Any

from django.core.cache import cache
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone, translation

from tracker.clients import client_ip
from tracker.status.actions.links import hashed
from tracker.status.models import Link

# Different wrong secrets that one address may try in a window.
TRIES, WINDOW_SECONDS = 20, 600
TRIES_KEY = "link-tries"
USE_NOTED_EVERY = timedelta(hours=1)

HEADERS = {
    "X-Robots-Tag": "noindex, nofollow, noarchive",
    # The address is the key, so it is told to nobody.
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "private, no-cache",
}
View = Callable[..., HttpResponse]


def with_link(view: View) -> View:
    """Hand the view the live link of the secret; anything else is `not here`."""

    @wraps(view)
    def guarded(request: HttpRequest, secret: str, **more: Any) -> HttpResponse:
        now = timezone.now()
        link = None
        with translation.override(language_of(request)):
            if too_many_tries(request, now=now):
                return _sealed(_waiting(request))
            link = _live_link(secret, now=now)
            if link is None:
                note_miss(request, secret, now=now)
                return _sealed(not_here(request))
        with translation.override(language_of(request, link)):
            try:
                return _sealed(view(request, link, **more))
            except Http404:
                return _sealed(not_here(request))

    return guarded


def personal(view: View) -> View:
    """Only through a superintendent's own link; through a shared one it is not here."""

    @wraps(view)
    def guarded(request: HttpRequest, link: Link, **more: Any) -> HttpResponse:
        if not link.is_personal:
            raise Http404
        return view(request, link, **more)

    return guarded


def language_of(request: HttpRequest, link: Link | None = None) -> str:
    """`?lang=` first, then the superintendent's own, then what the browser asks."""
    asked = request.GET.get("lang")
    if asked in ("en", "es"):
        return asked
    if link is not None and link.superintendent is not None:
        return "es" if link.superintendent.language == "es" else "en"
    browser = translation.get_language_from_request(request)
    return "es" if browser.startswith("es") else "en"


def _live_link(secret: str, *, now: datetime) -> Link | None:
    link = (
        Link.objects.live(now=now)
        .filter(token_hash=hashed(secret))
        .select_related("builder", "subdivision", "superintendent")
        .first()
    )
    if link is not None and _use_is_news(link, now):
        Link.objects.filter(pk=link.pk).update(last_used_at=now)
    return link


def _use_is_news(link: Link, now: datetime) -> bool:
    return link.last_used_at is None or now - link.last_used_at > USE_NOTED_EVERY


def not_here(request: HttpRequest) -> HttpResponse:
    """The one answer for wrong, ended and revoked links and for what is not theirs."""
    return render(request, "status/not_here.html", status=404)


def _waiting(request: HttpRequest) -> HttpResponse:
    response = render(request, "status/not_here.html", {"waiting": True}, status=429)
    response["Retry-After"] = str(WINDOW_SECONDS)
    return response


def _sealed(response: HttpResponse) -> HttpResponse:
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    return response


# --- guessing -----------------------------------------------------------------------
def too_many_tries(request: HttpRequest, *, now: datetime) -> bool:
    return int(cache.get(_counter(request, now), 0)) >= TRIES


def note_miss(request: HttpRequest, secret: str, *, now: datetime) -> None:
    """Count a wrong secret once: a calendar that polls an ended link is no guesser."""
    counter = _counter(request, now)
    if not cache.add(f"{counter}:{hashed(secret)[:32]}", 1, WINDOW_SECONDS):
        return
    cache.add(counter, 0, WINDOW_SECONDS)
    try:
        cache.incr(counter)
    except ValueError:  # it ran out between the two statements
        cache.set(counter, 1, WINDOW_SECONDS)


def _counter(request: HttpRequest, now: datetime) -> str:
    window = int(now.timestamp()) // WINDOW_SECONDS
    place = hashlib.sha256(_neighbourhood(client_ip(request)).encode()).hexdigest()
    return f"{TRIES_KEY}:{place[:32]}:{window}"


def _neighbourhood(address: str) -> str:
    """One IPv4 address, or the /64 that one line of IPv6 has to itself."""
    try:
        seen = ipaddress.ip_address(address)
    except ValueError:
        return address
    if seen.version == 6:
        return str(ipaddress.ip_network((seen, 64), strict=False))
    return str(seen)
