"""Backup and restore, called by the scripts of those names."""

import argparse
import os
import sys
import tempfile
import uuid
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import django

from deploy import archive, rows
from deploy.archive import BackupTrouble


def backup(folder: Path, *, keep: int, now: datetime) -> Path:
    """Makes plumbrow-DATE-TIME.tar in `folder`; with `keep`, only so many stay."""
    from django.conf import settings

    database = settings.DATABASES["default"]
    kind = rows.kind(database)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    target = folder / f"plumbrow-{now:%Y%m%d-%H%M%S}.tar"
    with tempfile.TemporaryDirectory(dir=folder, prefix=".rows-") as work:
        copy = Path(work) / "rows"
        rows.save(database, copy)
        papers = archive.write(
            target, rows=copy, media=Path(settings.MEDIA_ROOT), kind=kind, now=now
        )
    if keep:
        for old in sorted(folder.glob("plumbrow-*.tar"))[:-keep]:
            old.unlink()
    print(f"{target}: rows and {papers} files, {target.stat().st_size / 1e6:.1f} MB.")
    return target


def restore(source: Path, *, replace: bool, now: datetime) -> None:
    """Puts rows and files of a backup in place, and begins a new epoch.

    What was there is kept in DATA_DIR/before-restore-DATE-TIME.
    """
    from django.conf import settings
    from django.core.management import call_command
    from django.db import connections

    from tracker import prepare

    prepare.make_folders()
    lock = prepare.take_lock()
    database = settings.DATABASES["default"]
    if _holds_people() and not replace:
        raise BackupTrouble(
            "This house is not empty. Say --replace to put the backup in its place; "
            "what is there now is kept beside it."
        )
    connections.close_all()
    aside = settings.DATA_DIR / f"before-restore-{now:%Y%m%d-%H%M%S}"
    made_at = _swap(source, settings.DATA_DIR, database, aside)
    prepare.make_folders()
    call_command("migrate", interactive=False, verbosity=0)
    _begin_epoch()
    _forget_tasks()
    lock.close()
    print(f"Restored the backup of {made_at}. What was there before: {aside}")


def _swap(source: Path, data: Path, database: dict[str, Any], aside: Path) -> str:
    """Unpacks, checks, then exchanges; gives the time the backup was made."""
    with tempfile.TemporaryDirectory(dir=data, prefix=".restore-") as work:
        folder = Path(work)
        manifest = archive.unpack(source, folder)
        kind = rows.kind(database)
        if manifest["kind"] != kind:
            raise BackupTrouble(
                f"The backup holds {manifest['kind']} rows, this house keeps {kind}: "
                "set DATABASE_URL to the same kind of database."
            )
        aside.mkdir(mode=0o700)
        rows.load(database, folder / f"rows.{kind}", aside)
        # Waiting tasks name rows of the life that ends here.
        for name in ("media", "broker", "queue", "cache"):
            if (data / name).exists():
                (data / name).rename(aside / name)
        if (folder / "media").exists():
            (folder / "media").rename(data / "media")
    return str(manifest["made_at"])


def _holds_people() -> bool:
    from django.contrib.auth import get_user_model
    from django.db import DatabaseError

    try:
        return bool(get_user_model().objects.exists())
    except DatabaseError:  # no tables yet
        return False


def _begin_epoch() -> None:
    """Phones see another epoch and offer again what the backup has not got."""
    from phases.models import Feed

    Feed.objects.update(epoch=uuid.uuid4())


def _forget_tasks() -> None:
    from django.conf import settings
    from django.core.cache import cache

    from tracker.celery import app

    if settings.REDIS_URL:
        app.control.purge()
        cache.clear()


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="deploy")
    commands = parser.add_subparsers(dest="command", required=True)
    saving = commands.add_parser("backup")
    saving.add_argument("folder", type=Path)
    saving.add_argument("--keep", type=int, default=0, help="only the newest so many")
    loading = commands.add_parser("restore")
    loading.add_argument("file", type=Path)
    loading.add_argument("--replace", action="store_true")
    wanted = parser.parse_args(argv)
    from django.core.management import CommandError

    from tracker.env import BadSetting

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tracker.settings")
    now = datetime.now(UTC)
    try:
        django.setup()
        if wanted.command == "backup":
            backup(wanted.folder, keep=wanted.keep, now=now)
        else:
            restore(wanted.file, replace=wanted.replace, now=now)
    except (BackupTrouble, BadSetting, CommandError) as error:
        print(error, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
