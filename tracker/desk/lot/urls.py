from django.urls import path, re_path

from tracker.desk.lot import form_views, item_views, phase_views, views

SHA = r"(?P<sha>[0-9a-f]{64})"
urlpatterns = [
    path("lots/<int:pk>/", views.lot, name="lot"),
    path("lots/<int:pk>/record/", views.lot_record, name="lot-record"),
    re_path(rf"^photos/{SHA}/$", views.photo, name="photo"),
    re_path(
        rf"^photos/{SHA}/thumbnail/$",
        views.photo,
        {"size": "thumbnail"},
        name="thumbnail",
    ),
    path("items/<int:pk>/", item_views.item, name="item"),
    path("items/<int:pk>/rejection/", item_views.rejection, name="item-rejection"),
    path("items/<int:pk>/settlement/", item_views.settlement, name="item-settlement"),
    path("lots/<int:pk>/dates/", form_views.date, name="lot-dates"),
    path("lots/<int:pk>/holds/", form_views.hold, name="lot-holds"),
    path("lots/<int:pk>/corrections/", form_views.correction, name="lot-corrections"),
    path("lots/<int:pk>/calls/", form_views.call, name="lot-calls"),
    path("lots/<int:pk>/results/", form_views.result, name="lot-results"),
    path("lots/<int:pk>/details/", form_views.details, name="lot-details"),
    path("lots/<int:pk>/plan/", form_views.plan, name="lot-plan"),
    path("phases/<int:pk>/readiness/", phase_views.readiness, name="readiness"),
    path("phases/<int:pk>/start-date/", phase_views.move, name="move"),
    path("phases/<int:pk>/crew/", phase_views.sending, name="sending"),
    path("phases/<int:pk>/progress/", phase_views.progress, name="progress"),
    path("phases/<int:pk>/gate/", phase_views.gate_override, name="gate"),
    path("holds/<uuid:pk>/lifting/", phase_views.hold_lifting, name="hold-lifting"),
    path(
        "corrections/<uuid:pk>/done/",
        phase_views.correction_done,
        name="correction-done",
    ),
    path(
        "corrections/<uuid:pk>/closing/",
        phase_views.correction_closing,
        name="correction-closing",
    ),
    path(
        "corrections/<uuid:pk>/reopening/",
        phase_views.correction_reopening,
        name="correction-reopening",
    ),
    path(
        "calls/<uuid:pk>/cancelling/",
        phase_views.call_cancelling,
        name="call-cancelling",
    ),
]
