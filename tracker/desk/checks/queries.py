"""What the plan check reads: always the same number of statements for a plan."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from django.db.models import QuerySet

from phases.catalogue import Catalogue, Demand, House, Option, PlanError, stub_out_list
from phases.catalogue import apply_options as applied
from phases.house_of import catalogue_now, plan_of
from phases.models import PlanOutline
from phases.plan_check import (
    Piping,
    book_of,
    extras_of,
    guess_of,
    notes_of,
    options_key,
    overrides_of,
    report_of,
    site_of,
    stored_piping,
)
from phases.sizing.amendments import NoBook
from phases.sizing.outline import show
from phases.sizing.plan.check import PlanReport
from phases.sizing.plan.extras import Extras
from phases.sizing.tables import CODES, Book
from tracker.sites.models import Lot, Plan, Subdivision

EDITION = 2021


@dataclass(frozen=True)
class BookChoice:
    """A code book to check in: its key in addresses, and the streets that have it."""

    key: str
    book: Book
    streets: tuple[str, ...] = ()
    unused: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        streets = ", ".join(self.streets)
        return f"{self.book.title} · {streets}" if streets else self.book.title


@dataclass(frozen=True)
class PlanFile:
    """A plan with all that its check needs, read once."""

    plan: Plan
    base: House
    options: dict[str, Option]
    catalogue: Catalogue
    versions: tuple[PlanOutline, ...]
    choices: tuple[BookChoice, ...]
    sets: dict[str, int]
    names: dict[str, str]

    def house(self, codes: Iterable[str]) -> House:
        """The plan with options, as a first lot of its streets would be built."""
        book = self.choices[0].book.code
        house = applied(self.base, [self.options[code] for code in codes])
        return replace(house, book=book)

    def demands(self, codes: Iterable[str]) -> tuple[Demand, ...]:
        return stub_out_list(self.house(codes), self.catalogue)

    def chosen(self, key: str) -> BookChoice:
        """The book asked for, or the first."""
        return next((c for c in self.choices if c.key == key), self.choices[0])

    def row(self, options: str, version: int | None = None) -> PlanOutline | None:
        """The newest version of an option set, or the one asked for."""
        for row in self.versions:
            if row.options == options and version in (None, row.version):
                return row
        return None

    def piping(
        self, codes: Iterable[str], book: Book, row: PlanOutline | None
    ) -> Piping:
        """The stored outline, or a guess that nobody has kept yet."""
        codes = list(codes)
        key = options_key(codes)
        try:
            house = self.house(codes)
            if row is not None:
                return stored_piping(
                    row, storeys=house.storeys, foundation=house.foundation
                )
            site = site_of(house.storeys, house.foundation, {})
            outline = guess_of(house, site, book)
            extras = extras_of(house, stub_out_list(house, self.catalogue))
        except (LookupError, ValueError, PlanError) as error:
            empty = site_of(self.base.storeys, self.base.foundation, {})
            return Piping(key, empty, Extras(), problem=error.args[0])
        return Piping(key, site, extras, show(outline), outline)


def plan_file(plan: Plan) -> PlanFile:
    """Everything of a plan's check, in the same number of statements always."""
    base, options = plan_of(plan)
    return PlanFile(
        plan=plan,
        base=base,
        options=options,
        catalogue=catalogue_now(),
        versions=tuple(versions(plan)),
        choices=book_choices(plan),
        sets=option_sets(plan),
        names=dict(plan.options.values_list("code", "name")),
    )


def versions(plan: Plan) -> QuerySet[PlanOutline]:
    return (
        PlanOutline.objects.filter(plan=plan)
        .select_related("made_by", "accepted_by", "withdrawn_by")
        .order_by("options", "-version")
    )


def book_choices(plan: Plan) -> tuple[BookChoice, ...]:
    """Books of the builder's streets with their amendments, then the plain ones."""
    streets = Subdivision.objects.filter(builder=plan.builder_id).select_related(
        "jurisdiction"
    )
    found: dict[Book, BookChoice] = {}
    for street in streets:
        try:
            book = book_of(street)
        except NoBook:
            continue
        _, unused = overrides_of(street.jurisdiction, book.code)
        before = found.get(book, BookChoice(f"s{street.pk}", book))
        found[book] = replace(
            before,
            streets=(*before.streets, street.name),
            unused=tuple(dict.fromkeys([*before.unused, *unused])),
            notes=tuple(dict.fromkeys([*before.notes, *notes_of(street.jurisdiction)])),
        )
    edition = next(iter(found)).edition if found else EDITION
    for code in sorted(CODES, key=lambda code: code != "IRC"):
        plain = Book(code, edition)
        key = f"{code.lower()}-{edition}"
        found.setdefault(plain, BookChoice(key, plain))
    return tuple(found.values())


def option_sets(plan: Plan) -> dict[str, int]:
    """Each set of options that open lots of the plan chose, with how many lots."""
    rows = Lot.objects.open().filter(plan=plan).values_list("pk", "options__code")
    lots: dict[int, list[str]] = {}
    for pk, code in rows:
        lots.setdefault(pk, []).extend([code] if code else [])
    found: dict[str, int] = {}
    for codes in lots.values():
        key = options_key(codes)
        found[key] = found.get(key, 0) + 1
    return dict(sorted(found.items()))


def reports(piping: Piping, choice: BookChoice) -> tuple[PlanReport, ...]:
    """The outline in IRC, IPC and UPC of the chosen edition, amended where chosen."""
    assert piping.outline is not None
    books = [
        choice.book if code == choice.book.code else Book(code, choice.book.edition)
        for code in ("IRC", "IPC", "UPC")
    ]
    return tuple(
        report_of(piping.outline, piping.site, piping.extras, book) for book in books
    )
