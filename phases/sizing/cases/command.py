"""Reading cases as JSON and writing the answers, for any command line."""

import json
from typing import BinaryIO, TextIO

from .run import size


def run(source: BinaryIO, target: TextIO) -> int:
    """Answer the JSON of `source` on `target`; 1 where it is no JSON.

    A case with an error is an answer like any other: it says so itself.
    """
    try:
        cases = json.loads(source.read().decode("utf-8-sig"))
    except (ValueError, RecursionError) as error:
        message = f"The input is no JSON: {error}"
        answers = {"id": None, "error": {"key": "json", "message": message}}
        status = 1
    else:
        answers, status = size(cases), 0
    # Escaped, so that no id of half a letter and no locale can stop the print.
    json.dump(answers, target, indent=1, allow_nan=False)
    target.write("\n")
    return status
