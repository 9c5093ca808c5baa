"""Photos in resumable chunks, addressed by the SHA-256 of the whole."""

import hashlib
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import F

from phases.actions.entries import photo_arrived
from phases.models import Photo, PhotoUse
from tracker.people.models import Device
from tracker.phone import parts
from tracker.phone.models import Upload
from tracker.phone.pictures import NotAPhoto, Picture, make_picture
from tracker.phone.problems import Problem
from tracker.phone.words import both
from tracker.sites.models import Company

MOST_BYTES = 40 * 1024 * 1024
MOST_CHUNK = 1024 * 1024
MOST_OPEN = 400  # uploads that one phone may have begun and not finished
FORGOTTEN = timedelta(days=200)  # longer than any phone is expected to be away


@dataclass(frozen=True)
class Chunk:
    """`data` begins at `offset` of a photo of `length` bytes; `sha256` is its own."""

    offset: int
    length: int
    sha256: str
    data: bytes
    taken_at: datetime | None = None


def status_of(sha: str) -> dict[str, Any]:
    """{"sha256", "state", "offset", "length"}: what the server has of a photo."""
    if photo := Photo.objects.filter(pk=sha).first():
        size = photo.bytes_received
        return {"sha256": sha, "state": "there", "offset": size, "length": size}
    upload = Upload.objects.filter(pk=sha).first()
    if upload is None or upload.state == Upload.THERE:
        return {"sha256": sha, "state": "open", "offset": 0, "length": None}
    said = {} if upload.state == Upload.OPEN else both({"code": upload.code})
    return {
        "sha256": sha,
        "state": upload.state,
        "offset": upload.offset,
        "length": upload.length,
        **said,
    }


def receive(sha: str, chunk: Chunk, *, device: Device, now: datetime) -> dict[str, Any]:
    """Take one chunk; when it is the last, make the picture. Raises Problem."""
    if Photo.objects.filter(pk=sha).exists():
        return status_of(sha)
    _check(chunk)
    try:
        with parts.locked_part(sha) as handle:
            # Again under the lock: another connection may have finished it just now.
            if Photo.objects.filter(pk=sha).exists():
                return status_of(sha)
            upload = _begun(sha, chunk, device=device, now=now)
            if upload.state == Upload.OPEN:
                _add(upload, chunk, handle, now=now)
            if upload.state == Upload.OPEN and upload.offset == upload.length:
                _finish(upload, handle, now=now)
    except parts.Busy:
        raise Problem(409, "upload_busy", **status_of(sha)) from None
    return status_of(sha)


def _check(chunk: Chunk) -> None:
    if not 0 < chunk.length <= MOST_BYTES or len(chunk.data) > MOST_CHUNK:
        raise Problem(413, "too_large")
    # Empty at the very end: all bytes are here, but making the picture was cut short.
    empty = not chunk.data and chunk.offset != chunk.length
    if empty or chunk.offset + len(chunk.data) > chunk.length:
        raise Problem(400, "bad_request")


def _begun(sha: str, chunk: Chunk, *, device: Device, now: datetime) -> Upload:
    upload = Upload.objects.filter(pk=sha).first()
    if upload is not None and upload.state != Upload.THERE:
        if upload.length != chunk.length:
            raise Problem(409, "hash_mismatch", **status_of(sha))
        return upload
    open_now = Upload.objects.filter(device=device, state=Upload.OPEN).count()
    if open_now >= MOST_OPEN:
        raise Problem(429, "too_many_tries")
    upload, _ = Upload.objects.update_or_create(
        pk=sha,
        defaults={
            "device": device,
            "length": chunk.length,
            "offset": 0,
            "state": Upload.OPEN,
            "claimed_taken_at": chunk.taken_at,
            "started_at": now,
            "moved_at": now,
        },
    )
    return upload


def _add(upload: Upload, chunk: Chunk, handle: int, *, now: datetime) -> None:
    if chunk.offset != upload.offset:
        raise Problem(409, "offset_moved", **status_of(upload.pk))
    if hashlib.sha256(chunk.data).hexdigest() != chunk.sha256:
        raise Problem(422, "chunk_corrupt", **status_of(upload.pk))
    parts.write_chunk(handle, chunk.data, offset=chunk.offset)
    if not chunk.data:
        return
    # The file first, then the row: a kill between leaves bytes that are overwritten.
    moved = Upload.objects.filter(pk=upload.pk, offset=chunk.offset).update(
        offset=F("offset") + len(chunk.data), moved_at=now
    )
    if not moved:
        raise Problem(409, "offset_moved", **status_of(upload.pk))
    upload.offset = chunk.offset + len(chunk.data)


def _finish(upload: Upload, handle: int, *, now: datetime) -> None:
    """All bytes are here: verify, decode, store the picture, and only then the row."""
    data = parts.read_part(handle, upload.length)
    if hashlib.sha256(data).hexdigest() != upload.pk:
        Upload.objects.filter(pk=upload.pk).update(offset=0, moved_at=now)
        raise Problem(422, "hash_mismatch", **status_of(upload.pk))
    try:
        picture = make_picture(data, zone=ZoneInfo(Company.get().time_zone))
    except NotAPhoto as error:
        Upload.objects.filter(pk=upload.pk).update(
            state=Upload.REFUSED, code=error.code, moved_at=now
        )
        parts.drop_part(upload.pk)
        return
    _store(upload, picture, now=now)
    parts.drop_part(upload.pk)


def _store(upload: Upload, picture: Picture, *, now: datetime) -> None:
    sha = upload.pk
    names = f"photos/{sha[:2]}/{sha}.jpg", f"thumbs/{sha[:2]}/{sha}.jpg"
    parts.keep_file(names[0], picture.jpeg)
    parts.keep_file(names[1], picture.thumb)
    with transaction.atomic():
        Photo.objects.get_or_create(
            pk=sha,
            defaults={
                "file": names[0],
                "thumb": names[1],
                "width": picture.width,
                "height": picture.height,
                "bytes_received": upload.length,
                "taken_at": picture.taken_at or upload.claimed_taken_at,
                "received_at": now,
                "sent_by": upload.device.member,
            },
        )
        Upload.objects.filter(pk=sha).update(state=Upload.THERE, moved_at=now)
        if PhotoUse.objects.filter(photo_sha=sha).exists():
            photo_arrived(sha, now=now)
