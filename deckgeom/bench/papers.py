"""The bench of papers: write what goes to the boat, open it, and see all pages at a glance."""

from __future__ import annotations

import base64
import html
import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from deckgeom.bench.actions import Action, Actions
from deckgeom.bench.controls import Choice
from deckgeom.bench.long_work import LongWork
from deckgeom.bench.tables import Table, Words
from deckgeom.boat import Boat
from deckgeom.boat.made import forget_made
from deckgeom.job import Job, do_job
from deckgeom.papers.blank_forms import write_forms
from deckgeom.papers.contact import contact_sheet
from deckgeom.papers.pattern_pdf import sheets_of
from deckgeom.papers.pattern_set import patterns_of, take_away_old, write_patterns
from deckgeom.papers.shop import write_papers
from deckgeom.results import write_results
from deckgeom.units import format_length

__all__ = ["Written", "contact", "panel", "papers_beside", "table", "write", "written"]

#: Links shown of one kind; the rest stand beside them in the folder.
MOST = 40
SHEETS = ("A4", "Letter")
NO_PATTERNS = "no patterns"
PATTERNS = ("A4", "A3", "Letter", "Tabloid", NO_PATTERNS)
SHOWN = (".pdf", ".svg", ".dxf", ".csv")


@dataclass(frozen=True, eq=False)
class Written:
    """
    Files that were written, as links.

    Parameters
    ----------
    out : Path
        The folder that all of them are in.
    files : tuple of Path

    Examples
    --------
    >>> Written(Path("out"), (Path("out/shop_sheets.pdf"),))
    1 file in out: shop_sheets.pdf
    """

    out: Path
    files: tuple[Path, ...]

    def __repr__(self) -> str:
        names = ", ".join(str(file.relative_to(self.out)) for file in self.files[:6])
        more = ", ..." if len(self.files) > 6 else ""
        return f"{len(self.files)} file{'s' * (len(self.files) != 1)} in {self.out}: {names}{more}"

    def _repr_html_(self) -> str:
        groups: dict[Path, list[Path]] = {}
        for file in self.files:
            groups.setdefault(file.parent, []).append(file)
        return "".join(self._group(folder, files) for folder, files in groups.items())

    def _group(self, folder: Path, files: list[Path]) -> str:
        name = html.escape(str(folder.relative_to(self.out.parent)))
        links = ", ".join(
            f'<a href="{quote(os.path.relpath(file))}" target="_blank">{html.escape(file.name)}</a>'
            for file in files[:MOST]
        )
        more = f" and {len(files) - MOST} more" if len(files) > MOST else ""
        return f'<p style="margin:0.3em 0"><b>{name}</b>: {links}{more}</p>'


def write(job: Job, paper: str = "A4", scale: tuple[float, float] = (1.0, 1.0)) -> Written:
    """
    Write shop sheets, blank forms and full-size patterns into the boat's folder ``out``.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    paper : {"A4", "Letter"}
    scale : tuple of float
        Patterns on paper are drawn so many times larger across and up, for a printer that shrinks. [-]

    Returns
    -------
    Written
        Links to all of them.

    Examples
    --------
    >>> import tempfile
    >>> from dataclasses import replace
    >>> from deckgeom.bench.example import example_job
    >>> job = example_job()
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     written = write(replace(job, boat=replace(job.boat, folder=Path(folder))))
    >>> [file.name for file in written.files][:3]
    ['shop_sheets.pdf', 'blank_forms.pdf', 'beam_01_1.pdf']
    """
    out = Path(job.boat.folder, "out")
    out.mkdir(parents=True, exist_ok=True)
    forget_made(out, "papers")
    beside = write_forms(job, out, paper) + write_patterns(job, out, (paper, "roll", "svg", "dxf"), scale)
    return Written(out, tuple(write_papers(job, out, paper) + beside))  # the record of all comes last


@dataclass(frozen=True, eq=False)
class _Png:
    """A picture of pages, with words for those who cannot see it."""

    data: bytes
    alt: str

    def _repr_html_(self) -> str:
        code = base64.b64encode(self.data).decode()
        return f'<img alt="{html.escape(self.alt)}" style="max-width:100%" src="data:image/png;base64,{code}">'

    def __repr__(self) -> str:
        return self.alt


def contact(written: Written, name: str = "shop_sheets.pdf") -> _Png:
    """
    Show all pages of one of the files at a glance.

    Parameters
    ----------
    written : Written
        Of :func:`write`.
    name : str
        Of a PDF among them.

    Returns
    -------
    a picture

    Examples
    --------
    >>> contact(Written(Path("out"), ()))
    Traceback (most recent call last):
    ...
    ValueError: No file 'shop_sheets.pdf' was written; there are: none. Write the papers first.
    """
    found = [file for file in written.files if file.name == name and file.suffix == ".pdf"]
    if not found:
        names = ", ".join(file.name for file in written.files if file.suffix == ".pdf") or "none"
        raise ValueError(f"No file {name!r} was written; there are: {names}. Write the papers first.")
    data, count = contact_sheet(found[0])
    return _Png(data, f"All {count} pages of {name}, small, in reading order.")


def panel(job: Job) -> Actions:
    """
    Write the papers at the press of a button.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Actions

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> list(panel(example_job()).forms[0])[:2]
    ['key', 'label']
    """
    out = Path(job.boat.folder, "out")

    def act(paper: str, patterns: str) -> LongWork:
        kinds = () if patterns == NO_PATTERNS else (patterns, "roll", "svg", "dxf")

        def landed(names: list[str]) -> Words:
            files = [out / name for name in names]
            take_away_old(out, kinds, files)
            return Words.of(f"Written: {len(files)} files in {out}. The next box gives a link to each.")

        about = "writing the papers"
        return LongWork(papers_beside, job.boat, paper, kinds, about=about, out=out, tells=True, finish=landed)

    hint = "Tables, shop sheets, blank forms and full-size patterns, into the boat's folder out."
    fields = [Choice("paper", "Sheets on", SHEETS, "A4"), Choice("patterns", "Patterns on", PATTERNS, "A4")]
    return Actions("Papers", lambda: [Action("write", "Write the papers", act, fields, hint)])


def papers_beside(boat: Boat, paper: str, kinds: tuple[str, ...], out: Path, tell: Callable[[float, str], Any]) -> list:
    """
    Work a boat out and write all that goes to her, telling how far it is.

    Parameters
    ----------
    boat : Boat
        As read.
    paper : {"A4", "Letter"}
    kinds : tuple of str
        Of the full-size patterns.
    out : Path
        Folder that is there.
    tell : callable
        Takes the part that is done, 0 to 1, and words.

    Returns
    -------
    list of str
        Every file, by its name under ``out``.

    Examples
    --------
    >>> import tempfile
    >>> from deckgeom.bench.example import example_job
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     papers_beside(example_job().boat, "A4", (), Path(folder), lambda part, words: None)[-1]
    'blank_forms.pdf'
    """
    tell(0.0, "working the boat out")
    job = do_job(boat)
    tell(0.1, "writing the tables")
    files = list(write_results(job, out))
    tell(0.15, "drawing the shop sheets")
    files += write_papers(job, out, paper)
    tell(0.45, "drawing the blank forms")
    files += write_forms(job, out, paper)
    tell(0.5, "drawing the full-size patterns")
    files += write_patterns(job, out, kinds) if kinds else []
    return [str(file.relative_to(out)) for file in files]


def written(job: Job) -> Written | Words:
    """
    Give a link to everything that stands in the boat's folder ``out``.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Written or Words
        Words where nothing was written yet.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> written(example_job())
    Nothing was written yet: press the button above.
    """
    out = Path(job.boat.folder, "out")
    found = tuple(sorted(file for file in out.rglob("*") if file.suffix in SHOWN)) if out.is_dir() else ()
    return Written(out, found) if found else Words.of("Nothing was written yet: press the button above.")


def table(job: Job, paper: str = "A4") -> Table:
    """
    List the full-size patterns, and over how many sheets of paper each is laid. Nothing is written.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    paper : {"A4", "A3", "Letter", "Tabloid"}

    Returns
    -------
    Table

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> table(example_job()).rows[0]
    ('Beam 1', '1500 mm', '120 mm', '6', 'beam_01_1')
    """
    units, rows = job.boat.units, []
    for name, pattern in patterns_of(job):
        left, low, right, upper = pattern.bounds
        sheets = len(sheets_of(pattern, paper).tiles)
        rows.append((pattern.name, format_length(right - left, units), format_length(upper - low, units), str(sheets),
                     name))  # fmt: skip
    heads = ("pattern", "long", "high", f"sheets of {paper}", "file")
    return Table("Full-size patterns", heads, rows, words=(0, 4), note="With the words on it; a roll is one sheet.")
