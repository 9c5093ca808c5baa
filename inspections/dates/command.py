"""What both command lines do with a stream of cases."""

import json
from collections.abc import Iterable
from typing import Protocol

from inspections.dates.cases import answer_lines


class Out(Protocol):
    def write(self, text: str, /) -> object: ...


def run(lines: Iterable[bytes], out: Out) -> int:
    """Writes one JSON object a line; 1 when any line was malformed, else 0."""
    status = 0
    for answer in answer_lines(lines):
        out.write(json.dumps(answer) + "\n")
        status = 1 if "error" in answer else status
    return status
