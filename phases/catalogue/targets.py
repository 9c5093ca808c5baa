"""Turn a row's finished figures into what a tape reaches: bare stud and subfloor."""

from collections.abc import Iterator

from phases.catalogue.cells import BARE_OF
from phases.catalogue.demand import Target
from phases.catalogue.house import Finish, Fixture
from phases.catalogue.tables import DemandRow

# Rough outlets that are found along the wall by the fixture's centre line.
LOCATED = ("drain", "box", "valve", "gas")
ALONG_TOLERANCE = 8
_OTHER = {"left": "right", "right": "left", "": ""}


def swap(side: str, *, mirrored: bool) -> str:
    """Left for right on a mirrored lot; other words stay."""
    return _OTHER.get(side, side) if mirrored else side


def targets_of(
    row: DemandRow, *, fixture: Fixture, finish: Finish, mirrored: bool
) -> tuple[Target, ...]:
    """The targets of one row for one fixture, in sixteenths, finished and bare."""
    return tuple(_targets(row, fixture=fixture, finish=finish, mirrored=mirrored))


def _targets(
    row: DemandRow, *, fixture: Fixture, finish: Finish, mirrored: bool
) -> Iterator[Target]:
    for axis, figure, seen in (
        ("height", row.height, row.height_from),
        ("wall", row.wall, row.wall_from),
    ):
        if figure is not None:
            yield Target(
                axis=axis,
                bare=figure + _hidden(seen, finish=finish),
                finished=figure,
                bare_from=BARE_OF.get(seen, seen),
                finished_from=seen,
                minus=row.tol_minus,
                plus=row.tol_plus,
            )
    if row.side is not None:
        side = fixture.hand if row.side_dir == "hand" else row.side_dir
        yield Target(
            axis="side",
            bare=row.side,
            finished=row.side,
            bare_from="centre_line",
            finished_from="centre_line",
            minus=row.tol_minus,
            plus=row.tol_plus,
            direction=swap(side, mirrored=mirrored and row.mirrors),
        )
    side_board = finish.wall_build_up(wet=False)
    if row.clear is not None:
        yield _from_side_wall("clear", row.clear, side_board, plus=None)
    if fixture.along is not None and row.concealed and row.outlet in LOCATED:
        yield _from_side_wall(
            "along",
            fixture.along,
            side_board,
            minus=ALONG_TOLERANCE,
            plus=ALONG_TOLERANCE,
            direction=swap(fixture.along_from, mirrored=mirrored),
        )


def _from_side_wall(
    axis: str,
    figure: int,
    board: int,
    *,
    minus: int = 0,
    plus: int | None,
    direction: str = "",
) -> Target:
    return Target(
        axis=axis,
        bare=figure + board,
        finished=figure,
        bare_from="bare_side_wall",
        finished_from="side_wall",
        minus=minus,
        plus=plus,
        direction=direction,
    )


def _hidden(seen: str, *, finish: Finish) -> int:
    """How much later covers the surface that the tape reaches now."""
    if seen == "finished_floor":
        return finish.floor
    if seen in ("finished_wall", "finished_wet_wall"):
        return finish.wall_build_up(wet=seen == "finished_wet_wall")
    return 0
