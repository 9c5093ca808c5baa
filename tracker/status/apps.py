from django.apps import AppConfig


class StatusConfig(AppConfig):
    name = "tracker.status"
    label = "status"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from tracker.status.quiet_log import keep_secrets_out

        keep_secrets_out()
