"""The phone page's shell, its service worker and its manifest: no data in them."""

import hashlib
import json
from functools import lru_cache
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.views.decorators.http import require_GET

PAGE = "/phone/"
MANIFEST = "/phone/manifest.webmanifest"


def base() -> str:
    """The plain address of the phone's files: modules import each other by name."""
    return f"{settings.STATIC_URL}phone/"


def folder() -> Path:
    return Path(finders.find("phone/page.js")).parent


def file_names() -> list[str]:
    """Every file the page needs, the worker itself excepted."""
    kept = {".js", ".css", ".svg", ".png"}
    return sorted(
        path.name
        for path in folder().iterdir()
        if path.suffix in kept and path.name != "sw.js"
    )


@lru_cache(maxsize=1)
def _release_once() -> str:
    return _release()


def _release() -> str:
    """A hash over all files, so that any change is a new release."""
    whole = hashlib.sha256(_shell("en").encode())
    for name in [*file_names(), "sw.js"]:
        whole.update(name.encode() + (folder() / name).read_bytes())
    return whole.hexdigest()[:20]


def release() -> str:
    return _release() if settings.DEBUG else _release_once()


def _shell(language: str) -> str:
    return render_to_string("phone/shell.html", {"base": base(), "language": language})


@require_GET
def page(request: HttpRequest) -> HttpResponse:
    """The same for everybody: who is signed in only the phone knows."""
    language = "es" if request.LANGUAGE_CODE.startswith("es") else "en"
    answer = render(request, "phone/shell.html", {"base": base(), "language": language})
    answer["Cache-Control"] = "no-cache"
    return answer


@require_GET
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker from the root, so that its scope covers the page."""
    facts = {
        "release": release(),
        "page": PAGE,
        "files": [PAGE, MANIFEST, *(base() + name for name in file_names())],
    }
    text = (folder() / "sw.js").read_text("utf-8")
    answer = HttpResponse(
        f"const PHONE = {json.dumps(facts)};\n{text}", content_type="text/javascript"
    )
    answer["Cache-Control"] = "no-cache"
    return answer


@require_GET
def manifest(request: HttpRequest) -> JsonResponse:
    icons = [
        {"src": f"{base()}icon-{size}.png", "sizes": f"{size}x{size}"}
        for size in (192, 512)
    ]
    answer = JsonResponse(
        {
            "name": "Plumbrow",
            "short_name": "Plumbrow",
            "start_url": PAGE,
            "scope": PAGE,
            "display": "standalone",
            "background_color": "#eef1f2",
            "theme_color": "#7a3b12",
            "icons": [{**icon, "type": "image/png"} for icon in icons],
        },
        content_type="application/manifest+json",
    )
    answer["Cache-Control"] = "no-cache"
    return answer
