"""One operation as a phone writes it. Pure: JSON in, an Op or a sentence out."""

import hashlib
import json
import re
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

KINDS = (
    "tick",
    "measure",
    "photo",
    "test",
    "note",
    "not_done",
    "undo",
    "reject",
    "settle",
    "walk_good",
    "walk_correction",
    "correction_done",
    "work",
    "inspection_result",
    "pipe_test",
    "plan_seen",
)
# What is no act on a lot names none.
WITHOUT_LOT = ("plan_seen",)
MOST_BYTES = 20_000
MOST_NUMBER = 2**53  # what JSON keeps exactly
_TARGET = re.compile(r"(item|phase|correction|test|notice):([0-9a-f-]{1,36})\Z")
_SHA = re.compile(r"[0-9a-f]{64}\Z")


class Unreadable(Exception):
    """The operation cannot be read; the message says which field and why."""


@dataclass(frozen=True)
class Op:
    """`after` is the operation that must have come before; sha a photo it names.

    `lot` is 0 for an act on no lot.
    """

    id: UUID
    seq: int
    member: int
    kind: str
    lot: int
    target_kind: str
    target: str
    version: int | None
    payload: dict[str, Any]
    at: datetime
    after: UUID | None
    digest: str

    @property
    def sha(self) -> str:
        found = self.payload.get("sha")
        return found if isinstance(found, str) else ""


def digest_of(body: object) -> str:
    """SHA-256 of the operation as canonical JSON, less what may change in repeats."""
    if isinstance(body, dict):
        # A predecessor that the phone has let go is no longer named.
        body = {key: value for key, value in body.items() if key != "after"}
    text = json.dumps(body, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return hashlib.sha256(text.encode()).hexdigest()


def read_operation(body: object) -> Op:
    """Read one operation; raises Unreadable."""
    if not isinstance(body, dict):
        raise Unreadable("an operation must be an object")
    _check_text(body)
    kind = body.get("kind")
    if kind not in KINDS:
        raise Unreadable(f"kind: {str(kind)[:40]!r} is not one of {', '.join(KINDS)}")
    payload = body.get("payload", {})
    if not isinstance(payload, dict):
        raise Unreadable("payload must be an object")
    if "sha" in payload and not _is_sha(payload["sha"]):
        raise Unreadable("payload.sha must be 64 hex digits")
    target_kind, target = _target(body.get("target"))
    version = body.get("version")
    return Op(
        id=_uuid(body.get("id"), "id"),
        seq=_whole(body.get("seq"), "seq"),
        member=_whole(body.get("member"), "member"),
        kind=kind,
        lot=0 if kind in WITHOUT_LOT else _whole(body.get("lot"), "lot"),
        target_kind=target_kind,
        target=target,
        version=None if version is None else _whole(version, "version"),
        payload=payload,
        at=_moment(body.get("at")),
        after=None if body.get("after") is None else _uuid(body["after"], "after"),
        digest=digest_of(body),
    )


def _check_text(body: dict[str, Any]) -> None:
    """Not too long, and nothing that a database cannot hold as text."""
    text = json.dumps(body, ensure_ascii=False)
    if len(text) > MOST_BYTES:
        raise Unreadable(f"an operation may have {MOST_BYTES} characters at most")
    if "\\u0000" in text or any("\ud800" <= char <= "\udfff" for char in text):
        raise Unreadable("text may not hold null characters or half characters")


def _is_sha(value: object) -> bool:
    return isinstance(value, str) and bool(_SHA.match(value))


def _target(value: object) -> tuple[str, str]:
    found = _TARGET.match(value) if isinstance(value, str) else None
    if found is None:
        raise Unreadable(
            "target must be item:, phase:, correction:, test: or notice: and its number"
        )
    kind, target = found.groups()
    if kind in ("correction", "test"):
        _uuid(target, "target")
    elif not target.isdigit() or int(target) > MOST_NUMBER:
        raise Unreadable(f"target: {kind} needs a whole number")
    return kind, target


def _uuid(value: object, name: str) -> UUID:
    try:
        return UUID(value) if isinstance(value, str) else _no_uuid(name)
    except ValueError:
        return _no_uuid(name)


def _no_uuid(name: str) -> UUID:
    raise Unreadable(f"{name} must be a UUID")


def _whole(value: object, name: str) -> int:
    """A whole number from 0; people and lots come as text from some phones."""
    if isinstance(value, str) and value.isascii() and value.isdigit():
        value = int(value[:20])
    if isinstance(value, bool) or not isinstance(value, int):
        raise Unreadable(f"{name} must be a whole number")
    if not 0 <= value <= MOST_NUMBER:
        raise Unreadable(f"{name} must be from 0 to {MOST_NUMBER}")
    return value


def _moment(value: object) -> datetime:
    try:
        moment = datetime.fromisoformat(value if isinstance(value, str) else "")
        return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).astimezone(UTC)
    except (ValueError, OverflowError):
        raise Unreadable("at must be a date and time (ISO 8601)") from None
