"""
SVG of a figure in which most things stand still: what has not changed is not drawn again.

Marks along the axes, legends and words cost most of the time of a picture, and a slider seldom moves them. Their SVG is
kept with what they looked like, and taken again while they look the same.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

from matplotlib.artist import Artist
from matplotlib.axis import Axis
from matplotlib.backends.backend_svg import RendererSVG
from matplotlib.figure import Figure
from matplotlib.text import Text

POINTS_PER_INCH = 72
_QUIET = {"Date": None, "Creator": None, "Format": None, "Type": None}


class QuickRenderer(RendererSVG):
    """
    An SVG renderer that can set pieces which were drawn before in their place.

    Parameters
    ----------
    width, height : float
        Of the whole figure. [pt]

    Examples
    --------
    >>> QuickRenderer(72, 36).finished().count("<svg")
    1
    """

    def __init__(self, width: float, height: float) -> None:
        self._page = io.StringIO()
        self._pieces: list[str] = []
        super().__init__(width, height, self._page, metadata=_QUIET)
        self._begun = self._page.tell()

    def open_group(self, s: str, gid: str | None = None) -> None:
        """Begin a group; without a name, since many pictures stand on one page and a name may stand there once."""
        self.writer.start("g", {"class": s.replace(" ", "-")})

    def piece(self, draw: Callable[[RendererSVG], Any]) -> str:
        """
        Draw something on a page of its own.

        Parameters
        ----------
        draw : callable
            Called with a renderer.

        Returns
        -------
        str
            SVG elements that need nothing from outside but the style of the page.

        Examples
        --------
        >>> QuickRenderer(72, 36).piece(lambda renderer: renderer.writer.element("circle", r="3"))
        '<circle r="3"/>\\n'
        """
        apart = QuickRenderer(self.width, self.height)
        draw(apart)
        text = apart.finished()
        return text[apart._begun : text.rindex("</svg>")].strip(" \n").lstrip(">\n ") + "\n"

    def place(self, piece: str) -> None:
        """
        Set a piece where the drawing has come to.

        Examples
        --------
        >>> page = QuickRenderer(72, 36)
        >>> page.place('<circle r="3"/>')
        >>> '<circle r="3"/>' in page.finished()
        True
        """
        self.writer.element("g", **{"class": f"piece-{len(self._pieces)}"})
        self._pieces.append(piece)

    def finished(self) -> str:
        """
        Close the page.

        Returns
        -------
        str
            A whole SVG document.

        Examples
        --------
        >>> QuickRenderer(72, 36).finished().endswith("</svg>\\n")
        True
        """
        self.finalize()
        text = self._page.getvalue()
        for number, piece in enumerate(self._pieces):
            text = text.replace(f'<g class="piece-{number}"/>\n', piece, 1)
        return text


def figure_svg(figure: Figure) -> str:
    """
    Draw a figure as SVG, the same bytes every time.

    Parameters
    ----------
    figure : matplotlib.figure.Figure
        With artists that :func:`keep_still` was called for, or with none.

    Returns
    -------
    str
        A whole SVG document.

    Examples
    --------
    >>> figure_svg(Figure(figsize=(1, 1))).startswith("<?xml")
    True
    """
    dpi = figure.dpi
    try:
        figure.dpi = POINTS_PER_INCH
        wide, high = (inch * POINTS_PER_INCH for inch in figure.get_size_inches())
        renderer = QuickRenderer(wide, high)
        figure.draw(renderer)
        return renderer.finished()
    finally:
        figure.dpi = dpi


def keep_still(artist: Artist, look: Callable[[], Any]) -> None:
    """
    Draw an artist anew only when it looks different.

    Parameters
    ----------
    artist : matplotlib.artist.Artist
        On a figure that :func:`figure_svg` draws; any other renderer draws it every time.
    look : callable
        Everything that its looks depend on, as one comparable value.

    Examples
    --------
    >>> figure = Figure(figsize=(1, 1))
    >>> words = figure.text(0.5, 0.5, "beam 7")
    >>> keep_still(words, lambda: text_look(words))
    >>> words.set_text("beam 8")
    >>> "beam 8" in figure_svg(figure)
    True
    """
    plain, kept = artist.draw, [None, ""]

    def draw(renderer: Any, *args: Any, **more: Any) -> None:
        if not isinstance(renderer, QuickRenderer):
            plain(renderer, *args, **more)
            return
        if not artist.get_visible():
            return
        now = look()
        if now != kept[0]:
            kept[:] = now, renderer.piece(plain)
        renderer.place(kept[1])

    artist.draw = draw


def axis_look(axis: Axis) -> tuple:
    """
    What the looks of an axis depend on: what it shows, its marks, its words and their place.

    Examples
    --------
    >>> axis = Figure().add_subplot().xaxis
    >>> axis_look(axis) == axis_look(axis)
    True
    """
    pane, marks = axis.axes, tuple(axis.get_majorticklocs())
    return (
        pane.viewLim.bounds, pane.bbox.bounds, marks,
        tuple(axis.get_major_formatter().format_ticks(marks)), axis.label.get_text(), axis.label.get_position(),
    )  # fmt: skip


def text_look(text: Text) -> tuple:
    """
    What the looks of some words depend on: the words, their place, their size, and what their pane shows.

    Examples
    --------
    >>> words = Figure().text(0.5, 0.5, "beam 7")
    >>> text_look(words)[0]
    'beam 7'
    """
    pane = text.axes
    return (
        text.get_text(), text.get_position(), getattr(text, "xy", None), text.get_color(),
        text.get_fontsize(), text.get_ha(), text.get_va(), text.get_rotation(),
        pane and (pane.viewLim.bounds, pane.bbox.bounds),
    )  # fmt: skip
