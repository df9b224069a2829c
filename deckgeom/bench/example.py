"""A small invented boat for the examples in this room's descriptions."""

from __future__ import annotations

from pathlib import Path

from deckgeom.boat import Boat, default_settings
from deckgeom.deck.beam_marks import BeamMark
from deckgeom.hull.offsets import OffsetTable
from deckgeom.job import Job, do_job


def example_job() -> Job:
    """
    Make a punt of 4.5 m with three beams.

    Returns
    -------
    Job
        Her sheer, deck and beams.

    Examples
    --------
    >>> example_job().beams.names
    ('1', '2', '3')
    """
    columns = {"x": [0, 1500, 3000, 4500], "height": [720, 640, 610, 650], "half_breadth": [200, 760, 840, 640]}
    table = OffsetTable.from_rows(columns, stations=["stem", "1", "2", "3"])
    beams = tuple(BeamMark(name, x) for name, x in (("1", 1400.0), ("2", 2200.0), ("3", 3000.0)))
    return do_job(Boat(Path("punt"), default_settings(), offsets=table, beams=beams))
