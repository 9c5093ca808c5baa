"""The real addresses and the simulation's back door."""

from django.urls import path

from tests.phone.sim import door
from tracker.urls import urlpatterns as real

urlpatterns = [
    path("__world__", door.world),
    path("__truth__", door.truth),
    path("__office__", door.office),
    path("__enrol__", door.enrol),
    path("__session__", door.session),
    path("__code__", door.code),
    path("__link__", door.link),
    *real,
]
