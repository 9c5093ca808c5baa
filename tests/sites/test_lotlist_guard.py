"""Files that are no lot list are refused in one sentence that says what to do."""

import io
import zipfile

import pytest

from tests.sites.lists import workbook
from tracker.sites.lotlist import Unreadable, guard, read_bytes, read_file
from tracker.sites.lotlist.guard import MB, refuse_size

GOOD = workbook([["Lot", "Address"], [1, "12 Elm St"]])


def packed(files: dict[str, bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as package:
        for name, data in files.items():
            package.writestr(name, data)
    return stream.getvalue()


def changed(part: str, data: bytes) -> bytes:
    """The good workbook with one part replaced."""
    with zipfile.ZipFile(io.BytesIO(GOOD)) as package:
        files = {name: package.read(name) for name in package.namelist()}
    return packed(files | {part: data})


def why_refused(data: bytes) -> str:
    with pytest.raises(Unreadable) as refused:
        read_bytes(data)
    return str(refused.value)


OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600
XML_BOMB = (
    b'<!DOCTYPE w [<!ENTITY a "lol"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
    b'<sheetData><row r="1"><c r="A1" t="str"><v>&b;</v></c></row></sheetData>'
    b"</worksheet>"
)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"\n\n  \n", "no text"),
        (b"<html><body><table><tr><td>Lot</td></tr></table></html>", "web page"),
        ("<HTML><table>".encode("utf-16"), "web page"),
        (b"<?xml version='1.0'?><Workbook/>", "XML document"),
        (OLE, "old XLS"),
        (OLE + "EncryptedPackage".encode("utf-16-le"), "password"),
        (b"%PDF-1.7 ...", "PDF"),
        (b"\x89PNG\r\n", "picture"),
        (bytes(range(256)) * 8, "not text"),
        (b"PK\x03\x04 and nothing else", "damaged"),
        (GOOD[: len(GOOD) // 2], "damaged"),
        (packed({"readme.txt": b"x"}), "ZIP archive"),
        (packed({"content.xml": b"x", "mimetype": b"y"}), "OpenDocument"),
        (
            packed({"[Content_Types].xml": b"x", "xl/workbook.bin": b"y"}),
            "binary workbook",
        ),
        (changed("xl/worksheets/sheet1.xml", b"<worksheet"), "damaged"),
        (changed("xl/worksheets/sheet1.xml", XML_BOMB), "never has"),
        (changed("xl/media/big.bin", b"\0" * (20 * MB)), "trap"),
        (b"hello,world\nthis is,no list\n", "No header row"),
        (b"Lot,Block,Address\n", "no row below"),
        (workbook([[None]]), "no rows"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_is_no_lot_list_is_refused_with_its_reason(data, words):
    reason = why_refused(data)

    assert words in reason
    assert "\n" not in reason


def test_a_workbook_that_unpacks_to_too_much_is_refused(monkeypatch):
    monkeypatch.setattr(guard, "MOST_UNPACKED", 1_000)

    assert "unpacks" in why_refused(GOOD)


def test_a_file_of_200_mb_is_refused_before_it_is_read(tmp_path):
    path = tmp_path / "huge.csv"
    with path.open("wb") as file:
        file.truncate(200 * MB)

    with pytest.raises(Unreadable, match="200 MB"):
        read_file(path)
    with pytest.raises(Unreadable, match="200 MB"):
        refuse_size(200 * MB)


def test_a_missing_file_and_a_folder_are_refused(tmp_path):
    for path in (tmp_path / "none.csv", tmp_path):
        with pytest.raises(Unreadable, match="cannot be opened"):
            read_file(path)


def test_a_wrong_sheet_column_or_field_is_refused_and_names_the_right_ones():
    for told, words in (
        ({"sheet": "Lots"}, "The sheets are: 'Sheet'"),
        ({"mapping": {"Parcel": "lot"}}, "no column 'Parcel'"),
        ({"mapping": {"Lot": "garden"}}, "no field 'garden'"),
    ):
        with pytest.raises(Unreadable, match=words):
            read_bytes(GOOD, **told)
