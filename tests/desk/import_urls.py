"""The import pages alone, with what the frame around every page links to."""

from django.http import HttpResponse
from django.urls import include, path

from tracker.urls import urlpatterns as every_other

desk = [
    *include("tracker.desk.imports.urls")[0].urlpatterns,
    path("sign-out/", lambda request: HttpResponse(), name="sign-out"),
    path("language/", lambda request: HttpResponse(), name="language"),
]
urlpatterns = [
    path("", include((desk, "desk"))),
    *every_other,
]
