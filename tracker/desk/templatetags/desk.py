"""What the office pages' templates need: words, reasons, houses, navigation."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from django import template
from django.template import Context
from django.template.defaultfilters import date as date_text
from django.urls import reverse
from django.utils.html import escape, format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language

from phases.models import Correction, Fact, LotPhase
from tracker.desk import glyph, nav
from tracker.desk.coded import DATE_WHATS, RESULT_WORDS
from tracker.desk.record import columns
from tracker.desk.record.facts import MONEY, fact_text
from tracker.desk.spanish import in_language
from tracker.desk.street.strip import strip
from tracker.planning.adapter.labels import Label
from tracker.sites.models import Lot
from tracker.words import say, say_all

register = template.Library()


def reader_language() -> str:
    """`en` or `es`, whatever the browser asked for."""
    return "es" if (get_language() or "en").startswith("es") else "en"


@register.simple_tag
def w(text: str, **params: object) -> str:
    """A text of the page in the reader's language; params fill its {fields}."""
    return in_language(text, reader_language(), **params)


@register.filter
def words(text: str) -> str:
    """As `w`, for a text that comes in a variable."""
    return in_language(str(text), reader_language())


@register.simple_tag(takes_context=True)
def reason(context: Context, value: Any) -> str:
    """A reason {"code": ...}, or a list of them, as a sentence. May use: names."""
    names = context.get("names")
    if isinstance(value, Mapping):
        return say(value, reader_language(), names)
    return say_all(value or (), reader_language(), names)


@register.filter
def named(row: Any, field: str = "name") -> str:
    """The name of a row (or the other `field`) in the reader's language."""
    if isinstance(row, Mapping):
        return str(
            row.get(f"{field}_{reader_language()}") or row.get(f"{field}_en", "")
        )
    return str(getattr(row, f"{field}_{reader_language()}", "") or row)


@register.filter
def day(value: date | None) -> str:
    """`Tue 3 Mar`, in the reader's language; empty for no date."""
    return date_text(value, "D j M") if value else ""


@register.simple_tag(takes_context=True)
def house(
    context: Context, phases: Iterable[LotPhase], size: int = 24, name: str = ""
) -> SafeString:
    """The house section of a lot from its phases (with `kind`).

    After `house_symbols` on the same page it only points to its drawing.
    """
    states = _states(phases)
    drawn = glyph.glyph(
        states,
        size=size,
        title_en=name,
        title_es=name,
        language=reader_language(),
        symbol=context.get("house_symbols", {}).get(glyph.key_of(states), ""),
    )
    return mark_safe(drawn)  # noqa: S308 (escaped by glyph)


def _states(phases: Iterable[LotPhase]) -> dict[str, str]:
    return glyph.zones_of((phase.kind.glyph_part, phase.word) for phase in phases)


@register.simple_tag(takes_context=True)
def house_symbols(context: Context, rows: Iterable[Any]) -> SafeString:
    """The drawings of these rows (with `phases`), each different one once."""
    drawn, context["house_symbols"] = glyph.symbols(_states(r.phases) for r in rows)
    return mark_safe(drawn)  # noqa: S308 (our own drawing)


@register.simple_tag(takes_context=True)
def street_strip(context: Context, houses: Iterable[Any]) -> SafeString:
    """Every house of a street in a row, each a way to its lot.

    Written in one go: through the template a street of 2,000 takes ten times as long.
    """
    houses, language = list(houses), reader_language()
    drawn, context["house_symbols"] = glyph.symbols(one.zones for one in houses)
    line = strip(
        (
            (reverse("desk:lot", args=[one.lot.pk]), one.lot.label, lot_name(one.lot))
            for one in houses
        ),
        (one.zones for one in houses),
        context["house_symbols"],
        language=language,
    )
    label = in_language("The street as it stands", language)
    return mark_safe(  # noqa: S308 (built of escaped parts)
        f'{drawn}<ol class="houses" aria-label="{escape(label)}">{line}</ol>'
    )


@register.simple_tag
def house_of(states: Mapping[str, str], size: int = 24, name: str = "") -> SafeString:
    """The house section from a word for each zone."""
    return mark_safe(  # noqa: S308 (escaped by glyph)
        glyph.glyph(
            states, size=size, title_en=name, title_es=name, language=reader_language()
        )
    )


@register.simple_tag
def state_symbols() -> SafeString:
    """The shape of every state once, for the badges of the page."""
    drawn = "".join(
        f'<symbol id="s-{word}" viewBox="3 7 18 7">{glyph.inside({"wall": word})}'
        "</symbol>"
        for word in glyph.STATES
    )
    hidden = 'class="unseen" width="0" height="0" aria-hidden="true"'
    return mark_safe(f"<svg {hidden}>{drawn}</svg>")  # noqa: S308 (our own drawing)


@register.simple_tag
def state(word: str) -> SafeString:
    """The word of a state as a badge: its shape comes with it."""
    return format_html(
        '<span class="state s-{0}"><svg class="house" width="23" height="9" '
        'aria-hidden="true"><use href="#s-{0}"/></svg>{1}</span>',
        word,
        glyph.state_word(word, reader_language()),
    )


@register.inclusion_tag("_nav.html", takes_context=True)
def navigation(context: Context) -> dict[str, object]:
    request = context["request"]
    return {
        "request": request,
        "entries": nav.entries(request.user, request.path),
        "language": reader_language(),
    }


@register.inclusion_tag("glyph/_legend.html")
def house_legend() -> dict[str, object]:
    """Every state with its drawing and word."""
    shown = [word for word in glyph.STATES if word not in ("open",)]
    return {"rows": [(word, dict.fromkeys(glyph.PARTS, word)) for word in shown]}


@register.simple_tag
def brand() -> SafeString:
    """Our mark: a house that has passed everything but its roof. Says nothing."""
    states = {"below": "passed", "floor": "passed", "wall": "passed", "roof": "open"}
    drawn = glyph.glyph(states, size=28)
    return mark_safe(f'<span aria-hidden="true">{drawn}</span>')  # noqa: S308


@register.simple_tag
def state_text(word: str) -> str:
    """The word of a state without its shape."""
    return glyph.state_word(word, reader_language())


@register.simple_tag
def lot_name(lot: Lot) -> str:
    """`Lot 18A, Block 6` in the reader's language."""
    return lot.in_language(reader_language())


@register.filter
def lot_label(label: str) -> str:
    """The label of a lot in a plan, in the reader's language."""
    return Label(label).in_language(reader_language())


@register.simple_tag
def correction_text(correction: Correction) -> str:
    """What is wrong, in the reader's language where somebody put it into words."""
    if reader_language() == "es" and correction.text_es:
        return correction.text_es
    return correction.text


@register.simple_tag
def page_link(route: str, text: str) -> SafeString:
    """A button to a page; nothing where the page is not there."""
    address = nav.address(route)
    if address is None:
        return SafeString("")
    shown = in_language(text, reader_language())
    return format_html('<a class="button" href="{}">{}</a>', address, shown)


ANSWERS = {
    "not_ready": "not ready",
    "none_needed": "none needed",
    "not_called": "not called",
    "called_in": "called in",
    "partly_passed": "partly passed",
    "covered_proven": "covered, proven",
    "covered_unproven": "covered unproven",
    "not_done": "not done",
}


@register.simple_tag
def answer(of: str, word: str) -> str:
    """One of the three answers of a phase in words: `of` work, inspection or cover."""
    said = in_language(f"{of}.{word}", reader_language())
    return said if said != f"{of}.{word}" else ANSWERS.get(word, word)


@register.simple_tag
def item_state(word: str) -> SafeString:
    """State of a check item as a badge."""
    kind = {"proven": "good", "open": "", "not_done": "hold"}.get(word, "bad")
    return format_html('<span class="badge {}">{}</span>', kind, answer("item", word))


@register.simple_tag
def result_word(result: str) -> str:
    """What an inspector said, in words."""
    text = RESULT_WORDS.get(result, result)
    return in_language(text, reader_language())


@register.simple_tag
def date_what(what: str) -> str:
    """What a builder date is of."""
    return in_language(DATE_WHATS.get(what, what), reader_language())


@register.simple_tag(takes_context=True)
def code_name(context: Context, code: str) -> str:
    """The name of a phase, part or inspection by its code. May use: names."""
    return context.get("names", {}).get(code, code)


@register.simple_tag(takes_context=True)
def fact_row(context: Context, fact: Fact) -> str:
    """What a fact says, in words; nothing where it is money and not for this reader."""
    if fact.kind in MONEY and not context["request"].user.is_office:
        return ""
    return fact_text(
        fact.kind, fact.payload, context.get("names", {}), reader_language()
    )


@register.simple_tag
def fact_kind(kind: str) -> str:
    """The name of a kind of fact, for a list of choices."""
    return in_language(f"fact.{kind}", reader_language()).removeprefix("fact.")


@register.simple_tag
def table_text(name: str) -> str:
    return columns.table_text(name, reader_language())


@register.simple_tag
def column_change(field: Any, old: Any, new: Any) -> str:
    """`name: before → after`, all three in words."""
    language = reader_language()
    choices = dict(field.flatchoices or ())
    before, after = (columns.value_text(v, language, choices) for v in (old, new))
    return f"{columns.column_text(field.name, language)}: {before} → {after}"
