"""The one exception for "no": an action that a rule forbids, with its reason."""

from tracker.words import say


class Refused(Exception):
    """A rule said no. `code` names the sentence in `tracker.words`."""

    def __init__(self, code: str, **params: object) -> None:
        self.code = code
        self.reason = {"code": code, **params}
        super().__init__(say(self.reason, "en"))

    def say(self, language: str) -> str:
        return say(self.reason, language)
