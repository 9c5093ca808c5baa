"""Addresses of the phone page and of the REST API."""

from django.urls import include, path, re_path
from drf_spectacular.views import SpectacularJSONAPIView

from tracker.phone import views
from tracker.phone.api import phones, review, sync, uploads
from tracker.phone.api.base import Missing

SHA = r"(?P<sha>[0-9a-f]{64})"

api = [
    path(
        "schema/",
        SpectacularJSONAPIView.as_view(
            authentication_classes=[], permission_classes=[]
        ),
        name="schema",
    ),
    path("enrolments/", phones.Enrolments.as_view(), name="enrolments"),
    path("enrol-codes/", phones.EnrolCodes.as_view(), name="enrol-codes"),
    path("devices/", phones.Devices.as_view(), name="devices"),
    path("devices/<uuid:pk>/", phones.OneDevice.as_view(), name="device"),
    path("set-aside/", review.SetAsides.as_view(), name="set-aside"),
    path(
        "set-aside/<int:pk>/settlement/",
        review.Settlement.as_view(),
        name="settlement",
    ),
    path("lots/", sync.MyLots.as_view(), name="lots"),
    path("lots/<int:pk>/", sync.OneLot.as_view(), name="lot"),
    path("operations/", sync.Operations.as_view(), name="operations"),
    path("feed/", sync.Feed.as_view(), name="feed"),
    path("sheets/<int:pk>/", sync.Sheet.as_view(), name="sheet"),
    re_path(rf"^photos/{SHA}/thumbnail/$", sync.Thumbnail.as_view(), name="thumbnail"),
    re_path(rf"^uploads/{SHA}/$", uploads.OneUpload.as_view(), name="upload"),
    re_path(r"^.*$", Missing.as_view(), name="missing"),
]

app_name = "phone"
urlpatterns = [
    path("phone/", views.page, name="page"),
    path("phone/manifest.webmanifest", views.manifest, name="manifest"),
    path("sw.js", views.worker, name="worker"),
    path("api/v1/", include(api)),
]
