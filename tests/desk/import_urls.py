"""The import pages alone, with what the frame around every page links to."""

from django.http import HttpResponse
from django.urls import include, path

desk = [
    *include("tracker.desk.imports.urls")[0].urlpatterns,
    path("sign-in/", lambda request: HttpResponse(), name="sign-in"),
    path("sign-out/", lambda request: HttpResponse(), name="sign-out"),
    path("language/", lambda request: HttpResponse(), name="language"),
]
urlpatterns = [path("", include((desk, "desk")))]
