"""Outlines of the demo's plans: all guessed, those of seven accepted by the owner."""

from datetime import datetime
from itertools import combinations

from phases.actions.outlines import accept_outline, keep_guess
from phases.catalogue import apply_options
from phases.house_of import plan_of
from phases.log import Who
from phases.plan_check import book_of
from tracker.people.models import Member
from tracker.sites.models import Plan, Subdivision

# The owner has not looked at these yet.
NOT_ACCEPTED = ("2875", "C-27")


def lay_outlines(owner: Member, *, now: datetime) -> int:
    """A guess for every plan and set of options, before the first lot is made."""
    books = {}
    for street in Subdivision.objects.select_related("jurisdiction"):
        books.setdefault(street.builder_id, book_of(street))
    who = Who(member=owner)
    made = 0
    for plan in Plan.objects.all():
        base, options = plan_of(plan)
        for size in range(len(options) + 1):
            for codes in combinations(sorted(options), size):
                house = apply_options(base, [options[code] for code in codes])
                outline = keep_guess(
                    plan,
                    codes,
                    book=books[plan.builder_id],
                    who=who,
                    now=now,
                    house=house,
                )
                made += 1
                if plan.code not in NOT_ACCEPTED:
                    accept_outline(outline, name=owner.name, who=who, now=now)
    return made
