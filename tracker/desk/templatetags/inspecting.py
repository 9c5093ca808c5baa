"""What the templates of inspections need."""

import re
from datetime import date, datetime
from typing import Any

from django import template
from django.template import Context
from django.template.defaultfilters import date as date_text

from inspections.call_list import Visit
from inspections.calls import Call
from inspections.dates import Complaint
from inspections.first_pass import Rate
from inspections.models import Notice, PipeTest
from inspections.notices.sending import SUBJECTS
from inspections.pipe_tests.verdicts import verdict_words
from inspections.timing import Deadline
from phases.names import name_kinds, names_by_office
from tracker.desk.spanish import in_language
from tracker.desk.templatetags.desk import reader_language
from tracker.sites.models import Lot
from tracker.words import say, say_all

register = template.Library()


def _w(text: str, **params: object) -> str:
    return in_language(text, reader_language(), **params)


ISO = re.compile(r"\b(\d{4}-\d\d-\d\d)(?= |[.,;:)]|$)")


def _of_lot(context: Context, value: Any, lot: Lot | None) -> str:
    """Reasons said with the names that the lot's own office gives its kinds."""
    request = context["request"]
    if not hasattr(request, "names_by_office"):
        request.names_by_office = names_by_office(reader_language())
    office = lot.subdivision.jurisdiction_id if lot else None
    kinds = request.names_by_office.get(office, {})
    reasons = name_kinds([value] if isinstance(value, dict) else value, kinds)
    return say_all(reasons, reader_language(), context.get("names"))


@register.simple_tag(takes_context=True)
def of_lot(context: Context, value: Any, lot: Lot) -> str:
    return _of_lot(context, value, lot)


@register.simple_tag(takes_context=True)
def notice_words(context: Context, notice: Notice) -> str:
    """The sentence of a notice; days with their weekday, as people speak of them."""
    said = _of_lot(context, notice.words, notice.lot)
    return ISO.sub(lambda m: date_text(date.fromisoformat(m[1]), "D j M"), said)


@register.simple_tag
def in_words(complaint: Complaint) -> str:
    """What is wrong with an office's rules."""
    return complaint.in_language(reader_language())


@register.simple_tag
def moment(value: datetime) -> str:
    """`Tue 3 Mar 15:00` on the office's own clock."""
    return f"{date_text(value.date(), 'D j M')} {value:%H:%M}"


@register.simple_tag
def system(word: str) -> str:
    return _w(word)


@register.simple_tag
def by_phone(unknown: tuple[str, ...]) -> str:
    """What the office has to be asked for."""
    what = [{"code": f"unknown_{key}"} for key in unknown]
    return say({"code": "ask_by_phone", "what": what}, reader_language())


@register.simple_tag
def notice_title(notice: Notice) -> str:
    column = 1 if reader_language() == "es" else 0
    return SUBJECTS.get(notice.reason, (notice.reason, notice.reason))[column]


@register.simple_tag
def deadline_of(call: Call) -> datetime | None:
    """The last call that still meets the cover date, where it is known."""
    found = call.deadline
    return found.call_in_by if isinstance(found, Deadline) else None


@register.simple_tag
def copy_line(visit: Visit) -> str:
    """One line to paste into an office's own form, or to read out on the phone."""
    lot = visit.lot
    kinds = " + ".join(call.kind.name_en for call in visit.calls)
    on = visit.inspect_on.isoformat() if visit.inspect_on else ""
    gate = f"gate {lot.gate_code}" if lot.gate_code else ""
    parts = [lot.permit_number, lot.address, f"{lot.subdivision} {lot.name}"]
    return "\t".join(filter(None, [*parts, kinds, on, gate]))


@register.simple_tag
def rate(found: Rate) -> str:
    """ "18 of 20: 90 %, between 70 % and 97 %", and a warning when few."""
    if found.share is None:
        return _w("none yet")
    said = _w(
        "{passed} of {total}: {share}, between {low} and {high}",
        passed=found.passed,
        total=found.total,
        share=f"{found.share:.0%}",
        low=f"{found.low:.0%}",
        high=f"{found.high:.0%}",
    )
    return f"{said} ({_w('too few to tell')})" if found.few else said


@register.simple_tag
def label(labels: dict[str, str], code: str) -> str:
    return labels.get(code, code)


@register.simple_tag
def reason_code(code: str) -> str:
    """A reason that is no more than its code."""
    return say({"code": code}, reader_language())


@register.simple_tag
def verdict(test: PipeTest) -> str:
    """What the code book says of a test, in the reader's language."""
    return verdict_words(test.said, reader_language()) if test.said else test.sentence


@register.simple_tag
def cautions_of(test: PipeTest) -> str:
    said = [say(reason, reader_language()) for reason in test.cautions]
    return " ".join(said) or test.caution
