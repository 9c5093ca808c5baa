from django.apps import AppConfig


class InspectionsConfig(AppConfig):
    name = "inspections"
    label = "inspections"
    default_auto_field = "django.db.models.BigAutoField"
