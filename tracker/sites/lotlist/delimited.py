"""CSV in the encodings and with the delimiters that offices really send."""

import csv
import io

from .grid import Row, Sheet, Unreadable

DELIMITERS = (",", ";", "\t", "|")
MOST_ROWS = 100_000
MOST_COLUMNS = 256
# A cell with more lines than this is a stray quote that swallowed other rows.
MOST_LINES_IN_CELL = 25
BOMS = (
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe\x00\x00", "utf-32"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)

csv.field_size_limit(1_000_000)


def read_text(data: bytes) -> Sheet:
    """Rows of a delimited file. A quoted line break stays inside its row.

    Raises:
        Unreadable: when it is not text, or too long.
    """
    text, encoding = decode(data)
    notes = [f"read as {encoding}"]
    delimiter, text = _declared_delimiter(text)
    delimiter = delimiter or best_delimiter(text)
    rows = _records(text, delimiter)
    if _swallowed(rows, delimiter):
        rows = _records(text, delimiter, quoted=False)
        notes.append("quotation marks do not match, so they were ignored")
    kept = tuple(
        Row(number, tuple(cell.strip() or None for cell in cells))
        for number, cells in enumerate(rows, 1)
        if any(cell.strip() for cell in cells)
    )
    if not kept:
        raise Unreadable("The file holds no text. Save the list again and try again.")
    return Sheet(name="", rows=kept, notes=tuple(notes), delimited=True)


def decode(data: bytes) -> tuple[str, str]:
    """Text and the encoding it was read with.

    A byte-order mark decides; else UTF-16 by its zero bytes; else UTF-8 when it fits,
    else Windows-1252 (or Mac Roman where lines end as on an old Mac), else Latin-1.
    """
    for mark, encoding in BOMS:
        if data.startswith(mark):
            return _decode_as(data, encoding), encoding
    if b"\0" in data[:4096]:
        return _decode_utf16(data)
    try:
        return _refuse_binary(data.decode("utf-8")), "utf-8"
    except UnicodeDecodeError:
        pass
    if b"\r" in data and b"\n" not in data:
        return _refuse_binary(data.decode("mac_roman")), "mac_roman"
    try:
        return _refuse_binary(data.decode("cp1252")), "cp1252"
    except UnicodeDecodeError:
        return _refuse_binary(data.decode("latin-1")), "latin-1"


def _decode_as(data: bytes, encoding: str) -> str:
    try:
        return _refuse_binary(data.decode(encoding))
    except UnicodeDecodeError as error:
        raise Unreadable(
            "The text of the file is damaged. Save the list again as CSV (UTF-8)."
        ) from error


def _decode_utf16(data: bytes) -> tuple[str, str]:
    head = data[:4096]
    odd, even = head[1::2].count(0), head[0::2].count(0)
    encoding = "utf-16-le" if odd >= even else "utf-16-be"
    if len(data) % 2 or max(odd, even) < len(head) // 4:
        raise Unreadable(
            "This is not text and not a workbook. Save the list as XLSX or CSV."
        )
    return _decode_as(data, encoding), encoding


def _refuse_binary(text: str) -> str:
    sample = text[:8192]
    strange = sum(1 for char in sample if char < " " and char not in "\t\r\n\f\v")
    if "\0" in text or strange > len(sample) // 50:
        raise Unreadable(
            "This is not text and not a workbook. Save the list as XLSX or CSV."
        )
    return text


def _declared_delimiter(text: str) -> tuple[str | None, str]:
    # A first line `sep=;` is an instruction to the spreadsheet, not a row of it.
    first, _, rest = text.partition("\n")
    line = first.strip().strip('"').lower()
    if line.startswith("sep=") and len(line) == 5:
        return line[4], rest
    return None, text


def best_delimiter(text: str) -> str:
    """The delimiter under which most rows have the same number of cells, above one."""
    sample = "\n".join(text[:65_536].splitlines()[:200])
    best, best_score = ",", 0.0
    for delimiter in DELIMITERS:
        widths = [len(r) for r in _records(sample, delimiter) if any(r)]
        common = max(set(widths), key=widths.count, default=1)
        if common > 1:
            score = widths.count(common) / len(widths) * min(common, 8) ** 0.5
            if score > best_score:
                best, best_score = delimiter, score
    return best


def _records(text: str, delimiter: str, *, quoted: bool = True) -> list[list[str]]:
    # newline="" keeps a line break inside quotes as it is; a lone CR ends a row.
    stream = io.StringIO(text, newline="")
    lines = csv.reader(
        stream,
        delimiter=delimiter,
        quoting=csv.QUOTE_MINIMAL if quoted else csv.QUOTE_NONE,
        skipinitialspace=True,
    )
    rows: list[list[str]] = []
    try:
        for cells in lines:
            if len(rows) >= MOST_ROWS:
                raise Unreadable(
                    f"The file has more than {MOST_ROWS:,} rows. "
                    "Split it by subdivision."
                )
            rows.append(cells[:MOST_COLUMNS])
    except csv.Error:
        if not quoted:
            raise Unreadable(
                "The rows of the file cannot be told apart. Save it as XLSX."
            ) from None
        return _records(text, delimiter, quoted=False)
    if not quoted:
        return [[cell.strip().strip('"') for cell in row] for row in rows]
    return rows


def _swallowed(rows: list[list[str]], delimiter: str) -> bool:
    """A quotation mark without partner has drawn following rows into a cell.

    Such a cell holds very many lines, or a line with as many cells as the first row.
    """
    width = max((len(cells) for cells in rows[:1]), default=0)
    for cells in rows:
        for cell in cells:
            lines = cell.splitlines()[1:]
            if len(lines) > MOST_LINES_IN_CELL:
                return True
            if width > 2 and any(line.count(delimiter) >= width - 1 for line in lines):
                return True
    return False
