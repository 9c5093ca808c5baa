"""What happened to a job before day 0, and which of it made the job late.

The problem's format begins today. These marks stand beside it, so that a sentence about
a late job can name what went wrong before any plan could help.
"""

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from .links import Link

STOOD = 2  # working days of standing ready that are worth a word


@dataclass(frozen=True)
class Past:
    """Working days before day 0, so below 0; None: not so, or not known.

    `ready`: all that the work needs was there. `told`: a crew was to begin and has not.
    `missing`: what must be proven or corrected before it can be called in. `called`: an
    inspection was asked for after the work was done.
    """

    ready: int | None = None
    told: int | None = None
    begun: int | None = None
    done: int | None = None
    failed: int | None = None
    missing: int = 0
    called: bool = False

    def as_json(self) -> dict[str, Any]:
        usual = asdict(Past())
        return {
            key: value for key, value in asdict(self).items() if value != usual[key]
        }

    @classmethod
    def read(cls, raw: Mapping[str, Any]) -> "Past":
        return cls(**raw)


def past_links(need: int, past: Past) -> list[Link]:
    """What of the past made a job late that was needed by day `need`."""
    return list(_failed(past) or _done(need, past) or _open(need, past)) or (
        [Link("past_due", day=need)] if need < 0 else []
    )


def _failed(past: Past) -> list[Link]:
    if past.failed is None:
        return []
    if past.missing:
        return [Link("past_corrections", day=past.failed, number=past.missing)]
    return [Link("past_failed", day=past.failed)]


def _done(need: int, past: Past) -> list[Link]:
    """Work that ended late, or ended and was not called in."""
    done, found = past.done, []
    if done is None:
        return []
    # Whoever ends on the last day before today may have missed that day's call.
    uncalled = done < -1 and not past.called
    if done >= need or not (uncalled or past.called):
        found.append(_worked(need, past, done))
    if uncalled and past.missing:
        found.append(Link("past_unproven", day=done, number=past.missing))
    elif uncalled:
        found.append(Link("past_uncalled", day=done))
    return found


def _worked(need: int, past: Past, done: int) -> Link:
    if past.ready is None:
        return Link("past_worked", day=done)
    begun = done if past.begun is None else past.begun
    kind = "past_waited" if _stood(need, past.ready, begun) else "past_readied"
    return Link(kind, day=done, since=past.ready)


def _open(need: int, past: Past) -> Iterator[Link]:
    """Work begun late, not begun though told, or never sent to."""
    ready, begun = past.ready, past.begun
    if begun is not None:
        if ready is not None and _stood(need, ready, begun):
            yield Link("past_begun", day=begun, since=ready)
        elif ready is not None:
            yield Link("past_ready", day=ready)
    elif past.told is not None:
        yield Link("past_not_begun", day=past.told)
    elif ready is not None:
        kind = "past_unsent" if _stood(need, ready, 0) else "past_ready"
        yield Link(kind, day=ready)


def _stood(need: int, ready: int, begun: int) -> bool:
    """Was it the waiting that cost the time, and not that it was ready late?"""
    return ready < need and begun - ready >= STOOD
