"""
Fore-and-aft lines through the readings: each beam's readings drawn fairly to the same place off the centreline.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import SAME_POINT, BeamTops, FairingError, closed

__all__ = ["ReadingLine", "along_beam", "lines_of_readings"]


@dataclass(frozen=True, eq=False)
class ReadingLine:
    """
    Heights along the boat at one place off the centreline.

    Parameters
    ----------
    at : float
        Offset, starboard positive [mm], or fraction of the half-breadth, as `by` says.
    by : {"offset", "fraction"}
        What `at` is.
    beam : ndarray of int, shape (n,)
        Beams that reach this place, in the order of x.
    x, y, z : ndarray, shape (n,)
        Where the line crosses them. [mm]
    spread : ndarray, shape (n,)
        Standard deviation of z as a multiple of the reading error: 1 at a reading, less between two. [-]
    beyond : ndarray of bool, shape (n,)
        True where the place is outside the readings of that beam, so the height is carried on and not measured.

    Examples
    --------
    >>> tops = BeamTops([0, 1], ("1", "2"), [0, 400], [300, 300], [900, 900], [40, 42])
    >>> lines_of_readings(tops, at=[300], by="offset")[0].z.tolist()
    [40.0, 42.0]
    """

    at: float
    by: str
    beam: np.ndarray
    x: np.ndarray
    y: np.ndarray
    z: np.ndarray
    spread: np.ndarray
    beyond: np.ndarray

    def __post_init__(self) -> None:
        kinds = {"beam": int, "x": float, "y": float, "z": float, "spread": float, "beyond": bool}
        for name, kind in kinds.items():
            object.__setattr__(self, name, closed(getattr(self, name), kind))

    @property
    def name(self) -> str:
        """The line in words."""
        if abs(self.at) < 1e-9:
            return "centreline"
        side = "port" if self.at < 0 else "starboard"
        if self.by == "fraction":
            return f"{abs(self.at):.0%} of the half-breadth to {side}"
        return f"{abs(self.at):.0f} mm to {side}"


def along_beam(y, at) -> np.ndarray:
    """
    Return the weights that draw one beam's readings fairly to other places across it.

    Parameters
    ----------
    y : array_like, shape (n,)
        Places of the readings, in any order; repeats are averaged. [mm]
    at : array_like, shape (m,)
        Places wanted. [mm]

    Returns
    -------
    ndarray, shape (m, n)
        Heights wanted = weights @ heights read.

    Notes
    -----
    The parabola that fits the readings best, plus its distance from them joined by straight lines and carried level
    beyond the last. So a cambered beam loses nothing between its readings, each reading is passed through exactly,
    and a bad one reaches no further than its neighbours. With two points a straight line, with one the height itself.

    Examples
    --------
    >>> along_beam([-300, 0, 300], [150]).round(3).tolist()
    [[-0.125, 0.75, 0.375]]
    """
    y, at = np.asarray(y, float), np.atleast_1d(np.asarray(at, float))
    order = np.argsort(y, kind="stable")
    group = np.empty(y.size, int)
    group[order] = np.concatenate([[0], np.cumsum(np.diff(y[order]) > SAME_POINT)])
    count = np.bincount(group)
    place = np.bincount(group, y) / count
    average = (group == np.arange(count.size)[:, None]) / count[:, None]
    return _between(place, at) @ average


def _between(place, at):
    middle, half = (place[0] + place[-1]) / 2, max((place[-1] - place[0]) / 2, 1.0)
    degree = min(place.size, 3)
    rows, wanted = (((v[:, None] - middle) / half) ** np.arange(degree) for v in (place, at))
    fit = np.linalg.pinv(rows)
    if place.size == 1:
        return np.ones((at.size, 1))
    cell = np.clip(np.searchsorted(place, at, side="right") - 1, 0, place.size - 2)
    t = np.clip((at - place[cell]) / (place[cell + 1] - place[cell]), 0.0, 1.0)
    straight = np.zeros((at.size, place.size))
    np.put_along_axis(straight, cell[:, None], (1.0 - t)[:, None], axis=1)
    np.put_along_axis(straight, cell[:, None] + 1, t[:, None], axis=1)
    return wanted @ fit + straight @ (np.eye(place.size) - rows @ fit)


def lines_of_readings(tops: BeamTops, at=(-0.75, -0.5, -0.25, 0.0, 0.25, 0.5, 0.75), by: str = "fraction"):
    """
    Draw fore-and-aft lines through the readings of all beams.

    Parameters
    ----------
    tops : BeamTops
        True heights.
    at : sequence of float
        One line each: fractions of the half-breadth [-], or offsets [mm]; starboard positive.
    by : {"fraction", "offset"}
        What `at` holds.

    Returns
    -------
    tuple of ReadingLine
        Beams that do not reach an offset, or whose readings end more than half of their own widest step short of it
        (half beams at an opening), are left out of that line.

    Raises
    ------
    FairingError
        If `by` is neither, or a fraction is beyond the deck edge.

    Examples
    --------
    >>> tops = BeamTops([0, 0, 0, 1, 1, 1], ("1", "2"), [0] * 3 + [400] * 3, [-300, 0, 300] * 2, [900] * 6,
    ...                 [40, 50, 40, 42, 52, 42])
    >>> line = lines_of_readings(tops, at=[150], by="offset")[0]
    >>> line.z.round(6).tolist(), line.beyond.tolist(), line.name
    ([47.5, 49.5], [False, False], '150 mm to starboard')
    """
    at = np.atleast_1d(np.asarray(at, float))
    if by not in ("fraction", "offset"):
        raise FairingError(repr(by), "a line is at a common 'offset' or a common 'fraction' of the half-breadth")
    if by == "fraction" and np.any(np.abs(at) > 1.0):
        raise FairingError(
            f"{at[np.abs(at) > 1][0]:g}",
            "a fraction of the half-breadth lies between -1 and 1",
            "an offset in mm",
            "say by='offset'",
        )
    cells = [[] for _ in at]
    order = np.argsort(tops.beam, kind="stable")
    for rows in np.split(order, np.flatnonzero(np.diff(tops.beam[order])) + 1):
        _cross_beam(tops, rows, at, by, cells)
    return tuple(_line(place, by, found) for place, found in zip(at.tolist(), cells, strict=True))


def _cross_beam(tops, rows, at, by, cells) -> None:
    y = tops.y[rows]
    breadth = _half_breadths(y, tops.half_breadth[rows], at)
    place = at * breadth if by == "fraction" else at
    low, high = y.min(), y.max()
    step = max(np.diff(np.sort(y)).max(initial=0.0), SAME_POINT)
    reaches = (np.abs(place) <= breadth * (1.0 + 1e-9)) & (place >= low - step / 2) & (place <= high + step / 2)
    if not reaches.any():
        return
    weights = along_beam(y, place[reaches])
    beyond = (place < low - SAME_POINT) | (place > high + SAME_POINT)
    z, spread = weights @ tops.z[rows], np.sqrt((weights**2).sum(axis=1))
    for k, i in enumerate(np.flatnonzero(reaches)):
        cells[i].append((tops.beam[rows[0]], tops.x[rows].mean(), place[i], z[k], spread[k], beyond[i]))


def _half_breadths(y, half_breadth, at):
    """Half-breadth of the side that each line lies on; that of the other side where only it was measured."""
    sides = [half_breadth[y < 0], half_breadth[y > 0]]
    both = half_breadth.mean()
    port, starboard = (side.mean() if side.size else both for side in sides)
    return np.where(at < 0, port, np.where(at > 0, starboard, (port + starboard) / 2))


def _line(at, by, found) -> ReadingLine:
    beam, x, y, z, spread, beyond = (np.array(column) for column in zip(*found, strict=True)) if found else ([],) * 6
    order = np.argsort(x, kind="stable") if len(x) else slice(None)
    columns = (np.asarray(c)[order] for c in (beam, x, y, z, spread, beyond))
    return ReadingLine(at, by, *columns)
