"""The one complaint about rules or asks that cannot be read or followed."""

from collections.abc import Mapping
from dataclasses import dataclass

from inspections.dates.words import SENTENCES, VALUES


@dataclass(frozen=True)
class Complaint:
    """`key` names the place ("rules.lead.unit"), the words say what to do."""

    key: str
    code: str
    fields: tuple[tuple[str, str | int], ...] = ()

    def words(self, language: str = "en") -> str:
        fields: Mapping[str, str | int] = dict(self.fields)
        if language != "es":
            return SENTENCES[self.code][0].format(**fields)
        spanish = {
            name: VALUES.get(value, value) if isinstance(value, str) else value
            for name, value in fields.items()
        }
        return SENTENCES[self.code][1].format(**spanish)

    def in_language(self, language: str) -> str:
        return f"{self.key}: {self.words(language)}"

    def __str__(self) -> str:
        return self.in_language("en")


class Malformed(ValueError):
    def __init__(self, key: str, code: str, **fields: str | int) -> None:
        self.complaint = Complaint(key, code, tuple(fields.items()))
        self.key = key
        self.message = self.complaint.words()
        super().__init__(str(self.complaint))
