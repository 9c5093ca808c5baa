"""What a single cell says: text, a whole number, a date, yes or no."""

import re
from collections.abc import Iterable
from datetime import date, datetime, time

from .grid import Cell

# Excel's own error values; as text they mean the same.
ERRORS = frozenset(
    [
        "#REF!",
        "#N/A",
        "#VALUE!",
        "#DIV/0!",
        "#NAME?",
        "#NULL!",
        "#NUM!",
        "#SPILL!",
        "#CALC!",
        "#GETTING_DATA",
    ]
)
# Words that people type for "nothing yet".
NOTHING = frozenset(
    [
        "-",
        "--",
        "---",
        ".",
        "n/a",
        "na",
        "none",
        "null",
        "nil",
        "tbd",
        "tba",
        "t.b.d.",
        "?",
        "??",
        "pending",
        "unknown",
        "nan",
        "(blank)",
        "no address",
        "no address assigned",
        "not assigned",
        "unassigned",
        "to be assigned",
        "address tbd",
        "vacant lot",
    ]
)
YES = frozenset(
    [
        "y",
        "yes",
        "true",
        "x",
        "1",
        "r",
        "rev",
        "reverse",
        "reversed",
        "m",
        "mirror",
        "mirrored",
    ]
)
YES |= frozenset(("flip", "flipped", "right", "rh", "right hand", "r/h"))
NO = frozenset(
    [
        "n",
        "no",
        "false",
        "0",
        "s",
        "std",
        "standard",
        "l",
        "left",
        "lh",
        "l/h",
        "normal",
    ]
)
NO |= frozenset(("left hand", "as drawn", "regular"))

DAY_FORMS = (
    "%Y-%m-%d",
    "%m/%d/%Y",
    "%m/%d/%y",
    "%m-%d-%Y",
    "%m-%d-%y",
    "%m.%d.%Y",
    "%Y/%m/%d",
    "%b %d, %Y",
    "%B %d, %Y",
    "%b %d %Y",
    "%B %d %Y",
    "%d-%b-%Y",
    "%d-%b-%y",
    "%d %b %Y",
    "%d %B %Y",
    "%Y%m%d",
)
# Where a whole column is written day first, as in 31/03/2026.
DAY_FIRST = ("%d/%m/%Y", "%d/%m/%y", "%d-%m-%Y", "%d-%m-%y", "%d.%m.%Y", "%d.%m.%y")
CLOCK = re.compile(
    r"[T ]\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?\s*([AP]M)?\s*(Z|[+-]\d{2}:?\d{2})?$", re.I
)
WEEKDAY = re.compile(r"^(mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+", re.I)


def is_error(value: Cell) -> bool:
    """The cell shows a spreadsheet error such as #REF!."""
    return isinstance(value, str) and value.strip().upper() in ERRORS


def text_of(value: Cell) -> str | None:
    """The cell as a person reads it: 18.0 is `18`, spaces and line breaks are single.

    Words for "nothing yet" (`TBD`, `n/a`, `-`) and blanks are None.
    """
    if value is None or isinstance(value, bool):
        return None if value is None else ("yes" if value else "no")
    if isinstance(value, datetime):
        day = value.date().isoformat()
        return day if value.time() == time() else value.isoformat(" ", "minutes")
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, int | float):
        return number_text(value)
    text = " ".join(value.replace("\u00a0", " ").split())
    return None if not text or text.lower() in NOTHING else text


def number_text(value: int | float) -> str:
    """A number without a needless `.0`, never in powers of ten."""
    if isinstance(value, float):
        if value != value or abs(value) == float("inf"):
            return ""
        if value.is_integer() and abs(value) < 1e18:
            return str(int(value))
        return f"{value:.10f}".rstrip("0").rstrip(".")
    return str(value)


def whole_number(value: Cell) -> int | None:
    """First whole number of the cell (`2 units` is 2), or None."""
    text = text_of(value)
    found = re.match(r"\d{1,6}(?![\d/])", text) if text else None
    return int(found.group()) if found else None


def is_day_first(values: Iterable[Cell]) -> bool:
    """A column writes 31/03/2026: one first figure is above 12, no second one is."""
    pairs = [
        (int(found[1]), int(found[2]))
        for value in values
        if isinstance(value, str)
        and (found := re.match(r"\s*(\d{1,2})[/.-](\d{1,2})[/.-]\d{2,4}\b", value))
    ]
    return any(one > 12 for one, _ in pairs) and all(two <= 12 for _, two in pairs)


def day_of(value: Cell, *, day_first: bool = False) -> date | None:
    """The day a cell names, month first as in the United States unless `day_first`.

    Raises:
        ValueError: when it holds something else.
    """
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    text = text_of(value)
    if text is None:
        return None
    text = WEEKDAY.sub("", CLOCK.sub("", text)).replace("Sept ", "Sep ").strip()
    for form in (*DAY_FIRST, *DAY_FORMS) if day_first else (*DAY_FORMS, *DAY_FIRST):
        try:
            day = datetime.strptime(text, form).date()  # noqa: DTZ007 a day has no zone
        except ValueError:
            continue
        return _sane(day)
    if isinstance(value, int | float) or text.isdigit():
        return _serial_day(text)
    raise ValueError(text)


def _sane(day: date) -> date:
    if not 1950 <= day.year <= 2100:
        raise ValueError(day.isoformat())
    return day


def _serial_day(text: str) -> date:
    # A day number whose cell lost its date format: 41724 is 2014-03-26.
    serial = int(float(text)) if re.fullmatch(r"\d{5}(\.\d+)?", text) else 0
    if 20_000 < serial < 73_000:
        return date.fromordinal(date(1899, 12, 30).toordinal() + serial)
    raise ValueError(text)


def yes_or_no(value: Cell) -> bool | None:
    """True for mirrored, flipped, right, yes; False for the opposite; None for blank.

    Raises:
        ValueError: when it says something else.
    """
    text = text_of(value)
    if text is None:
        return None
    word = text.lower().strip(".")
    if word in YES:
        return True
    if word in NO:
        return False
    raise ValueError(text)
