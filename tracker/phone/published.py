"""How the published description names our ways of signing in. Read at start."""

from drf_spectacular.extensions import OpenApiAuthenticationExtension


class DeviceTokenScheme(OpenApiAuthenticationExtension):
    """A phone's bearer token."""

    target_class = "tracker.phone.tokens.DeviceToken"
    name = "deviceToken"

    def get_security_definition(self, auto_schema: object) -> dict[str, str]:
        return {"type": "http", "scheme": "bearer"}


class AnyDeviceTokenScheme(DeviceTokenScheme):
    """Also that of a phone that was shut out: what it sends is set aside."""

    target_class = "tracker.phone.tokens.AnyDeviceToken"
    name = "anyDeviceToken"
