"""A small invented boat for the examples in this room's descriptions."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from deckgeom.boat import Boat, default_settings
from deckgeom.boat.fittings_file import Fitting
from deckgeom.deck.beam_marks import BeamMark
from deckgeom.fairing.readings import Reading
from deckgeom.hull.offsets import OffsetTable
from deckgeom.job import Job, do_job
from deckgeom.laying.ways import DeckLayer, Way


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


def example_fairing() -> Job:
    """
    Make a flat-sheered barge of nine equal beams, of which the fifth stands 4 mm high.

    Returns
    -------
    Job
        Measured without error.

    Examples
    --------
    >>> example_fairing().fairing.tops.count
    45
    """
    places = [400.0 * k for k in range(9)]
    table = OffsetTable.from_rows({"x": places, "height": [1000] * 9, "half_breadth": [900] * 9})
    marks = tuple(BeamMark(str(k + 1), x) for k, x in enumerate(places))
    settings = default_settings()
    settings = replace(settings, fairing=replace(settings.fairing, tolerance=2.0, reading_error=0.5))
    boat = Boat(Path("barge"), settings, offsets=table, beams=marks)
    across = (-900.0, -450.0, 0.0, 450.0, 900.0)
    taken = tuple(
        Reading(mark.name, "", y, 1000.0 - y**2 / 16200 + 4.0 * (mark.name == "5")) for mark in marks for y in across
    )
    return do_job(replace(boat, readings=taken))


@lru_cache(maxsize=1)
def example_laying() -> Job:
    """
    Make a punt of 4 m with nine beams and a hatch, to be laid in two skins, or with laid planks over one.

    Returns
    -------
    Job
        The same one every time, so that its laying is worked out once.

    Examples
    --------
    >>> [way.name for way in example_laying().boat.settings.laying.ways]
    ['skins', 'laid']
    """
    columns = {"x": [0, 1000, 2000, 3000, 4000], "height": [720, 660, 620, 610, 630],
               "half_breadth": [200, 600, 760, 760, 640]}  # fmt: skip
    beams = tuple(BeamMark(str(k + 1), 300.0 + 425.0 * k) for k in range(9))
    settings = replace(default_settings(), deck=(6.0, 6.0))
    ways = (Way("skins", (DeckLayer("ply", 6.0), DeckLayer("ply", 6.0), DeckLayer("cloth"))),
            Way("laid", (DeckLayer("ply", 4.0), DeckLayer("planks", 8.0, 60.0))))  # fmt: skip
    settings = replace(settings, laying=replace(settings.laying, ways=ways))
    hatch = Fitting("hatch", 1787.5, 0.0, 350.0, 400.0)
    return do_job(Boat(Path("punt"), settings, OffsetTable.from_rows(columns), beams, fittings=(hatch,)))
