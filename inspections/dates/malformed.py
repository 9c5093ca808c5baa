"""The one complaint about rules or asks that cannot be read or followed."""


class Malformed(ValueError):
    """`key` names the place ("rules.lead.unit"), `message` says what to do."""

    def __init__(self, key: str, message: str) -> None:
        self.key = key
        self.message = message
        super().__init__(f"{key}: {message}")
