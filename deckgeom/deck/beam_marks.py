"""
The beam list: where each beam stands and how big it is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

__all__ = ["MARKS", "BeamMark"]

#: What a beam's x may be measured to.
MARKS = ("forward face", "after face", "middle")


@dataclass(frozen=True)
class BeamMark:
    """
    One line of the beam list.

    Parameters
    ----------
    name : str
        What the beam is called.
    x : float
        Along the boat to the mark, from the boat's zero. A raked beam's x is taken on the centreline at the height of
        the line that joins the deck edges. [mm]
    mark : {"forward face", "after face", "middle"}
        What the mark is of.
    siding, moulding : float
        Fore-and-aft and up-and-down size of the timber, square to its plane and to its top. [mm]
    camber : float, optional
        This beam's own camber at the centreline, above the line joining its deck edges; the crown rule's unless
        given. [mm]
    rake_deg : float
        0 plumb; above 0 the top leans aft. [deg]
    start, end : float or str, optional
        Limits of a half beam: off the centreline with starboard positive [mm], or ``"port edge"``,
        ``"starboard edge"``. One alone runs to the edge on its own side.
    fixed : bool
        The beam must not be touched in fairing.
    row : int, optional
        Line of the file that it stands in.

    Examples
    --------
    >>> BeamMark("7", x=3200, mark="after face").forward_x
    3156.0
    """

    name: str
    x: float
    mark: str = "forward face"
    siding: float = 44.0
    moulding: float = 60.0
    camber: float | None = None
    rake_deg: float = 0.0
    start: float | str | None = None
    end: float | str | None = None
    fixed: bool = False
    row: int | None = None

    def __post_init__(self) -> None:
        """Refuse a mark or an edge that is not one of the words."""
        if self.mark not in MARKS:
            raise ValueError(f"beam {self.name}: mark {self.mark!r} is not one of {', '.join(MARKS)}.")
        for limit in (self.start, self.end):
            if isinstance(limit, str) and limit not in ("port edge", "starboard edge"):
                raise ValueError(
                    f"beam {self.name}: {limit!r} is no limit of a half beam. Give a distance off the centreline, or "
                    "'port edge' or 'starboard edge'."
                )

    @property
    def off_forward(self) -> float:
        """From the mark to the forward face, square to the beam: 0 or less. [mm]"""
        return {"forward face": 0.0, "middle": -0.5, "after face": -1.0}[self.mark] * self.siding

    @property
    def forward_x(self) -> float:
        """x of the forward face at the height of the deck edges. [mm]"""
        return self.x + self.off_forward / float(np.cos(np.radians(self.rake_deg)))

    def limits(self) -> tuple[float, float]:
        """Port and starboard limit, signed; infinite where it runs to the edge. [mm]"""
        start, end = (_signed(v) for v in (self.start, self.end))
        if start is None and end is None:
            return -np.inf, np.inf
        if start is None or end is None:
            given = start if end is None else end
            if np.isinf(given):
                return -np.inf, np.inf
            # One limit alone: to the deck edge on the same side.
            return (given, np.inf) if given > 0 else (-np.inf, given)
        return min(start, end), max(start, end)

    @property
    def whole(self) -> bool:
        """Whether it runs from edge to edge."""
        return self.limits() == (-np.inf, np.inf)


def _signed(limit) -> float | None:
    """A limit as a signed distance off the centreline, infinite for an edge."""
    if limit is None:
        return None
    return {"port edge": -np.inf, "starboard edge": np.inf}[limit] if isinstance(limit, str) else float(limit)
