"""The backup file: a tar of rows and photos, with a manifest of sums at its end."""

import hashlib
import io
import json
import shutil
import tarfile
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path, PurePosixPath
from typing import Any

MANIFEST = "manifest.json"


class BackupTrouble(Exception):
    """A backup cannot be made or used; the text says why, in one sentence."""


def write(target: Path, *, rows: Path, media: Path, kind: str, now: datetime) -> int:
    """Writes `target` and gives the number of photos and papers in it.

    The rows were read first, and a file is never changed once rows name it, so every
    file that the rows name is in `media` now. Files of uploads under way may come and
    go meanwhile.
    """
    half = target.with_name(target.name + ".half")
    sums: dict[str, str] = {}
    with tarfile.open(half, "w") as tar:
        _add(tar, f"rows.{kind}", rows.read_bytes(), now, sums)
        for path in sorted(p for p in media.rglob("*") if p.is_file()):
            try:
                body = path.read_bytes()
            except FileNotFoundError:
                continue
            _add(tar, f"media/{path.relative_to(media).as_posix()}", body, now, sums)
        manifest = {"kind": kind, "made_at": now.isoformat(), "sha256": sums}
        body = json.dumps(manifest, indent=1).encode()
        _add(tar, MANIFEST, body, now, {})
    half.chmod(0o600)
    half.replace(target)
    return len(sums) - 1


def _add(
    tar: tarfile.TarFile, name: str, body: bytes, now: datetime, sums: dict[str, str]
) -> None:
    entry = tarfile.TarInfo(name)
    entry.size, entry.mode, entry.mtime = len(body), 0o600, int(now.timestamp())
    tar.addfile(entry, io.BytesIO(body))
    sums[name] = hashlib.sha256(body).hexdigest()


def unpack(source: Path, folder: Path) -> dict[str, Any]:
    """Puts the files into `folder` and gives the manifest, when every sum is right."""
    try:
        with tarfile.open(source, "r:") as tar:
            sums = dict(_files(tar, folder))
    except FileNotFoundError:
        raise BackupTrouble(f"There is no file {source}.") from None
    except (tarfile.TarError, EOFError, OSError) as error:
        raise BackupTrouble(f"{source.name} cannot be read: {error}.") from None
    try:
        manifest = json.loads((folder / MANIFEST).read_text("utf-8"))
        wanted, kind = dict(manifest["sha256"]), manifest["kind"]
    except (OSError, ValueError, KeyError, TypeError):
        raise BackupTrouble(
            f"{source.name} is no complete backup: its list of sums is missing."
        ) from None
    sums.pop(MANIFEST)
    wrong = sorted(
        name
        for name in sums.keys() | wanted.keys()
        if sums.get(name) != wanted.get(name)
    )
    if wrong or f"rows.{kind}" not in sums:
        raise BackupTrouble(
            f"{source.name} is damaged: {', '.join(wrong[:3]) or 'no rows in it'}."
        )
    return dict(manifest)


def _files(tar: tarfile.TarFile, folder: Path) -> Iterable[tuple[str, str]]:
    for entry in tar:
        name = PurePosixPath(entry.name)
        if not entry.isfile() or name.is_absolute() or ".." in name.parts:
            raise BackupTrouble(f"The backup holds {entry.name!r}, which is no file.")
        body = tar.extractfile(entry)
        assert body is not None
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("wb") as out:
            shutil.copyfileobj(body, out)
        with path.open("rb") as written:
            yield entry.name, hashlib.file_digest(written, "sha256").hexdigest()
