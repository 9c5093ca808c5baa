"""Inspection dates answered the slow way: one day, one minute at a time.

Shares no code with `inspections.dates`: it reads the JSON itself, looks at every day
(or every minute) in turn and asks only whether the written rule holds there.
"""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import holidays

NAMES = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]


class Office:
    def __init__(self, rules):
        self.rules = rules
        self.zone = ZoneInfo(rules["timezone"])
        self.goes_out = rules.get("inspection_weekdays", NAMES[:5])
        self.takes_calls = rules.get("request_weekdays", self.goes_out)
        place = rules.get("holidays")
        self.off = (
            holidays.country_holidays(place["country"], subdiv=place.get("subdiv"))
            if place
            else {}
        )

    def shut(self, day):
        if day in self.off:
            return "holiday"
        return "closed" if str(day) in self.rules.get("closed_dates", []) else None

    def nth_of_month(self, day):
        return sum(
            1
            for n in range(1, day.day + 1)
            if day.replace(day=n).weekday() == day.weekday()
        )

    def no_inspection(self, day):
        name = NAMES[day.weekday()]
        if name not in self.goes_out:
            return "weekday"
        if self.shut(day):
            return self.shut(day)
        for never in self.rules.get("closed_monthly", []):
            if never["weekday"] == name and never["nth"] == self.nth_of_month(day):
                return "closed monthly"
        return None

    def not_to_have(self, day, booked):
        reason = self.no_inspection(day)
        cap = self.rules.get("cap_per_day")
        if reason is None and cap is not None and booked.get(str(day), 0) >= cap:
            return "full"
        return reason

    def openings(self, day):
        spans = self.rules.get("windows")
        if not spans:
            hours = self.rules.get("hours", ["08:00", "16:00"])
            if isinstance(hours, dict):
                hours = hours.get(NAMES[day.weekday()], hours.get("default"))
            spans = [hours]
        return sorted(spans, key=lambda span: span[0])

    def day_counted(self, asked):
        day, late = asked.date(), False
        cutoff = self.rules.get("cutoff")
        if cutoff is not None and asked.strftime("%H:%M:%S") > cutoff + ":00":
            late = True
        while late or NAMES[day.weekday()] not in self.takes_calls or self.shut(day):
            day, late = day + timedelta(1), False
        return day

    def days_earliest(self, asked, booked, not_before):
        counted = self.day_counted(asked)
        day, left = counted, self.rules["lead"]["amount"]
        if left == 0:
            while self.no_inspection(day):
                day += timedelta(1)
        while left:
            day += timedelta(1)
            left -= self.no_inspection(day) is None
        day = max(day, not_before or day)
        skipped = []
        while self.not_to_have(day, booked):
            skipped.append([str(day), self.not_to_have(day, booked)])
            day += timedelta(1)
        window = self.openings(day)[0] if self.rules.get("windows") else None
        return {
            "counted_on": str(counted),
            "inspect_on": str(day),
            "window": window,
            "skipped": skipped,
        }

    def hours_earliest(self, asked, booked, not_before):
        """Every minute in turn, on the UTC clock, until a window opens on it."""
        begun = asked.replace(tzinfo=self.zone).timestamp()
        begun += 3600 * self.rules["lead"]["amount"]
        minute = datetime.fromtimestamp(-(-begun // 60) * 60, UTC)
        first = datetime.fromtimestamp(begun, UTC).astimezone(self.zone).date()
        first = max(first, not_before or first)
        seen, skipped = set(), []
        while True:
            local = minute.astimezone(self.zone)
            day = local.date()
            if day >= first and day not in seen:
                seen.add(day)
                reason = self.not_to_have(day, booked)
                if reason:
                    skipped.append([str(day), reason])
            if day >= first and self.not_to_have(day, booked) is None:
                for span in self.openings(day):
                    if span[0] == local.strftime("%H:%M"):
                        return {
                            "counted_on": None,
                            "inspect_on": str(day),
                            "window": span if self.rules.get("windows") else None,
                            "skipped": skipped,
                        }
            minute += timedelta(minutes=1)

    def plain_earliest(self, asked, booked, not_before=None):
        in_hours = self.rules["lead"]["unit"] == "hours"
        walk = self.hours_earliest if in_hours else self.days_earliest
        return walk(asked, booked, not_before)

    def too_far(self, asked, got):
        ahead = self.rules.get("book_ahead_days")
        days = (date.fromisoformat(got["inspect_on"]) - asked.date()).days
        return ahead is not None and days > ahead

    def never_taken(self, asked):
        """No call of the next 60 days is taken, whatever day it gets."""
        if self.rules.get("book_ahead_days") is None:
            return False
        for later in range(60):
            midnight = datetime.combine(asked.date(), datetime.min.time())
            midnight += timedelta(later)
            if not self.too_far(midnight, self.plain_earliest(midnight, {})):
                return False
        return True

    def earliest(self, asked, booked, not_before=None):
        got = self.plain_earliest(asked, booked, not_before)
        if not self.too_far(asked, got):
            return got
        wanted = date.fromisoformat(got["inspect_on"])
        day = asked.date()
        while True:  # one day after the other: would a call at midnight be taken?
            midnight = datetime.combine(day, datetime.min.time())
            late = midnight < asked
            if not late and not self.too_far(
                midnight, self.plain_earliest(midnight, booked, wanted)
            ):
                return {"refused": "too far ahead", "first_request_on": str(day)}
            day += timedelta(1)

    def gets(self, asked, day, booked):
        """A request at that minute can have that day."""
        got = self.earliest(asked, booked, day)
        return got.get("inspect_on") == str(day)
