from django.urls import path, re_path

from tracker.desk.plans import catalogue_views, views

WHAT = r"(?P<what>rooms|fixtures|options)"
urlpatterns = [
    path("plans/", views.plans, name="plans"),
    path("plans/<int:pk>/", views.plan, name="plan"),
    re_path(rf"^plans/(?P<pk>\d+)/{WHAT}/$", views.part, name="plan-parts"),
    re_path(
        rf"^plans/(?P<pk>\d+)/{WHAT}/(?P<part_pk>\d+)/$", views.part, name="plan-part"
    ),
    re_path(
        rf"^plans/(?P<pk>\d+)/{WHAT}/(?P<part_pk>\d+)/removal/$",
        views.removal,
        name="plan-part-removal",
    ),
    path("plans/<int:pk>/sheets/", views.sheet, name="plan-sheets"),
    path("sheets/<int:pk>/", views.sheet_file, name="sheet-file"),
    path("catalogue/", catalogue_views.catalogue, name="catalogue"),
    path("catalogue/<int:pk>/", catalogue_views.catalogue_row, name="catalogue-row"),
]
