"""The pace on the load page: what is asked, and the answer in words."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.formats import number_format

from phases.models import PhaseKind
from tracker.desk.ahead.draw import name_of
from tracker.desk.ahead.load import WEEK, open_phases
from tracker.desk.ahead.pace import Line, kept, line_of, needs
from tracker.desk.ahead.sheet import pass_day
from tracker.desk.templatetags.desk import day as day_said
from tracker.desk.templatetags.desk import w
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.core.problem import Problem
from tracker.planning.models import PlanVersion


class PaceForm(forms.Form):
    """Houses a week, or the day by which the last one is to be through."""

    plan = forms.CharField(required=False, max_length=12, widget=forms.HiddenInput)
    houses = forms.FloatField(
        label="Houses a week",
        required=False,
        min_value=0.1,
        max_value=200,
        widget=forms.NumberInput(attrs={"step": "0.1"}),
    )
    by = forms.DateField(
        label="or the last house passed by",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text="Both empty: by the builders' dates.",
    )


def pace(
    version: PlanVersion,
    problem: Problem,
    kinds: Mapping[str, PhaseKind],
    asked: QueryDict,
) -> dict[str, Any]:
    """What the page's part on crews for a pace shows."""
    form = PaceForm(asked)
    told = form.cleaned_data if form.is_valid() else {}
    calendar = Calendar(version.day0)
    passes = {(job["lot"], job["phase"]): pass_day(job) for job in version.plan["jobs"]}
    line = line_of(problem, passes)
    if told.get("by"):
        line = Line(line.units, line.first, calendar.number_of(told["by"], back=True))
    weekly = told.get("houses") or WEEK * (line.rate or 0)
    found = needs(problem, weekly / WEEK) if weekly else []
    return {
        "form": form,
        "said": [
            text
            for text in (
                "" if told.get("houses") else _line_said(line, calendar),
                _kept_said(problem, kinds, weekly),
            )
            if text
        ],
        "rate": number_format(weekly, 1),
        "needs": [(name_of(kinds.get(one.phase), one.phase), one) for one in found],
        "crews": sum(one.crews for one in found),
        "there": len(problem.crews),
    }


def _line_said(line: Line, calendar: Calendar) -> str:
    """How the pace follows from the dates."""
    if line.units < 2:
        return ""
    first, last = (
        day_said(calendar.date_of(day)) for day in (max(0, line.first), line.last)
    )
    if line.rate is None:
        return w(
            "No pace does it: the first house passes on {first}, the last one by"
            " {last}.",
            first=first,
            last=last,
        )
    return w(
        "{count} houses, the first passed on {first} by this plan, the last due on"
        " {last}: {rate} a week.",
        count=line.units,
        first=first,
        last=last,
        rate=number_format(WEEK * line.rate, 1),
    )


def _kept_said(problem: Problem, kinds: Mapping[str, PhaseKind], weekly: float) -> str:
    """What the crews as they are can keep up with."""
    most = kept(problem)
    if most is None:
        return ""
    text = "The crews as they are keep up with {rate} a week; held there by: {phases}."
    if weekly and WEEK * most.rate < weekly - 0.05:
        text = (
            "The crews as they are keep up with only {rate} a week; held there by:"
            " {phases}."
        )
    names = ", ".join(name_of(kinds.get(one), one) for one in most.phases)
    if len(most.phases) == len(open_phases(problem)) > 1:
        names = w("all phases together")
    return w(text, rate=number_format(WEEK * most.rate, 1), phases=names)
