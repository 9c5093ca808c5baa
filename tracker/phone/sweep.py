"""Clears what a killed process left behind: files that no row speaks of."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

from django.conf import settings

from phases.models import Photo
from tracker.phone import parts
from tracker.phone.models import Upload
from tracker.phone.uploads import FORGOTTEN

SETTLED = timedelta(days=1)  # no request lasts as long


def sweep(*, now: datetime) -> list[str]:
    """Remove orphaned files older than a day; answers their names."""
    media = Path(settings.MEDIA_ROOT)
    gone = []
    for folder in ("photos", "thumbs"):
        for path in _old(media / folder, now=now):
            if path.suffix != ".jpg" or not Photo.objects.filter(pk=path.stem).exists():
                gone.append(path)
    for path in _old(media / "uploads", now=now):
        upload = Upload.objects.filter(pk=path.stem).first()
        waits = upload is not None and upload.state == Upload.OPEN
        if not waits or upload.moved_at < now - FORGOTTEN:
            gone.append(path)
            Upload.objects.filter(pk=path.stem, state=Upload.OPEN).update(offset=0)
    for path in gone:
        if path.suffix == ".part":
            parts.drop_part(path.stem)
        else:
            path.unlink(missing_ok=True)
    return sorted(str(path.relative_to(media)) for path in gone)


def _old(folder: Path, *, now: datetime) -> list[Path]:
    if not folder.is_dir():
        return []
    before = now - SETTLED
    return [
        path
        for path in folder.rglob("*")
        if path.is_file()
        and datetime.fromtimestamp(path.stat().st_mtime, tz=UTC) < before
    ]
