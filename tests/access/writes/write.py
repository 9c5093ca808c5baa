"""One request that is taken, and the trace it must leave."""

import json as json_text
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from tests.access.world import World


@dataclass(frozen=True)
class Write:
    """`trace` names what must be found after it: `fact:KIND` (a fact of the log by
    this person), `history:MODEL` (a kept version of a row, with this person) or
    `row:MODEL.FIELD` (a row that is never deleted and names him)."""

    route: str
    method: str
    trace: tuple[str, ...]
    data: Callable[[World], dict[str, Any]] = lambda world: {}
    by: str = "owner"
    before: Callable[[World], Any] = lambda world: None
    query: Callable[[World], str] = lambda world: ""
    thing: str = ""  # another than the table's
    json: bool = False

    def body(self, world: World) -> dict[str, Any]:
        """Arguments of the test client."""
        data = self.data(world)
        if not self.json:
            return {"data": data}
        return {"data": json_text.dumps(data), "content_type": "application/json"}
