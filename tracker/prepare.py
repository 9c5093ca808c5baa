"""What has to be true before the first page is served."""

import fcntl
import hashlib
import os
import socket
from collections.abc import Callable
from pathlib import Path
from typing import IO

from django.conf import settings
from django.contrib.auth import get_user_model
from django.contrib.staticfiles.finders import get_finders
from django.core.management import CommandError, call_command

SIGN_INS = "demo-sign-ins.txt"
# Stands for the address that people type now: the port may be another one next time.
ADDRESS = "{address}"


def make_folders() -> None:
    """The data folder, for us alone."""
    folder: Path = settings.DATA_DIR
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        for name in ("media", "cache", "queue", "queue-control", "numba"):
            (folder / name).mkdir(mode=0o700, exist_ok=True)
    except OSError as error:
        raise CommandError(f"DATA_DIR cannot be written: {error}.") from None


def take_lock() -> IO[str]:
    """Held while we run: two groups on one data folder would run tasks twice."""
    lock = open(settings.DATA_DIR / "serve.lock", "a")  # noqa: SIM115 (kept open)
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        lock.close()
        raise CommandError(
            f"Already running on {settings.DATA_DIR}. Stop that one first, "
            "or set DATA_DIR to another folder."
        ) from None
    return lock


def check_address() -> None:
    """BIND and PORT can be listened on, else a sentence."""
    family = socket.AF_INET6 if ":" in settings.BIND else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((settings.BIND.strip("[]"), settings.PORT))
        except PermissionError:
            raise CommandError(
                f"PORT {settings.PORT} may only be opened by root. "
                "Set PORT to 1024 or more."
            ) from None
        except (OSError, OverflowError):
            raise CommandError(
                f"BIND {settings.BIND}, PORT {settings.PORT} cannot be listened on: "
                "the port is taken or the address is not this machine's. "
                "Set PORT or BIND."
            ) from None


def static_files() -> None:
    """Collects the static files again only when one of them changed."""
    stamp = settings.DATA_DIR / "static.stamp"
    digest = hashlib.sha256(str(settings.STORAGES["staticfiles"]).encode())
    for finder in get_finders():
        for path, storage in finder.list([]):
            seen = os.stat(storage.path(path))
            digest.update(f"{path} {seen.st_mtime_ns} {seen.st_size}\n".encode())
    now = digest.hexdigest()
    if stamp.exists() and stamp.read_text() == now and settings.STATIC_ROOT.is_dir():
        return
    call_command("collectstatic", interactive=False, clear=True, verbosity=0)
    stamp.write_text(now)


def demo(say: Callable[[str], None]) -> None:
    """The invented contractor, when nobody is here yet."""
    if get_user_model().objects.exists():
        return
    say("Nothing here yet: making the demo contractor (about a minute).")
    call_command("demo")


def keep_sign_ins(text: str) -> None:
    """Printed at every start. Links are keys: the file is for us alone."""
    note: Path = settings.DATA_DIR / SIGN_INS
    note.touch(mode=0o600)
    note.write_text(text, encoding="utf-8")


def sign_ins() -> str:
    """What the demo wrote about who can sign in, or how to make the first owner."""
    note: Path = settings.DATA_DIR / SIGN_INS
    if note.exists():
        text = note.read_text("utf-8").rstrip()
        return text.replace(ADDRESS, settings.PUBLIC_URL.rstrip("/"))
    if get_user_model().objects.exists():
        return ""
    return (
        "Nobody can sign in yet. Make the owner: manage.py owner USERNAME --name NAME"
    )
