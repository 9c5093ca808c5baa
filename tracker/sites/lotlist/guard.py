"""What may be opened at all: hostile and mistaken files are refused in a sentence."""

import io
import zipfile

from .grid import Unreadable

MB = 1024 * 1024
MOST_BYTES = 25 * MB
MOST_UNPACKED = 150 * MB
# Sheets full of repeated text pack about 60:1; a bomb packs 1000:1.
MOST_RATIO = 200
RATIO_FROM = 5 * MB
MOST_PARTS = 5_000

SAVE_AS = "Open it in your spreadsheet program, save it as XLSX or CSV, and try again."

KINDS: tuple[tuple[bytes, str], ...] = (
    (b"%PDF", "a PDF document"),
    (b"{\\rtf", "a text document (RTF)"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"\x1f\x8b", "a compressed archive (gzip)"),
    (b"7z\xbc\xaf", "a compressed archive (7z)"),
    (b"Rar!", "a compressed archive (RAR)"),
    (b"SQLite format 3", "a database"),
)
OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
# The stream name that an encrypted workbook carries, in UTF-16 as OLE stores it.
ENCRYPTED = "EncryptedPackage".encode("utf-16-le")


def refuse_size(size: int) -> None:
    """Refuse an empty file and one too large to be a lot list."""
    if size == 0:
        raise Unreadable("The file is empty. Save the list again and try again.")
    if size > MOST_BYTES:
        raise Unreadable(
            f"The file is {size // MB} MB; a lot list may have up to "
            f"{MOST_BYTES // MB} MB. Copy the rows into a new sheet and save that."
        )


def kind_of(data: bytes) -> str:
    """`xlsx` or `text`; anything else is refused.

    Raises:
        Unreadable: naming what the file really is and what to do.
    """
    head = data[:4096]
    if head.startswith(OLE):
        raise Unreadable(_ole_reason(data))
    for magic, name in KINDS:
        if head.startswith(magic):
            raise Unreadable(f"This is {name}, not a lot list. {SAVE_AS}")
    if head.startswith((b"PK\x03\x04", b"PK\x05\x06")):
        return "xlsx"
    _refuse_markup(head)
    return "text"


def _ole_reason(data: bytes) -> str:
    if ENCRYPTED in data:
        return (
            "The workbook is protected by a password. Save a copy without a "
            "password and try again."
        )
    return f"This is a workbook of the old XLS kind. {SAVE_AS}"


def _refuse_markup(head: bytes) -> None:
    # UTF-16 markup shows its letters with zero bytes between.
    text = head.replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n").lower()
    if text.startswith((b"<!doctype html", b"<html")) or (
        text.startswith(b"<") and (b"<html" in text or b"<table" in text)
    ):
        raise Unreadable(f"This is a web page (HTML) named as a sheet. {SAVE_AS}")
    if text.startswith(b"<?xml"):
        raise Unreadable(f"This is an XML document, not an XLSX or CSV. {SAVE_AS}")


def open_package(data: bytes) -> zipfile.ZipFile:
    """The XLSX package, after checking that unpacking it is safe.

    Raises:
        Unreadable: for a damaged package, a bomb, or another kind of archive.
    """
    try:
        package = zipfile.ZipFile(io.BytesIO(data))
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as error:
        raise Unreadable(f"The workbook is damaged. {SAVE_AS}") from error
    parts = package.infolist()
    unpacked = sum(part.file_size for part in parts)
    if len(parts) > MOST_PARTS or unpacked > MOST_UNPACKED:
        raise Unreadable(
            "The workbook unpacks to far more than a lot list can hold. "
            "Copy the rows into a new sheet and save that."
        )
    for part in parts:
        _refuse_part(part)
    _refuse_contents({part.filename for part in parts})
    return package


def _refuse_part(part: zipfile.ZipInfo) -> None:
    packed = max(part.compress_size, 1)
    if part.file_size > RATIO_FROM and part.file_size / packed > MOST_RATIO:
        raise Unreadable(
            "The workbook is packed so tightly that it looks like a trap. "
            "Copy the rows into a new sheet and save that."
        )
    if part.flag_bits & 0x1:
        raise Unreadable(
            "The file is protected by a password. Save a copy without a password "
            "and try again."
        )


def _refuse_contents(names: set[str]) -> None:
    if "[Content_Types].xml" in names and "xl/workbook.xml" in names:
        return
    if "xl/workbook.bin" in names:
        raise Unreadable(f"This is a binary workbook (XLSB). {SAVE_AS}")
    if "content.xml" in names:
        raise Unreadable(f"This is an OpenDocument file. {SAVE_AS}")
    if "word/document.xml" in names:
        raise Unreadable(f"This is a text document, not a sheet. {SAVE_AS}")
    if "[Content_Types].xml" not in names:
        raise Unreadable("This is a ZIP archive. Unpack it and upload the list in it.")
