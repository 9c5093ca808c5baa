"""A crew answers its items, with photos that the demo draws."""

from __future__ import annotations

import bisect
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from django.conf import settings

from phases.log import Who
from phases.models import CheckItem, Fact, LotPhase, Photo, PhotoUse
from tracker.desk.demo.calendar import at, is_working, plus
from tracker.desk.demo.pictures import SIZE, picture

if TYPE_CHECKING:
    from tracker.desk.demo.story import Story


def answer_items(
    story: Story, phase: LotPhase, lead, plumber, first: int, last: int
) -> bool:
    """Answer items over the booked half-days; False while the crew is at it."""
    items = list(phase.items.all())
    times = list(moments(first, last, len(items)))
    told = bisect.bisect_right(times, story.season.now)
    skip = story.rng.random() < 0.12 and times[-1].date() > plus(story.today, -12)
    drafts: list[Fact] = []
    for item, moment in zip(items[:told], times[:told], strict=True):
        if skip and item.concealed and story.rng.random() < 0.05:
            continue
        story.log.now = min(moment + timedelta(minutes=15), story.season.now)
        member = plumber if story.rng.random() < 0.8 else lead
        drafts += _answer(story, item, phase, member, moment)
    facts = story.log.append_all(drafts)
    PhotoUse.objects.bulk_create(
        PhotoUse(
            photo_sha=fact.payload["sha"], lot=story.lot, item=fact.item, fact=fact
        )
        for fact in facts
        if fact.payload["answer"] == "photo"
    )
    return told == len(items)


def _answer(
    story: Story, item: CheckItem, phase: LotPhase, member, moment: datetime
) -> Iterator[Fact]:
    who = Who(member=member, happened_at=moment)
    common = {
        "lot": story.lot,
        "phase": phase,
        "item": item,
        "who": who,
        "version": 1,
    }
    if item.proof == "measure":
        value = _measured(story, item)
        yield story.log.draft(
            "entry",
            answer="measure",
            value=value,
            unit=item.spec["unit"],
            **common,
        )
    elif item.proof == "test":
        yield story.log.draft("entry", answer="test", passed=True, **common)
    elif item.proof != "photo":
        yield story.log.draft("entry", answer="tick", **common)
    for n in range(max(item.photos_needed, item.proof == "photo")):
        sha = _photo(story, item, member, moment, n)
        yield story.log.draft("entry", answer="photo", sha=sha, **common)


def _measured(story: Story, item: CheckItem) -> float:
    least, most = item.spec["least"], item.spec["most"]
    if item.spec["unit"] != "in16":
        return least if least is not None else (most or 0)
    low = least if least is not None else 0
    high = most if most is not None else low + 32
    return story.rng.randint(int(low), int(high))


def _photo(story: Story, item: CheckItem, member, moment: datetime, n: int) -> str:
    title = f"{story.lot.subdivision.name}, {story.lot.name}"
    line = f"{item.pk}.{n} {item.spec['room_en']}: {item.spec['text_en']}"
    sha, data, thumb = picture(item.spec["kind"], title, line)
    folder = Path(settings.MEDIA_ROOT)
    for sub, blob in (("photos", data), ("thumbs", thumb)):
        path = folder / sub / sha[:2] / f"{sha}.jpg"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(blob)
    story.season.photos.append(
        Photo(
            sha256=sha,
            file=f"photos/{sha[:2]}/{sha}.jpg",
            thumb=f"thumbs/{sha[:2]}/{sha}.jpg",
            width=SIZE[0],
            height=SIZE[1],
            bytes_received=len(data),
            taken_at=moment,
            received_at=story.log.now,
            sent_by=member,
        )
    )
    return sha


def moments(first: int, last: int, count: int) -> Iterator[datetime]:
    """Times of day over the half-days first to last, one for each of `count`."""
    slots = [s for s in range(first, last + 1) if is_working(date.fromordinal(s // 2))]
    for n in range(count):
        place = n * len(slots) * 210 // max(count, 1)
        slot = slots[place // 210]
        start = at(date.fromordinal(slot // 2), 8 if slot % 2 == 0 else 12, 15)
        yield start + timedelta(minutes=place % 210)
