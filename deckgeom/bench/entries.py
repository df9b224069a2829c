"""The tables of a boat to type in, each with what follows from it in words."""

from __future__ import annotations

from deckgeom.bench.type_in import TypeIn
from deckgeom.job import Job
from deckgeom.results import summary

__all__ = ["beams", "fittings", "lines", "marks", "offsets", "readings"]


def offsets(job: Job) -> TypeIn:
    """
    Type or mend the table of offsets; below it, what stands out in it.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    TypeIn
        Nothing is written before a cell is changed.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> offsets(example_job()).title[-42:]
    'port and starboard, each in its own column'
    """
    return _table(job, "offsets.csv", "port and starboard, each in its own column", _about_offsets)


def beams(job: Job) -> TypeIn:
    """
    Type or mend the list of beams; below it, the beams in a few lines.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    TypeIn

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> beams(example_job()).heads[:2]
    ['beam', 'x']
    """
    return _table(job, "beams.csv", "a blank cell takes what boat.toml says", lambda new: _saying(new, "Beams: "))


def readings(job: Job) -> TypeIn:
    """
    Type or mend the readings of the beam tops; below them, the verdict as it is now.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    TypeIn

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> readings(example_job()).says
    ['There are no readings yet.']
    """
    return _table(job, "readings.csv", "a row a reading; take a doubtful one again as a row of its own", verdict_lines)


def lines(job: Job) -> TypeIn:
    """
    Type or mend the strings and laser lines; below them, the verdict on the readings taken from them.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    TypeIn

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> lines(example_job()).heads[0]
    'line'
    """
    return _table(job, "lines.csv", "what the readings are measured down from", verdict_lines)


def fittings(job: Job) -> TypeIn:
    """
    Type or mend the list of pads, openings, mast and chainplates.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    TypeIn

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> fittings(example_job()).heads[0]
    'what'
    """
    return _table(job, "fittings.csv", "what stands on the deck or goes through it", lambda new: ())


def marks(job: Job) -> TypeIn:
    """
    Type or mend the marks on the hull; below them, whether she has moved.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    TypeIn

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> marks(example_job()).heads[0]
    'mark'
    """
    return _table(job, "marks.csv", "their heights the first time and today", _moved)


def _table(job: Job, file: str, what: str, respond) -> TypeIn:
    return TypeIn(job.boat.folder, file, f"{file} of {job.boat.name}: {what}", respond, job)


def verdict_lines(job: Job) -> list[str]:
    """
    Say what the readings come to as they stand now.

    Parameters
    ----------
    job : Job
        Of the folder as it stands.

    Returns
    -------
    list of str
        The verdict, or what keeps it waiting.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> verdict_lines(example_job())
    ['There are no readings yet.']
    """
    if job.fairing is not None:
        return job.fairing.words(job.boat.units)
    if job.boat.readings:
        return ["There is no verdict yet: mend what is marked above, or give what is wanting, and it comes by itself."]
    return ["There are no readings yet."]


def _moved(job: Job) -> tuple[str, ...]:
    return ("Not one mark was measured twice yet.",) if job.move is None else job.move.words(job.boat.units)


def _about_offsets(job: Job) -> list[str]:
    reasons = [f"Station {one.station}, {one.column.replace('_', ' ')}: {one.reason}" for one in job.suspects[:5]]
    return [*_saying(job, "Offsets: ", "Sheer: "), *reasons]


def _saying(job: Job, *begins: str) -> list[str]:
    return [line for line in summary(job) if line.startswith(begins)]
