"""Addresses after final; they stand inside the desk's own namespace."""

from django.urls import path

from tracker.desk.after import views

urlpatterns = [
    path("after/", views.after, name="after"),
    path("after/<int:pk>/", views.one, name="after-lot"),
]
