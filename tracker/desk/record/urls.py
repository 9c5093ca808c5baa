from django.urls import path

from tracker.desk.record import views

urlpatterns = [
    path("record/", views.record, name="record"),
    path("record/settings/", views.changes, name="changes"),
]
