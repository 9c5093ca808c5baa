"""Check items by room, as an office page shows them."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from phases.catalogue.measures import format_inches
from phases.models import CheckItem


@dataclass
class ItemLine:
    item: CheckItem
    targets: list[str] = field(default_factory=list)

    @property
    def value(self) -> str:
        """What was measured, in the unit of the item."""
        value = self.item.answer.get("value")
        return said_value(value, self.item.spec.get("unit", ""))

    @property
    def off(self) -> str:
        value = self.item.answer.get("off")
        return said_value(value, self.item.spec.get("unit", "")) if value else ""

    @property
    def photos(self) -> list[str]:
        return list(self.item.answer.get("photos", ()))


@dataclass
class RoomItems:
    key: str
    name_en: str
    name_es: str
    items: list[ItemLine] = field(default_factory=list)

    @property
    def proven(self) -> int:
        return sum(line.item.state == CheckItem.PROVEN for line in self.items)


def said_value(value: float | None, unit: str) -> str:
    """A measured value as a tape or gauge shows it."""
    if value is None:
        return ""
    if unit == "in16":
        sign = "-" if value < 0 else ""
        return sign + format_inches(abs(round(value)))
    return f"{value:g} {unit}".strip()


def by_room(items: Iterable[CheckItem]) -> list[RoomItems]:
    """Items grouped by room in the order of the walk."""
    rooms: dict[str, RoomItems] = {}
    for item in items:
        spec = item.spec
        room = rooms.setdefault(
            item.room_key,
            RoomItems(
                item.room_key,
                spec.get("room_en") or "Whole house",
                spec.get("room_es") or "Toda la casa",
            ),
        )
        room.items.append(ItemLine(item))
    return list(rooms.values())
