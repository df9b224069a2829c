"""Drawings of a deck's laying: the map of its bends, sheets over the deck and on themselves, planks and butts."""

from __future__ import annotations

from typing import Any

import numpy as np

from deckgeom.drawings.board import Board
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.style import clean, house_style
from deckgeom.drawings.ticks import along_the_boat, mark_axis, unit_words
from deckgeom.units import format_length, parse_length

__all__ = ["draw_candidates", "draw_curvature", "draw_planks", "draw_sheets", "draw_true_shape"]

RADII = (1, 2, 3, 5, 8, 15, 30)
"""Metres, or yards."""
WIDTHS = (0.3, 0.6, 0.9, 1.2, 1.8, 2.4)
PIECES = ("#ffffff", "#e4e4e4", "#cfcfcf")
#: Sheets side by side on the drawing of the nest.
ABREAST = 4


def draw_curvature(found: Any, sheer: Any, units: str = "mm") -> Picture:
    """
    Draw how sharply the deck bends, and how broad a sheet may be where it bends both ways.

    Parameters
    ----------
    found : CurvatureMap
    sheer : Sheer
    units : str

    Returns
    -------
    Picture
        Two panes, the bow to the left.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> from deckgeom.laying.lie_down_map import curvature_map
    >>> job = example_job()
    >>> draw_curvature(curvature_map(job.deck), job.sheer).alt.partition(":")[0]
    'The deck from above with lines of equal bend'
    """
    board = Board((2.7, 2.7), legend_rows=0)
    board.start()
    radius, width = found.smallest_radius, found.sheet_width()
    metre = 1000.0 if units == "mm" else parse_length("3 ft")
    for at, (values, levels, title) in enumerate((
        (radius, RADII, "Radius of the sharpest bend"), (width, WIDTHS, "Broadest long sheet that goes down"),
    )):  # fmt: skip
        _outline(board, sheer, units, title, at)
        levels = [level * metre if at == 0 or units == "mm" else level / 0.9 * metre for level in levels]
        shown = [level for level in levels if np.nanmin(values) < level < np.nanmax(np.minimum(values, 1e6))]
        if shown:
            with house_style():
                drawn = board.panes[at].contour(found.x, found.y, np.minimum(values, 1e6), shown, colors="black",
                                                linewidths=1.1, linestyles=["solid", "dashed", "dotted"])
                board.panes[at].clabel(drawn, fmt=lambda v: format_length(v, units), fontsize=8.5)
    least, narrow = np.unravel_index(np.argmin(radius), radius.shape), float(np.min(width))
    return board.finish(
        f"The deck from above with lines of equal bend: the sharpest has a radius of "
        f"{format_length(float(radius[least]), units)}, at {format_length(float(found.x[least]), units)} along the "
        f"boat. Below, lines of the broadest long sheet that goes down without straining beyond what is allowed: at "
        f"the narrowest {format_length(narrow, units)}."
    )


def _outline(board: Board, sheer: Any, units: str, title: str, at: int = 0, label: bool = False) -> None:
    x = np.linspace(sheer.start, sheer.end, 201)
    port, starboard = -sheer.half_breadth("port", x), sheer.half_breadth("starboard", x)
    ring_x, ring_y = np.r_[x, x[::-1], x[:1]], np.r_[port, starboard[::-1], port[:1]]
    board.line("edge", ring_x, ring_y, "designed", at=at, label="deck edge" if label else None)
    board.line("centreline", [sheer.start, sheer.end], [0, 0], "base", at=at, linestyle=(0, (8, 3, 1, 3)))
    _frame(board, x, port, starboard, at)
    board.titles(title, along_the_boat(units), f"off the centreline ({unit_words(units)})", at)
    mark_axis(board.panes[at].xaxis, units, 14)
    mark_axis(board.panes[at].yaxis, units, 5, unsigned=True)


def _frame(board: Board, x, port, starboard, at: int) -> None:
    board.frame((float(x[0]), float(x[-1])), (float(np.min(port)), float(np.max(starboard))), at, most=1)
    reach = board.panes[at].get_ylim()
    for side, y in (("starboard", 0.93), ("port", 0.07)):
        place = (float(x[0]), reach[0] + y * (reach[1] - reach[0]))
        board.words(side, *place, side, at=at, color="#444444", fontstyle="italic")


def _skin(board: Board, plan: Any, skin: int, at: int = 0, names: bool = True) -> None:
    for k, piece in enumerate(each for each in plan.pieces if each.skin == skin):
        x, y = piece.outline.T
        board.outline(piece.name, x, y, "shade", at, facecolor=PIECES[k % 3], edgecolor="none")
        if names:
            board.words(piece.name, *_middle(piece.outline), piece.name, at, ha="center", fontweight="bold",
                        bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8})  # fmt: skip
    for box in plan.plan.openings:
        board.outline(f"box {box.what} {box.x0:g}", [box.x0, box.x1, box.x1, box.x0], [box.y0, box.y0, box.y1, box.y1],
                      "opening", at)  # fmt: skip
    for k, joint in enumerate(each for each in plan.joints if each.skin == skin):
        label = "joint" if k == 0 and names else None
        board.line(f"joint {k}", [joint.x0, joint.x1], [joint.y0, joint.y1], "designed", at, label, linewidth=2.6)


def _middle(outline) -> tuple[float, float]:
    """A place well inside a piece, off the centreline where it has room, so that no opening hides its name."""
    low, high = outline.min(axis=0), outline.max(axis=0)
    y = low[1] + 0.68 * (high[1] - low[1]) if low[1] < 0 < high[1] else (low[1] + high[1]) / 2
    return float(low[0] + high[0]) / 2, float(y)


def draw_sheets(plan: Any, sheer: Any, beams: Any = (), units: str = "mm", skin: int = 0) -> Picture:
    """
    Draw one skin of a plan of sheets: on the deck, and every piece on the sheet that it is cut from.

    Parameters
    ----------
    plan : SheetPlan
    sheer : Sheer
    beams : sequence of float
        Middles of the beams. [mm]
    units : str
    skin : int
        From 0, the lowest.

    Returns
    -------
    Picture
        Two panes: the deck from above, the bow to the left; and the sheets, their length to the right.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> from deckgeom.laying.sheets import SheetChoices, plan_sheets
    >>> from deckgeom.laying.sheets_outline import deck_plan
    >>> job = example_job()
    >>> plan = plan_sheets(deck_plan(job.deck), job.beams.x, SheetChoices(2440, 1220, (9,))).best
    >>> draw_sheets(plan, job.sheer).alt[:32]
    'Skin A, 9 mm, from above: sheets'
    """
    pieces = [piece for piece in plan.pieces if piece.skin == skin]
    numbers = sorted({piece.sheet for piece in pieces})
    rows = -(-len(numbers) // ABREAST)
    board = Board((3.0, 1.2 * rows + 0.2), legend_rows=(1, 0))
    board.start()
    thick = format_length(plan.choices.skins[skin], units)
    _outline(board, sheer, units, f"Skin {chr(65 + skin)}, {thick}, from above, bow to the left", label=True)
    x = np.asarray(beams, float)
    if x.size:
        reach = [sheer.half_breadth(side, x) for side in ("port", "starboard")]
        board.stems("beams", x, -reach[0], reach[1])
    _skin(board, plan, skin)
    _nest(board, plan, pieces, numbers, units)
    names = "; ".join(f"{piece.name} on sheet {piece.sheet + 1}" for piece in pieces)
    length = sum(joint.length for joint in plan.joints if joint.skin == skin)
    return board.finish(
        f"Skin {chr(65 + skin)}, {thick}, from above: sheets {pieces[0].way if pieces else 'none'}, {len(pieces)} "
        f"pieces, {format_length(length, units)} of joint. Below, the pieces on {len(numbers)} sheets: {names}."
    )


def _nest(board: Board, plan: Any, pieces: list, numbers: list[int], units: str) -> None:
    length, width = plan.choices.length, plan.choices.width
    gap = 0.12 * width
    place = {number: ((k % ABREAST) * (length + gap), -(k // ABREAST) * (width + 1.6 * gap))
             for k, number in enumerate(numbers)}  # fmt: skip
    for number, (x0, y0) in place.items():
        board.outline(f"sheet {number}", x0 + length * np.array([0, 1, 1, 0]), y0 + width * np.array([0, 0, 1, 1]),
                      "shade", 1, facecolor="#cfcfcf", edgecolor="black", linewidth=0.8)  # fmt: skip
        board.words(f"sheet {number}", x0, y0 + width, f"sheet {number + 1}", 1, (0, 6), fontsize=8.5)
    for piece in pieces:
        x0, y0 = place[piece.sheet]
        x, y = piece.placed.T
        board.outline(f"on sheet {piece.name}", x0 + x, y0 + y, "shade", 1, facecolor="white", edgecolor="black",
                      linewidth=1.1, zorder=2)  # fmt: skip
        board.words(f"on sheet {piece.name}", x0 + float(x.min() + x.max()) / 2, y0 + float(y.min() + y.max()) / 2,
                    piece.name, 1, ha="center", fontweight="bold", fontsize=9)  # fmt: skip
    right = min(len(numbers), ABREAST) * (length + gap)
    down = (-(-len(numbers) // ABREAST) - 1) * (width + 1.6 * gap)
    board.frame((0, right), (-down, width + gap), 1, most=1, room=0.02)
    sizes = f"{format_length(length, units)} by {format_length(width, units)}"
    board.titles(f"Cut from sheets of {sizes}, seen from their upper face", "along the sheet", "across", 1)
    for axis in (board.panes[1].xaxis, board.panes[1].yaxis):
        axis.set_ticks([])


def draw_candidates(plans: Any, sheer: Any, units: str = "mm", skin: int = 0) -> Picture:
    """
    Draw the best few plans of sheets under each other.

    Parameters
    ----------
    plans : SheetPlans
    sheer : Sheer
    units : str
    skin : int

    Returns
    -------
    Picture
        One pane a plan, least joint first.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> from deckgeom.laying.sheets import SheetChoices, plan_sheets
    >>> from deckgeom.laying.sheets_outline import deck_plan
    >>> job = example_job()
    >>> plans = plan_sheets(deck_plan(job.deck), job.beams.x, SheetChoices(2440, 1220, (9,), wanted=2))
    >>> draw_candidates(plans, job.sheer).alt.partition(":")[0]
    '2 plans of sheets, the least joint first'
    """
    count = len(plans.plans)
    board = Board((1.75,) * max(count, 1), legend_rows=0, foot=0.5)
    board.start()
    said = []
    for at, plan in enumerate(plans.plans):
        words = f"Plan {at + 1}: {format_length(plan.joint_length, units)} of joint, {plan.sheets} sheets"
        _outline(board, sheer, units, words, at)
        _skin(board, plan, skin, at, names=False)
        way = next((piece.way for piece in plan.pieces if piece.skin == skin), "none")
        said.append(f"{words}, {way}")
    return board.finish(f"{count} plans of sheets, the least joint first: {'; '.join(said)}.")


def draw_planks(planks: Any, sheer: Any, openings: Any = (), units: str = "mm") -> Picture:
    """
    Draw laid planks from above, with their butts.

    Parameters
    ----------
    planks : PlankLayer
    sheer : Sheer
    openings : sequence of Box
    units : str

    Returns
    -------
    Picture
        One pane, the bow to the left.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from deckgeom.bench.example import example_job
    >>> from deckgeom.boat.ways_reader import ways
    >>> from deckgeom.laying.plan_pieces import plank_layer
    >>> job = example_job()
    >>> wishes = replace(job.boat.settings.laying, ways=ways([["a", "planks 12 mm, 100 mm wide"]], "mm"))
    >>> draw_planks(plank_layer(job.deck, job.beams, wishes.ways[0], wishes), job.sheer).alt.partition(":")[0]
    'Planks from above'
    """
    board = Board((4.2,), legend_rows=1)
    board.start()
    _outline(board, sheer, units, "Planks from above, bow to the left", label=True)
    bx, by = [], []
    for side, butts in planks.butts.items():
        mine = [piece for piece in planks.pieces if piece.name.startswith(f"{side} plank")]
        for number, x in butts.butts:
            piece = mine[number]
            ends = [np.interp(x, *edge.T) for edge in (piece.first, piece.second)]
            bx += [x, x, np.nan]
            by += [*ends, np.nan]
    for piece in planks.pieces:
        dark = "plank " not in piece.name
        for end, edge in (("one", piece.first), ("two", piece.second)):
            board.line(f"{piece.name} {end}", *edge.T, "base", linewidth=1.5 if dark else 0.7,
                       color="black" if dark else "#6b6b6b")  # fmt: skip
    if bx:
        board.line("butts", bx, by, "designed", label="butt", linewidth=3.2)
    for box in openings:
        board.outline(f"box {box.what} {box.x0:g}", [box.x0, box.x1, box.x1, box.x0], [box.y0, box.y0, box.y1, box.y1],
                      "opening")  # fmt: skip
    counts = {side: len(planks.butts[side].butts) for side in planks.butts}
    return board.finish(
        f"Planks from above: {clean(planks.layer.words(units), 120)}. {len(planks.pieces)} pieces in all; "
        + ", ".join(f"{count} butts {side}" for side, count in counts.items()) + "."
    )  # fmt: skip


def draw_true_shape(flat: Any, marks: Any, units: str = "mm") -> Picture:
    """
    Draw a sheet's true shape with the line that it is marked out from.

    Parameters
    ----------
    flat : FlatPanel
    marks : Marking
    units : str

    Returns
    -------
    Picture
        One pane: along the line to the right, square off it upward.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> from deckgeom.laying.true_shape import Panel, true_shape
    >>> from deckgeom.laying.true_shape_marking import mark_out
    >>> flat = true_shape(example_job().deck, Panel.rectangle("1", (1400, 3000), (0, 600)))
    >>> draw_true_shape(flat, mark_out(flat, margin=20)).alt.partition(",")[0]
    'Panel 1 laid flat'
    """
    board = Board((3.4,), legend_rows=1)
    board.start()
    corners, cut = marks.corners, marks.cut
    closed = np.vstack([cut, cut[:1]])
    board.line("cut", *closed.T, "batten", label="cut to this first")
    for k, name in enumerate(marks.edge_names):
        board.line(name, marks.along[k], marks.offset[k], "designed", label="true shape" if k == 0 else None)
        board.dots(name, marks.along[k], marks.offset[k], "ordinate")
    for a, b in ((0, 3), (1, 2)):
        board.line(f"end {a}", corners[[a, b], 0], corners[[a, b], 1], "designed")
    board.line("line", [cut[:, 0].min(), cut[:, 0].max()], [0, 0], "base", label="the straight line")
    middle, reach = cut.mean(axis=0), 0.12 * np.ptp(cut[:, 0])
    turn = np.radians(marks.grain_deg)
    step = reach * np.array([np.cos(turn), np.sin(turn)])
    board.line("grain", *np.array([middle - step, middle + step]).T, "pointer", linewidth=1.6)
    board.words("grain", *middle, "face grain", shift=(0, -10), ha="center", fontsize=8.5)
    board.frame((float(cut[:, 0].min()), float(cut[:, 0].max())), (float(cut[:, 1].min()), float(cut[:, 1].max())),
                most=1)  # fmt: skip
    board.titles(f"Panel {clean(flat.panel.name)} laid flat, seen from above",
                 f"along the line, either way from its forward end ({unit_words(units)})",
                 f"off the line ({unit_words(units)})")  # fmt: skip
    mark_axis(board.panes[0].xaxis, units, 12, unsigned=True)
    mark_axis(board.panes[0].yaxis, units, 7, unsigned=True)
    length, breadth = marks.stock
    return board.finish(
        f"Panel {clean(flat.panel.name)} laid flat, {format_length(length, units)} by "
        f"{format_length(breadth, units)} with its margin; the face grain runs {abs(marks.grain_deg):.0f} degrees off "
        f"the line it is marked out from. {len(marks.rows())} marks."
    )
