"""Addresses of the pages of inspections; they stand inside the desk's own namespace."""

from django.urls import path

from tracker.desk.inspections import (
    paper_views,
    pipe_views,
    rate_views,
    telling_views,
    views,
)

urlpatterns = [
    path("inspections/", views.inspections, name="inspections"),
    path("inspections/lots/<int:pk>/calls/", views.calls, name="visit-calls"),
    path("inspections/calls/<uuid:pk>/day/", views.move, name="call-day"),
    path(
        "inspections/calls/<uuid:pk>/withdrawal/", views.cancel, name="call-withdrawal"
    ),
    path("inspections/calls/<uuid:pk>/result/", views.result, name="call-result"),
    path("inspections/rates/", rate_views.pass_rates, name="pass-rates"),
    path("inspections/hints/<int:pk>/", rate_views.hint, name="walk-hint"),
    path("inspections/fees/", rate_views.fees, name="visit-fees"),
    path("inspections/fees/<int:pk>/", rate_views.fee, name="visit-fee"),
    path(
        "inspections/fees/<int:pk>/payment/",
        rate_views.fee_paid,
        name="visit-fee-paid",
    ),
    path("inspections/phases/<int:pk>/stop.pdf", paper_views.stop, name="stop-notice"),
    path("inspections/phases/<int:pk>/sheet.pdf", paper_views.sheet, name="sheet"),
    path("inspections/telling/", telling_views.telling, name="telling"),
    path("inspections/feeds/", paper_views.feeds, name="feeds"),
    path(
        "inspections/feeds/<uuid:pk>/revocation/",
        paper_views.revoke,
        name="feed-revocation",
    ),
    path("calendars/<str:token>.ics", paper_views.calendar, name="calendar"),
    path("lots/<int:pk>/tests/", pipe_views.tests, name="lot-tests"),
    path("lots/<int:pk>/forecast/", pipe_views.forecast, name="lot-forecast"),
    path("tests/<uuid:pk>/readings/", pipe_views.readings, name="test-readings"),
    path("tests/<uuid:pk>/events/", pipe_views.event, name="test-event"),
    path("tests/<uuid:pk>/removal/", pipe_views.taking_down, name="test-taking-down"),
]
