"""First guess of the water: meter, service, main, a cold and a hot branch a room."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from .. import supply, water
from ..fixture_needs import fixture_need
from ..loads import supply_load
from ..nominal import inches
from ..said import say
from ..tables import Absent, Book
from .kinds import HEATERS, KINDS
from .model import Node, paths
from .site import Placed, Site

# Lengths in pipe, for a house drawn from rooms alone (common practice).
RUN_FT, BRANCH_FT, MAIN_FT = 6.0, 25.0, 15.0
# Developed length for the tables: fittings add a fifth (common practice).
FITTINGS = 1.2


def water_tree(placed: Iterable[Placed], *, site: Site, book: Book) -> Node | None:
    """Meter with all that it serves, sized by the book's supply table."""
    listed = list(placed)
    cold: dict[tuple[int, str], list[Placed]] = defaultdict(list)
    hot: dict[tuple[int, str], list[Placed]] = defaultdict(list)
    for item in listed:
        if KINDS[item.kind].cold:
            cold[item.floor, item.room].append(item)
        if KINDS[item.kind].hot:
            hot[item.floor, item.room].append(item)
    if not cold and not hot:
        return None
    if site.water_layout == "manifold":
        return manifold_tree(listed, site=site, book=book)
    cold_branches = [
        _branch(floor, room, items, "cold", site)
        for (floor, room), items in sorted(cold.items())
    ]
    hot_branches = [
        _branch(floor, room, items, "hot", site)
        for (floor, room), items in sorted(hot.items())
    ]
    heater = next((item for item in listed if item.kind in HEATERS), None)
    children = list(cold_branches)
    if hot_branches:
        kind = heater.kind if heater else "tank_gas"
        children.append(
            Node(
                "heater", "heater", 0.0, fixture=kind,
                floor=heater.floor if heater else 1, children=tuple(hot_branches),
            )
        )  # fmt: skip
    main = Node("main", "main", MAIN_FT, material=site.water_material,
                children=tuple(children))  # fmt: skip
    service = Node("service", "service", site.street_ft,
                   material=site.service_material, children=(main,))  # fmt: skip
    meter = Node("water-meter", "meter", children=(service,))
    return _sized(meter, site=site, book=book)


def _branch(floor: int, room: str, items: list[Placed], side: str, site: Site) -> Node:
    runs = []
    rise = max(floor - 1, 0) * site.storey_ft
    for item in items:
        for number in range(1, item.quantity + 1):
            suffix = "" if number == 1 else f"-{number}"
            runs.append(
                Node(
                    f"{room}-{item.kind}{suffix}-{side}", "run", RUN_FT, "1/2",
                    site.water_material, floor=floor, fixture=item.kind, room=room,
                    rise_ft=3.0,
                )
            )  # fmt: skip
    return Node(
        f"{room}-{side}", "branch", BRANCH_FT + rise, "", site.water_material,
        floor=floor, room=room, rise_ft=rise, children=tuple(runs),
    )  # fmt: skip


HOME_RUN_FT = 35.0


def manifold_tree(listed: list[Placed], *, site: Site, book: Book) -> Node:
    """A cold and a hot manifold by the heater, a run of its own to every fixture."""
    heater = next((item for item in listed if item.kind in HEATERS), None)
    sides = {
        "cold": [item for item in listed if KINDS[item.kind].cold],
        "hot": [item for item in listed if KINDS[item.kind].hot],
    }
    made = {
        side: Node(
            f"manifold-{side}", "manifold", material=site.water_material,
            children=tuple(
                run for item in items for run in _home_runs(item, side, site)
            ),
        )
        for side, items in sides.items() if items
    }  # fmt: skip
    children = [made["cold"]] if "cold" in made else []
    if "hot" in made:
        kind = heater.kind if heater else "tank_gas"
        floor = heater.floor if heater else 1
        children.append(
            Node("heater", "heater", fixture=kind, floor=floor, children=(made["hot"],))
        )
    main = Node("main", "main", MAIN_FT, material=site.water_material,
                children=tuple(children))  # fmt: skip
    service = Node("service", "service", site.street_ft,
                   material=site.service_material, children=(main,))  # fmt: skip
    return _sized(Node("water-meter", "meter", children=(service,)), site=site,
                  book=book)  # fmt: skip


def _home_runs(item: Placed, side: str, site: Site) -> list[Node]:
    rise = max(item.floor - 1, 0) * site.storey_ft
    return [
        Node(
            f"{item.room}-{item.kind}{'' if n == 1 else f'-{n}'}-{side}", "run",
            HOME_RUN_FT + rise, "1/2", site.water_material, floor=item.floor,
            fixture=item.kind, room=item.room, rise_ft=rise + 3.0,
        )
        for n in range(1, item.quantity + 1)
    ]  # fmt: skip


def _manifold_size(node: Node, book: Book, side: str) -> str:
    """Smallest manifold whose flow at 8 ft/s carries the load (604.10.1, P2903.8.1)."""
    gpm, _ = water.demand_gpm(
        book.code, supply_load(book, node.leaves(), side=side).units
    )
    code = "IPC" if book.code == "UPC" else book.code
    for size in ("1/2", "3/4", "1", "1-1/4", "1-1/2"):
        item = f"parallel manifold, {size} in."
        if gpm <= water.rule(item, "max gpm at 8 ft/s", code).number:
            return size
    raise Absent(say("no_manifold", key=node.key, gpm=gpm))


def developed_length(root: Node) -> float:
    """Longest way from the meter in feet, fittings allowed for."""
    return FITTINGS * max(sum(node.length_ft for node in way) for way in paths(root))


def highest(root: Node) -> float:
    """Most height gained on any way, in feet."""
    return max(sum(node.rise_ft for node in way) for way in paths(root))


def table_pressure(root: Node, *, site: Site, book: Book) -> float:
    """psi to read the supply table with: static, regulated at 80, less the height."""
    limit = water.rule(
        "static pressure that needs a reducing valve", "above", "IPC"
    ).number
    static = site.static_psi
    if static > limit:
        factor = 0.8 if book.code == "UPC" else 1.0
        static = limit * factor
    rise = highest(root) if site.rise_ft is None else site.rise_ft
    return static - rise * water.head_per_ft(book.code).number


def _too_fast(material: str, size: str, gpm: float, *, hot: bool) -> bool:
    """Whether water runs faster in a pipe than its material usually allows."""
    if size not in water.pipe_sizes(material):
        return True
    bore, _, _ = water.pipe(material, size)
    most, _ = water.velocity_limit(material, hot=hot)
    return water.velocity_fps(gpm, bore) > most


def _service_and_main(
    book: Book, psi: float, length: float, units: float, site: Site
) -> supply.Choice:
    """The smallest column that carries the load at a usual speed in both pipes.

    Where no column is slow enough, the smallest that carries the load.
    """
    gpm, _ = water.demand_gpm(book.code, units)
    group = supply.pressure_range(book.code, psi)
    for choice in supply.choices(book.code, group, length):
        if (
            units <= choice.units
            and not _too_fast(site.service_material, choice.meter, gpm, hot=False)
            and not _too_fast(site.water_material, choice.main, gpm, hot=False)
        ):
            return choice
    return supply.least_pipes(book.code, psi, length, units)


def _service_size(meter: str, gpm: float, site: Site) -> str:
    """The meter's size, or the next in which the house's demand is not too fast."""
    material = site.service_material
    for size in water.pipe_sizes(material):
        if inches(size) >= inches(meter) and not _too_fast(
            material, size, gpm, hot=False
        ):
            return size
    return meter


def _run_size(node: Node, book: Book) -> str:
    """1/2 in., or 3/4 in. where the fixture's flow would run too fast in it."""
    need = fixture_need(book.code, node.fixture)
    hot = node.key.endswith("-hot")
    if need and _too_fast(node.material, "1/2", need.gpm, hot=hot):
        return "3/4"
    return "1/2"


def _sized(meter: Node, *, site: Site, book: Book) -> Node:
    """Every pipe sized by the table at the house's one developed length."""
    length = developed_length(meter)
    psi = table_pressure(meter, site=site, book=book)
    load = supply_load(book, meter.leaves())
    chosen = _service_and_main(book, psi, length, load.units, site)
    gpm, _ = water.demand_gpm(book.code, load.units)
    group = supply.pressure_range(book.code, psi)
    mains = sorted(
        {
            choice.main
            for choice in supply.choices(book.code, group, length)
            if inches(choice.meter) <= inches(chosen.meter)
        },
        key=inches,
    )

    def branch_size(node: Node) -> str:
        hot = node.key.endswith("-hot")
        units = supply_load(book, node.leaves(), side="hot" if hot else "cold").units
        flow, _ = water.demand_gpm(book.code, units)
        least = max(inches(child.size) for child in node.children)
        for main in mains:
            column = supply.strictest(book.code, group, length, main=main)
            slow = not _too_fast(node.material, main, flow, hot=hot)
            if units <= column.units and slow and inches(main) >= least:
                return main
        raise Absent(say("no_pipe_carries", units=units, key=node.key))

    def grow(node: Node) -> Node:
        children = tuple(grow(child) for child in node.children)
        node = replace(node, children=children)
        if node.role == "meter":
            return replace(node, size=chosen.meter)
        if node.role == "service":
            return replace(node, size=_service_size(chosen.meter, gpm, site))
        if node.role == "main":
            return replace(node, size=chosen.main)
        if node.role == "run":
            return replace(node, size=_run_size(node, book))
        if node.role == "manifold":
            side = node.key.removeprefix("manifold-")
            return replace(node, size=_manifold_size(node, book, side))
        return node if node.role == "heater" else replace(node, size=branch_size(node))

    return grow(meter)
