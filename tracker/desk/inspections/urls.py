"""Addresses of the pages of inspections; they stand inside the desk's own namespace."""

from django.urls import path

from tracker.desk.inspections import rate_views, views

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
]
