"""Addresses of the builder's page (`b/<secret>/`), and of the office's side of it."""

from django.urls import include, path, re_path

from tracker.status import acting, office, views

SHA = r"(?P<sha>[0-9a-f]{64})"

page = [
    path("", views.page, name="page"),
    path("calendar.ics", views.calendar, name="calendar"),
    path("streets/<int:pk>/sheet.pdf", views.street_sheet, name="street-sheet"),
    path("lots/<int:pk>/", views.lot, name="lot"),
    path("lots/<int:pk>/sheet.pdf", views.lot_sheet, name="lot-sheet"),
    path("lots/<int:pk>/dates/", acting.dates, name="dates"),
    path("lots/<int:pk>/parts/", acting.parts, name="parts"),
    path("holds/<uuid:pk>/lifting/", acting.lifting, name="lifting"),
    path("corrections/<uuid:pk>/acceptance/", acting.acceptance, name="acceptance"),
    re_path(rf"^photos/{SHA}/$", views.photo, name="photo"),
]

app_name = "status"
urlpatterns = [
    path("b/<str:secret>/", include(page)),
    path("links/", office.links, name="links"),
    path("links/<int:pk>/revocation/", office.revocation, name="revocation"),
    path("date-proposals/<uuid:pk>/decision/", office.decision, name="decision"),
]
