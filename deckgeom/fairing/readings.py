"""
Heights of beam tops as they were taken with tape, string, laser or straight-edge, made into true heights.
"""

from __future__ import annotations

from dataclasses import dataclass

from deckgeom.hull.strings import MeasuringLine

__all__ = ["MeasuringLine", "Reading"]


@dataclass(frozen=True)
class Reading:
    """
    One height of one beam top, as it was written down at the boat.

    Parameters
    ----------
    beam : str
        Name of the beam, as in the list of beams.
    side : {"port", "starboard", ""}
        Side of the boat. Empty where y already carries its sign, or on the centreline.
    y : float or {"edge", "port edge", "starboard edge"}
        Square off the centreline: unsigned with a side, starboard positive without one. [mm]
    height : float, optional
        Up from the base. [mm]
    below : float, optional
        Down from the line named by `line`. [mm]
    line : str, optional
        Name of the string, laser line or straight-edge that `below` is taken from.
    round : int
        Which time round the boat: 1 for the first, 2 after the first planing, and so on.
    note : str
        What else was written. A note that begins with "again" says: measured once more, beam not touched.
    row : int, optional
        Line of the file that it was typed in.

    Examples
    --------
    >>> Reading("7", "port", 300, height=942).signed_y
    -300.0
    """

    beam: str
    side: str
    y: float | str
    height: float | None = None
    below: float | None = None
    line: str | None = None
    round: int = 1
    note: str = ""
    row: int | None = None

    @property
    def signed_y(self) -> float:
        """Off the centreline, starboard positive; NaN where y is an edge. [mm]"""
        if isinstance(self.y, str):
            return float("nan")
        return -abs(float(self.y)) if self.side == "port" else float(self.y)
