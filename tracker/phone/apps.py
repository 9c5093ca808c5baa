from django.apps import AppConfig


class PhoneConfig(AppConfig):
    name = "tracker.phone"
    label = "phone"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from tracker.phone import published  # noqa: F401 (registers itself)
