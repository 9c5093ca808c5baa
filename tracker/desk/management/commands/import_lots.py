"""Read a builder's lot list: `import_lots FILE [--sheet S] [--map column=field ...]`.

Without --apply it is a dry run. Exit status 0 for any file that could be read, 2 with
one sentence for one that could not.
"""

import json
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand
from django.db import DatabaseError, transaction
from django.utils import timezone

from phases.defaults import load_defaults
from phases.log import Who
from phases.models import PhaseKind
from tracker.desk.imports.actions import apply_import, decide, receive_list
from tracker.desk.imports.looking import Looked, look_at
from tracker.errors import Refused
from tracker.people.models import Member, Role
from tracker.sites.lotlist import Unreadable, as_json, counts_of
from tracker.sites.lotlist.__main__ import parse_map
from tracker.sites.lotlist.guard import refuse_size
from tracker.sites.models import Builder

# Where a list goes that names neither; the office renames it or moves the lots.
NO_BUILDER = "Builder not named"
NO_SUBDIVISION = "No subdivision named"


class Command(BaseCommand):
    help = "Read a builder's lot list (CSV or XLSX); a dry run unless --apply is given."
    # Reading a list asks nothing of the rest of the project.
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--sheet", help="the sheet of a workbook to read")
        parser.add_argument(
            "--map",
            action="append",
            default=[],
            metavar="column=field",
            help="what a column holds; `column=-` leaves it out",
        )
        parser.add_argument("--builder", help=f"whose list it is (else {NO_BUILDER!r})")
        parser.add_argument(
            "--subdivision",
            default=NO_SUBDIVISION,
            help="where rows go that name none",
        )
        parser.add_argument("--by", help="sign-in name of the office member")
        parser.add_argument("--apply", action="store_true")
        parser.add_argument("--json", action="store_true")

    def handle(self, **options: Any) -> None:
        try:
            looked = self._run(options)
        except (Unreadable, Refused) as error:
            self.stderr.write(str(error))
            sys.exit(2)
        if options["json"]:
            shown = _shown(looked)
            self.stdout.write(json.dumps(shown, indent=1, ensure_ascii=False))
        else:
            self._tell(looked)

    def _run(self, options: dict[str, Any]) -> Looked:
        data = _data(options["file"])
        mapping = parse_map(options["map"])
        if options["apply"]:
            with transaction.atomic():
                return self._apply(data, mapping, options)
        return look_at(
            data,
            builder=_builder(options["builder"]),
            sheet=options["sheet"],
            mapping=mapping,
            otherwise=options["subdivision"],
        )

    def _apply(
        self, data: bytes, mapping: dict[str, str], options: dict[str, Any]
    ) -> Looked:
        if not PhaseKind.objects.exists():
            load_defaults()
        now = timezone.now()
        who = Who(member=_member(options["by"]))
        name = options["builder"] or NO_BUILDER
        # A list that cannot be read leaves no builder behind.
        look_at(data, builder=None, sheet=options["sheet"], mapping=mapping)
        builder, _ = Builder.objects.get_or_create(name=name)
        stored = receive_list(
            data,
            file_name=options["file"].name,
            builder=builder,
            who=who,
            now=now,
            sheet=options["sheet"] or "",
            mapping=mapping,
        )
        looked = decide(
            stored,
            who=who,
            sheet=options["sheet"] or "",
            mapping=mapping,
            joins={},
            otherwise=options["subdivision"],
            remember=False,
        )
        apply_import(stored, who=who, now=now)
        return looked

    def _tell(self, looked: Looked) -> None:
        listing = looked.listing
        for field, header in listing.columns.items():
            self.stdout.write(f"{field:>16} <- {header}")
        for guess in listing.guesses:
            self.stdout.write(f"guessed: {guess}")
        for row in listing.rows:
            for error in row.errors:
                self.stdout.write(
                    f"row {row.row}, {error.column}: {error.value!r}. "
                    f"{error.reason} {error.hint}"
                )
        for pair in listing.spellings:
            self.stdout.write(
                f"one subdivision? {pair['spelling']!r} and {pair['like']!r}: "
                f"{pair['why']}"
            )
        counts = counts_of(listing.rows)
        self.stdout.write(", ".join(f"{n} {status}" for status, n in counts.items()))


def _data(path: Path) -> bytes:
    try:
        refuse_size(path.stat().st_size)
        return path.read_bytes()
    except OSError as error:
        reason = error.strerror or "unknown reason"
        raise Unreadable(f"{path.name} cannot be opened: {reason}.") from error


def _builder(name: str | None) -> Builder | None:
    """The builder to compare with; None compares with nothing.

    A dry run without --builder works with no database at all.
    """
    try:
        builder = Builder.objects.filter(name=name or NO_BUILDER).first()
    except DatabaseError:
        if name is None:
            return None
        raise Unreadable("The database is not ready: run `migrate` first.") from None
    if builder is None and name is not None:
        raise Unreadable(f"There is no builder {name!r}.")
    return builder


def _member(username: str | None) -> Member:
    members = Member.objects.filter(
        is_active=True, role__in=(Role.OWNER, Role.OFFICE)
    ).order_by("-role", "pk")
    if username is not None:
        members = members.filter(username=username)
    member = members.first()
    if member is None:
        raise Unreadable(
            "Nobody of the office has a sign-in by that name. Make one with `owner`."
        )
    return member


def _shown(looked: Looked) -> dict[str, Any]:
    shown = as_json(looked.listing)
    for row, one in zip(shown["rows"], looked.judged, strict=True):
        row["changes"] = {
            name: [_plain(old), _plain(new)] for name, (old, new) in one.changes.items()
        } or None
    return shown


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return list(value)
    return value.isoformat() if hasattr(value, "isoformat") else value
