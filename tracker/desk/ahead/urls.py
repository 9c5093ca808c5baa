"""Addresses of the look-ahead, season and load; they stand in the desk's namespace."""

from django.urls import path

from tracker.desk.ahead import (
    edit_views,
    job_views,
    pin_views,
    season_views,
    told_views,
    views,
)

urlpatterns = [
    path("look-ahead/", views.look_ahead, name="look-ahead"),
    path("look-ahead/drafts/", edit_views.begin, name="look-ahead-drafts"),
    path("look-ahead/rain/", told_views.rain, name="look-ahead-rain"),
    path(
        "look-ahead/rain/<str:day>/removal/",
        told_views.rain_removal,
        name="look-ahead-rain-removal",
    ),
    path("look-ahead/days-off/", told_views.days_off, name="look-ahead-days-off"),
    path(
        "look-ahead/days-off/<int:pk>/removal/",
        told_views.day_off_removal,
        name="look-ahead-day-off-removal",
    ),
    path("look-ahead/rules/", told_views.rules, name="look-ahead-rules"),
    path("look-ahead/calibration/", views.calibration, name="look-ahead-calibration"),
    path("look-ahead/runs/<int:pk>/", edit_views.run_state, name="look-ahead-run"),
    path(
        "look-ahead/runs/<int:pk>/cancellation/",
        edit_views.run_cancel,
        name="look-ahead-cancel",
    ),
    path(
        "look-ahead/notices/<int:pk>/acknowledgement/",
        edit_views.acknowledgement,
        name="look-ahead-seen",
    ),
    path(
        "look-ahead/phases/<int:pk>/helper/",
        job_views.helper,
        name="look-ahead-helper",
    ),
    path(
        "look-ahead/phases/<int:pk>/breaking-off/",
        job_views.broken_off,
        name="look-ahead-broken-off",
    ),
    path("look-ahead/<int:pk>/job/", job_views.job, name="look-ahead-job"),
    path(
        "look-ahead/<int:pk>/what-ifs/", edit_views.what_ifs, name="look-ahead-what-ifs"
    ),
    path("look-ahead/<int:pk>/why/", views.why, name="look-ahead-why"),
    path("look-ahead/<int:pk>/runs/", edit_views.run, name="look-ahead-runs"),
    path("look-ahead/<int:pk>/trial/", edit_views.trial, name="look-ahead-trial"),
    path("look-ahead/<int:pk>/moves/", edit_views.move, name="look-ahead-moves"),
    path("look-ahead/<int:pk>/pins/", pin_views.pin, name="look-ahead-pins"),
    path("look-ahead/<int:pk>/pins/removal/", pin_views.unpin, name="look-ahead-unpin"),
    path(
        "look-ahead/pins/<int:pk>/removal/",
        pin_views.removal,
        name="look-ahead-pin-removal",
    ),
    path(
        "look-ahead/<int:pk>/publication/",
        edit_views.publication,
        name="look-ahead-publication",
    ),
    path("look-ahead/<int:pk>/removal/", edit_views.removal, name="look-ahead-removal"),
    path("season/", season_views.season, name="season"),
    path("load/", season_views.load, name="load"),
]
