"""Reading cases as JSON and writing the answers, for any command line."""

import json
from typing import BinaryIO, TextIO

from .run import has_error, size


def run(source: BinaryIO, target: TextIO) -> int:
    """Answer the JSON of `source` on `target`; 1 where any answer is an error."""
    try:
        cases = json.loads(source.read().decode("utf-8-sig"))
    except (ValueError, RecursionError) as error:
        message = f"The input is no JSON: {error}"
        answers = {"id": None, "error": {"key": "json", "message": message}}
    else:
        answers = size(cases)
    json.dump(answers, target, indent=1, ensure_ascii=False, allow_nan=False)
    target.write("\n")
    return 1 if has_error(answers) else 0
