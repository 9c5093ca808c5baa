"""The queue in a folder, for an install without a broker.

kombu's own transport writes a message where readers look, so that a worker that reads
in that moment finds it empty: the worker ends and the message is gone. Here a file is
written whole under another name and then gets its own.
"""

import json
import os
from pathlib import Path
from time import monotonic
from typing import Any
from uuid import uuid4

from kombu.exceptions import ChannelError
from kombu.transport import TRANSPORT_ALIASES, filesystem


def write_whole(file: Path, content: Any) -> None:
    """Let `file` hold `content` as JSON, at no moment a part of it."""
    part = file.with_name(f"{file.name}.{uuid4().hex}.part")
    try:
        part.write_bytes(json.dumps(content).encode())
        os.replace(part, file)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise ChannelError(f"The queue cannot write {file}: {error}") from error


class Channel(filesystem.Channel):
    def _put(self, queue: str, payload: Any, **_: Any) -> None:
        name = f"{round(monotonic() * 1000)}_{uuid4()}.{queue}.msg"
        write_whole(Path(self.data_folder_out) / name, payload)

    def _queue_bind(
        self, exchange: str, routing_key: str, pattern: str, queue: str
    ) -> None:
        bound = [routing_key or "", pattern or "", queue or ""]
        known = [list(row) for row in self.get_table(exchange)]
        if bound not in known:
            self.control_folder.mkdir(exist_ok=True)
            write_whole(self._exchange_file(exchange), [bound, *known])


class Transport(filesystem.Transport):
    Channel = Channel


def install() -> None:
    """Let `filesystem://` mean this transport."""
    TRANSPORT_ALIASES["filesystem"] = f"{__name__}:Transport"
