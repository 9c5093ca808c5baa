"""The calculation sheet of a plan in a code book."""

from dataclasses import asdict

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET

from tracker.desk.access import office as office_page
from tracker.desk.checks import queries, sheets, showing
from tracker.desk.checks.asked import asked
from tracker.desk.checks.forms import CHOICES, LAYOUTS, METHODS, NUMBERS, YES
from tracker.desk.doing import office_today
from tracker.desk.templatetags.desk import reader_language
from tracker.sites.models import Company

LABELS = {name: label for name, label, *_ in (*NUMBERS, *CHOICES, *YES)} | {
    "gas_table": "Gas table",
    "gas_method": "Gas method",
}

# Codes of a figure as people read them.
NAMES = {**METHODS, **LAYOUTS}


@office_page
@require_GET
def calculation(request: HttpRequest, pk: int) -> HttpResponse:
    """Diagram, sums, table cells and cautions, and who checked the outline."""
    ask = asked(request, pk)
    if ask.piping.outline is None:
        raise Http404(ask.piping.problem)
    report = queries.report_of(
        ask.piping.outline, ask.piping.site, ask.piping.extras, ask.choice.book
    )
    figures = asdict(ask.piping.site)
    body = sheets.calculation(
        {
            "ask": ask,
            "report": report,
            "shown": showing.shown(report),
            "diagrams": showing.diagrams(
                ask.piping, report, title=ask.title, language=reader_language()
            ),
            "figures": [
                (LABELS[name], NAMES.get(value, value))
                for name, value in figures.items()
                if name in LABELS and value is not None
            ],
            "company": Company.get(),
            "today": office_today(timezone.now()),
        }
    )
    name = "-".join(["calculation", ask.plan.code, *ask.codes, report.book.code])
    safe = "".join(c if c.isalnum() or c in "-_" else "-" for c in name)
    return sheets.as_pdf(body, name=safe)
