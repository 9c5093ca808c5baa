"""Addresses of the settings; they stand inside the desk's own namespace."""

from django.urls import path

from tracker.desk.setup import views

urlpatterns = [
    path("settings/", views.setup, name="setup"),
    path("settings/<slug:slug>/", views.rows, name="setup-rows"),
    path("settings/<slug:slug>/new/", views.row, name="setup-new"),
    path("settings/<slug:slug>/<int:pk>/", views.row, name="setup-row"),
]
