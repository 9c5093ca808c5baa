from django.apps import AppConfig


class DeskConfig(AppConfig):
    name = "tracker.desk"
    label = "desk"
    default_auto_field = "django.db.models.BigAutoField"
