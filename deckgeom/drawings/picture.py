"""A figure together with the words that say what it shows."""

from __future__ import annotations

import base64
import html
import warnings
from dataclasses import dataclass

from matplotlib.figure import Figure

from deckgeom.drawings.quick_svg import figure_svg
from deckgeom.drawings.style import house_style


@dataclass(frozen=True, eq=False)
class Picture:
    """
    A described figure.

    Parameters
    ----------
    figure : matplotlib.figure.Figure
        What is drawn. A live panel keeps one figure and redraws it, so take the SVG before the next change.
    alt : str
        What the figure shows, in words, with the computed values: for a reader who cannot see it.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> Picture(Figure(figsize=(1, 1)), "An empty square.").svg().startswith("<?xml")
    True
    """

    figure: Figure
    alt: str

    def svg(self) -> str:
        """
        Return the figure as SVG, the same bytes every time, with its text kept as text.

        Returns
        -------
        str
            A whole SVG document.

        Examples
        --------
        >>> from matplotlib.figure import Figure
        >>> picture = Picture(Figure(figsize=(1, 1)), "An empty square.")
        >>> picture.svg() == picture.svg()
        True
        """
        with house_style(), warnings.catch_warnings():
            warnings.filterwarnings("ignore", message="Glyph .* missing from")
            return figure_svg(self.figure)

    def inline(self) -> str:
        """
        Return the ``<svg>`` element alone, to be placed inside a page.

        Returns
        -------
        str
            The SVG without its XML declaration and document type.

        Examples
        --------
        >>> from matplotlib.figure import Figure
        >>> Picture(Figure(figsize=(1, 1)), "An empty square.").inline().startswith("<svg")
        True
        """
        text = self.svg()
        return text[text.index("<svg") :]

    def image(self) -> str:
        """
        Return an ``<img>`` element that carries the whole picture and its description.

        Returns
        -------
        str
            HTML. The description is escaped.

        Examples
        --------
        >>> from matplotlib.figure import Figure
        >>> '&lt;b&gt;' in Picture(Figure(figsize=(1, 1)), "<b>").image()
        True
        """
        data = base64.b64encode(self.svg().encode()).decode()
        return f'<img alt="{html.escape(self.alt, quote=True)}" src="data:image/svg+xml;base64,{data}">'

    def _repr_html_(self) -> str:
        return self.image()

    def __repr__(self) -> str:
        return f"Picture: {self.alt}"
