"""The pull: facts after a cursor, in the order of their commits, none left out.

Numbers are given out under a lock that is held until commit (`phases.log`), so a
number that can be read has none below it that is still to come.
"""

from datetime import date
from typing import Any

from phases.models import Fact, Feed
from tracker.people.models import Member
from tracker.phone.my_lots import lot_ids_for
from tracker.sites.models import Lot

PAGE = 500
# After these a phone may need other lots than it has.
MOVES_LOTS = (
    "planned",
    "unplanned",
    "helper_lent",
    "lot_retired",
    "lot_restored",
    "lot_made",
    "passed",
)


def position() -> Feed:
    """Epoch and last number of this database."""
    return Feed.objects.filter(pk=1).first() or Feed.objects.get_or_create(pk=1)[0]


def cursor_of(feed: Feed, no: int) -> str:
    return f"{feed.epoch}.{no}"


def read_feed(cursor: str, *, member: Member, today: date) -> dict[str, Any]:
    """What happened after the cursor, on lots the member may see.

    A cursor of another epoch (a database restored from a backup) or of no meaning
    answers reset: the phone fetches its lots anew.
    """
    # The position is read first: what commits between the two reads comes next time.
    feed = position()
    epoch, _, number = cursor.rpartition(".")
    known = epoch == str(feed.epoch) and number.isascii() and number.isdigit()
    after = int(number[:18]) if known else feed.last_no
    if not known or after > feed.last_no:
        return _page(feed, [], feed.last_no, reset=True)
    facts = list(
        Fact.objects.filter(no__gt=after)
        .select_related("by", "superintendent")
        .order_by("no")[:PAGE]
    )
    last = facts[-1].no if facts else after
    lots = {fact.lot_id for fact in facts}
    seen = set(
        Lot.objects.visible_to(member).filter(pk__in=lots).values_list("pk", flat=True)
    )
    page = _page(feed, [f for f in facts if f.lot_id in seen], last, reset=False)
    page["all"] = any(fact.kind in MOVES_LOTS for fact in facts)
    page["lots"] = sorted(seen & set(lot_ids_for(member, today=today)))
    page["more"] = len(facts) == PAGE
    return page


def _page(feed: Feed, facts: list[Fact], last: int, *, reset: bool) -> dict[str, Any]:
    return {
        "epoch": str(feed.epoch),
        "cursor": cursor_of(feed, last),
        "reset": reset,
        "all": False,
        "more": False,
        "lots": [],
        "facts": [
            {
                "no": fact.no,
                "op": str(fact.op) if fact.op else None,
                "kind": fact.kind,
                "lot": fact.lot_id,
                "item": fact.item_id,
                "by": fact.who,
                "happened_at": fact.happened_at.isoformat(),
                "recorded_at": fact.recorded_at.isoformat(),
            }
            for fact in facts
        ],
    }
