"""
A sheet of paper in millimetres: header, footer, check bars, tables.

Everything on it is black on white and told apart by line style; text from the user's files is drawn, never interpreted.
"""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import matplotlib
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from pypdf import PdfReader, PdfWriter, Transformation
from pypdf.generic import DecodedStreamObject, NameObject

from deckgeom import __version__
from deckgeom.drawings.style import clean
from deckgeom.papers.canvas import POINT, Sheets, width_of, write_whole
from deckgeom.results import conventions
from deckgeom.units import MM_PER_INCH

PAPER_SIZES = {"A4": (210.0, 297.0), "Letter": (8.5 * MM_PER_INCH, 11 * MM_PER_INCH)}
MARGIN = 12.0
FOOT = 34.0
COLOUR = re.compile(rb"([\d.]+)\s+([\d.]+)\s+([\d.]+)\s+(RG|rg)\b")
UPRIGHT = 5.0  # kept clear for the upright check bar


@dataclass(frozen=True)
class Imprint:
    """
    What every sheet of a set says of itself.

    Parameters
    ----------
    boat : str
        Name of the boat, and the shed if known.
    date : str
        Day the set was made.
    conventions : tuple of str
        What heights and half-breadths are taken to, units, where zero is: one short line each.
    version : str
        Version of the package.

    Examples
    --------
    >>> Imprint("Thimblewick", "2026-05-01", ("heights up from the base line",), "0.1").boat
    'Thimblewick'
    """

    boat: str
    date: str
    conventions: tuple[str, ...]
    version: str


def imprint_of(job, day: date | None = None) -> Imprint:
    """
    What every sheet of a job says of itself.

    Parameters
    ----------
    job : Job
    day : date, optional
        Today if not given.

    Returns
    -------
    Imprint

    Examples
    --------
    >>> from deckgeom.boat import Boat, default_settings
    >>> from deckgeom.job import do_job
    >>> imprint_of(do_job(Boat(Path("punt"), default_settings())), date(2026, 5, 1)).date
    '2026-05-01'
    """
    settings = job.boat.settings
    name = f"{job.boat.name}, {settings.place}" if settings.place else job.boat.name
    said = (*conventions(job), "lengths to 1/16 in" if job.boat.units != "mm" else "lengths to 1 mm")
    return Imprint(name, (day or date.today()).isoformat(), said, __version__)


class Page:
    """
    One sheet, drawn in millimetres from its lower left corner.

    Parameters
    ----------
    title : str
        What the sheet is for: one idea.
    paper : {"A4", "Letter"}
        Size of the sheet.
    note : str
        One line under the title: face, units, how to use it.

    Examples
    --------
    >>> page = Page("Crown table")
    >>> page.width, page.height  # [mm]
    (210.0, 297.0)
    """

    def __init__(self, title: str, paper: str = "A4", note: str = ""):
        if paper not in PAPER_SIZES:
            raise ValueError(f"paper is {paper!r} but sheets come as {', '.join(PAPER_SIZES)}. Choose one of these.")
        self.width, self.height = PAPER_SIZES[paper]
        self.title = title
        self.drawn: list[tuple[str, tuple, dict]] = []
        size = 19 * min(1.0, (self.width - 2 * MARGIN) / (1.02 * width_of(title or " ", 19, True)))
        self.text(MARGIN, self.height - MARGIN - 8, title, size=size, bold=True)
        self.cursor = self.height - MARGIN - 10
        self.words([note] if note else [])
        self.cursor -= 4
        self.pictures: list[tuple[float, float, float, Figure]] = []

    @property
    def room(self) -> float:
        """Height left above the footer. [mm]"""
        return self.cursor - FOOT

    def text(self, x: float, y: float, words: str, size: float = 11, *, bold=False, right=False) -> None:
        """Draw words from x, or up to it with ``right``, with their base line at y. [mm; size in points]"""
        self.drawn.append(("words", (x, y, clean(words, 600), size), {"bold": bold, "right": right}))

    def line(self, x: Sequence[float], y: Sequence[float], width: float = 0.8, dashes: Sequence[float] = ()) -> None:
        """Draw a line through the points. [mm; width in points]"""
        self.drawn.append(("line", (x, y, width * POINT, dashes), {}))

    def place(self, picture, most: float | None = None) -> None:
        """
        Put a described picture across the sheet at the cursor, as lines, not as dots.

        Parameters
        ----------
        picture : Picture
            From the drawings room.
        most : float, optional
            Greatest height that it may take; it is shrunk to fit the room that is left. [mm]
        """
        wide, high = (inch * MM_PER_INCH for inch in picture.figure.get_size_inches())
        scale = min((self.width - 2 * MARGIN - UPRIGHT) / wide, min(most or self.room, self.room) / high)
        self.cursor -= high * scale
        self.pictures.append((MARGIN, self.cursor, scale, picture.figure))

    def words(self, lines: Sequence[str], size: float = 11, gap: float = 1.5) -> None:
        """Write lines down the sheet from the cursor, broken to its width."""
        for words in lines:
            for part in broken(words, self.width - 2 * MARGIN - UPRIGHT, size):
                self.cursor -= size * POINT * gap
                self.text(MARGIN, self.cursor, part, size=size)

    def finish(self, imprint: Imprint, number: int, count: int, sheets: Sheets) -> None:
        """Write the footer: conventions, page n of m, the two check bars; then draw all on the next sheet."""
        self.line((MARGIN, self.width - MARGIN), (FOOT - 3, FOOT - 3))
        self.text(MARGIN, self.height - MARGIN + 3, f"{imprint.boat}   {imprint.date}", size=10)
        self.text(self.width - MARGIN, self.height - MARGIN + 3, f"page {number} of {count}", size=10, right=True)
        self.line((MARGIN, self.width - MARGIN), (self.height - MARGIN + 1, self.height - MARGIN + 1))
        for k, words in enumerate(broken(" · ".join(imprint.conventions), self.width - 2 * MARGIN - 12, 8)[:4]):
            self.text(MARGIN, FOOT - 7 - 3.6 * k, words, size=8)
        self._check_bars(imprint.version)
        sheets.page(self.width, self.height)
        for what, given, how in self.drawn:
            getattr(sheets, what)(*given, **how)

    def _check_bars(self, version: str) -> None:
        low, left, right = 11.5, MARGIN, self.width - MARGIN
        self.line((left, left + 100), (low, low), width=1.2)
        for x in (left, left + 100):
            self.line((x, x), (low - 1.5, low + 1.5), width=1.2)
        self.text(left + 104, low - 1.2, "100 mm, and so is the upright bar: measure both first", size=7)
        self.text(left, low - 4.4, f"deckgeom {version}", size=7)
        self.line((right, right), (FOOT, FOOT + 100), width=1.2)
        for y in (FOOT, FOOT + 100):
            self.line((right - 1.5, right + 1.5), (y, y), width=1.2)


def broken(words: str, width: float, size: float) -> list[str]:
    """
    Break a line of words so that it fits a width, by the size of the letters on paper.

    Parameters
    ----------
    words : str
        The line.
    width : float
        Room across. [mm]
    size : float
        Letter size. [points]

    Examples
    --------
    >>> broken("plane three off the crown", width=28, size=11)
    ['plane three', 'off the crown']
    """
    lines, current = [], ""
    for word in words.split(" "):
        longer = f"{current} {word}" if current else word
        if current and width_of(longer, size) > width:
            lines.append(current)
            current = word
        else:
            current = longer
    return [*lines, current]


def write_pdf(path: Path, pages: Sequence[Page], imprint: Imprint) -> Path:
    """
    Write pages as one PDF: fonts embedded, whole or not at all.

    Parameters
    ----------
    path : Path
        File to write; it is replaced only once the new one is complete.
    pages : sequence of Page
        In reading order.
    imprint : Imprint
        What every sheet says of itself.

    Returns
    -------
    Path
        The file.

    Examples
    --------
    >>> import tempfile
    >>> imprint = Imprint("Thimblewick", "2026-05-01", (), "0.1")
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = write_pdf(Path(folder) / "one.pdf", [Page("One")], imprint)
    ...     file.read_bytes()[:5]
    b'%PDF-'
    """
    title, producer = f"{clean(imprint.boat, 80)}: {path.stem}", f"deckgeom {imprint.version}"
    sheets = Sheets(title, producer)
    for number, page in enumerate(pages, 1):
        page.finish(imprint, number, len(pages), sheets)
    data = sheets.finished()
    pictures = [figure for page in pages for *_, figure in page.pictures]
    return write_whole(path, _with_pictures(data, pages, pictures, title, producer) if pictures else data)


def _with_pictures(data: bytes, pages: Sequence[Page], pictures, title: str, producer: str) -> bytes:
    """The pages with their pictures set in as lines."""
    book = PdfWriter(clone_from=io.BytesIO(data))
    drawn = iter(PdfReader(_as_pdf(pictures)).pages)
    for page, sheet in zip(pages, book.pages, strict=True):
        for x, y, scale, _ in page.pictures:
            place = Transformation().scale(scale).translate(x / POINT, y / POINT)
            sheet.merge_transformed_page(_in_black(next(drawn)), place)
    book.add_metadata({"/Title": title, "/Producer": producer})
    file = io.BytesIO()
    book.write(file)
    return file.getvalue()


def _in_black(page):
    """The page with every colour as black, and greys as they are: line styles, hatches and words tell things apart."""
    stream = DecodedStreamObject()
    stream.set_data(COLOUR.sub(_black, page.get_contents().get_data()))
    page[NameObject("/Contents")] = stream
    for mark in page["/Resources"].get("/XObject", {}).values():
        mark = mark.get_object()
        if mark.get("/Subtype") == "/Form":
            mark.set_data(COLOUR.sub(_black, mark.get_data()))
    return page


def _black(colour: re.Match) -> bytes:
    red, green, blue, what = colour.groups()
    level = red if red == green == blue else b"0"
    return level + (b" G" if what == b"RG" else b" g")


def _as_pdf(figures: Sequence[Figure]) -> io.BytesIO:
    """Figures as the pages of one PDF, so that each font is embedded once."""
    file = io.BytesIO()
    with matplotlib.rc_context({"pdf.fonttype": 42}), PdfPages(file, metadata={"CreationDate": None}) as book:
        for figure in figures:
            book.savefig(figure)
    return file
