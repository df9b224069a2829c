"""
Scarfs: how long, how steep, where to draw the cut-back line, and what is left of two sheets once they are joined.

A *scarf* joins two pieces end to end by tapering both and gluing taper to taper. At 8:1 the taper is eight times as
long as the piece is thick; that length is lost to every joint.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from deckgeom.units import format_length

__all__ = ["AIRCRAFT_RATIO", "Scarf", "joined_length"]

#: Steepest scarf in plywood skins by FAA AC 43.13-1B, para 1-51c (read in the source).
AIRCRAFT_RATIO = 12.0
#: Steepest that this module takes for a scarf; a steeper one is a butt with a bevel. Own limit.
STEEPEST = 3.0


@dataclass(frozen=True)
class Scarf:
    r"""
    A scarf of n to 1 in one thickness.

    Parameters
    ----------
    thickness : float
        Of the piece, as measured. [mm]
    ratio : float
        Length of the taper over the thickness, n of n:1. [1]

    Notes
    -----
    .. math:: l = n t, \quad \alpha = \arctan(1/n), \quad \tau / \sigma = n / (1 + n^2)

    with l along the face. The last is the shear on the plane of the glue for a stress along the piece.

    References
    ----------
    Plane trigonometry, and the stress on a plane inclined by the angle (any text on the strength of materials). 8:1 in
    plywood: common practice, no source. 12:1: FAA AC 43.13-1B, para 1-51c.

    Examples
    --------
    >>> scarf = Scarf(thickness=12, ratio=8)
    >>> scarf.length, round(scarf.angle_deg, 3)
    (96, 7.125)
    """

    thickness: float
    ratio: float = 8.0

    def __post_init__(self) -> None:
        if not 0 < self.thickness < math.inf:
            raise ValueError(
                f"thickness {self.thickness:g} mm of a scarfed piece: it is above 0. Is it left blank?"
            )
        if not STEEPEST <= self.ratio < math.inf:
            raise ValueError(
                f"a scarf of {self.ratio:g}:1 is steeper than {STEEPEST:g}:1 and would hold little. Is it written the "
                "other way round, 1:8 for 8:1? Give 8 or more."
            )

    @property
    def length(self) -> float:
        """Of the taper along the face, and what one joint takes off two pieces together. [mm]"""
        return self.ratio * self.thickness

    @property
    def slope_length(self) -> float:
        """Of the tapered face itself, up its slope. [mm]"""
        return self.thickness * math.hypot(self.ratio, 1.0)

    @property
    def angle_deg(self) -> float:
        """Between the tapered face and the sheet. [deg]"""
        return math.degrees(math.atan2(1.0, self.ratio))

    @property
    def shear_part(self) -> float:
        """Shear on the plane of the glue as a part of the stress along the piece. [1]"""
        return self.ratio / (1 + self.ratio**2)

    @property
    def cut_back(self) -> float:
        """From the end of the sheet, on the face that is planed away, to the line to plane back to. [mm]"""
        return self.length

    def stepped_lines(self, sheets: int) -> tuple[float, ...]:
        """
        Where the ends lie in a stack planed all at once.

        Parameters
        ----------
        sheets : int
            In the stack, each set back from the one below by the length of the scarf.

        Returns
        -------
        tuple of float
            End of each sheet behind the end of the lowest, lowest first; one line more, to plane the top one back to.
            [mm]
        """
        if sheets < 1:
            raise ValueError(f"a stack of {sheets} sheets: it has 1 or more. Is the count left blank?")
        return tuple(k * self.length for k in range(sheets + 1))

    @property
    def warnings(self) -> tuple[str, ...]:
        """What to know about a scarf as steep as this."""
        if self.ratio >= AIRCRAFT_RATIO:
            return ()
        return (
            f"{self.ratio:g}:1 is common in boats (common practice, no source) and steeper than aircraft practice: "
            f"{AIRCRAFT_RATIO:g}:1 at the steepest in plywood skins (FAA AC 43.13-1B, para 1-51c).",
        )

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """
        What to mark and cut.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}

        Returns
        -------
        tuple of str
        """
        mm = lambda v: format_length(v, units)  # noqa: E731
        return (
            f"Scarf {self.ratio:g}:1 in {mm(self.thickness)}: {mm(self.length)} long. Draw the cut-back line "
            f"{mm(self.cut_back)} from the end, on the upper face of one and the lower face of the other, and plane "
            f"from the line down to a feather edge ({self.angle_deg:.1f} degrees).",
            f"Each joint takes {mm(self.length)} off the two pieces together.",
            *self.warnings,
        )


def joined_length(lengths, scarf: Scarf) -> float:
    r"""
    Length of pieces scarfed end to end.

    Parameters
    ----------
    lengths : sequence of float
        Of the pieces as they come. [mm]
    scarf : Scarf

    Returns
    -------
    float
        [mm]

    Notes
    -----
    .. math:: L = \sum L_i - (m - 1) n t

    Examples
    --------
    >>> joined_length([2440, 2440], Scarf(9, 8))
    4808.0
    """
    lengths = [float(length) for length in lengths]
    for k, length in enumerate(lengths):
        tapers = scarf.length * ((k > 0) + (k < len(lengths) - 1))
        if not length > 0 or length < tapers:
            raise ValueError(
                f"piece {k + 1} is {length:g} mm long and its tapers take {tapers:g} mm: a piece is longer than "
                "its own scarfs. Is the thickness in the wrong unit? Take a longer piece or a steeper scarf."
            )
    return sum(lengths) - scarf.length * max(len(lengths) - 1, 0)
