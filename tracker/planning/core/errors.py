"""What is said when a problem or plan cannot be used."""

from collections.abc import Iterable, Mapping
from typing import Any


class BadProblem(ValueError):
    """The problem cannot be read or contradicts itself; the text names the place.

    `facts` are codes with their fields, where it can be said in any language.
    """

    def __init__(self, text: str, facts: Iterable[Mapping[str, Any]] = ()) -> None:
        super().__init__(text)
        self.facts = tuple(facts)


class BadPlan(ValueError):
    """The plan cannot be read against this problem; the text names the place."""


class NoPlan(ValueError):
    """No plan keeps every pin; text and `facts` name those that could not be kept."""

    def __init__(self, text: str, facts: Iterable[Mapping[str, Any]] = ()) -> None:
        super().__init__(text)
        self.facts = tuple(facts)
