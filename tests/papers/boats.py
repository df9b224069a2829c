"""The small boat of the drawings with laminated beams: one raked, one that stops short of the centreline."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from deckgeom.deck.beam_marks import BeamMark
from deckgeom.job import Job, do_job
from tests.drawings.boats import boat


@lru_cache(maxsize=4)
def laminated(hostile: str = "", units: str = "mm") -> Job:
    """Four layers; beam 6 leans 12 degrees; beam "half" runs from 300 mm to the starboard edge."""
    bare = boat(units=units, spoil=False).boat
    settings = replace(bare.settings, name=f"Dabchick{hostile}",
                       beams=replace(bare.settings.beams, made="laminated", layers=4))  # fmt: skip
    marks = tuple(replace(m, name=m.name + hostile, rake_deg=12.0 if m.name == "6" else 0.0) for m in bare.beams)
    half = BeamMark(f"half{hostile}", 3500.0, start=300.0)
    return do_job(replace(bare, settings=settings, beams=(*marks, half), readings=()))
