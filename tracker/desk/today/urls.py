from django.urls import path

from tracker.desk.today import views

urlpatterns = [
    path("", views.today, name="today"),
    path("ready/", views.ready_lots, name="ready-lots"),
]
