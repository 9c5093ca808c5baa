"""Every address, by area."""

from django.urls import include, path

from tracker.health import healthz

urlpatterns = [
    path("healthz", healthz, name="healthz"),
    path("i18n/", include("django.conf.urls.i18n")),
    path("", include("tracker.phone.urls")),
    path("", include("tracker.status.urls")),
    path("", include("tracker.desk.urls")),
]
