"""Addresses of the plan checks and material; they stand in the desk's namespace."""

from django.urls import path, re_path

from tracker.desk.checks import material_views, outline_views, sheet_views, views

KIND = r"(?P<kind>csv|xlsx)"
urlpatterns = [
    path("plans/<int:pk>/check/", views.plan_check, name="plan-check"),
    path("plans/<int:pk>/check/<slug:system>.svg", views.picture, name="plan-diagram"),
    path(
        "plans/<int:pk>/calculation.pdf",
        sheet_views.calculation,
        name="plan-calculation",
    ),
    path("plans/<int:pk>/outline/", outline_views.outline, name="plan-outline"),
    path(
        "plans/<int:pk>/outline/trying/",
        outline_views.trying,
        name="plan-outline-trying",
    ),
    path(
        "plans/<int:pk>/outline/guess/", outline_views.guess, name="plan-outline-guess"
    ),
    path(
        "plans/<int:pk>/outline/acceptance/",
        outline_views.acceptance,
        name="plan-outline-acceptance",
    ),
    path(
        "outlines/<int:pk>/withdrawal/",
        outline_views.withdrawal,
        name="outline-withdrawal",
    ),
    path(
        "plans/<int:pk>/material/", material_views.plan_material, name="plan-materials"
    ),
    re_path(
        rf"^plans/(?P<pk>\d+)/material\.{KIND}$",
        material_views.plan_material_file,
        name="plan-materials-file",
    ),
    path("lots/<int:pk>/material/", material_views.lot_material, name="lot-materials"),
    re_path(
        rf"^lots/(?P<pk>\d+)/material\.{KIND}$",
        material_views.lot_material_file,
        name="lot-materials-file",
    ),
    path(
        "lots/<int:pk>/material/<slug:phase>.pdf",
        material_views.pick_list,
        name="lot-pick-list",
    ),
    path("material/", material_views.weeks, name="materials"),
    re_path(
        rf"^material/weeks\.{KIND}$", material_views.weeks_file, name="materials-file"
    ),
    path("material/waste/", material_views.waste, name="materials-waste"),
]
