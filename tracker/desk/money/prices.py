"""Setting prices: the owner's alone. What was earned keeps its own amount."""

from datetime import datetime

from django.db import transaction
from django.db.models import ProtectedError

from phases import rules
from phases.earning import settle_charges
from phases.log import Who, writing
from phases.models import DrawTerm, PieceRate
from tracker.errors import Refused
from tracker.sites.models import Lot


def add_price(row: DrawTerm | PieceRate, *, who: Who, now: datetime) -> None:
    """A new price; phases that passed before it was set earn it now."""
    rules.check(rules.why_not_owner(who.member))
    with writing(now=now):
        row.save()
        if isinstance(row, DrawTerm):
            lots = Lot.objects.filter(subdivision__builder=row.builder)
            settle_charges(list(lots.values_list("pk", flat=True)), now=now)


@transaction.atomic
def drop_price(row: DrawTerm | PieceRate, *, who: Who) -> None:
    rules.check(rules.why_not_owner(who.member))
    try:
        row.delete()
    except ProtectedError:
        raise Refused("price_in_use") from None
