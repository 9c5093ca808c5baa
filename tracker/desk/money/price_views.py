"""The price list: draw terms and piece rates. The owner alone sets prices."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from phases.log import Who
from phases.models import DrawTerm, PieceRate
from tracker.desk.access import office as office_page
from tracker.desk.money import prices
from tracker.desk.money.forms import DrawTermForm, PieceRateForm
from tracker.desk.money.views import attempt
from tracker.desk.templatetags.desk import w


@office_page
@require_http_methods(["GET", "POST"])
def price_list(request: HttpRequest) -> HttpResponse:
    """Draw terms and piece rates; the owner alone sets prices."""
    which = request.POST.get("table")
    draw = DrawTermForm(request.POST if which == "draw" else None, prefix="draw")
    piece = PieceRateForm(request.POST if which == "piece" else None, prefix="piece")
    form = {"draw": draw, "piece": piece}.get(which or "")
    if form is not None and form.is_valid():
        who = Who(member=request.user)
        if attempt(
            request,
            lambda: prices.add_price(form.instance, who=who, now=timezone.now()),
            w("The price holds from now on."),
        ):
            return redirect("desk:money-prices")
    terms = DrawTerm.objects.select_related("builder", "kind", "plan", "option")
    return render(
        request,
        "desk/money/prices.html",
        {
            "draw": draw,
            "piece": piece,
            "terms": terms,
            "rates": PieceRate.objects.select_related("kind", "crew", "plan"),
        },
    )


@office_page
@require_POST
def price_gone(request: HttpRequest, table: str, pk: int) -> HttpResponse:
    """Take a price off the list; what it earned already stays."""
    model = {"draw": DrawTerm, "piece": PieceRate}[table]
    row = get_object_or_404(model, pk=pk)
    who = Who(member=request.user)
    attempt(request, lambda: prices.drop_price(row, who=who), w("Taken off the list."))
    return redirect("desk:money-prices")
