"""Headers that every page of ours carries, beside those of Django's own middleware."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

# Everything a page loads is a file of ours. No script stands in a page; the look-ahead
# places its strips by custom properties in style attributes, which run nothing.
POLICY = "; ".join(
    [
        "default-src 'none'",
        "script-src 'self'",
        "script-src-attr 'none'",
        "style-src 'self'",
        "style-src-attr 'unsafe-inline'",
        # Photos of the phone that are not sent yet are blobs of its own.
        "img-src 'self' data: blob:",
        "font-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
    ]
)
# The phone's camera is ours to use; nothing else of the device is.
PERMISSIONS = "camera=(self), geolocation=(), microphone=(), payment=(), usb=()"

Answer = Callable[[HttpRequest], HttpResponse]


def keep_to_ourselves(get_response: Answer) -> Answer:
    """A stricter policy that a view has set itself stands."""

    def middleware(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if response.get("Content-Type", "").startswith("text/html"):
            response.headers.setdefault("Content-Security-Policy", POLICY)
            response.headers.setdefault("Permissions-Policy", PERMISSIONS)
        return response

    return middleware
