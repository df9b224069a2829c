"""One small boat with everything, and the same boat with names that bite."""

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

HOSTILE = '<script>alert("x")</script> $\\frac{1}{$ & \x00\x1b \u202e'
PLACES = [600.0 * k for k in range(10)]
ACROSS = (-0.9, -0.45, 0.0, 0.45, 0.9)


def breadth(x: float) -> float:
    """Half-breadth of the boat, a parabola. [mm]"""
    return 1000.0 - 0.00008 * (x - 3000.0) ** 2


def height(x: float) -> float:
    """Height of her deck edge, a parabola. [mm]"""
    return 900.0 + 0.00003 * (x - 3200.0) ** 2


@lru_cache(maxsize=8)
def boat(hostile: str = "", units: str = "mm", spoil: bool = True) -> Job:
    """A 5.4 m boat, port a little fuller; offset of station 5 spoilt, beam 5 high, beam 7 low, one reading slipped."""
    columns = {
        "x": PLACES,
        "height": [height(x) for x in PLACES],
        "half_breadth_port": [breadth(x) + 4 for x in PLACES],
        "half_breadth_starboard": [breadth(x) for x in PLACES],
    }
    if spoil:
        columns["height"][5] += 40
    stations = [f"{k}{hostile}" for k in range(10)]
    table = OffsetTable.from_rows(columns, stations=stations)
    marks = tuple(BeamMark(f"{k}{hostile}", 300.0 + 480.0 * k) for k in range(11))
    settings = default_settings(units, f"Dabchick{hostile}")
    settings = replace(settings, offsets=replace(settings.offsets, accuracy=0.0))
    settings = replace(settings, fairing=replace(settings.fairing, tolerance=2.0, reading_error=0.7))
    fittings = (Fitting(f"hatch{hostile}", 2900.0, 0.0, 600.0, 500.0),)
    bare = Boat(Path("dabchick"), settings, offsets=table, beams=marks, fittings=fittings)
    return do_job(replace(bare, readings=_readings(do_job(bare))))


def _readings(job: Job) -> tuple[Reading, ...]:
    found = []
    for k, beam in enumerate(job.beams):
        for part in ACROSS:
            half = beam.half_breadth_port if part < 0 else beam.half_breadth_starboard
            y = part * half
            z = (
                float(beam.height_at([y])[0])
                + {5: 5.0, 7: -5.0}.get(k, 0.0)
                + (20.0 if (k, part) == (3, 0.45) else 0.0)
            )
            found.append(Reading(beam.name, "", y, z))
    return tuple(found)
