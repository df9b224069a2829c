"""
From readings as written down to the verdict and the work on the beams: the fairing engine's parts in their order.
"""

from __future__ import annotations

from dataclasses import dataclass

from deckgeom.complaint import Complaint
from deckgeom.fairing.beam_tops import BeamTops, FairingError
from deckgeom.fairing.fair import Estimate, estimate
from deckgeom.fairing.places import BeamPlaces
from deckgeom.fairing.readings import true_readings
from deckgeom.fairing.true_readings import TrueReadings

__all__ = ["Fairing", "fair_the_tops"]


@dataclass(frozen=True, eq=False)
class Fairing:
    """
    Measured tops and what they say; made by `fair_the_tops`.

    Parameters
    ----------
    true : TrueReadings
        Every reading as a true height, and how the hull stood.
    tops : BeamTops or None
        The beams as they are now.
    estimate : Estimate or None
        The fair surface.
    complaints : tuple of Complaint
        About readings and lines.
    """

    true: TrueReadings
    tops: BeamTops | None
    estimate: Estimate | None
    complaints: tuple[Complaint, ...]


def fair_the_tops(readings, lines, beams, settings, least_depth=None, units: str = "mm") -> Fairing:
    """
    Bring readings to true heights and judge the beam tops.
    """
    if beams is None or not len(beams):
        rule = "readings of beam tops need the list of beams and the deck edge to be placed on: neither is there"
        raise FairingError(f"{len(readings)} readings", rule)
    true = true_readings(readings, lines, BeamPlaces.of(beams), units=units)
    tops = true.tops
    found = None if tops is None else estimate(tops, settings.cutoff, settings.reading_error)
    return Fairing(true, tops, found, true.complaints)
