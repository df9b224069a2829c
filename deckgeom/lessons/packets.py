"""
One packet for a class, to be printed the evening before: the teacher's sheets first, then the handouts pair by pair.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path

from pypdf import PdfWriter

from deckgeom import __version__
from deckgeom.lessons.class_work import PairWork, check_pairs, pair_work
from deckgeom.lessons.packet_pages import exercise_pages
from deckgeom.lessons.packet_teacher import (
    glossary_pages,
    key_pages,
    layout_pages,
    marking_pages,
    plan_pages,
    wall_pages,
    wrong_answer_pages,
)
from deckgeom.papers.canvas import write_whole
from deckgeom.papers.page import Imprint, Page, write_pdf

__all__ = ["handout_pages", "teacher_pages", "write_packet"]


def write_packet(
    seed: int = 17,
    pairs: int = 5,
    level: str = "normal",
    units: str = "mm",
    paper: str = "A4",
    *,
    out: Path,
    day: date | None = None,
    tell: Callable[[float, str], None] | None = None,
) -> tuple[Path, ...]:
    """
    Write a packet: the teacher's sheets, the sheets for everybody, and one file of handouts for each pair.

    Parameters
    ----------
    seed : int
        Printed on every sheet; the same seed gives the same packet. [-]
    pairs : int
        From 1 to 41. [-]
    level : {"easy", "normal", "hard"}
    units : {"mm", "ft-in-8", "in"}
    paper : {"A4", "Letter"}
    out : Path
        Folder; it is made if it is not there.
    day : date, optional
        Printed on every sheet; today if not given.
    tell : callable, optional
        Is told the part that is done, 0 to 1, and words.

    Returns
    -------
    tuple of Path
        `packet.pdf` holds all in printing order; the same sheets stand alone in `teacher.pdf`, `for_everybody.pdf`,
        `pair_01.pdf` and so on.

    Raises
    ------
    ValueError
        If there is no such level, units, paper or number of pairs.
    OSError
        If there is no room or no right to write.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     [file.name for file in write_packet(17, 1, "easy", out=Path(folder))]
    ['packet.pdf', 'teacher.pdf', 'for_everybody.pdf', 'pair_01.pdf']
    """
    check_pairs(pairs)
    tell = tell or (lambda part, words: None)
    start = partial(_sheet, paper)
    start("")
    works = []
    for pair in range(1, pairs + 1):
        tell(0.6 * (pair - 1) / pairs, f"the hull of pair {pair}")
        works.append(pair_work(seed, pair, level, units))
    out.mkdir(parents=True, exist_ok=True)
    imprint = partial(_imprint, seed, level, units, day or date.today())
    tell(0.6, "the teacher's sheets")
    everybody = [*glossary_pages(start), *layout_pages(start, units)]
    files = [
        write_pdf(out / "teacher.pdf", teacher_pages(start, works), imprint("for the teacher")),
        write_pdf(out / "for_everybody.pdf", everybody, imprint("for everybody")),
    ]
    for work in works:
        pair = work.hull.pair
        tell(0.7 + 0.3 * (pair - 1) / pairs, f"the handouts of pair {pair}")
        files.append(write_pdf(out / f"pair_{pair:02d}.pdf", handout_pages(start, work), imprint(f"pair {pair}")))
    tell(0.97, "all of it in one file")
    return (_bound(files, out / "packet.pdf"), *files)


def _bound(files: list[Path], path: Path) -> Path:
    """All files one after another in one, each with its own page numbers."""
    book = PdfWriter()
    for file in files:
        book.append(file)
    book.add_metadata({"/Title": "Packet of a class", "/Producer": f"deckgeom {__version__}"})
    book.compress_identical_objects()
    data = io.BytesIO()
    book.write(data)
    return write_whole(path, data.getvalue())


def teacher_pages(start: Callable[..., Page], works: list[PairWork]) -> list[Page]:
    """
    Plan, what to bring, marking sheet, keys of all pairs, wall sheet.

    Parameters
    ----------
    start : callable
        Makes an empty sheet: start(title, note=...).
    works : list of PairWork

    Returns
    -------
    list of Page

    Examples
    --------
    >>> from deckgeom.lessons.class_work import class_work
    >>> teacher_pages(Page, class_work(17, 1, "easy"))[-1].title
    'Wall sheet: whose crown line humps?'
    """
    keys = [page for work in works for pages in (key_pages, wrong_answer_pages) for page in pages(start, work)]
    return [*plan_pages(start, works), *marking_pages(start, works), *keys, *wall_pages(start, works)]


def handout_pages(start: Callable[..., Page], work: PairWork) -> list[Page]:
    """
    The eight parts of one pair.

    Parameters
    ----------
    start : callable
        Makes an empty sheet: start(title, note=...).
    work : PairWork

    Returns
    -------
    list of Page
        No sheet holds an answer.

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> handout_pages(Page, pair_work(17, 2, "easy"))[0].title
    'Pair 2. Part 1. Two beams on the bench'
    """
    named = f"Pair {work.hull.pair}."
    return [
        page
        for exercise in work.exercises
        for page in exercise_pages(lambda title, note: start(f"{named} {title}", note=note), exercise)
    ]


def _sheet(paper: str, title: str, note: str = "") -> Page:
    return Page(title, paper, note)


def _imprint(seed: int, level: str, units: str, day: date, whose: str) -> Imprint:
    """What every sheet says of itself."""
    said = (
        "heights up from the base line, half-breadths from the centreline to the deck edge",
        "lengths to 1 mm" if units == "mm" else "lengths to 1/16 in",
        "print at 100 %, not fitted to the page",
    )
    return Imprint(f"Class, seed {seed}, {level}, {units}: {whose}", day.isoformat(), said, __version__)
