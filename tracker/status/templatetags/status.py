"""Words of the builder's page, and what office pages include from this area."""

from django import template
from django.template import Context
from django.utils import timezone
from django.utils.translation import get_language

from phases.models import LotPhase
from tracker.status import queries
from tracker.status.models import DateProposal
from tracker.status.words import plain, text

register = template.Library()


def reader() -> str:
    return "es" if (get_language() or "en").startswith("es") else "en"


@register.simple_tag
def t(english: str) -> str:
    """A text of this area in the reader's language."""
    return text(english, reader())


@register.filter(name="text")
def text_of(english: str) -> str:
    """As `t`, for a text that comes in a variable."""
    return text(english, reader())


@register.filter
def result(code: str) -> str:
    """The word of an inspection's state."""
    return plain(code, reader())


@register.filter
def conceals(phase: LotPhase) -> str:
    """What covers a phase: slab pour, drywall."""
    return phase.kind.conceals_es if reader() == "es" else phase.kind.conceals_en


@register.filter
def promise_of(promised, phase: LotPhase):
    """The day promised for a phase, or None."""
    return promised.get(phase.pk)


@register.filter
def dates_of(rows, phase: LotPhase) -> list:
    """Proposals or decisions of one phase."""
    return [row for row in rows if row.lot_phase_id == phase.pk]


@register.filter
def about(rows, what: str) -> list:
    return [row for row in rows if row.what == what]


@register.simple_tag
def moved_dates() -> list[DateProposal]:
    """Dates that superintendents moved, which wait for the office."""
    return list(queries.open_proposals())


@register.inclusion_tag("status/_links.html", takes_context=True)
def builder_links(context: Context, builder_id: int) -> dict[str, object]:
    """The links of one builder, for a page that shows the builder."""
    return {
        "request": context["request"],
        "links": queries.links(builder_id),
        "now": timezone.now(),
    }
