"""
A page of a PDF drawn in millimetres: lines told apart by style, words in an embedded font, drawn as they stand.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

import numpy as np
from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from deckgeom.units import MM_PER_INCH

__all__ = ["Sheets", "width_of", "write_whole"]

POINT = MM_PER_INCH / 72
PLAIN, BOLD = "DejaVuSans", "DejaVuSans-Bold"


@lru_cache(maxsize=1)
def _fonts() -> None:
    """The fonts that come with matplotlib: most alphabets are in them, and they may be embedded."""
    import matplotlib

    rl_config.useA85 = 0  # streams as bytes, not as letters: smaller, and written quickly
    folder = Path(matplotlib.get_data_path(), "fonts", "ttf")
    for name in (PLAIN, BOLD):
        pdfmetrics.registerFont(TTFont(name, str(folder / f"{name}.ttf")))


def width_of(words: str, size: float, bold: bool = False) -> float:
    """
    Width of words on paper.

    Parameters
    ----------
    words : str
        One line.
    size : float
        Letter size. [points]
    bold : bool

    Returns
    -------
    float
        [mm]

    Examples
    --------
    >>> round(width_of("94 mm", 11), 1)
    13.7
    """
    return _part_of_size(words, bold) * size * POINT


@lru_cache(maxsize=20000)
def _part_of_size(words: str, bold: bool) -> float:
    _fonts()
    return pdfmetrics.stringWidth(words, BOLD if bold else PLAIN, 1000) / 1000


class _Steps:
    """Straight steps in the words of a PDF, to a thousandth of a point; written at once, which is quick."""

    def __init__(self, points: np.ndarray) -> None:
        self.points = points

    def getCode(self) -> str:  # noqa: N802, the library's name
        """Move to the first point, draw lines to the others."""
        first, *rest = [f"{x:.3f} {y:.3f}" for x, y in self.points.tolist()]
        return " ".join([f"{first} m", *(f"{point} l" for point in rest)])


class Sheets:
    """
    Pages of one PDF, each drawn in millimetres from its lower left corner.

    Parameters
    ----------
    title : str
        Of the whole file.
    producer : str
        What made it.

    Examples
    --------
    >>> sheets = Sheets("Beam 9", "deckgeom")
    >>> sheets.page(297, 210)
    >>> sheets.words(20, 20, "Beam 9", 12)
    >>> sheets.finished()[:5]
    b'%PDF-'
    """

    def __init__(self, title: str, producer: str) -> None:
        _fonts()
        self._file = io.BytesIO()
        self._canvas = Canvas(self._file, invariant=True, pageCompression=1, initialFontName=PLAIN)
        self._canvas.setTitle(title)
        self._canvas.setProducer(producer)
        self._canvas.setCreator(producer)
        self._begun = False

    def page(self, width: float, height: float) -> None:
        """Begin the next page. [mm]"""
        if self._begun:
            self._canvas.showPage()
        self._begun = True
        self._canvas.setPageSize((width / POINT, height / POINT))

    def line(self, x: Sequence[float], y: Sequence[float], width: float = 0.3, dashes: Sequence[float] = ()) -> None:
        """Draw straight steps through points; width and dashes as on paper. [mm]"""
        canvas = self._canvas
        canvas.setLineWidth(width / POINT)
        canvas.setDash([dash / POINT for dash in dashes])
        canvas.drawPath(_Steps(np.column_stack([x, y]) / POINT))

    def words(
        self, x: float, y: float, words: str, size: float = 9, *, bold=False, upright=False, right=False
    ) -> None:  # fmt: skip
        """Write one line with its base line from a point, or up to it with ``right``. [mm; size in points]"""
        canvas = self._canvas
        canvas.setFont(BOLD if bold else PLAIN, size)
        if upright:
            canvas.saveState()
            canvas.translate(x / POINT, y / POINT)
            canvas.rotate(90)
            canvas.drawString(0, 0, words)
            canvas.restoreState()
        elif right:
            canvas.drawRightString(x / POINT, y / POINT, words)
        else:
            canvas.drawString(x / POINT, y / POINT, words)

    def finished(self) -> bytes:
        """Close the file and return it."""
        self._canvas.save()
        return self._file.getvalue()


def write_whole(path: Path, data: bytes) -> Path:
    """
    Write a file, whole or not at all.

    Parameters
    ----------
    path : Path
        Replaced only once the new one is complete.
    data : bytes

    Returns
    -------
    Path

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_whole(Path(folder, "a.pdf"), b"%PDF-").read_bytes()
    b'%PDF-'
    """
    half = path.with_name(f".{path.name[:60]}.part")
    try:
        half.write_bytes(data)
        half.replace(path)
    finally:
        half.unlink(missing_ok=True)
    return path
