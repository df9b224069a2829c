"""The deck edge in profile and in plan with the offsets that it was faired through, and how far it passes from each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from deckgeom.drawings.board import Board
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.style import clean
from deckgeom.drawings.ticks import along_the_boat, mark_axis, mark_names, unit_words
from deckgeom.drawings.words import heights_unit
from deckgeom.units import format_length

SIDES = ("port", "starboard")
LINE = {"port": "designed", "starboard": "designed starboard"}
DOTS = {"port": "measured", "starboard": "measured starboard"}
POINTS = 241


def draw_sheer(
    sheer: Any,
    suspects: Sequence[Any] = (),
    units: str = "mm",
    board: Board | None = None,
    place: float | None = None,
) -> Picture:
    """
    Draw the deck edge in profile above the deck edge in plan, with every offset.

    Parameters
    ----------
    sheer : Sheer
        The fair deck edge. [mm]
    suspects : sequence of Suspect
        Offsets to be ringed.
    units : str
        Of the axes and the words.
    board : Board, optional
        One of :func:`sheer_board`, to draw on again.
    place : float, optional
        Where a reader's line crosses both panes. [mm]

    Returns
    -------
    Picture
        Two panes: profile and plan.

    Examples
    --------
    >>> from deckgeom.hull.offsets import OffsetTable
    >>> from deckgeom.hull.sheer import Sheer
    >>> table = OffsetTable.from_rows({"x": [0, 1000, 2000], "height": [90, 50, 60], "half_breadth": [0, 500, 550]})
    >>> print(draw_sheer(Sheer.from_offsets(table)).alt)
    The deck edge in profile and in plan, from 0 mm to 2000 mm. In profile port falls from 90 mm forward to 48 mm and
    rises to 60 mm aft; starboard the same. In plan the greatest half-breadth is 584 mm to port and 584 mm to starboard.
    """
    board = board or sheer_board()
    board.start()
    x = np.linspace(sheer.start, sheer.end, POINTS)
    heights = {side: sheer.height(side, x) for side in SIDES}
    breadths = {side: sheer.half_breadth(side, x) for side in SIDES}
    _profile(board, sheer, x, heights, suspects, units)
    _plan(board, sheer, x, breadths, suspects, units)
    board.reader(place)
    return board.finish(_describe(sheer, heights, breadths, suspects, units))


def sheer_board() -> Board:
    """
    Make a board for :func:`draw_sheer`.

    Examples
    --------
    >>> len(sheer_board().panes)
    2
    """
    return Board((2.3, 3.2), legend_rows=1)


def _profile(board: Board, sheer: Any, x: np.ndarray, heights: dict, suspects: Sequence[Any], units: str) -> None:
    for side in SIDES:
        board.line(side, x, heights[side], LINE[side], label=f"fair edge, {side}")
    values = _offsets(board, sheer, "height", 0, dict.fromkeys(SIDES, 1.0))
    board.titles("Sheer in profile", along_the_boat(units), f"height above base ({unit_words(units)})")
    board.frame((sheer.start, sheer.end), _reach([*heights.values(), *values]))
    _ring(board, suspects, sheer, "height", 0, units)
    mark_axis(board.panes[0].xaxis, units, 14)
    mark_axis(board.panes[0].yaxis, units, 8)


def _plan(board: Board, sheer: Any, x: np.ndarray, breadths: dict, suspects: Sequence[Any], units: str) -> None:
    signs = {"port": -1.0, "starboard": 1.0}
    board.line("centreline", [sheer.start, sheer.end], [0, 0], "base", at=1)
    for side in SIDES:
        board.line(side, x, signs[side] * breadths[side], LINE[side], at=1)
    values = _offsets(board, sheer, "half_breadth", 1, signs)
    board.titles(
        "Deck edge in plan, bow to the left", along_the_boat(units), f"half-breadth ({unit_words(units)})", at=1
    )
    board.frame((sheer.start, sheer.end), _reach([-breadths["port"], breadths["starboard"], *values]), at=1)
    for side in SIDES:
        place = (sheer.start, signs[side] * 0.55 * float(np.max(breadths[side])))
        board.words(side + " name", *place, side, at=1, shift=(4, 0), color="#444444", fontstyle="italic")
    _ring(board, suspects, sheer, "half_breadth", 1, units)
    mark_axis(board.panes[1].xaxis, units, 14)
    mark_axis(board.panes[1].yaxis, units, 8, unsigned=True)


def _offsets(board: Board, sheer: Any, what: str, at: int, signs: dict[str, float]) -> list[np.ndarray]:
    values = []
    for key, line, _ in sheer.offsets:
        if not key.startswith(what):
            continue
        side = key.rpartition("_")[2]
        label = f"offset, {side}" if at == 0 else None
        values.append(signs[side] * line.value)
        board.dots(f"offsets {side}", line.x, values[-1], DOTS[side], at=at, label=label)
    return values


def _ring(board: Board, suspects: Sequence[Any], sheer: Any, what: str, at: int, units: str) -> None:
    """Ring the suspects of one pane and say of the first few what would be fair."""
    found = [one for one in suspects if one.column.startswith(what)]
    lines = {line.name: (key, line) for key, line, _ in sheer.offsets}
    places = []
    for one in found:
        key, line = lines[one.column]
        sign = -1.0 if what == "half_breadth" and key.endswith("port") else 1.0
        places.append((float(line.x[line.stations.index(one.station)]), sign * one.value))
    if places:
        board.dots("suspects", *zip(*places, strict=True), "suspect", at=at, label="suspect")
    for k, (one, place) in enumerate(zip(found[:3], places, strict=False)):
        said = f"station {clean(one.station, 12)}: {format_length(one.value, units)} written,\n"
        said += f"{format_length(one.expected, units)} would be fair"
        late = place[0] > (sheer.start + sheer.end) / 2
        outside = what == "height" or abs(place[1]) < 0.6 * max(board.panes[at].get_ylim())
        lift = (56 if at else 30) * (1 if outside == (place[1] >= 0) else -1)
        board.words(
            f"suspect {k}",
            *place,
            said,
            at=at,
            shift=(-14 if late else 14, lift),
            leader=True,
            ha="right" if late else "left",
        )


def _reach(parts: Sequence[np.ndarray]) -> tuple[float, float]:
    joined = np.concatenate(parts)
    return float(np.min(joined)), float(np.max(joined))


def _describe(sheer: Any, heights: dict, breadths: dict, suspects: Sequence[Any], units: str) -> str:
    said = [
        f"The deck edge in profile and in plan, from {format_length(sheer.start, units)} "
        f"to {format_length(sheer.end, units)}."
    ]
    runs = {}
    for side in SIDES:
        z = heights[side]
        low = format_length(float(np.min(z)), units)
        runs[side] = (
            f"falls from {format_length(float(z[0]), units)} forward to {low} "
            f"and rises to {format_length(float(z[-1]), units)} aft"
        )
    starboard = "the same" if runs["port"] == runs["starboard"] else runs["starboard"]
    said.append(f"In profile port {runs['port']}; starboard {starboard}.")
    widest = {side: format_length(float(np.max(breadths[side])), units) for side in SIDES}
    most = f"{widest['port']} to port and {widest['starboard']} to starboard"
    said.append(f"In plan the greatest half-breadth is {most}.")
    for one in suspects[:5]:
        said.append(
            f"Suspect: {clean(one.column.replace('_', ' '))} at station {clean(one.station)}, "
            f"{format_length(one.value, units)}, where {format_length(one.expected, units)} would be fair."
        )
    return " ".join(said)


def draw_distances(
    sheer: Any, accuracy: float, units: str = "mm", reach: float | None = None, board: Board | None = None
) -> Picture:
    """
    Draw how far each offset lies from the fair curve, large enough to see.

    Parameters
    ----------
    sheer : Sheer
        The fair deck edge. [mm]
    accuracy : float
        How far an honest offset may lie from it. [mm]
    units : str
        Of the words.
    reach : float, optional
        Distances beyond this are drawn at the edge, with the number beside them; four accuracies if not given. [mm]
    board : Board, optional
        One with two panes, to draw on again.

    Returns
    -------
    Picture
        Two panes: heights, half-breadths.

    Examples
    --------
    >>> from deckgeom.hull.offsets import OffsetTable
    >>> from deckgeom.hull.sheer import Sheer
    >>> table = OffsetTable.from_rows({"x": [0, 1000, 2000], "height": [90, 50, 60], "half_breadth": [0, 500, 550]})
    >>> print(draw_distances(Sheer.from_offsets(table), 1.0).alt)
    How far each offset lies from the fair deck edge. Heights: at most 0 mm. Half-breadths: at most 0 mm.
    """
    board = board or Board((1.5, 1.5), legend_rows=1)
    board.start()
    reach = reach or 4 * max(accuracy, 0.5)
    said = ["How far each offset lies from the fair deck edge."]
    rows = sheer.distances()
    heads = (
        ("height", "Heights", "above the curve", "below"),
        ("half_breadth", "Half-breadths", "outside the curve", "inside"),
    )
    for at, (what, head, more, less) in enumerate(heads):
        mine = [row for row in rows if row.column.startswith(what)]
        title = f"{head}: how far each offset lies {more} or {less}"
        board.titles(title, "station", f"distance ({heights_unit(units)})", at=at)
        _distances(board, sheer, mine, accuracy, reach, at, units)
        for name, y in ((more.split()[0], reach), (less, -reach)):
            board.words(name, sheer.end, y, name, at=at, shift=(9, 0), color="#444444", fontstyle="italic")
        said.append(_worst(head, mine, units))
    return board.finish(" ".join(said))


def _distances(board: Board, sheer: Any, rows: list, accuracy: float, reach: float, at: int, units: str) -> None:
    places = {
        (line.name, station): float(x)
        for _, line, _ in sheer.offsets
        for station, x in zip(line.stations, line.x, strict=True)
    }
    board.band(
        "accuracy",
        [sheer.start, sheer.end],
        -accuracy,
        accuracy,
        "shade",
        at=at,
        label=f"within {format_length(accuracy, units)}",
    )
    board.line("fair", [sheer.start, sheer.end], [0, 0], "designed", at=at, label="fair deck edge")
    for side in SIDES:
        mine = [
            row
            for row in rows
            if not row.column.endswith({"port": "starboard", "starboard": "port"}[side]) or row.column.endswith(side)
        ]
        mine = [row for row in mine if row.column.endswith(f"_{side}") or side == "port" and "_port" not in row.column]
        if mine:
            x = [places[row.column, row.station] for row in mine]
            y = np.clip([-row.distance for row in mine], -reach, reach)
            both = not mine[0].column.endswith(f"_{side}")
            board.dots(
                f"off {side}", x, y, DOTS[side], at=at, label="offset, both sides" if both else f"offset, {side}"
            )
        for row in mine:
            if abs(row.distance) > reach:
                edge = -np.sign(row.distance) * reach
                board.words(
                    f"far {row.column} {row.station}",
                    places[row.column, row.station],
                    edge,
                    format_length(abs(row.distance), units),
                    at=at,
                    shift=(0, -11 if edge > 0 else 11),
                    ha="center",
                )
    board.limits(
        (sheer.start - 0.02 * (sheer.end - sheer.start), sheer.end + 0.085 * (sheer.end - sheer.start)),
        (-1.25 * reach, 1.25 * reach),
        at=at,
        words="distances drawn large",
    )
    _stations(board, sheer, at)
    mark_axis(board.panes[at].yaxis, units, 6, unsigned=True)


def _stations(board: Board, sheer: Any, at: int) -> None:
    """Name the stations along the axis, leaving out a name where it would run into the last."""
    names = {
        float(x): clean(station, 10)
        for _, line, _ in sheer.offsets
        for station, x in zip(line.stations, line.x, strict=True)
    }
    places, last = [], -np.inf
    for x in sorted(names):
        if x - last >= 0.03 * (sheer.end - sheer.start):
            places.append(x)
            last = x
    mark_names(board.panes[at].xaxis, places, [names[x] for x in places])


def _worst(head: str, rows: list, units: str) -> str:
    if not rows:
        return f"{head}: none."
    kept = [row for row in rows if not row.set_aside] or rows
    most = max(abs(row.distance) for row in kept)
    said = f"{head}: at most {format_length(most, units)}."
    aside = [row for row in rows if row.set_aside]
    for row in aside[:5]:
        said += f" Station {clean(row.station)} is set aside, {format_length(abs(row.distance), units)} off."
    return said
