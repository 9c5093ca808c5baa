"""Files of uploads: the part on its way in, and the finished picture.

Nothing here knows of tables. A file counts only when its row says so, and a row is
written only after the file is on disk.
"""

import contextlib
import fcntl
import os
from collections.abc import Iterator
from pathlib import Path

from django.conf import settings


class Busy(Exception):
    """Another connection is writing this upload."""


def part_path(sha: str) -> Path:
    return Path(settings.MEDIA_ROOT) / "uploads" / sha[:2] / f"{sha}.part"


@contextlib.contextmanager
def locked_part(sha: str) -> Iterator[int]:
    """The open part file under an exclusive lock; raises Busy instead of waiting.

    Two connections of one phone may write at once (the old one not yet given up):
    their bytes must never mix.
    """
    path = part_path(sha)
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o750)
    handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o640)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise Busy from None
        yield handle
    finally:
        os.close(handle)


def write_chunk(handle: int, chunk: bytes, *, offset: int) -> None:
    """Write and flush to disk; bytes that a broken attempt left behind are cut off."""
    os.ftruncate(handle, offset)
    written = 0
    while written < len(chunk):
        written += os.pwrite(handle, chunk[written:], offset + written)
    os.fsync(handle)


def read_part(handle: int, length: int) -> bytes:
    return os.pread(handle, length, 0)


def drop_part(sha: str) -> None:
    part_path(sha).unlink(missing_ok=True)


def keep_file(name: str, data: bytes) -> None:
    """Write a finished file so that it is whole and on disk, or not there at all."""
    path = Path(settings.MEDIA_ROOT) / name
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o750)
    fresh = path.with_suffix(f".{os.getpid()}.new")
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o640)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(fresh, path)
    except BaseException:
        fresh.unlink(missing_ok=True)
        raise
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
