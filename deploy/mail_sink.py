"""A mail server that takes everything and keeps the Message-IDs, for measures."""

import socketserver
import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress


class Sink(socketserver.ThreadingTCPServer):
    daemon_threads = True
    allow_reuse_address = True

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), _Talk)
        self.ids: Counter[str] = Counter()

    @property
    def url(self) -> str:
        return f"smtp://127.0.0.1:{self.server_address[1]}"


class _Talk(socketserver.StreamRequestHandler):
    """As much of RFC 5321 as a client needs to hand in a message."""

    server: Sink

    def handle(self) -> None:
        # A worker that is killed drops its line in the middle of a word.
        with suppress(ConnectionError):
            self._talk()

    def _talk(self) -> None:
        self._say("220 sink")
        while line := self.rfile.readline():
            word = line[:4].upper()
            if word == b"DATA":
                self._say("354 go on")
                self._take()
                self._say("250 kept")
            elif word == b"QUIT":
                self._say("221 bye")
                return
            else:
                self._say("250 ok")

    def _say(self, text: str) -> None:
        self.wfile.write(text.encode() + b"\r\n")

    def _take(self) -> None:
        while (line := self.rfile.readline()) and line.rstrip() != b".":
            name, _, value = line.decode("utf-8", "replace").partition(":")
            if name.lower() == "message-id":
                self.server.ids[value.strip()] += 1


@contextmanager
def mail_sink() -> Iterator[Sink]:
    sink = Sink()
    threading.Thread(target=sink.serve_forever, daemon=True).start()
    try:
        yield sink
    finally:
        sink.shutdown()
        sink.server_close()
