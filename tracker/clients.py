"""Who asks: the address of the client, seen through our own proxies only."""

from django.conf import settings
from django.http import HttpRequest


def client_ip(request: HttpRequest) -> str:
    """The client's address; a header that the client could have made up is ignored.

    Each of our proxies appends the address it saw, so only the last PROXIES entries
    of X-Forwarded-For can be believed.
    """
    seen = request.META.get("HTTP_X_FORWARDED_FOR", "").split(",")
    trusted = [part.strip() for part in seen if part.strip()]
    if settings.PROXIES and len(trusted) >= settings.PROXIES:
        return trusted[-settings.PROXIES]
    return request.META.get("REMOTE_ADDR") or "127.0.0.1"
