"""
A contact sheet: all pages of a finished PDF small on one picture.
"""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np

__all__ = ["contact_sheet"]

#: Width of one page, space between pages. [pixels]
THUMB, GAP = 220, 12


def contact_sheet(file: Path, across: int = 6, most: int = 96) -> tuple[bytes, int]:
    """
    Set the pages of a PDF side by side.

    Parameters
    ----------
    file : Path
        A finished PDF: what is shown is what will be printed.
    across : int
        Pages in a row.
    most : int
        Pages shown; the rest are left out.

    Returns
    -------
    png : bytes
    count : int
        Pages of the file.

    Examples
    --------
    >>> import tempfile
    >>> from deckgeom.papers.page import Imprint, Page, write_pdf
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = write_pdf(Path(folder, "a.pdf"), [Page("One"), Page("Two")], Imprint("Wherry", "", (), "0.1"))
    ...     png, count = contact_sheet(file)
    >>> png[1:4], count
    (b'PNG', 2)
    """
    import pypdfium2
    from matplotlib.image import imsave

    book = pypdfium2.PdfDocument(file.read_bytes())
    try:
        count = len(book)
        pages = [_grey(book[k]) for k in range(min(count, most))]
    finally:
        book.close()
    high, columns = max(len(page) for page in pages), min(across, len(pages))
    rows = -(-len(pages) // columns)
    sheet = np.full((rows * (high + GAP) + GAP, columns * (THUMB + GAP) + GAP), 160, np.uint8)
    for k, page in enumerate(pages):
        top, left = GAP + k // columns * (high + GAP), GAP + k % columns * (THUMB + GAP)
        sheet[top : top + page.shape[0], left : left + page.shape[1]] = page
    picture = io.BytesIO()
    imsave(picture, sheet, cmap="gray", vmin=0, vmax=255, format="png")
    return picture.getvalue(), count


def _grey(page) -> np.ndarray:
    """One page as grey pixels, no wider than its place."""
    return page.render(scale=THUMB / page.get_width()).to_numpy()[:, :THUMB, :3].mean(axis=2).astype(np.uint8)
