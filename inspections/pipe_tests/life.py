"""A test's life: put up, photographed, inspected, disturbed, taken down."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, ClassVar

PUT_UP, PHOTO, INSPECTED = "put_up", "photo", "inspected"
LOST_PRESSURE, DISTURBED, TAKEN_DOWN = "lost_pressure", "disturbed", "taken_down"
CAPS_CLEARED = "caps_cleared"
KINDS = (
    PUT_UP,
    PHOTO,
    INSPECTED,
    LOST_PRESSURE,
    DISTURBED,
    TAKEN_DOWN,
    CAPS_CLEARED,
)


@dataclass(frozen=True, slots=True)
class TestEvent:
    """One thing that happened to the test of one system, and who did or saw it."""

    __test__: ClassVar[bool] = False

    kind: str
    at: datetime
    by: str

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"kind must be one of {', '.join(KINDS)}")
        if not self.by.strip():
            raise ValueError("say who did or saw it")


@dataclass(frozen=True, slots=True)
class TestLife:
    """How the test stands now. `caps_left` are plugs to clear at trim."""

    __test__: ClassVar[bool] = False

    up_since: datetime | None = None
    up_by: str = ""
    photographed: bool = False
    inspected_at: datetime | None = None
    down_by: str = ""
    test_again: str = ""
    caps_left: bool = False


def life_of_test(events: Iterable[TestEvent]) -> TestLife:
    """Where the events leave the test, in order of their time."""
    life = TestLife()
    for event in sorted(events, key=lambda event: event.at):
        life = _after(life, event)
    return life


def _after(life: TestLife, event: TestEvent) -> TestLife:
    if event.kind == PUT_UP:
        return TestLife(up_since=event.at, up_by=event.by, caps_left=True)
    changes: dict[str, dict[str, Any]] = {
        PHOTO: {"photographed": True},
        INSPECTED: {"inspected_at": event.at},
        LOST_PRESSURE: {"test_again": "it lost pressure"},
        DISTURBED: {"test_again": "it was disturbed"},
        TAKEN_DOWN: {"up_since": None, "down_by": event.by},
        CAPS_CLEARED: {"caps_left": False},
    }
    if event.kind in (PHOTO, INSPECTED) and life.up_since is None:
        return life  # a photo or visit without a test proves nothing
    return replace(life, **changes[event.kind])


def why_not_on_test(life: TestLife) -> str | None:
    """Why the lot may not be called in as on test; None when it stands, with photo."""
    if life.test_again:
        return f"the test must be done again: {life.test_again}"
    if life.up_since is None:
        if life.down_by:
            return f"the test was taken down by {life.down_by}"
        return "no test is up"
    if not life.photographed:
        return "no photo shows the test up"
    return None
