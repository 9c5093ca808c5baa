from django.urls import path

from tracker.desk.inspecting import views

urlpatterns = [path("inspections/", views.inspections, name="inspections")]
