"""Backup and restore of a whole house, on both databases."""

import io
import subprocess
import sys
import tarfile
from datetime import UTC, datetime

import pytest

from deploy import archive
from deploy.archive import BackupTrouble
from deploy.servers import postgres
from tests.deploy.house import TOP, environment, manage, running

NOW = datetime(2026, 3, 4, 5, 6, 7, tzinfo=UTC)
SEE = (
    "from phases.models import Feed; from tracker.people.models import Member; "
    "print(sorted(Member.objects.values_list('username', flat=True)), "
    "Feed.objects.first().last_no, Feed.objects.first().epoch)"
)
BEGIN = (
    "from phases.models import Feed; "
    "Feed.objects.update_or_create(id=1, defaults={'last_no': 7})"
)


def keep(folder, *argv: str, **values: str) -> tuple[int, str]:
    """Exit status and all that was said."""
    done = subprocess.run(
        [sys.executable, "-m", "deploy.keep", *argv],
        cwd=TOP,
        env=environment(folder, **values),
        capture_output=True,
        text=True,
    )
    return done.returncode, done.stdout + done.stderr


def seen(folder, **values: str) -> tuple[str, str]:
    """(members and last number, epoch)"""
    said = manage(folder, "shell", "-v", "0", "-c", SEE, **values)
    return tuple(said.strip().rsplit(" ", 1))


def live_through_a_restore(folder, backups, **values: str) -> None:
    """Saves, changes everything, restores, and looks at what is there."""
    photo = folder / "media" / "wall.jpg"
    manage(folder, "owner", "vera", given="a long enough one\n", **values)
    manage(folder, "shell", "-v", "0", "-c", BEGIN, **values)
    photo.write_bytes(b"as it was")
    before, epoch = seen(folder, **values)
    assert keep(folder, "backup", str(backups), **values)[0] == 0
    (saved,) = backups.glob("plumbrow-*.tar")

    manage(folder, "owner", "later", given="a long enough one\n", **values)
    photo.write_bytes(b"changed")
    (folder / "queue" / "task").write_text("about a row of the other life")

    assert "--replace" in keep(folder, "restore", str(saved), **values)[1]
    assert photo.read_bytes() == b"changed"

    status, said = keep(folder, "restore", str(saved), "--replace", **values)
    assert status == 0, said

    after, new_epoch = seen(folder, **values)
    assert after == before == "['vera'] 7"
    assert new_epoch != epoch
    assert photo.read_bytes() == b"as it was"
    assert list((folder / "queue").iterdir()) == []
    (aside,) = folder.glob("before-restore-*")
    assert (aside / "media" / "wall.jpg").read_bytes() == b"changed"


@pytest.mark.service
def test_a_house_on_sqlite_comes_back_as_it_was_in_a_new_epoch(prepared, tmp_path):
    live_through_a_restore(prepared, tmp_path / "backups")


@pytest.mark.service
def test_a_house_on_postgresql_comes_back_as_it_was_in_a_new_epoch(tmp_path):
    folder = tmp_path / "data"
    with postgres() as url:
        manage(folder, "serve", "--prepare", "--empty", DATABASE_URL=url)

        live_through_a_restore(folder, tmp_path / "backups", DATABASE_URL=url)


@pytest.mark.service
def test_a_running_house_can_be_saved_but_not_restored(prepared, tmp_path):
    with running(prepared, "--empty"):
        status, said = keep(prepared, "backup", str(tmp_path), "--keep", "3")
        assert (status, "rows and 0 files" in said) == (0, True)
        (saved,) = tmp_path.glob("plumbrow-*.tar")

        status, said = keep(prepared, "restore", str(saved), "--replace")

    assert (status, "Already running" in said) == (1, True)


def a_backup(folder):
    media = folder / "media"
    media.mkdir()
    (media / "a.jpg").write_bytes(b"a photo")
    (folder / "rows").write_bytes(b"rows")
    target = folder / "plumbrow.tar"
    archive.write(target, rows=folder / "rows", media=media, kind="sqlite3", now=NOW)
    return target


def test_a_backup_is_read_back_whole(tmp_path):
    manifest = archive.unpack(a_backup(tmp_path), tmp_path / "out")

    assert (manifest["kind"], manifest["made_at"]) == ("sqlite3", NOW.isoformat())
    assert (tmp_path / "out/media/a.jpg").read_bytes() == b"a photo"
    assert (tmp_path / "out/rows.sqlite3").read_bytes() == b"rows"


def test_a_changed_photo_is_found(tmp_path):
    target = a_backup(tmp_path)
    target.write_bytes(target.read_bytes().replace(b"a photo", b"A photo"))

    with pytest.raises(BackupTrouble, match=r"is damaged: media/a\.jpg"):
        archive.unpack(target, tmp_path / "out")


@pytest.mark.parametrize("kept", [0, 700, 2000])
def test_a_backup_that_was_cut_short_is_refused(tmp_path, kept):
    target = a_backup(tmp_path)
    target.write_bytes(target.read_bytes()[:kept])

    with pytest.raises(BackupTrouble):
        archive.unpack(target, tmp_path / "out")


@pytest.mark.parametrize("name", ["../outside", "/outside", "a/../../outside"])
def test_a_backup_cannot_write_outside_its_folder(tmp_path, name):
    target = tmp_path / "evil.tar"
    with tarfile.open(target, "w") as tar:
        entry = tarfile.TarInfo(name)
        entry.size = 1
        tar.addfile(entry, io.BytesIO(b"x"))

    with pytest.raises(BackupTrouble, match="which is no file"):
        archive.unpack(target, tmp_path / "out")


def test_a_file_that_is_not_there_is_named(tmp_path):
    with pytest.raises(BackupTrouble, match="There is no file"):
        archive.unpack(tmp_path / "none.tar", tmp_path / "out")
