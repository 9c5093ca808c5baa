"""How long the dry run of a large lot list takes, and how much memory.

Run from the top of the project: `python deploy/bench_import.py [ROWS]`. It makes an
invented list of 10,000 rows as XLSX and as CSV and reads each with
`import_lots FILE --json` in a process of its own. The ratio compares with a plain
`manage.py` start on the same machine in the same run.
"""

import csv
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from openpyxl import Workbook

TOP = Path(__file__).resolve().parents[1]
MOST_SECONDS, MOST_MB = 10.0, 300
HEADER = (
    "Permit Number",
    "Parcel",
    "Permit Issued Date",
    "Address",
    "Number of Dwellings",
    "Construction Type",
    "Subtype",
    "Description",
    "Plan",
    "Start Date",
)
PLATS = [f"HERON {name}" for name in ("RIDGE", "VALE", "PARK", "CREEK", "HILL")]


def rows(count: int) -> list[tuple[object, ...]]:
    """Invented permits, every shape of description in turn."""
    made: list[tuple[object, ...]] = []
    for n in range(count):
        plat = f"{PLATS[n % 5]} PH {n % 7 + 1}"
        legal = (
            f"LOT {n}A, BLOCK {n % 40}, {plat}",
            f"{plat} LOT #{n}",
            f"LOTS {n}, {n + 1} & 1/2 OF {n + 2}, BLK {n % 63} {plat}",
            f"LT {n} BLK {n % 9} {plat}",
            f"TOWNHOUSE {chr(65 + n % 26)}",
        )[n % 5]
        made.append(
            (
                f"2026-RES-{n:05}",
                f"0422{n:013}",
                f"{n % 12 + 1}/{n % 28 + 1}/2026",
                f"{n} ELM ST",
                "1",
                "Residential Construction",
                "New Single Family Residence",
                legal,
                None,
                f"2026-{n % 12 + 1:02}-{n % 28 + 1:02}",
            )
        )
    return made


def write_xlsx(path: Path, count: int) -> None:
    book = Workbook(write_only=True)
    page = book.create_sheet("Lots")
    page.append(["New Construction Report"])
    page.append([])
    page.append(list(HEADER))
    for row in rows(count):
        page.append(list(row))
    book.save(path)


def write_csv(path: Path, count: int) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(HEADER)
        writer.writerows(rows(count))


def timed(*args: str, environment: dict[str, str]) -> tuple[float, float, float]:
    """Seconds by the clock, seconds of processor, most MB of `manage.py args`."""
    started = time.monotonic()
    child = subprocess.Popen(
        [sys.executable, "manage.py", *args],
        cwd=TOP,
        env=environment,
        stdout=subprocess.DEVNULL,
    )
    _, status, usage = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode != 0:
        raise SystemExit(f"manage.py {args[0]} ended with {child.returncode}")
    worked = usage.ru_utime + usage.ru_stime
    return time.monotonic() - started, worked, usage.ru_maxrss / 1024


def main() -> int:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    failed = False
    with tempfile.TemporaryDirectory(prefix="plumbrow-bench-") as name:
        folder = Path(name)
        environment = {**os.environ, "DATA_DIR": name}
        environment.setdefault("SECRET_KEY", "bench-only-" + "0123456789abcdef" * 4)
        write_xlsx(folder / "lots.xlsx", count)
        write_csv(folder / "lots.csv", count)
        bare, worked, most = timed("check", environment=environment)
        print(f"bare manage.py       {bare:6.2f} s {worked:6.2f} s CPU {most:5.0f} MB")
        for path in (folder / "lots.xlsx", folder / "lots.csv"):
            took, worked, most = timed(
                "import_lots", str(path), "--json", environment=environment
            )
            # Judged by the processor: the clock also counts what others do here.
            bad = worked > MOST_SECONDS or most > MOST_MB
            failed |= bad and count <= 10_000
            print(
                f"{path.name:<9} {count:>6} rows {took:6.2f} s {worked:6.2f} s CPU "
                f"{most:5.0f} MB  "
                f"ratio {took / bare:5.2f}{'  TOO MUCH' if bad else ''}"
            )
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
