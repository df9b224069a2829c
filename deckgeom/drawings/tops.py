"""The measured top of one beam against a batten line: plane here, pack there, leave that, measure this again."""

from __future__ import annotations

from typing import Any

import numpy as np

from deckgeom.drawings.board import Board
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.style import clean
from deckgeom.drawings.ticks import mark_axis, unit_words
from deckgeom.drawings.words import gap_words, heights_unit, off_words

WORK = {"plane": 1.0, "pack": -1.0}
DOUBTS = ("doubtful reading", "measure again")


def draw_tops(
    verdicts: Any,
    beam: int,
    units: str = "mm",
    plan: Any = None,
    designed: Any = None,
    board: Board | None = None,
    place: float | None = None,
) -> Picture:
    """
    Draw the readings of one beam against the batten line that all readings make, and the work that follows.

    Parameters
    ----------
    verdicts : Verdicts
        What to do about every reading. [mm]
    beam : int
        Which beam, from 0. [-]
    units : str
        Of the axes and the words.
    plan : WorkPlan, optional
        What comes off and what is packed; the deviations of the verdicts where there is none.
    designed : tuple of array, optional
        The beam as designed, to lay over it: places across, heights there. [mm]
    board : Board, optional
        One of :func:`tops_board`, to draw on again.
    place : float, optional
        Where a reader's line crosses both panes. [mm]

    Returns
    -------
    Picture
        Two panes: the beam, and the readings against the batten line drawn large.

    Examples
    --------
    >>> from deckgeom.fairing.beam_tops import BeamTops
    >>> from deckgeom.fairing.fair import estimate
    >>> from deckgeom.fairing.verdict import judge
    >>> y, x = np.tile([-900.0, -450, 0, 450, 900], 9), np.repeat(np.arange(9) * 400.0, 5)
    >>> z = 1000 - y**2 / 16200 + 4.0 * (x == 1600)
    >>> tops = BeamTops(np.repeat(np.arange(9), 5), tuple("123456789"), x, y, np.full(45, 900.0), z)
    >>> print(draw_tops(judge(tops, estimate(tops, reading_error=0.7), 1.5), 4).alt)
    Beam 5 as measured, against a batten line: plane 4 mm at 900 mm port; plane 4 mm at 450 mm port; plane 4 mm at the
    centreline; plane 4 mm at 450 mm starboard; plane 4 mm at 900 mm starboard.
    """
    board = board or tops_board()
    board.start()
    rows = np.flatnonzero(verdicts.tops.beam == beam)
    rows = rows[np.argsort(verdicts.tops.y[rows], kind="stable")]
    name = clean(verdicts.tops.beam_names[beam], 20)
    if not rows.size:
        _empty(board, name, units)
        return board.finish(f"Beam {name} was not measured.")
    _beam(board, verdicts, rows, name, designed, units)
    said = _off_the_batten(board, verdicts, rows, plan, units)
    board.reader(place)
    return board.finish(f"Beam {name} as measured, against a batten line: {'; '.join(said)}.")


def tops_board() -> Board:
    """
    Make a board for :func:`draw_tops`.

    Examples
    --------
    >>> len(tops_board().panes)
    2
    """
    return Board((2.0, 2.0), legend_rows=(1, 1), foot=(0.35, 0.62))


def amounts(verdicts: Any, plan: Any = None) -> tuple[np.ndarray, np.ndarray]:
    """
    Return what comes off and what is packed at each reading.

    Parameters
    ----------
    verdicts : Verdicts
        What to do about every reading. [mm]
    plan : WorkPlan, optional
        Where there is one, its amounts are taken.

    Returns
    -------
    plane_off, pack_up : ndarray, shape (n,)
        Nought where nothing is to be done. [mm]

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> told = SimpleNamespace(word=np.array(["plane", "leave", "pack"]), deviation=np.array([3.0, 1.0, -2.0]))
    >>> [a.tolist() for a in amounts(told)]
    [[3.0, 0.0, 0.0], [0.0, 0.0, 2.0]]
    """
    if plan is not None:
        return plan.plane_off, plan.pack_up
    out = np.abs(verdicts.deviation)
    return tuple(np.where(verdicts.word == word, out, 0.0) for word in WORK)


def _empty(board: Board, name: str, units: str) -> None:
    board.titles(f"Beam {name} was not measured", "", f"height ({unit_words(units)})")
    board.titles("", "", "", at=1)
    board.limits((-1, 1), (0, 1))
    board.limits((-1, 1), (-1, 1), at=1)


def _beam(board: Board, verdicts: Any, rows: np.ndarray, name: str, designed: Any, units: str) -> None:
    tops, surface = verdicts.tops, verdicts.estimate.surface
    y, half = tops.y[rows], tops.half_breadth[rows]
    across = np.linspace(y[0], y[-1], 121)
    halves = np.where(across < 0, half[0], half[-1])
    line = surface.height(np.full(across.shape, float(np.mean(tops.x[rows]))), across, halves)
    parts = [line, tops.z[rows]]
    if designed is not None:
        board.line("designed", *designed, "designed", label="as designed")
        parts.append(np.asarray(designed[1]))
    board.line("batten", across, line, "batten", label="batten line, from all the readings")
    board.dots("readings", y, tops.z[rows], "measured", label="measured")
    doubt = [i for i in rows if verdicts.word[i] in DOUBTS]
    if doubt:
        board.dots("doubt", tops.y[doubt], tops.z[doubt], "suspect", label="measure this again first")
    z = np.concatenate(parts)
    board.titles(f"Beam {name}, seen from aft", "", f"height ({unit_words(units)})")
    room = 0.06 * (half[0] + half[-1]) / 2
    reach = (min(y[0], 0.0) - room, max(y[-1], 0.0) + room)
    board.frame(reach, (float(np.min(z)), float(np.max(z))), most=20)
    mark_axis(board.panes[0].xaxis, units, 14, unsigned=True)
    mark_axis(board.panes[0].yaxis, units, 6)


def _off_the_batten(board: Board, verdicts: Any, rows: np.ndarray, plan: Any, units: str) -> list[str]:
    tops = verdicts.tops
    y, off = tops.y[rows], (tops.z - verdicts.estimate.fair)[rows]
    sure = np.array([verdicts.word[i] not in DOUBTS for i in rows])
    reach = max(2.5 * verdicts.tolerance, 1.35 * float(np.max(np.abs(off[sure]), initial=0.0)))
    board.band("leave", board.panes[0].get_xlim(), -verdicts.tolerance, verdicts.tolerance, "shade", at=1,
               label=f"leave: within {gap_words(verdicts.tolerance, units)}")  # fmt: skip
    board.line("batten", board.panes[0].get_xlim(), [0, 0], "batten", at=1)
    shown = np.abs(off) <= reach
    board.dots("readings", y[shown], off[shown], "measured", at=1)
    if not np.all(shown):
        far = "beyond this picture"
        board.dots("far", y[~shown], np.sign(off[~shown]) * reach, "doubtful", at=1, label=far)
    said = _bars(board, verdicts, rows, off, reach, amounts(verdicts, plan), units)
    across = f"port   ←   off the centreline ({unit_words(units)})   →   starboard"
    board.titles("The readings against the batten line", across, f"off it ({heights_unit(units)})", at=1)
    board.limits(board.panes[0].get_xlim(), (-1.45 * reach, 1.45 * reach), at=1, words="heights drawn large")
    mark_axis(board.panes[1].xaxis, units, 14, unsigned=True)
    mark_axis(board.panes[1].yaxis, units, 6, unsigned=True)
    return said


def _bars(
    board: Board, verdicts: Any, rows: np.ndarray, off: np.ndarray, reach: float, work: tuple, units: str
) -> list[str]:
    low, high = board.panes[0].get_xlim()
    wide = 0.011 * (high - low)
    said = []
    for k, i in enumerate(rows):
        y, word = float(verdicts.tops.y[i]), str(verdicts.word[i])
        amount = float(max(work[0][i], work[1][i]))
        top = float(np.clip(off[k], -reach, reach))
        if amount > 0:
            top = max(top, min(amount, reach), key=abs) if work[0][i] > 0 else min(top, -min(amount, reach))
            word = "plane" if work[0][i] > 0 else "pack"
            way = WORK[word] * min(amount, reach)
            board.band(f"{word} {k}", [y - wide, y + wide], 0.0, way, word, at=1, label=word)
        words = _words(word, amount, float(verdicts.deviation[i]), int(verdicts.again[i]), units)
        said.append(f"{words} at {off_words(y, units)}")
        if words != "leave":
            board.words(f"work {k}", y, top, words.replace(": ", ":\n"), at=1, ha="center", va="center", fontsize=9,
                        shift=(0, 13 if top >= 0 else -13), fontweight="bold" if amount > 0 else "normal")  # fmt: skip
    return said


def _words(word: str, amount: float, deviation: float, again: int, units: str) -> str:
    if amount > 0:
        return f"{word} {gap_words(amount, units)}"
    if word == "doubtful reading":
        return f"measure again: {gap_words(deviation, units)} {'high' if deviation > 0 else 'low'}"
    if word == "measure again":
        return f"measure again, {again} more" if again > 1 else "measure again"
    if word == "cannot tell from here":
        return "cannot tell"
    return word


def reading_words(verdicts: Any, i: int, units: str = "mm", plan: Any = None) -> str:
    """
    Say what to do at one reading, shortly.

    Parameters
    ----------
    verdicts : Verdicts
        What to do about every reading. [mm]
    i : int
        Which reading, from 0. [-]
    units : str
        Of the words.
    plan : WorkPlan, optional
        Where there is one, its amounts are taken.

    Returns
    -------
    str
        *plane 3 mm*, *pack 4 mm*, *leave*, *measure again*.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> told = SimpleNamespace(word=np.array(["plane"]), deviation=np.array([3.0]), again=np.array([0]))
    >>> reading_words(told, 0)
    'plane 3 mm'
    """
    off, up = amounts(verdicts, plan)
    word = "plane" if off[i] > 0 else "pack" if up[i] > 0 else str(verdicts.word[i])
    amount = float(max(off[i], up[i]))
    return _words(word, amount, float(verdicts.deviation[i]), int(verdicts.again[i]), units)
