"""Every address, by area."""

from django.urls import include, path

from tracker.health import healthz

urlpatterns = [
    path("healthz", healthz, name="healthz"),
    path("", include("tracker.phone.urls")),
    path("", include("tracker.status.urls")),
    path("", include("tracker.desk.urls")),
]
