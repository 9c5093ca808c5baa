"""Read a builder's lot list, however it was written. Knows no Django.

`read_file` and `read_bytes` give a `LotList`; `as_json` shows it.
"""

from .grid import Unreadable
from .listing import read_bytes, read_file
from .record import CellError, LotList, LotRow, counts_of
from .report import as_json

__all__ = [
    "CellError",
    "LotList",
    "LotRow",
    "Unreadable",
    "as_json",
    "counts_of",
    "read_bytes",
    "read_file",
]
