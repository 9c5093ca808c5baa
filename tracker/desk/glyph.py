"""The house section: one small drawing that says how far a lot is. Pure: SVG text.

Four zones from the ground up: below the slab, floor, wall, roof. Each is filled by the
state of the phase that belongs to it. The state is told by the shape inside the zone,
so that it reads in black and white and at 24 pixels; colour only helps.
"""

from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from html import escape

Point = tuple[float, float]
Key = tuple[tuple[str, str], ...]

# Zones as convex polygons on a field of 24 by 24.
ZONES: dict[str, tuple[Point, ...]] = {
    "roof": ((12, 1), (22.5, 8), (1.5, 8)),
    "wall": ((4, 8), (20, 8), (20, 13), (4, 13)),
    "floor": ((4, 13), (20, 13), (20, 18), (4, 18)),
    "below": ((6, 18), (18, 18), (18, 23), (6, 23)),
}
PARTS = ("below", "floor", "wall", "roof")
PART_NAMES = {
    "below": ("Below slab", "Bajo la losa"),
    "floor": ("Floor", "Piso"),
    "wall": ("Wall", "Muro"),
    "roof": ("Roof", "Techo"),
}

# Every word that `phases.state.glyph_word` gives, in English and Spanish.
STATES: dict[str, tuple[str, str]] = {
    "open": ("open", "abierta"),
    "not_ready": ("not ready", "no está lista"),
    "ready": ("ready", "lista"),
    "planned": ("planned", "programada"),
    "working": ("working", "en trabajo"),
    "done": ("done", "hecha"),
    "proven": ("proven", "comprobada"),
    "on_test": ("on test", "en prueba"),
    "passed": ("passed", "aprobada"),
    "held": ("held", "en espera"),
    "failed": ("failed", "reprobada"),
    "unproven": ("covered unproven", "cubierta sin comprobar"),
}
# What needs a person comes before what only has not come yet.
ALARMS = ("unproven", "failed", "held")
COLOURS = {
    "passed": "#1d4f91",
    "working": "#8a5a00",
    "planned": "#3f4a55",
    "ready": "#3f4a55",
    "done": "#1d4f91",
    "proven": "#1d4f91",
    "on_test": "#1d4f91",
    "held": "#6b3a78",
    "failed": "#a3271b",
    "unproven": "#a3271b",
}


def state_word(state: str, language: str = "en") -> str:
    """The word of a state; an unknown one is shown as it is, never hidden."""
    pair = STATES.get(state)
    return pair[1 if language == "es" else 0] if pair else state


def leading(words: Iterable[str]) -> str:
    """The one word of several, given in the order of the phases.

    An alarm first, else the first phase that has not passed, else passed.
    """
    found = list(words)
    for alarm in ALARMS:
        if alarm in found:
            return alarm
    return next((word for word in found if word != "passed"), "passed" if found else "")


def zones_of(phases: Iterable[tuple[str, str]]) -> dict[str, str]:
    """(glyph part, word) of each phase to one word a zone; phases may share a zone."""
    by_part: dict[str, list[str]] = {}
    for part, word in phases:
        by_part.setdefault(part, []).append(word)
    return {part: leading(words) for part, words in by_part.items()}


def describe(states: Mapping[str, str], language: str = "en") -> str:
    """`Below slab: passed; Floor: working ...`: what the drawing shows, in words."""
    column = 1 if language == "es" else 0
    return "; ".join(
        f"{PART_NAMES[part][column]}: {state_word(states[part], language)}"
        for part in PARTS
        if part in states
    )


def glyph(
    states: Mapping[str, str],
    *,
    size: int = 24,
    title_en: str = "",
    title_es: str = "",
    language: str = "en",
    symbol: str = "",
) -> str:
    """The house section as an SVG element, `size` pixels wide and high.

    `states` gives a word of STATES for each zone; a zone left out has no phase and is
    drawn empty with a broken outline. The title is what the drawing shows in words,
    after the name handed in for the language. With `symbol`, the id of one of
    `symbols` on the same page, the drawing is taken from there.
    """
    drawn = f'<use href="#{symbol}"/>' if symbol else inside(states)
    name = title_es if language == "es" else title_en
    shown = describe(states, language)
    title = escape(f"{name}: {shown}" if name and shown else name or shown)
    return (
        f'<svg class="house" viewBox="0 0 24 24" width="{size}" height="{size}" '
        f'role="img" aria-label="{title}">{drawn}</svg>'
    )


def inside(states: Mapping[str, str]) -> str:
    """What stands inside the SVG element."""
    return _drawn(key_of(states))


def symbols(houses: Iterable[Mapping[str, str]]) -> tuple[str, dict[Key, str]]:
    """Each different drawing once, as an SVG of symbols, and their ids by key.

    A street of many lots repeats few drawings; this makes its page a third as long.
    """
    ids = {key: f"h{n}" for n, key in enumerate(dict.fromkeys(map(key_of, houses)))}
    drawn = "".join(
        f'<symbol id="{name}" viewBox="0 0 24 24">{_drawn(key)}</symbol>'
        for key, name in ids.items()
    )
    hidden = 'class="unseen" width="0" height="0" aria-hidden="true"'
    return f"<svg {hidden}>{drawn}</svg>", ids


def key_of(states: Mapping[str, str]) -> Key:
    """What a drawing depends on."""
    return tuple((part, states.get(part, "")) for part in PARTS)


@lru_cache(maxsize=4096)
def _drawn(states: Key) -> str:
    """Outlines, ground and the mark of each zone; streets repeat few combinations."""
    ours = "".join(_path(ZONES[part]) for part, state in states if state)
    broken = "".join(_path(ZONES[part]) for part, state in states if not state)
    parts = [f'<path class="h-wall" fill="#fff" d="{ours}"/>']
    parts += [_mark(part, state) for part, state in states if state]
    parts.append(f'<path class="h-line" fill="none" stroke="#1c2530" d="{ours}"/>')
    if broken:
        parts.append(
            '<path class="h-none" fill="none" stroke="#7b858e" '
            f'stroke-dasharray="1.5 1.5" d="{broken}"/>'
        )
    parts.append('<path stroke="#1c2530" stroke-width="1.6" d="M0 18H24"/>')
    return "".join(parts)


def _mark(part: str, state: str) -> str:
    """What fills a zone: solid, half, stripes, dots, bars, a cross."""
    zone = ZONES[part]
    colour = COLOURS.get(state, "#3f4a55")
    middle = _middle(part)
    if state == "passed":
        return _solid(zone, colour, state)
    if state == "unproven":
        hole = _dot(middle, 1.6)
        return _solid(zone, colour, state) + f'<path fill="#fff" d="{hole}"/>'
    if state == "working":
        return _solid(_left_half(zone), colour, state)
    if state in ("ready", "planned"):
        apart = (0.0,) if state == "ready" else (-3.5, 0.0, 3.5)
        dots = "".join(_dot((middle[0] + dx, middle[1]), 1.1) for dx in apart)
        return f'<path class="h-{state}" fill="{colour}" d="{dots}"/>'
    if state in ("done", "proven", "on_test"):
        return _strokes(_stripes(zone, state), colour, state, 1.1)
    if state == "held":
        x, y = middle
        bars = f"M{_n(x - 1.8)} {_n(y - 1.7)}v3.4M{_n(x + 1.8)} {_n(y - 1.7)}v3.4"
        return _strokes(bars, colour, state, 1.9)
    if state == "failed":
        x, y = middle
        cross = f"M{_n(x - 4)} {_n(y - 1.8)}l8 3.6M{_n(x - 4)} {_n(y + 1.8)}l8-3.6"
        return _strokes(cross, colour, state, 1.7)
    return ""


def _solid(zone: Iterable[Point], colour: str, state: str) -> str:
    return f'<path class="h-{state}" fill="{colour}" d="{_path(zone)}"/>'


def _strokes(d: str, colour: str, state: str, width: float) -> str:
    return (
        f'<path class="h-{state}" stroke="{colour}" stroke-width="{width}" '
        f'fill="none" d="{d}"/>'
    )


def _middle(part: str) -> Point:
    # The widest place of the gable lies below its middle.
    return (12, 5.8) if part == "roof" else (12, sum(y for _, y in ZONES[part]) / 4)


def _left_half(zone: tuple[Point, ...]) -> tuple[Point, ...]:
    return tuple(_clipped(zone, lambda p: 12 - p[0]))


def _stripes(zone: tuple[Point, ...], state: str) -> str:
    """Done: slanting lines. Proven: crossed ones. On test: level lines, as water."""
    lines = []
    if state == "on_test":
        bottom, top = max(y for _, y in zone), min(y for _, y in zone)
        y = bottom - 1.4
        while y > top + 0.6:
            lines.append(_cut(zone, (0, y), (24, y)))
            y -= 1.9
    else:
        for x in range(-24, 48, 4):
            lines.append(_cut(zone, (x, 24), (x + 24, 0)))
            if state == "proven":
                lines.append(_cut(zone, (x, 0), (x + 24, 24)))
    return "".join(lines)


def _cut(zone: tuple[Point, ...], start: Point, end: Point) -> str:
    """The part of a line that lies inside a convex zone, as path data."""
    inside = [0.0, 1.0]
    turn = 1 if _area(zone) > 0 else -1
    for (ax, ay), (bx, by) in zip(zone, (*zone[1:], zone[0]), strict=True):
        nx, ny = (by - ay) * turn, -(bx - ax) * turn  # outwards
        far = nx * (end[0] - start[0]) + ny * (end[1] - start[1])
        off = nx * (ax - start[0]) + ny * (ay - start[1])
        if far == 0:
            if off < 0:
                return ""
        elif far > 0:
            inside[1] = min(inside[1], off / far)
        else:
            inside[0] = max(inside[0], off / far)
    if inside[0] >= inside[1]:
        return ""
    points = [
        (start[0] + t * (end[0] - start[0]), start[1] + t * (end[1] - start[1]))
        for t in inside
    ]
    (ax, ay), (bx, by) = points
    return f"M{_n(ax)} {_n(ay)}L{_n(bx)} {_n(by)}"


def _area(zone: tuple[Point, ...]) -> float:
    return sum(
        ax * by - bx * ay
        for (ax, ay), (bx, by) in zip(zone, (*zone[1:], zone[0]), strict=True)
    )


def _clipped(zone: tuple[Point, ...], room: Callable[[Point], float]) -> list[Point]:
    """Points of a convex zone where `room` is not negative."""
    kept: list[Point] = []
    for a, b in zip(zone, (*zone[1:], zone[0]), strict=True):
        if room(a) >= 0:
            kept.append(a)
        if (room(a) > 0 > room(b)) or (room(a) < 0 < room(b)):
            t = room(a) / (room(a) - room(b))
            kept.append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
    return kept


def _path(points: Iterable[Point]) -> str:
    return "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in points) + "Z"


def _dot(middle: Point, r: float) -> str:
    x, y = middle
    across = _n(2 * r)
    arcs = f"a{r} {r} 0 1 0 {across} 0a{r} {r} 0 1 0-{across} 0Z"
    return f"M{_n(x - r)} {_n(y)}{arcs}"


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
