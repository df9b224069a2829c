"""The bench of the fewest beams: all choices of beams weighed beside the notebook, and stopped when asked."""

from __future__ import annotations

from deckgeom.bench.actions import Action, Actions
from deckgeom.bench.asked import fairing_of
from deckgeom.bench.beside import fewest_of
from deckgeom.bench.controls import Choice
from deckgeom.bench.long_work import LongWork
from deckgeom.bench.wishes import fewest_words
from deckgeom.job import Job

__all__ = ["fewest_panel", "fewest_work"]

#: The times that may be given. [s]
TIMES = {"10 seconds": 10.0, "30 seconds": 30.0, "2 minutes": 120.0, "10 minutes": 600.0}
#: Starting a Python and setting up the question. [s]
_START_S = 5.0


def fewest_work(job: Job, seconds: float = 10.0) -> LongWork:
    """
    Ask for the fewest beams beside the notebook: start it, look at it, stop it, or wait for it.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    seconds : float
        The most time to give it. [s]

    Returns
    -------
    LongWork
        Not begun yet; its result is as of :func:`deckgeom.bench.wishes.fewest`.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> work = fewest_work(example_fairing())
    >>> work.says
    'Weighing all choices of beams: not begun.'
    >>> work.start().wait().result.lines[0]
    'No beam need be touched: one fair surface passes all of them within what is let pass.'
    """
    fairing_of(job)
    return LongWork(
        fewest_of,
        job.boat,
        seconds,
        about="Weighing all choices of beams",
        at_most=seconds + _START_S,
        finish=lambda found: fewest_words(job, found, seconds),
    )


def fewest_panel(job: Job) -> Actions:
    """
    Make the panel that asks for the fewest beams, shows how long it has run, and can be stopped.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Actions
        ``weigh``, with the most time to give it.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> fewest_panel(example_fairing()).do("weigh", time="10 seconds").words.splitlines()[0]
    'No beam need be touched: one fair surface passes all of them within what is let pass.'
    """
    fairing_of(job)
    time = Choice("time", "Give it at most", tuple(TIMES), next(iter(TIMES)))
    weigh = Action("weigh", "Weigh all choices of beams", lambda time: fewest_work(job, TIMES[time]), [time])
    return Actions("The fewest beams", lambda: [weigh])
