"""
A deck edge that swings far outside its own offsets, as a curve does through two stations all but in one place.
"""

from __future__ import annotations

import numpy as np

from deckgeom.complaint import Complaint
from deckgeom.units import format_length

__all__ = ["swings"]

MOST_SWING = 3.0
"""A fair curve stays within so many times its largest offset: common practice, no source. [-]"""

PLACES = 400
"""Places along the boat that are looked at. [-]"""


def swings(table, sheer, units: str = "mm") -> tuple[Complaint, ...]:
    """
    Complain about each curve of the sheer that goes where no offset lies.

    Parameters
    ----------
    table : OffsetTable
        As read.
    sheer : Sheer
        Faired from it.
    units : {"mm", "ft-in-8", "in"}
        For lengths in words.

    Returns
    -------
    tuple of Complaint
        Of the kind "mend": nothing should be built on such a curve.

    Examples
    --------
    >>> from deckgeom.hull.offsets import OffsetTable
    >>> from deckgeom.hull.sheer import Sheer
    >>> table = OffsetTable.from_rows({"x": [0, 0.001, 1800, 2700], "height": [900, 820, 790, 780],
    ...                                "half_breadth": [0, 420, 640, 560]})
    >>> [complaint.column for complaint in swings(table, Sheer.from_offsets(table))]
    ['height', 'half_breadth']
    """
    x = np.linspace(sheer.start, sheer.end, PLACES)
    found = []
    for line in table.columns:
        side = "starboard" if line.name.endswith("starboard") else "port"
        curve = np.abs((sheer.half_breadth if line.what == "half_breadth" else sheer.height)(side, x))
        far, largest = float(np.max(curve)), float(np.max(np.abs(line.value), initial=0.0))
        if len(line) and not far <= MOST_SWING * largest + 100:
            rule = (
                f"the curve through these offsets swings out to {format_length(far, units)}, and the largest of them "
                f"is {format_length(largest, units)}; nothing is worked out from it"
            )
            found.append(Complaint("offsets.csv", None, line.name, "", rule, "two stations all but in one place"))
    return tuple(found)
