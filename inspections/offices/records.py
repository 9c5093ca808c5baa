"""One office as it describes itself; what it does not publish is unknown."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import time
from decimal import Decimal
from typing import ClassVar

from inspections.dates import Rules

# Why a visit cost a fee, or did not pass.
VISIT_REASONS = (
    "failed",
    "not_ready",
    "no_access",
    "not_on_test",
    "cancelled",
    "repeated",
)
# What makes an office turn a request away.
BLOCKS = ("fees_due", "permit_expired", "hold")
RENEWED_BY = ("nothing", "inspection", "approved_inspection")


@dataclass(frozen=True, slots=True)
class Promise:
    """ "Within n days" or hours: a latest date. `first` inspection days after the
    request (0 = the same day) the inspector may already stand there.
    """

    unit: str
    amount: int
    first: int = 0


@dataclass(frozen=True, slots=True)
class DateRules:
    """Date rules of a kind of inspection. `unknown` names keys that the office does not
    publish; where `rules` leaves them at a default, that default is no promise.
    """

    rules: Rules
    within: Promise | None = None
    unknown: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Fee:
    """What a wasted visit costs; `amount` None means that the office does not say."""

    amount: Decimal | None
    pay_first: bool


@dataclass(frozen=True, slots=True)
class Reinspection:
    """Fee from the `from_visit`-th visit for one of `reasons`; no further inspection
    before it is paid when `pay_first`.
    """

    reasons: frozenset[str]
    amount: Decimal | None = None
    from_visit: int = 1
    pay_first: bool = False


@dataclass(frozen=True, slots=True)
class PermitLife:
    """A permit lives `days` from its issue; some inspections give it `days` more."""

    days: int
    renewed_by: str = "nothing"


@dataclass(frozen=True, slots=True)
class TestRefused:
    """A test that this office does not accept; `material` "any" or "plastic"."""

    __test__: ClassVar[bool] = False

    system: str
    medium: str
    material: str = "any"


@dataclass(frozen=True, slots=True)
class VisitLimit:
    """Visits for one task before `penalty` follows."""

    visits: int
    penalty: str


@dataclass(frozen=True, slots=True)
class OfficeRecord:
    """One office. None and empty mean that nothing is published about it."""

    usual: DateRules
    by_kind: Mapping[str, DateRules] = field(default_factory=dict)
    reinspection: Reinspection | None = None
    permit: PermitLife | None = None
    turned_away_when: frozenset[str] = frozenset()
    who_may_ask: frozenset[str] = frozenset()
    tests_refused: tuple[TestRefused, ...] = ()
    ride_together: tuple[frozenset[str], ...] = ()
    must_pass_first: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    visit_limit: VisitLimit | None = None
    cancel_by: time | None = None
    notes: tuple[str, ...] = ()
    source: str = ""

    def date_rules(self, kind: str = "") -> DateRules:
        """The rules of one kind of inspection, the usual ones for any other."""
        return self.by_kind.get(kind, self.usual)
