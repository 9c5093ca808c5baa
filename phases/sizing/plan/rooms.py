"""Room around the fixtures, standpipes and heaters, and the hangers of the pipes."""

from collections.abc import Iterator

from .. import clearances, supports
from ..cases.answer import SCALD, SEWER_GAS
from ..outline.kinds import HEATERS
from ..outline.model import POINTS, Node, Outline
from ..outline.site import Site, phase_of
from ..said import say
from ..tables import Absent, Book, Cell
from .extras import Clearance, Extras
from .finding import Finding, at_least, at_most, note

_FRONT = {"closet": "front", "bidet": "front", "lavatory": "lavatory_front"}
_SIDED = ("closet", "bidet")
_Range = tuple[Cell, Cell | None]


def room_findings(outline: Outline, *, book: Book, extras: Extras) -> Iterator[Finding]:
    """Every clearance that is given, and what to keep where none is given."""
    given = {clear.key: clear for clear in extras.clear}
    drains = outline.drain.leaves() if outline.drain else ()
    seen = set()
    for arm in drains:
        clear = given.get(arm.key)
        if clear is None and arm.fixture in ("closet", "bidet", "shower", "washer_box"):
            clear = Clearance(arm.key, arm.fixture)
        if clear is not None:
            seen.add(clear.key)
            yield from _around(clear, book)
    for key, clear in given.items():
        if key not in seen:
            yield from _around(clear, book)
    if outline.water is not None:
        for node in outline.water.walk():
            if node.role == "heater" and node.fixture in HEATERS:
                yield from _heater(node, book)


def _around(clear: Clearance, book: Book) -> Iterator[Finding]:
    if clear.kind in _SIDED:
        yield from _one(clear, clear.side_in, "side", "clear_side", book)
        if clear.next_in is not None:
            yield from _one(clear, clear.next_in, "next", "clear_side", book)
    if clear.kind in _FRONT and (
        clear.kind != "lavatory" or clear.front_in is not None
    ):
        yield from _one(clear, clear.front_in, _FRONT[clear.kind], "clear_front", book)
    if clear.kind == "shower":
        yield from _one(clear, clear.area_sq_in, "area", "shower_area", book)
    if clear.kind == "washer_box":
        yield from _standpipe(clear, book)


def _one(
    clear: Clearance, there: float | None, asked: str, code: str, book: Book
) -> Iterator[Finding]:
    """One figure against its least, or a note of it where nobody gave it."""
    found = clearances.least(book, asked)
    if found is None:
        return
    cell, _ = found
    if there is None:
        yield note(
            "clearance", clear.key,
            say(f"{code}_note", key=clear.key, least=cell.number),
            cells=[cell], value=cell.number, unit=cell.unit,
        )  # fmt: skip
        return
    yield at_least(
        "clearance", clear.key, there, cell.number, cell.unit, cells=[cell],
        sentence=say(code, key=clear.key, there=there, least=cell.number),
        fixes=[say(f"{code}_fix", least=cell.number)],
    )  # fmt: skip


def _standpipe(clear: Clearance, book: Book) -> Iterator[Finding]:
    """Height of a standpipe above its trap, and of the trap above the floor."""
    found = clearances.least(book, "standpipe")
    if found is None:
        return
    low, high = found
    trap = clearances.least(book, "trap")
    cells = [cell for cell in (low, high, *(trap or ())) if cell is not None]
    if clear.standpipe_in is None:
        yield note(
            "standpipe", clear.key, _standpipe_words(clear, low, high, trap),
            cells=cells, caution=SEWER_GAS,
        )  # fmt: skip
        return
    yield from _within(clear.key, clear.standpipe_in, low, high, "standpipe_height")
    if trap is not None and clear.trap_in is not None:
        yield from _within(clear.key, clear.trap_in, *trap, "standpipe_trap_height")


def _standpipe_words(
    clear: Clearance, low: Cell, high: Cell | None, trap: _Range | None
) -> str:
    above = ""
    if trap is not None and trap[1] is not None:
        above = say("standpipe_trap", low=trap[0].number, high=trap[1].number)
    assert high is not None
    return say(
        "standpipe", key=clear.key, low=low.number, high=high.number, above=above
    )


def _within(
    key: str, there: float, low: Cell, high: Cell | None, code: str
) -> Iterator[Finding]:
    """A height between two figures."""
    figures = {"key": key, "there": there, "low": low.number,
               "high": high.number if high else 0.0}  # fmt: skip
    yield at_least(
        "standpipe", key, there, low.number, "in.", cells=[low],
        sentence=say(code, **figures), caution=SEWER_GAS,
        fixes=[say("standpipe_fix", **figures)],
    )  # fmt: skip
    if high is not None:
        yield at_most(
            "standpipe", key, there, high.number, "in.", cells=[high],
            sentence=say(code, **figures), caution=SEWER_GAS,
            fixes=[say("standpipe_fix", **figures)],
        )  # fmt: skip


def _heater(node: Node, book: Book) -> Iterator[Finding]:
    """Work space, garage and relief discharge of a heater: to keep, none measured."""
    for asked, code in (("space", "heater_space"), ("ignition", "heater_floor")):
        gas = node.fixture != "tank_electric"
        found = clearances.least(book, asked)
        if found and (gas or asked == "space"):
            yield note(
                "heater place", node.key,
                say(code, key=node.key, least=found[0].number), cells=[found[0]],
                caution=SCALD,
            )  # fmt: skip
    found = clearances.least(book, "relief")
    low, high = found or (None, None)
    if low and high and node.fixture != "tankless_gas":
        yield note(
            "relief discharge", node.key,
            say("relief_end", key=node.key, low=low.number, high=high.number),
            cells=[low, high], caution=SCALD,
        )  # fmt: skip


def support_findings(outline: Outline, *, book: Book, site: Site) -> Iterator[Finding]:
    """Spacing and count of hangers, one note for each material and size."""
    lengths: dict[tuple[str, str], list[float]] = {}
    for system, root in outline.systems():
        for node in root.walk():
            buried = phase_of(system, node, site) == "underground"
            if buried or node.role in (*POINTS, "stack"):
                continue
            if node.size and node.material:
                pipe = (node.material, node.size)
                lengths.setdefault(pipe, []).append(node.length_ft)
    for (material, size), runs in sorted(lengths.items()):
        try:
            cell = supports.spacing(book, material, size)
        except Absent as error:
            yield note(
                "supports", f"{material} {size}",
                say("supports_absent", why=error.args[0]),
            )  # fmt: skip
            continue
        count = sum(supports.count(length, cell.number) for length in runs)
        yield note(
            "supports", f"{material} {size}",
            say("supports", material=material, size=size, feet=cell.number,
                count=count, pipes=len(runs)),
            cells=[cell], value=count, unit="pc",
        )  # fmt: skip
