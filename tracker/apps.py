from django.apps import AppConfig


class TrackerConfig(AppConfig):
    name = "tracker"
    label = "tracker"

    def ready(self) -> None:
        # Makes our queue the one that shared tasks go to. Not in tracker/__init__,
        # so that the pure packages under it load without Celery.
        import tracker.celery  # noqa: F401
