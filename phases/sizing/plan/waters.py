"""Water checks: table, friction and residual pressure, velocity, least sizes, wait."""

from collections.abc import Iterator

from .. import heat, supply, water
from ..cases.answer import PRESSURE, SCALD
from ..fixture_needs import Need, fixture_need
from ..loads import supply_load
from ..nominal import inches
from ..outline.guess_water import developed_length, highest, table_pressure
from ..outline.model import Node, paths
from ..outline.site import Site
from ..said import say
from ..tables import Book, Cell
from .finding import Finding, at_least, at_most, held, note
from .manifolds import home_runs, manifold_runs, manifolds

# Rows of IPC 604.3 / P2903.1 (flow, pressure) and of the least sizes, by kind.
_SIZE_ROWS = {
    "closet": ("water closet, flush tank", "water closet, gravity tank"),
    "lavatory": ("lavatory", "lavatory"),
    "lavatory_double": ("lavatory", "lavatory"),
    "tub": ("bathtub (60 x 32 in. and smaller)", "bathtub or combination"),
    "tub_shower": ("bathtub (60 x 32 in. and smaller)", "bathtub or combination"),
    "soaking_tub": ("bathtub (larger)", "bathtub or combination"),
    "shower": ("shower, single head", "shower"),
    "bidet": ("bidet", "bidet"),
    "kitchen_sink": ("kitchen sink", "kitchen sink"),
    "bar_sink": ("kitchen sink", "kitchen sink"),
    "dishwasher": ("dishwasher, domestic", "dishwasher"),
    "laundry_sink": ("laundry, 1-3 compartments", "laundry sink"),
    "washer_box": ("washing machine, automatic", "clothes washer"),
    "hose_bibb": ("hose bibb", "hose bibb"),
}
WAIT_GPM = 1.5


def water_findings(root: Node, *, book: Book, site: Site) -> Iterator[Finding]:
    """Every water check of a tree that starts at the meter."""
    yield from held("supply table", root.key, _table(root, book, site))
    yield from held("residual pressure", root.key, _residual(root, book, site))
    yield from held("velocity", root.key, _velocity(root, book))
    yield from held("manifold", root.key, manifolds(root, book))
    yield from held("manifold run", root.key, manifold_runs(root, book))
    yield from held("least size", root.key, _least_sizes(root, book))
    yield from held("regulator", root.key, _regulator(root, site))
    yield from held("hot water wait", root.key, _wait(root))


def _table(root: Node, book: Book, site: Site) -> Iterator[Finding]:
    """Service and main, then every branch, against the book's table."""
    length = developed_length(root)
    psi = table_pressure(root, site=site, book=book)
    group = supply.pressure_range(book.code, psi)
    listed = supply.choices(book.code, group, length)
    service = _size_of(root, "service") or root.size
    for node in root.walk():
        if node.role not in ("main", "branch"):
            continue
        side = "hot" if node.key.endswith("-hot") else "cold"
        load = supply_load(
            book, node.leaves(), side="total" if node.role == "main" else side
        )
        full = supply_load(book, node.leaves())
        column = supply.column(book.code, group, length, meter=service, main=node.size)
        fits = [
            c.main
            for c in listed
            if inches(c.meter) <= inches(service) and c.units >= load.units
        ]
        fix = (
            say("make_it", key=node.key, size=fits[0])
            if fits
            else say("larger_service")
        )
        if book.code == "UPC" and full.units <= column.units:
            # Enough with the full value on this side: the three-quarters rule, which
            # is from memory, decides nothing.
            load = full
        yield at_most(
            "supply table", node.key, load.units, column.units, "wsfu",
            cells=(column.cell, *load.cells),
            sentence=say("supply_table", key=node.key, units=load.units,
                         size=node.size, service=service, most=column.units,
                         group=group, length=length),
            caution=PRESSURE, fixes=[fix],
        )  # fmt: skip


def _size_of(root: Node, role: str) -> str:
    return next((node.size for node in root.walk() if node.role == role), "")


def _flow(node: Node, book: Book) -> tuple[float, tuple[Cell, ...]]:
    """Demand of a pipe: the curve of its units; a run carries its fixture's flow."""
    if node.role == "run":
        need = fixture_need(book.code, node.fixture)
        return (need.gpm, need.cells) if need else (0.0, ())
    side = "total"
    if node.role == "branch":
        side = "hot" if node.key.endswith("-hot") else "cold"
    load = supply_load(book, node.leaves(), side=side)
    gpm, cells = water.demand_gpm(book.code, load.units)
    return gpm, (*cells, *load.cells)


def _pipe_loss(node: Node, book: Book) -> tuple[float, tuple[Cell, ...]]:
    if not node.length_ft or not node.size:
        return 0.0, ()
    gpm, cells = _flow(node, book)
    bore, c, cell = water.pipe(node.material, node.size)
    per_100 = water.friction_psi_per_100ft(gpm, bore, c)
    return per_100 * node.length_ft / 100, (*cells, cell)


def _residual(root: Node, book: Book, site: Site) -> Iterator[Finding]:
    """Pressure left at the worst fixture: static less meter, height and friction."""
    limit = water.rule(
        "static pressure that needs a reducing valve", "above", "IPC"
    ).number
    static = min(site.static_psi, limit)
    per_ft = water.head_per_ft("IPC")
    total, _ = _flow(root, book)
    meter, meter_cell = water.meter_loss(root.size, total)
    losses = {node.key: _pipe_loss(node, book) for node in root.walk()}
    worst: tuple[float, float, Node, Need, tuple[Cell, ...]] | None = None
    for way in paths(root):
        need = fixture_need(book.code, way[-1].fixture)
        if need is None:
            continue
        rise = sum(node.rise_ft for node in way)
        friction = sum(losses[node.key][0] for node in way)
        left = static - meter - rise * per_ft.number - friction
        cells = tuple(cell for node in way for cell in losses[node.key][1])
        if worst is None or left - need.psi < worst[0]:
            worst = (left - need.psi, left, way[-1], need, cells)
    if worst is None:
        return
    _, left, node, need, cells = worst
    yield at_least(
        "residual pressure", node.key, left, need.psi, "psi",
        cells=(*need.cells, meter_cell, per_ft, *cells),
        sentence=say("residual", left=left, key=node.key, static=static,
                     need=need.psi),
        caution=PRESSURE, fixes=[say("residual_fix")],
    )  # fmt: skip


def _velocity(root: Node, book: Book) -> Iterator[Finding]:
    """Speed in every pipe.

    Where no source states the limit of a material (PEX), no book can confirm it: what
    is within it is one note of the fastest pipe, and only what is over is asked.
    """
    fastest: tuple[float, Finding] | None = None
    for node in root.walk():
        if not node.length_ft or not node.size or not node.material:
            continue
        gpm, flow_cells = _flow(node, book)
        bore, _, bore_cell = water.pipe(node.material, node.size)
        speed = water.velocity_fps(gpm, bore)
        most, cell = water.velocity_limit(node.material, hot=node.key.endswith("-hot"))
        words = {"gpm": gpm, "speed": speed, "key": node.key, "size": node.size,
                 "most": most}  # fmt: skip
        cells = [cell, bore_cell, *flow_cells]
        if cell.origin == "memory" and speed <= most:
            if fastest is None or speed / most > fastest[0]:
                fastest = speed / most, note(
                    "velocity", node.key, say("velocity_fastest", **words),
                    cells=cells, value=speed, unit="ft/s", caution=PRESSURE,
                )  # fmt: skip
            continue
        yield at_most(
            "velocity", node.key, speed, most, "ft/s", cells=cells,
            sentence=say("velocity", **words),
            caution=PRESSURE, fixes=[say("one_larger", key=node.key)],
        )  # fmt: skip
    if fastest is not None:
        yield fastest[1]


def _least_sizes(root: Node, book: Book) -> Iterator[Finding]:
    service = water.rule(
        "building supply pipe" if book.code == "UPC" else "water service",
        "min size", book.code,
    )  # fmt: skip
    size = _size_of(root, "service")
    if size:
        yield at_least(
            "least size", "service", inches(size), inches(service.value), "in.",
            cells=[service],
            sentence=say("service_size", size=size, least=service.value),
            fixes=[say("make_it_only", size=service.value)],
        )  # fmt: skip
    alone = home_runs(root) if book.code != "UPC" else frozenset()
    for run in root.leaves():
        rows = _SIZE_ROWS.get(run.fixture)
        if rows is None or not run.size or run.key in alone:
            continue
        if book.code == "UPC":
            cell = water.rule(rows[1], "min fixture branch size", "UPC")
        else:
            cell = water.rule(
                rows[0], "min fixture supply size", "IPC (as adopted by Chicago)"
            )
        yield at_least(
            "least size", run.key, inches(run.size), inches(cell.value), "in.",
            cells=[cell],
            sentence=say("run_size", key=run.key, size=run.size, least=cell.value),
            fixes=[say("make_it", key=run.key, size=cell.value)],
        )  # fmt: skip


def _regulator(root: Node, site: Site) -> Iterator[Finding]:
    cell = water.rule("static pressure that needs a reducing valve", "above", "IPC")
    if site.static_psi > cell.number:
        code = "regulator_there" if site.has_regulator else "regulator_missing"
        yield Finding(
            "regulator", root.key,
            say(code, psi=site.static_psi, most=cell.number),
            site.has_regulator, (cell,), site.static_psi, cell.number, "psi",
            0.0 if site.has_regulator else (cell.number / site.static_psi - 1),
            PRESSURE,
            () if site.has_regulator else (say("regulator_fix"),),
        )  # fmt: skip
    yield note(
        "height", root.key, say("height", feet=highest(root)),
        value=highest(root), unit="ft",
    )  # fmt: skip


def _wait(root: Node) -> Iterator[Finding]:
    """Seconds until hot water stands at the farthest hot fixture (plug flow)."""
    worst: tuple[float, float, Node, list[Cell]] | None = None
    for way in paths(root):
        at = next((i for i, node in enumerate(way) if node.role == "heater"), None)
        if at is None:
            continue
        gallons, cells = 0.0, []
        for node in way[at:]:
            if node.length_ft and node.size:
                cell = heat.volume_oz_per_ft(node.material, node.size)
                gallons += node.length_ft * cell.number / heat.OZ_PER_GAL
                cells.append(cell)
        if worst is None or gallons > worst[1]:
            worst = (heat.wait_s(gallons, WAIT_GPM), gallons, way[-1], cells)
    if worst is None:
        return
    seconds, gallons, node, cells = worst
    yield note(
        "hot water wait", node.key,
        say("wait", gallons=gallons, key=node.key, seconds=seconds, gpm=WAIT_GPM),
        cells=dict.fromkeys(cells), value=seconds, unit="s", caution=SCALD,
    )  # fmt: skip
