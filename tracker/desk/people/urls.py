from django.urls import path

from tracker.desk.people import views

urlpatterns = [
    path("people/", views.people, name="people"),
    path("people/new/", views.member, name="member-new"),
    path("people/<int:pk>/", views.member, name="member"),
    path("crews/new/", views.crew, name="crew-new"),
    path("crews/<int:pk>/", views.crew, name="crew"),
]
