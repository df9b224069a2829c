"""Calls that are made in a Python of their own: kept apart so that it starts without widgets and pictures."""

from __future__ import annotations

from deckgeom.boat import Boat
from deckgeom.fairing.again import fewest_again
from deckgeom.fairing.fewest import FewestBeams
from deckgeom.job import do_job


def fewest_of(boat: Boat, seconds: float) -> FewestBeams:
    """
    Choose the fewest beams to touch, from the boat as she was read.

    Parameters
    ----------
    boat : Boat
        With readings.
    seconds : float
        The most time to give it. [s]

    Returns
    -------
    FewestBeams

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> fewest_of(example_fairing().boat, 10.0).beams
    ()
    """
    job, settings = do_job(boat), boat.settings
    return fewest_again(job.fairing, job.beams, settings.fairing, settings.beams.least_depth, seconds)
