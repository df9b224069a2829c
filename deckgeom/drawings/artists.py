"""Named lines, dots, bands and words on the panes of a figure: made once, moved afterwards."""

from __future__ import annotations

from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.patches import Polygon

from deckgeom.drawings.quick_svg import keep_still, text_look
from deckgeom.drawings.style import BANDS, DOTS, GREY, LINES, house_style

LEADER = {"arrowstyle": "-", "color": GREY, "linewidth": 0.7, "shrinkA": 1, "shrinkB": 6}


class Artists:
    """
    What is drawn on the panes of one figure, by name and pane.

    A name that is used again moves its artist; a name that is not used again is left off the next picture.

    Parameters
    ----------
    panes : list of matplotlib.axes.Axes
        Where it is drawn.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> artists = Artists([Figure().add_subplot()])
    >>> artists.line("sheer", [0, 1000], [0, 50], "designed")
    """

    def __init__(self, panes: list[Axes]) -> None:
        self.panes = panes
        self._made: dict[tuple[str, int], Artist] = {}
        self._seen: dict[tuple[str, int], str | None] = {}

    def start(self) -> None:
        """
        Begin a picture: whatever is not drawn before :meth:`finish` will not be on it.

        Examples
        --------
        >>> from deckgeom.drawings.board import Board
        >>> Board((1.0,)).start()
        """
        self._seen.clear()

    def line(self, name: str, x: Any, y: Any, role: str, at: int = 0, label: str | None = None, **more: Any) -> None:
        """
        Draw a line, or move the one of that name.

        Parameters
        ----------
        name : str
            Its name on this board.
        x, y : array_like, shape (n,)
            [mm]
        role : str
            A key of ``LINES``: what the line stands for decides how it looks.
        at : int
            Pane.
        label : str, optional
            Words for the legend.
        **more
            Line properties that differ from the role's.

        Examples
        --------
        >>> from deckgeom.drawings.board import Board
        >>> board = Board((1.0,))
        >>> board.line("edge", [0, 1], [0, 1], "batten")
        """
        self._plot(f"line: {name}", x, y, LINES[role] | more, at, label)

    def dots(self, name: str, x: Any, y: Any, role: str, at: int = 0, label: str | None = None, **more: Any) -> None:
        """
        Draw markers, or move those of that name; arguments as :meth:`line`, the role a key of ``DOTS``.

        Examples
        --------
        >>> from deckgeom.drawings.board import Board
        >>> board = Board((1.0,))
        >>> board.dots("tape", [0, 1], [0, 1], "measured")
        """
        self._plot(f"dots: {name}", x, y, DOTS[role] | more, at, label)

    def _plot(self, name: str, x: Any, y: Any, look: dict, at: int, label: str | None) -> None:
        made = self._made.get((name, at))
        if made is None:
            with house_style():
                (made,) = self.panes[at].plot(x, y, scalex=False, scaley=False, clip_on=True, **look)
            self._made[name, at] = made
        else:
            made.set_data(x, y)
            made.update(look)
        self._keep(name, at, label)

    def band(self, name: str, x: Any, low: Any, high: Any, role: str, at: int = 0, label: str | None = None) -> None:
        """
        Fill between two lines.

        Parameters
        ----------
        name : str
            Its name on this board.
        x : array_like, shape (n,)
            [mm]
        low, high : array_like, shape (n,) or ()
            Heights of the two lines. [mm]
        role : str
            A key of ``BANDS``.
        at : int
            Pane.
        label : str, optional
            Words for the legend.

        Examples
        --------
        >>> from deckgeom.drawings.board import Board
        >>> board = Board((1.0,))
        >>> board.band("high spot", [0, 100, 200], 0, [0, 3, 0], "plane")
        """
        x = np.asarray(x, dtype=float)
        low, high = np.broadcast_to(low, x.shape), np.broadcast_to(high, x.shape)
        self.outline(name, np.r_[x, x[::-1]], np.r_[low, high[::-1]], role, at, label)

    def outline(self, name: str, x: Any, y: Any, role: str, at: int = 0, label: str | None = None, **more: Any) -> None:
        """
        Draw a filled outline, or move the one of that name.

        Parameters
        ----------
        name : str
            Its name on this board.
        x, y : array_like, shape (n,)
            Corners, in order. [mm]
        role : str
            A key of ``BANDS``.
        at : int
            Pane.
        label : str, optional
            Words for the legend.
        **more
            Patch properties that differ from the role's.

        Examples
        --------
        >>> from deckgeom.drawings.board import Board
        >>> board = Board((1.0,))
        >>> board.outline("hatch", [0, 1, 1, 0], [0, 0, 1, 1], "opening")
        """
        name = f"fill: {name}"
        corners = np.column_stack([x, y]).astype(float)
        made = self._made.get((name, at))
        if made is None:
            with house_style():
                made = self.panes[at].add_patch(Polygon(corners, closed=True, **(BANDS[role] | more)))
            self._made[name, at] = made
        else:
            made.set_xy(corners)
        self._keep(name, at, label)

    def stems(self, name: str, x: Any, low: Any, high: Any, at: int = 0) -> None:
        """
        Draw upright hair lines, as one.

        Parameters
        ----------
        name : str
            Their name on this board.
        x : array_like, shape (n,)
            Where. [mm]
        low, high : array_like, shape (n,) or ()
            From and to. [mm]
        at : int
            Pane.

        Examples
        --------
        >>> from deckgeom.drawings.board import Board
        >>> board = Board((1.0,))
        >>> board.stems("ordinates", [0, 100], 0, [5, 6])
        """
        x, low, high = np.broadcast_arrays(np.asarray(x, dtype=float), low, high)
        gap = np.full(x.shape, np.nan)
        self.line(f"stems: {name}", np.c_[x, x, gap].ravel(), np.c_[low, high, gap].ravel(), "pointer", at=at)

    def words(
        self,
        name: str,
        x: float,
        y: float,
        text: str,
        at: int = 0,
        shift: tuple[float, float] = (0, 0),
        leader: bool = False,
        **more: Any,
    ) -> None:
        """
        Write at a point.

        Parameters
        ----------
        name : str
            Its name on this board.
        x, y : float
            Where. [mm]
        text : str
            What; a person's own words go through :func:`~deckgeom.drawings.style.clean` first.
        at : int
            Pane.
        shift : tuple of float
            Moved by so much on the page. [pt]
        leader : bool
            With a hair line from the words to the point.
        **more
            Text properties.

        Examples
        --------
        >>> from deckgeom.drawings.board import Board
        >>> board = Board((1.0,))
        >>> board.words("n", 0, 0, "beam 7", shift=(0, 6), ha="center")
        """
        look = {"fontsize": 9.5, "ha": "left", "va": "center", "color": "black", "zorder": 6} | more
        name = f"words: {name}"
        made = self._made.get((name, at))
        if made is None:
            with house_style():
                arrow = LEADER if leader else None
                made = self.panes[at].annotate(
                    text, (x, y), shift, textcoords="offset points", arrowprops=arrow, **look
                )
            made.set_annotation_clip(False)
            keep_still(made, lambda: text_look(made))
            self._made[name, at] = made
        else:
            made.xy = (x, y)
            made.set_position(shift)
            made.set_text(text)
            made.update(look)
        self._keep(name, at, None)

    def _keep(self, name: str, at: int, label: str | None) -> None:
        self._seen.pop((name, at), None)
        self._seen[name, at] = label
