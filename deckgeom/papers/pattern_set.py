"""
All full-size patterns of a job, on every kind of paper and for machines, in their own folder.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

import numpy as np

from deckgeom.deck.flat_edge import flat_edge
from deckgeom.deck.framing import SIDES, clamp_line
from deckgeom.job import Job
from deckgeom.papers.canvas import write_whole
from deckgeom.papers.machine import pattern_dxf, pattern_svg, proofed
from deckgeom.papers.page import Imprint, imprint_of
from deckgeom.papers.pattern import Pattern, beam_pattern
from deckgeom.papers.pattern_edges import bevel_board, edge_pattern
from deckgeom.papers.pattern_pdf import pattern_pdf

__all__ = ["KINDS", "patterns_of", "safe_name", "take_away_old", "write_patterns"]

KINDS = ("A4", "A3", "Letter", "Tabloid", "roll", "svg", "dxf")
FOLDER = "patterns"
#: Between points of a flat edge. [mm]
CLOSE = 12.0


def write_patterns(
    job: Job, out: Path, kinds: Sequence[str] = ("A4", "roll", "svg", "dxf"), scale=(1.0, 1.0), day: date | None = None
) -> list[Path]:
    """
    Write the patterns of a job: a folder a kind, a file a piece.

    Parameters
    ----------
    job : Job
    out : Path
        Its folder ``patterns`` is made; patterns of an earlier run that are no longer true are taken away.
    kinds : sequence of str
        Of ``KINDS``.
    scale : tuple of float
        Paper is drawn so many times larger across and up, for a printer that shrinks. [-]
    day : date, optional
        Written on every sheet; today if not given.

    Returns
    -------
    list of Path
        Every file, each whole.

    Raises
    ------
    ValueError
        For a kind that there is not.

    Examples
    --------
    >>> import tempfile
    >>> from deckgeom.bench.example import example_job
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     [file.name for file in write_patterns(example_job(), Path(folder), ["svg"])][:2]
    ['beam_01_1.svg', 'beam_02_2.svg']
    """
    for kind in kinds:
        if kind not in KINDS:
            raise ValueError(f"patterns as {kind!r}: they come as {', '.join(KINDS)}. Choose from these.")
    imprint, units, files = imprint_of(job, day), job.boat.units, []
    folders = [Path(out, FOLDER, kind) for kind in kinds]
    for name, pattern in patterns_of(job):
        plain = proofed(pattern, imprint, units) if {"svg", "dxf"} & set(kinds) else pattern
        for kind, folder in zip(kinds, folders, strict=True):
            folder.mkdir(parents=True, exist_ok=True)
            drawn = pattern if kind not in ("svg", "dxf") else plain
            file = folder / f"{name}.{kind if kind in ('svg', 'dxf') else 'pdf'}"
            files.append(write_whole(file, _drawn(drawn, kind, imprint, units, scale)))
    take_away_old(out, kinds, files)
    return files


def _drawn(pattern: Pattern, kind: str, imprint: Imprint, units: str, scale) -> bytes:
    if kind == "svg":
        return pattern_svg(pattern).encode()
    if kind == "dxf":
        return pattern_dxf(pattern).encode("utf-8", errors="replace")
    return pattern_pdf(pattern, kind, imprint, units, scale)


def take_away_old(out: Path, kinds: Sequence[str], files: Sequence[Path]) -> None:
    """
    Take away patterns of an earlier run that the last one did not write again: nobody must cut to them.

    Parameters
    ----------
    out : Path
        The folder that patterns were written to.
    kinds : sequence of str
        What was written; other kinds are left alone.
    files : sequence of Path
        What the last run wrote.

    Examples
    --------
    >>> take_away_old(Path("no such folder"), ["A4"], [])
    """
    kept = set(files)
    for kind in kinds:
        for head in ("beam_", "edge_", "bevel_board_"):
            for file in Path(out, FOLDER, kind).glob(f"{head}*"):
                if file not in kept:
                    file.unlink()


def patterns_of(job: Job) -> Iterator[tuple[str, Pattern]]:
    """
    Every pattern of a job with the name of its file.

    Parameters
    ----------
    job : Job

    Yields
    ------
    (str, Pattern)
        Beams in their order, deck edges with a strip, bevel boards of the clamp.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> [name for name, _ in patterns_of(example_job())][3:]
    ['edge_port', 'edge_starboard', 'bevel_board_port', 'bevel_board_starboard']
    """
    units, beams = job.boat.units, job.beams if job.beams is not None else ()
    for number, beam in enumerate(beams, 1):
        yield f"beam_{number:02d}_{safe_name(beam.name)}", beam_pattern(beam, units)
    for edge in job.spiles:
        strip = job.boat.settings.laying.edge_strip
        yield f"edge_{edge.side}", edge_pattern(_close(job, edge, strip), edge.x, units, strip)
    for side in SIDES if len(beams) else ():
        clamp = clamp_line(beams, side)
        if clamp.names:
            yield f"bevel_board_{side}", bevel_board(clamp, units)


def _close(job: Job, edge, strip: float):
    """The same edge at close points, with a strip inside it where there is room for one."""
    steps = int(np.ceil((edge.x[-1] - edge.x[0]) / CLOSE)) + 1
    x = np.union1d(edge.x, np.linspace(edge.x[0], edge.x[-1], steps))
    x = x[np.r_[True, np.diff(x) > 1e-6]]
    room = strip < float(job.sheer.half_breadth(edge.side, x).max())
    try:
        return flat_edge(job.deck, edge.side, width=strip if strip and room else None, x=x)
    except ValueError:
        return flat_edge(job.deck, edge.side, x=x)


def safe_name(name: str) -> str:
    """
    A name that every file system takes: letters and digits of any alphabet, the rest as dashes, and not endless.

    Parameters
    ----------
    name : str

    Returns
    -------
    str
        May be empty: the number before it tells files apart.

    Examples
    --------
    >>> safe_name('../7 "aft"'), safe_name("Σ 3.")
    ('7-aft', 'Σ-3')
    """
    known = "".join(c if c.isalnum() else " " for c in unicodedata.normalize("NFKC", name))
    short = "-".join(known.split()).encode()[:60]
    return short.decode(errors="ignore").rstrip("-")
