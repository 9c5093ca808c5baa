"""What an address asks for: options, book, version, what to compare with."""

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import HttpRequest, QueryDict
from django.shortcuts import get_object_or_404

from phases.models import PlanOutline
from phases.plan_check import Piping, options_key
from tracker.desk.checks.queries import BookChoice, PlanFile, plan_file
from tracker.sites.models import Plan

NOT_ASKED = "-"


@dataclass(frozen=True)
class Asked:
    """A plan with the options, the book and the version that the page shows."""

    file: PlanFile
    codes: tuple[str, ...]
    choice: BookChoice
    row: PlanOutline | None
    piping: Piping

    @property
    def plan(self) -> Plan:
        return self.file.plan

    @property
    def key(self) -> str:
        return options_key(self.codes)

    @property
    def is_latest(self) -> bool:
        latest = self.file.row(self.key)
        return self.row is None or (latest is not None and self.row.pk == latest.pk)

    @property
    def lots(self) -> int:
        """Open lots that have exactly these options."""
        return self.file.sets.get(self.key, 0)

    @property
    def title(self) -> str:
        with_options = f" + {', '.join(self.codes)}" if self.codes else ""
        return f"{self.plan.code}{with_options}, {self.choice.book.title}"

    def query(self, **more: object) -> str:
        """The same again as the query of an address."""
        pairs = [("option", code) for code in self.codes]
        pairs += [("book", self.choice.key)]
        pairs += [(name, str(value)) for name, value in more.items()]
        return urlencode(pairs)


def asked(request: HttpRequest, pk: int) -> Asked:
    """Read the plan and what the address says of it; strange words fall back."""
    plan = get_object_or_404(Plan.objects.select_related("builder"), pk=pk)
    file = plan_file(plan)
    return of(file, request.GET)


def of(file: PlanFile, query: QueryDict) -> Asked:
    codes = codes_in(file, query.getlist("option"))
    choice = file.chosen(query.get("book", ""))
    version = query.get("version", "")
    row = None
    if version.isascii() and version.isdigit():
        row = file.row(options_key(codes), int(version[:9]))
    row = row or file.row(options_key(codes))
    return Asked(file, codes, choice, row, file.piping(codes, choice.book, row))


def codes_in(file: PlanFile, codes: list[str]) -> tuple[str, ...]:
    return tuple(code for code in sorted(set(codes)) if code in file.options)


def other_codes(file: PlanFile, query: Mapping[str, str]) -> tuple[str, ...] | None:
    """Options to compare with (`with=A,B`, `with=` for none); None: not asked."""
    wanted = query.get("with", NOT_ASKED)
    if wanted == NOT_ASKED:
        return None
    return codes_in(file, wanted.split(","))


def comparable(file: PlanFile) -> list[str]:
    """Sets of options worth comparing with: none, each alone, each set in use."""
    singles = [options_key([code]) for code in file.options]
    return list(dict.fromkeys(["", *singles, *file.sets]))
