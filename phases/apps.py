from django.apps import AppConfig


class PhasesConfig(AppConfig):
    name = "phases"
    label = "phases"
    default_auto_field = "django.db.models.BigAutoField"
