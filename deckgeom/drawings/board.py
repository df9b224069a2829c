"""
A drawing board: one figure whose artists are named, so that one function serves a first picture and a change.

A drawing function names each thing that it draws. Drawn again on the same board, the line of that name is moved instead
of made anew, and what is not named this time disappears: that is what keeps a slider quick.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial
from typing import Any

from matplotlib.artist import Artist
from matplotlib.figure import Figure
from matplotlib.text import Text

from deckgeom.drawings.artists import Artists
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.quick_svg import axis_look, keep_still, text_look
from deckgeom.drawings.style import GREY, house_style

EXAGGERATIONS = (1, 2, 3, 4, 5, 8, 10, 15, 20, 30, 40, 50, 80, 100)
STEPS = (1, 1.2, 1.4, 1.6, 1.8, 2, 2.3, 2.6, 3, 3.5, 4, 4.5, 5, 6, 7, 8, 9, 10)
LEFT, RIGHT, BOTTOM, HEAD, LEGEND_ROW = 0.95, 0.3, 0.62, 0.42, 0.24


class Board(Artists):
    """
    One figure, with named lines, dots, bands and words on one or more panes above each other.

    Parameters
    ----------
    heights : sequence of float
        Height of each pane's drawing area, from the top. [inch of figure]
    width : float
        Width of the whole figure. [inch of figure]
    legend_rows : int or sequence of int
        Rows kept free for the legend above each pane. [rows]
    foot : float or sequence of float
        Room under each pane for its axis. [inch of figure]

    Examples
    --------
    >>> board = Board((2.0,))
    >>> board.start()
    >>> board.line("sheer", [0, 1000], [0, 50], "designed", label="sheer")
    >>> board.frame((0, 1000), (0, 50)) >= 1
    True
    >>> board.finish("A straight sheer.").alt
    'A straight sheer.'
    """

    def __init__(
        self,
        heights: Sequence[float],
        width: float = 10.5,
        legend_rows: int | Sequence[int] = 1,
        foot: float | Sequence[float] = BOTTOM,
    ) -> None:
        self._legend_rows = _one_each(legend_rows, len(heights))
        feet = _one_each(foot, len(heights))
        heads = [HEAD + rows * LEGEND_ROW for rows in self._legend_rows]
        total = sum(heights) + sum(heads) + sum(feet)
        panes = []
        with house_style():
            self.figure = Figure(figsize=(width, total))
            top = total
            for height, head, below in zip(heights, heads, feet, strict=True):
                top -= head + height
                box = (LEFT / width, top / total, (width - LEFT - RIGHT) / width, height / total)
                panes.append(_quiet_pane(self.figure.add_axes(box)))
                top -= below
        super().__init__(panes)
        self._legends: dict[int, tuple[str, ...]] = {}

    def titles(self, title: str, x: str, y: str, at: int = 0) -> None:
        """
        Name a pane and its axes, with their units.

        Parameters
        ----------
        title, x, y : str
            Words.
        at : int
            Pane.

        Examples
        --------
        >>> Board((1.0,)).titles("Sheer", "aft of the stem (mm)", "height (mm)")
        """
        pane = self.panes[at]
        with house_style():
            pane.set_title(title, loc="left", y=1, pad=8 + 17 * self._legend_rows[at])
            pane.set_xlabel(x, ha="left")
            pane.set_ylabel(y)
            box = pane.get_window_extent()
            pane.xaxis.set_label_coords(0, -0.3 * self.figure.dpi / box.height)
            pane.yaxis.set_label_coords(-0.66 * self.figure.dpi / box.width, 0.5)

    def frame(
        self,
        x: tuple[float, float],
        y: tuple[float, float],
        at: int = 0,
        most: float = 100,
        scale: float | None = None,
        room: float = 0.08,
    ) -> float:
        """
        Set what a pane shows, at a round exaggeration of the heights, and say on the pane what that is.

        Parameters
        ----------
        x, y : tuple of float
            Least and greatest to be shown. [mm]
        at : int
            Pane.
        most : float
            The most that heights may be exaggerated.
        scale : float, optional
            The exaggeration itself, if it is to be kept.
        room : float
            Share of the pane kept free all round.

        Returns
        -------
        float
            How many times larger heights are drawn than lengths.

        Examples
        --------
        >>> board = Board((2.0,), width=4.0 + 1.25)
        >>> board.frame((0, 4000), (0, 100), room=0)
        20
        """
        pane = self.panes[at]
        box = pane.get_window_extent()
        shape = box.height / box.width
        wide = max(x[1] - x[0], 1e-6) * (1 + room / 2)
        tall = max(y[1] - y[0], 1e-6) * (1 + 2 * room)
        fits = [e for e in EXAGGERATIONS if e <= most and wide * shape / e >= tall]
        times = scale or (fits[-1] if fits else 1)
        if wide * shape / times < tall:
            wide = tall * times / shape
        tall = wide * shape / times
        pane.set_xlim((x[0] + x[1] - wide) / 2, (x[0] + x[1] + wide) / 2)
        # the middle goes in steps smaller than the room, so that a slider leaves the frame where it is
        step = tall * min(room, 0.1) / 2
        middle = (y[0] + y[1]) / 2
        middle = round(middle / step) * step if step else middle
        pane.set_ylim(middle - tall / 2, middle + tall / 2)
        words = "drawn true to proportion" if times == 1 else f"heights drawn {times:g} times larger than lengths"
        self._corner(words, at)
        return times

    def limits(self, x: tuple[float, float], y: tuple[float, float], at: int = 0, words: str = "") -> None:
        """
        Set what a pane shows where its two axes are not both lengths, or its scale does not matter.

        Heights are given room up to the next of a few steps, so that a slider leaves the pane as it is.

        Examples
        --------
        >>> Board((1.0,)).limits((0, 1), (0, 1))
        """
        self.panes[at].set_xlim(*x)
        self.panes[at].set_ylim(*map(_next_step, y))
        self._corner(words, at)

    def _corner(self, words: str, at: int) -> None:
        if ("corner", at) not in self._made:
            look = {"fontsize": 9, "ha": "right", "va": "bottom", "color": GREY}
            lift = (0, 9 + 17 * self._legend_rows[at])
            with house_style():
                self._made["corner", at] = self.panes[at].annotate(
                    "", (1, 1), lift, xycoords="axes fraction", textcoords="offset points", **look
                )
        self._made["corner", at].set_text(words)
        self._keep("corner", at, None)

    def reader(self, place: float | None) -> None:
        """
        Draw a reader's line across every pane, at a place on their common axis.

        Parameters
        ----------
        place : float or None
            Where; None draws none. [mm]

        Examples
        --------
        >>> Board((1.0,)).reader(0.5)
        """
        for at, pane in enumerate(self.panes if place is not None else ()):
            self.line("reader", [place, place], pane.get_ylim(), "reader", at=at)

    def finish(self, alt: str) -> Picture:
        """
        Close the picture: hide what was not drawn this time and bring the legends up to date.

        Parameters
        ----------
        alt : str
            What the picture shows, in words, with its values.

        Returns
        -------
        Picture
            On the same figure as the last one.

        Examples
        --------
        >>> Board((1.0,)).finish("Nothing.").alt
        'Nothing.'
        """
        for key, made in self._made.items():
            made.set_visible(key in self._seen)
        for at, pane in enumerate(self.panes):
            shown = {label: self._made[key] for key, label in self._seen.items() if key[1] == at and label}
            if self._legends.get(at) != tuple(shown):
                self._legends[at] = tuple(shown)
                self._legend(pane, shown, self._legend_rows[at])
        return Picture(self.figure, alt)

    def _legend(self, pane: Any, shown: dict[str, Artist], rows: int) -> None:
        if pane.get_legend() is not None:
            pane.get_legend().remove()
        if not shown:
            return
        columns = -(-len(shown) // max(rows, 1))
        with house_style():
            legend = pane.legend(
                shown.values(),
                shown.keys(),
                loc="lower left",
                bbox_to_anchor=(0, 1.0),
                ncols=columns,
                borderaxespad=0.2,
                borderpad=0,
                handletextpad=0.6,
                columnspacing=1.8,
            )
        keep_still(legend, lambda: pane.bbox.bounds)


def _next_step(value: float) -> float:
    """A little farther from nought: at the next of a few round steps."""
    size = abs(value)
    if not size:
        return value
    ten = 10.0 ** math.floor(math.log10(size))
    step = next((s for s in STEPS if s * ten >= size * (1 - 1e-9)), 10.0)
    return math.copysign(step * ten, value)


def _quiet_pane(pane: Any) -> Any:
    """A pane whose axes and titles are drawn anew only when they look different."""
    for axis in (pane.xaxis, pane.yaxis):
        keep_still(axis, partial(axis_look, axis))
    for child in pane.get_children():
        if isinstance(child, Text):
            keep_still(child, partial(text_look, child))
    return pane


def _one_each(value: Any, count: int) -> list:
    return list(value) if isinstance(value, Sequence) else [value] * count
