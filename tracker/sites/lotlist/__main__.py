"""`python -m tracker.sites.lotlist FILE [--sheet S] [--map column=field] [--json]`."""

import argparse
import json
import sys
from pathlib import Path

from . import Unreadable, as_json, counts_of, read_file


def parse_map(pairs: list[str]) -> dict[str, str]:
    """`Lot #=lot` becomes a pair; the last `=` divides, since a header may hold one."""
    mapping: dict[str, str] = {}
    for pair in pairs:
        column, divider, field = pair.rpartition("=")
        if not divider or not column.strip():
            raise Unreadable(f"--map wants column=field, not {pair!r}.")
        mapping[column.strip()] = field.strip()
    return mapping


def main() -> int:
    parser = argparse.ArgumentParser(prog="lotlist", description=__doc__)
    parser.add_argument("file", type=Path)
    parser.add_argument("--sheet")
    parser.add_argument("--map", action="append", default=[], metavar="column=field")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    try:
        listing = read_file(
            options.file, sheet=options.sheet, mapping=parse_map(options.map)
        )
    except Unreadable as error:
        print(error, file=sys.stderr)
        return 2
    if options.json:
        print(json.dumps(as_json(listing), indent=1, ensure_ascii=False))
    else:
        for status, number in counts_of(listing.rows).items():
            print(f"{status:>10} {number}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
