"""How the published description names our way of signing in. Read at start."""

from drf_spectacular.extensions import OpenApiAuthenticationExtension


class DeviceTokenScheme(OpenApiAuthenticationExtension):
    """A phone's bearer token; also for the class that takes revoked ones."""

    target_class = "tracker.phone.tokens.DeviceToken"
    match_subclasses = True
    name = "deviceToken"

    def get_security_definition(self, auto_schema: object) -> dict[str, str]:
        return {"type": "http", "scheme": "bearer"}
