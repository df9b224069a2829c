"""
Where beams end: inside of the planking, along its flare, at the top and at the bottom of the timber.

*Flare* is how far the hull side leans out going up, off plumb, measured athwartships in degrees. A half beam ends plumb
and square where its limit says.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.deck._beam_faces import NEAR, Frames, Tops

SIGN = np.array([-1.0, 1.0])


@dataclass(frozen=True, eq=False)
class HullSide:
    """
    The surface against which beams end.

    Parameters
    ----------
    sheer : Sheer
        Half-breadths are those of its height.
    planking : float
        Thickness to take off, square to the hull side; 0 where half-breadths go to the inside of planking. [mm]

    Notes
    -----
    Outside, y = b(x) + T (z - h(x)) with T the tangent of the flare. Its parallel, the planking's thickness t inside,
    is again a line of slope T at each x: y = a(x) + T z with a = b - T h - (1 + T^2) t / N taken where the normal
    starts, p = b' - T h', N^2 = 1 + p^2 + T^2. With no flare it is the parallel curve of the plan.
    """

    sheer: object
    planking: float = 0.0

    def at(self, side: str, x: np.ndarray, flare: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """
        Half-breadth at height 0 and its slope along the boat at one level.

        Parameters
        ----------
        side : {"port", "starboard"}
        x, flare : (m,) array
            [mm], tangent of the flare [-]

        Returns
        -------
        a, p : (m,) array
            [mm], [-]
        """
        sheer, t = self.sheer, self.planking
        foot = x
        leans = bool(np.any(flare))
        for _ in range(12 if t else 1):
            p = sheer.half_breadth(side, foot, 1)
            if leans:
                p = p - flare * sheer.height(side, foot, 1)
            n = np.sqrt(1 + p * p + flare * flare)
            miss = foot + t * p / n - x
            if not t or np.max(np.abs(miss), initial=0.0) < 1e-9:
                break
            bend = sheer.half_breadth(side, foot, 2)
            if leans:
                bend = bend - flare * sheer.height(side, foot, 2)
            foot = foot - miss / np.maximum(0.2, 1 + t * bend * (1 + flare * flare) / n**3)
        a = sheer.half_breadth(side, foot, 0) - (1 + flare * flare) * t / n
        return (a - flare * sheer.height(side, foot, 0) if leans else a), p

    def both(self, x: np.ndarray, flare: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """`at` for (n, faces) x, port and starboard on a new last axis."""
        shape = np.shape(x)
        flat, lean = x.ravel(), np.broadcast_to(flare, shape).ravel()
        out = [self.at(side, flat, lean) for side in ("port", "starboard")]
        return tuple(np.stack([o[i].reshape(shape) for o in out], axis=-1) for i in (0, 1))

    def each(self, x: np.ndarray, flare: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """`at` for x of shape (n, faces, 2): port, starboard on the last axis."""
        lean = np.broadcast_to(flare, x.shape[:2]).ravel()
        out = [self.at(side, x[..., i].ravel(), lean) for i, side in enumerate(("port", "starboard"))]
        return tuple(np.stack([o[i].reshape(x.shape[:2]) for o in out], axis=-1) for i in (0, 1))


@dataclass(frozen=True, eq=False)
class Ends:
    """
    Ends of n beams; arrays (n, 2 faces, 2 sides): forward and after, port and starboard.

    Parameters
    ----------
    y, up, slope : array
        Top corner: off the centreline (signed), height in the beam's plane, slope of the top there. [mm], [mm], [-]
    hull_y : array
        Where the hull side is, whether or not a half beam stops short of it. [mm]
    p : array
        Slope of the hull side along the boat at one level (`HullSide.at`). [-]
    limited : (n, 2) bool
        Ends that stop at a half beam's limit, port and starboard.
    """

    y: np.ndarray
    up: np.ndarray
    slope: np.ndarray
    hull_y: np.ndarray
    p: np.ndarray
    limited: np.ndarray

    def take(self, keep: np.ndarray) -> Ends:
        """Only some of the beams."""
        return Ends(*(getattr(self, name)[keep] for name in self.__dataclass_fields__))


def _grid(n: int) -> np.ndarray:
    """Beam number of each end, in the order of a ravelled (n, 2, 2) array."""
    return np.repeat(np.arange(n), 4)


def hull_ends(tops: Tops, hull: HullSide, flare: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Where the tops' curve at each face meets the hull side: y (n, 2, 2), and the side's slope p."""
    frames = tops.frames
    n = len(frames)
    lean = flare[:, None]
    a, p = hull.both(frames.x[:, None] + frames.off * frames.cosine[:, None], lean)
    if not (np.any(flare) or frames.raked.any()):
        return SIGN * a, p
    beam, off = _grid(n), np.repeat(frames.off, 2, axis=1).ravel()
    sign = np.tile(SIGN, 2 * n)
    t, s, c = flare[beam], frames.sine[beam], frames.cosine[beam]
    up = np.zeros(4 * n)
    y = sign * (a.ravel() + t * frames.z[beam])
    for _ in range(30):
        x, z = frames.place(beam, off, up)
        a, p = hull.each(x.reshape(n, 2, 2), lean)
        height, along, across = tops.surface(beam, x, y)
        # Two unknowns: the top is met (first), the hull side is met (second).
        top, side = z - height, y - sign * (a.ravel() + t * z)
        up_top, y_top = c - along * s, -across
        up_side = -sign * (p.ravel() * s + t * c)
        det = up_top - y_top * up_side
        step_up, step_y = (top - y_top * side) / det, (up_top * side - up_side * top) / det
        up, y = up - step_up, y - step_y
        if max(np.max(np.abs(step_up)), np.max(np.abs(step_y))) < NEAR:
            break
    return y.reshape(n, 2, 2), p


def top_ends(tops: Tops, hull: HullSide, flare: np.ndarray) -> Ends:
    """
    Top corners of every beam's ends.

    Parameters
    ----------
    tops : Tops
    hull : HullSide
    flare : (n,) array
        Tangent of the flare. [-]

    Returns
    -------
    Ends
        Beams that have no breadth keep what the hull gives; the caller leaves them out.
    """
    frames = tops.frames
    hull_y, p = hull_ends(tops, hull, flare)
    low, high = frames.low[:, None], frames.high[:, None]
    limited = np.column_stack([np.all(low > hull_y[:, :, 0], axis=1), np.all(high < hull_y[:, :, 1], axis=1)])
    y = np.stack([np.maximum(hull_y[:, :, 0], low), np.minimum(hull_y[:, :, 1], high)], axis=-1)
    n = len(frames)
    cut = tops.cut(_grid(n), np.repeat(frames.off, 2, axis=1).ravel(), y.ravel())
    return Ends(y, cut.up.reshape(n, 2, 2), cut.slope.reshape(n, 2, 2), hull_y, p, limited)


def bottom_feet(frames: Frames, ends: Ends, flare: np.ndarray) -> np.ndarray:
    """
    Points of the top, square above which each bottom corner lies: a first guess, (n, 2, 2). [mm]

    The underside is parallel to the top at the moulding.
    """
    m = frames.moulding[:, None, None]
    straight = m * ends.slope / np.sqrt(1 + ends.slope**2)
    lean = np.where(ends.limited[:, None, :], 0.0, _side_lean(frames, ends, flare))
    return ends.y - straight - SIGN * lean * m


def _side_lean(frames: Frames, ends: Ends, flare: np.ndarray) -> np.ndarray:
    """Outward move of the hull side for a mm up in the beam's plane."""
    return ends.p * frames.sine[:, None, None] + (flare * frames.cosine)[:, None, None]


def bottom_ends(frames: Frames, ends: Ends, flare, feet, up, slope) -> tuple[np.ndarray, np.ndarray]:
    """
    Bottom corners from the tops at their feet.

    Parameters
    ----------
    feet, up, slope : (n, 2, 2) array
        From `bottom_feet`, and what the top is there.

    Returns
    -------
    y, up : (n, 2, 2) array
        [mm]

    Notes
    -----
    The underside at a foot is the foot moved down the normal by the moulding. What is left to the hull side is made
    good along the underside; the guess is so near that the bend of the underside over that distance is nothing.
    """
    m, root = frames.moulding[:, None, None], np.sqrt(1 + slope**2)
    y, under = feet + m * slope / root, up - m / root
    limited = ends.limited[:, None, :]
    lean = np.where(limited, 0.0, _side_lean(frames, ends, flare))
    # The hull side is straight over a moulding; it passes through the top corner.
    wanted = ends.y + SIGN * lean * (under - ends.up)
    move = (wanted - y) / (1 - SIGN * lean * slope)
    return y + move, under + slope * move
