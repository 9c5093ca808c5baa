"""Closed days of next year that nobody has entered."""

from datetime import date, datetime

from inspections.models import Notice
from tracker.sites.models import Jurisdiction

FIRST, SECOND = (11, 1), (12, 15)  # month and day from which it is asked for


def why_closed_days_missing(rules: dict[str, object], *, year: int) -> bool:
    """No public holidays followed and no closed day named in `year`; or days named by
    hand so far, and none in `year`.
    """
    listed = rules.get("closed_dates")
    days = [str(day) for day in listed] if isinstance(listed, list) else []
    if any(day.startswith(f"{year}-") for day in days):
        return False
    return bool(days) or not rules.get("holidays")


def closed_days_missing(*, now: datetime) -> list[Notice]:
    """Asks for them from November on, and once more in the middle of December."""
    today = now.date()
    year = today.year + 1
    opened = [today >= date(today.year, *day) for day in (FIRST, SECOND)]
    made, still = [], set()
    offices = Jurisdiction.objects.filter(subdivisions__isnull=False).distinct()
    for office in offices if any(opened) else ():
        if not why_closed_days_missing(office.rules or {}, year=year):
            continue
        words = {"code": "holidays_missing", "year": year, "office": office.name}
        notice, new = Notice.objects.get_or_create(
            key=f"office{office.pk}:holidays {year}:{sum(opened)}",
            defaults={
                "reason": "holidays_missing",
                "subject": str(year),
                "jurisdiction": office,
                "words": words,
                "made_at": now,
                "changed_at": now,
            },
        )
        still.add(notice.pk)
        made += [notice] if new else []
    gone = Notice.objects.open().exclude(jurisdiction=None).exclude(pk__in=still)
    gone.update(settled_at=now)
    return made
