from django.urls import path

from tracker.desk.street import views

urlpatterns = [
    path("streets/", views.streets, name="streets"),
    path("streets/<int:pk>/", views.street, name="street"),
    path("lots/", views.lots, name="lots"),
]
