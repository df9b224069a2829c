"""Open a boat folder in a notebook, and say what was understood and what wants mending."""

from __future__ import annotations

from pathlib import Path

from deckgeom.bench.choosing import chosen_boat
from deckgeom.bench.errors import fold_tracebacks
from deckgeom.bench.tables import Table, Words
from deckgeom.boat import FILES, read_boat
from deckgeom.job import Job, do_job

MOST_LINES = 40
ASK = {"mend": "mend", "ask": "answer", "note": "know"}


def open_boat(folder: str | Path | None = None) -> Job:
    """
    Read a boat folder and work out all that it allows; nothing in it is written to.

    Parameters
    ----------
    folder : str or Path, optional
        The boat's folder; if none is named, the one that was chosen on the first page
        (:func:`deckgeom.bench.choosing.chosen_boat`).

    Returns
    -------
    Job
        What could be worked out, with everything that is wrong or doubtful.

    Examples
    --------
    >>> open_boat("no such boat")
    Traceback (most recent call last):
    ...
    FileNotFoundError: no such boat: there is no boat folder of that name. Copy one to begin with.
    """
    fold_tracebacks()
    return do_job(read_boat(folder or chosen_boat()))


def understood(job: Job) -> Words:
    """
    Say what the folder was taken to say.

    Parameters
    ----------
    job : Job
        Of :func:`open_boat`.

    Returns
    -------
    Words
        A sentence or two on each subject.

    Examples
    --------
    >>> from deckgeom.boat import Boat, default_settings
    >>> job = do_job(Boat(Path("punt"), default_settings("in", "Punt")))
    >>> understood(job).lines[0]
    'Punt. The folder is in inches: a bare number is inches, lengths are shown to 1/16 in.'
    """
    return Words.each(job.boat.echo())


def complaints(job: Job) -> Table | Words:
    """
    List what wants mending, an answer, or to be known, the gravest first.

    Parameters
    ----------
    job : Job
        Of :func:`open_boat`.

    Returns
    -------
    Table or Words
        One row a complaint; words where there is none.

    Examples
    --------
    >>> from deckgeom.boat import Boat, default_settings
    >>> complaints(do_job(Boat(Path("punt"), default_settings("in", "Punt"))))
    Nothing in the folder wants mending.
    """
    if not job.complaints:
        return Words.of("Nothing in the folder wants mending.")
    order = list(ASK)
    rows = [
        (ASK[c.kind], c.file, "" if c.row is None else c.row, c.column, c.value, c.rule, c.slip)
        for c in sorted(job.complaints, key=lambda c: order.index(c.kind))
    ]
    heads = ("what to do", "file", "row", "column", "value", "the rule", "likely slip")
    words = (0, 1, 3, 4, 5, 6)
    return Table(
        "What wants mending, an answer, or to be known", heads, rows, words=words, most=MOST_LINES, wrap=(5, 6)
    )


def files(job: Job) -> Table:
    """
    List the files of the folder, and which of them are there.

    Parameters
    ----------
    job : Job
        Of :func:`open_boat`.

    Returns
    -------
    Table
        One row a file.

    Examples
    --------
    >>> from deckgeom.boat import Boat, default_settings
    >>> files(do_job(Boat(Path("punt"), default_settings("in", "Punt")))).rows[1][:2]
    ('offsets.csv', 'not there')
    """
    rows = [(name, "there" if (job.boat.folder / name).is_file() else "not there", HOLDS[name]) for name in FILES]
    return Table(f"The folder {job.boat.folder}", ("file", "is it there?", "what it holds"), rows, words=(0, 1, 2))


HOLDS = {
    "boat.toml": "name, units, what heights and half-breadths are taken to, deck, camber, beams, limits",
    "offsets.csv": "heights and half-breadths of the deck edge at each station",
    "beams.csv": "each beam, where it stands, and what is special about it",
    "readings.csv": "heights of the beam tops as measured",
    "lines.csv": "strings and laser lines that the tops were measured down from",
    "fittings.csv": "hatch, mast, pads, chainplates: where and how large",
    "marks.csv": "heights of four or more marks on the hull, then and today: has she moved?",
    "figures.csv": "what your own tins of glue, resin and paint say: takes the place of the program's figures",
}
