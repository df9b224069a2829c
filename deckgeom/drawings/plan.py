"""The plan of the deck with a mark at every reading: plane, pack, leave, measure again."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from deckgeom.drawings.board import Board
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.style import clean
from deckgeom.drawings.ticks import along_the_boat, mark_axis, unit_words
from deckgeom.drawings.tops import amounts
from deckgeom.drawings.words import gap_words, off_words

STAYS = "stays high or low"
#: What is narrower is drawn as a bar. [mm]
THIN = 30.0
#: Mark, words in the legend, and whether the amount is written beside it.
MARKS = (
    ("plane", "plane here", "plane"),
    ("pack", "pack here", "pack"),
    ("doubtful reading", "doubtful: measure again first", "doubtful"),
    ("measure again", "measure again", "again"),
    ("leave", "leave", "leave"),
    ("cannot tell from here", "cannot tell from here", "cannot"),
    (STAYS, "stays high or low: cannot be had", "stays"),
)


def draw_plan(
    verdicts: Any,
    sheer: Any,
    units: str = "mm",
    plan: Any = None,
    fittings: Sequence[Any] = (),
    board: Board | None = None,
    chosen: int | None = None,
) -> Picture:
    """
    Draw the deck from above with what is to be done at each reading.

    Parameters
    ----------
    verdicts : Verdicts
        What to do about every reading. [mm]
    sheer : Sheer
        The deck edge. [mm]
    units : str
        Of the axes and the words.
    plan : WorkPlan, optional
        What comes off and what is packed; the deviations of the verdicts where there is none.
    fittings : sequence of Fitting
        Openings and the like, drawn where their size is known.
    board : Board, optional
        One of :func:`plan_board`, to draw on again.
    chosen : int, optional
        A reading to ring, from 0. [-]

    Returns
    -------
    Picture
        One pane, the bow to the left.

    Examples
    --------
    >>> from deckgeom.fairing.beam_tops import BeamTops
    >>> from deckgeom.fairing.fair import estimate
    >>> from deckgeom.fairing.verdict import judge
    >>> from deckgeom.hull.sheer import Sheer
    >>> y, x = np.tile([-900.0, -450, 0, 450, 900], 9), np.repeat(np.arange(9) * 400.0, 5)
    >>> z = 1000 - y**2 / 16200 + 4.0 * (x == 1600)
    >>> tops = BeamTops(np.repeat(np.arange(9), 5), tuple("123456789"), x, y, np.full(45, 900.0), z)
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> sheer = Sheer.from_curves(level(900), level(1000), start=0, end=3200)
    >>> print(draw_plan(judge(tops, estimate(tops, reading_error=0.7), 1.5), sheer).alt)
    The deck from above, 45 readings: plane at 5, cannot tell from here at 10, leave 30. Beam 5: plane 4 mm at 900 mm
    port, 4 mm at 450 mm port, 4 mm at the centreline, 4 mm at 450 mm starboard, 4 mm at 900 mm starboard.
    """
    board = board or plan_board()
    board.start()
    _outline(board, sheer, fittings)
    _beams(board, verdicts)
    off, up = amounts(verdicts, plan)
    words = _what_is_done(verdicts, plan, off, up)
    for word, label, role in MARKS:
        here = words == word
        if np.any(here):
            board.dots(word, verdicts.tops.x[here], verdicts.tops.y[here], role, label=label)
    if chosen is not None:
        board.dots("chosen", verdicts.tops.x[[chosen]], verdicts.tops.y[[chosen]], "chosen", label="read below")
    _amounts(board, verdicts, off, up, units)
    board.titles(
        "Plan of the deck, bow to the left", along_the_boat(units), f"off the centreline ({unit_words(units)})"
    )
    mark_axis(board.panes[0].xaxis, units, 14)
    mark_axis(board.panes[0].yaxis, units, 8, unsigned=True)
    return board.finish(_describe(verdicts, words, off, up, units))


def _what_is_done(verdicts: Any, plan: Any, off: np.ndarray, up: np.ndarray) -> np.ndarray:
    """The mark of every reading: the work where there is any, else the verdict, but no verdict that is not acted on."""
    words = np.where(off > 0, "plane", np.where(up > 0, "pack", verdicts.word.astype("U32")))
    if plan is None:
        return words
    idle = (off == 0) & (up == 0)
    words[idle & np.isin(words, ("plane", "pack"))] = "leave"
    beyond = [one.reading for one in getattr(getattr(plan, "plan", plan), "breaches", ()) if one.reading >= 0]
    stays = np.zeros(len(words), dtype=bool)
    stays[beyond] = True
    words[stays & idle & (words != "doubtful reading")] = STAYS
    return words


def plan_board() -> Board:
    """
    Make a board for :func:`draw_plan`.

    Examples
    --------
    >>> len(plan_board().panes)
    1
    """
    return Board((4.3,), legend_rows=2)


def _outline(board: Board, sheer: Any, fittings: Sequence[Any]) -> None:
    x = np.linspace(sheer.start, sheer.end, 201)
    port, starboard = -sheer.half_breadth("port", x), sheer.half_breadth("starboard", x)
    ring_x, ring_y = np.r_[x, x[::-1], x[:1]], np.r_[port, starboard[::-1], port[:1]]
    board.line("edge", ring_x, ring_y, "designed", label="deck edge")
    board.line("centreline", [sheer.start, sheer.end], [0, 0], "base", linestyle=(0, (8, 3, 1, 3)))
    for k, fitting in enumerate(fittings):
        if fitting.length and fitting.breadth and not isinstance(fitting.y, str):
            low, high = fitting.x - fitting.length / 2, fitting.x + fitting.length / 2
            near, far = fitting.y - fitting.breadth / 2, fitting.y + fitting.breadth / 2
            if fitting.breadth < THIN:
                board.line(f"fitting {k}", [low, high], [fitting.y, fitting.y], "designed", linewidth=2.5)
                continue
            board.outline(f"fitting {k}", [low, high, high, low], [near, near, far, far], "opening")
    board.frame((float(x[0]), float(x[-1])), (float(np.min(port)), float(np.max(starboard))), most=1)
    reach = board.panes[0].get_ylim()
    for side, y in (("starboard", 0.93), ("port", 0.07)):
        place = (sheer.start, reach[0] + y * (reach[1] - reach[0]))
        board.words(side, *place, side, color="#444444", fontstyle="italic")


def _beams(board: Board, verdicts: Any) -> None:
    """Each beam as a hair line across its readings, its name at the port end."""
    tops = verdicts.tops
    found = [np.flatnonzero(tops.beam == b) for b in range(len(tops.beam_names))]
    found = [(b, rows) for b, rows in enumerate(found) if rows.size]
    x = [float(np.mean(tops.x[rows])) for _, rows in found]
    board.stems("beams", x, [np.min(tops.y[r]) for _, r in found], [np.max(tops.y[r]) for _, r in found])
    for (b, rows), place in zip(found, x, strict=True):
        outer = float(np.min(tops.y[rows]))
        outer, lift = (outer, -12) if outer < 0 else (float(np.max(tops.y[rows])), 12)
        name = clean(tops.beam_names[b], 5)
        board.words(f"beam {b}", place, outer, name, shift=(0, lift), ha="center", fontsize=8, color="#444444")


def _amounts(board: Board, verdicts: Any, off: np.ndarray, up: np.ndarray, units: str) -> None:
    for i in np.flatnonzero(np.maximum(off, up) > 0):
        said = gap_words(float(max(off[i], up[i])), units).removeprefix("less than ")
        place = (float(verdicts.tops.x[i]), float(verdicts.tops.y[i]))
        # above its mark, but inside the deck at the starboard edge: so it never lies on the next beam's mark
        lift = -12 if place[1] > 0.9 * verdicts.tops.half_breadth[i] else 12
        look = {"fontsize": 8, "fontweight": "bold", "bbox": {"facecolor": "white", "edgecolor": "none", "pad": 0.3}}
        board.words(f"amount {i}", *place, said, shift=(0, lift), ha="center", **look)


def _describe(verdicts: Any, words: np.ndarray, off: np.ndarray, up: np.ndarray, units: str) -> str:
    counts = [(word, int(np.sum(words == word))) for word, _, _ in MARKS]
    counted = [f"{word} at {count}" for word, count in counts if count and word != "leave"]
    counted.append(f"leave {dict(counts)['leave']}")
    said = [f"The deck from above, {len(words)} readings: {', '.join(counted)}."]
    for b, name in enumerate(verdicts.tops.beam_names):
        rows = np.flatnonzero(verdicts.tops.beam == b)
        for word, amount in (("plane", off), ("pack", up)):
            work = [i for i in rows[np.argsort(verdicts.tops.y[rows], kind="stable")] if amount[i] > 0]
            if work:
                places = ", ".join(
                    f"{gap_words(amount[i], units)} at {off_words(verdicts.tops.y[i], units)}" for i in work
                )
                said.append(f"Beam {clean(name, 20)}: {word} {places}.")
    for b in np.unique(verdicts.tops.beam[words == STAYS])[:8]:
        said.append(f"Cannot be had: beam {clean(verdicts.tops.beam_names[b], 20)} stays high or low.")
    for i in np.flatnonzero(words == "doubtful reading")[:8]:
        said.append(f"Measure again: beam {clean(verdicts.tops.beam_names[verdicts.tops.beam[i]], 20)} at "
                    f"{off_words(verdicts.tops.y[i], units)}.")  # fmt: skip
    return " ".join(said)
