"""
What is wrong with a list of beams: one complaint for each that has to be left out.
"""

from __future__ import annotations

import numpy as np

from deckgeom.complaint import Complaint
from deckgeom.deck.beam_marks import BeamMark
from deckgeom.deck.mould import MOST_CAMBER

#: Beams may touch, and rounding may make touching beams overlap by this much. [mm]
TOUCHING = 0.5
#: A hull narrower than this, inside its planking on one side of the centreline, has no room for a beam. [mm]
NO_BREADTH = 1.0


def sort_marks(marks, sheer, least_depth: float | None, say) -> tuple[list[BeamMark], list[Complaint]]:
    """
    Leave out what cannot be a beam, with a complaint for each.

    Parameters
    ----------
    marks : sequence of BeamMark
    sheer : Sheer
        For the ends of the deck edge.
    least_depth : float, optional
        Least moulding that any beam may have. [mm]
    say : callable
        A length in mm to words.

    Returns
    -------
    good : list of BeamMark
        In the order given.
    complaints : list of Complaint
    """
    good, complaints, seen = [], [], {}
    for mark in marks:
        wrong = _wrong_sizes(mark, least_depth, say) or _wrong_place(mark, sheer, say)
        wrong = wrong or _wrong_camber(mark, sheer, say)
        if not wrong and mark.name in seen:
            other = seen[mark.name]
            where = "" if other.row is None else f", row {other.row}"
            rule = f"a beam's name stands once in the list; one stands at {say(other.x)}{where}"
            wrong = ("beam", mark.name, rule, "a beam typed twice, or its number not raised")
        if wrong:
            complaints.append(complain(mark, *wrong))
        else:
            seen[mark.name] = mark
            good.append(mark)
    return good, complaints


def complain(mark: BeamMark, column: str, value, rule: str, slip: str = "") -> Complaint:
    """A complaint about one line of the beam list."""
    value = f"{value:g}" if isinstance(value, float) else value
    return Complaint("beams.csv", mark.row, column, value, f"beam {mark.name}: {rule}; it is left out", slip)


def _wrong_sizes(mark: BeamMark, least_depth, say) -> tuple | None:
    """Complaint about timber that cannot be."""
    for column in ("siding", "moulding"):
        size = getattr(mark, column)
        if not (np.isfinite(size) and size > 0):
            return column, float(size), f"{column} is above 0", "a blank read as 0, or a minus sign too many"
    if least_depth is not None and mark.moulding < least_depth:
        rule = f"moulding is not less than the least depth, {say(least_depth)}"
        return "moulding", float(mark.moulding), rule, "siding and moulding swapped, or inches in a mm table"
    if mark.camber is not None and not (np.isfinite(mark.camber) and mark.camber >= 0):
        return "camber", float(mark.camber), "camber is 0 or more", "a drop typed as a minus"
    if not abs(mark.rake_deg) < 60:
        rule = "rake is less than 60 degrees off plumb"
        return "rake", float(mark.rake_deg), rule, "measured from level and not from plumb"
    return None


def _wrong_camber(mark: BeamMark, sheer, say) -> tuple | None:
    """Complaint about a camber of a beam's own that is steeper than any deck."""
    breadth = sum(max(float(sheer.half_breadth(side, mark.x)), 0.0) for side in ("port", "starboard"))
    if mark.camber and 0 < breadth and mark.camber > MOST_CAMBER / 2 * breadth:
        rule = f"a camber is at most 1:4 of the breadth, {say(breadth)} here"
        return "camber", say(mark.camber), rule, "inches against mm, or a nought too many"
    return None


def _wrong_place(mark: BeamMark, sheer, say) -> tuple | None:
    """Complaint about a beam off the boat or a half beam without length."""
    if not (sheer.start - 1e-6 <= mark.x <= sheer.end + 1e-6):
        rule = f"the deck edge runs from {say(sheer.start)} to {say(sheer.end)}"
        return "x", float(mark.x), rule, "a distance from another zero, or in other units"
    if mark.siding > (sheer.end - sheer.start) / 2:
        rule = f"a siding is less than half the length of the deck, {say(sheer.end - sheer.start)}"
        return "siding", say(mark.siding), rule, "a nought too many, or mm in a folder of inches"
    low, high = mark.limits()
    if (mark.start, mark.end) in ((0, None), (None, 0)):
        return "from", "0", "a half beam from the centreline says to which edge it runs", "the other limit left blank"
    if not low < high:
        return "from", str(mark.start), "the two limits of a half beam are different places", "one limit typed twice"
    return None


def overlapping(order, forward, after, low, high) -> list[tuple[int, int]]:
    """
    Pairs of beams that stand in the same place.

    Parameters
    ----------
    order : (n,) int array
        Beams sorted by `forward`.
    forward, after, low, high : (n,) arrays
        Faces along the boat and limits across it. [mm]

    Returns
    -------
    list of (int, int)
        Earlier and later in the list, sorted by the later.
    """
    pairs, n = [], len(order)
    for step in range(1, n):
        a, b = order[:-step], order[step:]
        near = forward[b] < after[a] - TOUCHING
        if not near.any():
            break
        hit = near & (np.maximum(low[a], low[b]) < np.minimum(high[a], high[b]) - TOUCHING)
        pairs.extend((min(i, j), max(i, j)) for i, j in zip(a[hit].tolist(), b[hit].tolist(), strict=True))
    return sorted(pairs, key=lambda pair: (pair[1], pair[0]))


def place_faults(marks: list[BeamMark], frames, ends_y: np.ndarray, say) -> dict[int, Complaint]:
    """
    Beams without room: no breadth, limits outside the hull, standing in one another.

    Parameters
    ----------
    marks : list of BeamMark
    frames : Frames
    ends_y : (n, 2, 2) array
        Where the hull side lets each beam end: faces, sides. [mm]
    say : callable
        A length in mm to words.

    Returns
    -------
    dict
        Number of the beam to its complaint.
    """
    out = {}
    room = np.stack([-ends_y[:, :, 0], ends_y[:, :, 1]], axis=-1)
    for i in np.flatnonzero((room < NO_BREADTH).any(axis=(1, 2))):
        face, side = np.unravel_index(int(np.argmin(room[i])), (2, 2))
        rule = (
            f"the hull has a breadth inside the planking; here, at its {('forward', 'after')[face]} face, the "
            f"half-breadth to {('port', 'starboard')[side]} is {say(max(0.0, room[i, face, side]))}"
        )
        out[int(i)] = complain(marks[i], "x", float(marks[i].x), rule, "a beam at the very stem")
    wide_low, wide_high = ends_y[:, :, 0].min(axis=1), ends_y[:, :, 1].max(axis=1)
    low, high = frames.low, frames.high
    outside = np.where(np.isfinite(low), (low < wide_low - 1.0) | (low > wide_high), False)
    outside |= np.where(np.isfinite(high), (high > wide_high + 1.0) | (high < wide_low), False)
    for i in np.flatnonzero(outside):
        column = "from" if np.isfinite(low[i]) and not wide_low[i] - 1.0 <= low[i] <= wide_high[i] else "to"
        rule = f"a half beam's limits lie between {say(-wide_low[i])} port and {say(wide_high[i])} starboard"
        value = str(marks[i].start if column == "from" else marks[i].end)
        out.setdefault(int(i), complain(marks[i], column, value, rule, "half for whole breadth, or the side left out"))
    faces = frames.x[:, None] + frames.off / frames.cosine[:, None]
    order = np.argsort(faces[:, 0], kind="stable")
    span = np.maximum(low, wide_low), np.minimum(high, wide_high)
    for early, late in overlapping(order, faces[:, 0], faces[:, 1], *span):
        if early in out or late in out:
            continue
        a, b = faces[early], faces[late]
        rule = (
            f"no two beams stand in one place; it fills {say(b[0])} to {say(b[1])} and beam {marks[early].name} "
            f"{say(a[0])} to {say(a[1])}"
        )
        out[late] = complain(marks[late], "x", float(marks[late].x), rule, "a wrong face, or too small a spacing")
    return out
