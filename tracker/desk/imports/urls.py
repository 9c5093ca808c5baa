"""Addresses of the import pages; they stand inside the desk's own namespace."""

from django.urls import path

from tracker.desk.imports import date_views, start_views, views

urlpatterns = [
    path("imports/", views.imports, name="imports"),
    path("imports/<int:pk>/", views.one_import, name="import"),
    path("imports/<int:pk>/application/", views.application, name="import-application"),
    path("imports/<int:pk>/undoing/", views.undoing, name="import-undoing"),
    path(
        "imports/<int:pk>/errors.csv",
        views.errors,
        {"kind": "csv"},
        name="import-errors-csv",
    ),
    path(
        "imports/<int:pk>/errors.xlsx",
        views.errors,
        {"kind": "xlsx"},
        name="import-errors-xlsx",
    ),
    path("streets/<int:pk>/dates/", date_views.street_dates, name="street-dates"),
    path("starts/", start_views.starts, name="starts"),
]
