"""
Parts of lines and outlines within others: exact on straight edges.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

__all__ = ["boxes_meet", "clip", "merged", "parts_in_convex", "parts_in_outline", "signed_area", "union_area"]


def signed_area(outline) -> float:
    """
    Area within a closed line, positive where it runs from aft to starboard.

    Parameters
    ----------
    outline : (n, 2) array
        Corners in order, the first not repeated. [mm]

    Examples
    --------
    >>> signed_area([(0, 0), (4, 0), (4, 3)])
    6.0
    """
    points = np.asarray(outline, float)
    if len(points) < 3:
        return 0.0
    x, y = (points - points[0]).T
    return float(x[:-1] @ y[1:] - x[1:] @ y[:-1]) / 2


def clip(outline, convex) -> np.ndarray:
    """
    The part of an outline within a convex one [1]_.

    Parameters
    ----------
    outline, convex : (n, 2) and (m, 2) array
        Corners in order. [mm]

    Returns
    -------
    (k, 2) array
        Empty where they do not meet; parts that lie apart hang together by lines without area.

    References
    ----------
    .. [1] I. E. Sutherland and G. W. Hodgman, "Reentrant polygon clipping", *Communications of the ACM* 17 (1974),
       32-42 (cited from memory).

    Examples
    --------
    >>> clip([(0, 0), (4, 0), (4, 3), (0, 3)], [(1, -9), (2, -9), (2, 9), (1, 9)]).tolist()
    [[1.0, 0.0], [2.0, 0.0], [2.0, 3.0], [1.0, 3.0]]
    """
    points, way = np.asarray(outline, float).tolist(), np.asarray(convex, float)
    for (ax, ay), (bx, by) in _sides(way):
        if not points:
            break
        inside = [(bx - ax) * (y - ay) - (by - ay) * (x - ax) for x, y in points]
        if min(inside) >= 0:
            continue
        kept = []
        for (px, py), d, (qx, qy), e in zip(points, inside, points[-1:] + points[:-1], inside[-1:] + inside[:-1],
                                            strict=True):  # fmt: skip
            if (d >= 0) != (e >= 0):
                part = e / (e - d)
                kept.append([qx + (px - qx) * part, qy + (py - qy) * part])
            if d >= 0:
                kept.append([px, py])
        points = kept
    return np.array(points).reshape(-1, 2)


def _sides(convex: np.ndarray) -> list:
    """Sides of a convex outline, turning to the left, as plain numbers: there are few of them."""
    corners = (convex if signed_area(convex) >= 0 else convex[::-1]).tolist()
    return list(zip(corners, corners[1:] + corners[:1], strict=True))


def boxes_meet(first, second) -> bool:
    """
    Whether the upright rectangles round two outlines meet: if not, neither do the outlines.

    Parameters
    ----------
    first, second : (n, 2) and (m, 2) array
        [mm]

    Examples
    --------
    >>> boxes_meet([(0, 0), (1, 1)], [(2, 0), (3, 1)])
    False
    """
    a, b = np.asarray(first), np.asarray(second)
    return bool(np.all((a.min(axis=0) <= b.max(axis=0)) & (b.min(axis=0) <= a.max(axis=0))))


def union_area(outline, convexes: Sequence) -> float:
    """
    Area of an outline that lies within any of several convex ones, nothing counted twice.

    Parameters
    ----------
    outline : (n, 2) array
        [mm]
    convexes : sequence of (m, 2) array
        [mm]

    Returns
    -------
    float
        [mm2]

    Examples
    --------
    >>> square = [(0, 0), (4, 0), (4, 4), (0, 4)]
    >>> union_area(square, [[(0, 0), (2, 0), (2, 9), (0, 9)], [(1, 1), (9, 1), (9, 2), (1, 2)]])
    10.0
    """
    total = 0.0
    for k, first in enumerate(convexes):
        own = abs(signed_area(clip(outline, first)))
        if own:
            near = [later for later in convexes[k + 1 :] if boxes_meet(first, later)]
            shared = [part for later in near if abs(signed_area(part := clip(first, later))) > 1e-9]
            total += own - (union_area(outline, shared) if shared else 0.0)
    return total


def parts_in_convex(a, b, convex) -> tuple[float, float] | None:
    """
    Which part of a straight line lies within a convex outline.

    Parameters
    ----------
    a, b : (2,) array
        Its ends. [mm]
    convex : (m, 2) array
        [mm]

    Returns
    -------
    (float, float) or None
        From and to, as parts of the line. [1]

    Examples
    --------
    >>> parts_in_convex((0, 0), (10, 0), [(2, -1), (5, -1), (5, 1), (2, 1)])
    (0.2, 0.5)
    """
    (ax, ay), (bx, by) = (float(a[0]), float(a[1])), (float(b[0]), float(b[1]))
    low, high = 0.0, 1.0
    for (px, py), (qx, qy) in _sides(np.asarray(convex, float)):
        start = (qx - px) * (ay - py) - (qy - py) * (ax - px)
        rate = (qx - px) * (by - ay) - (qy - py) * (bx - ax)
        if abs(rate) < 1e-12:
            if start < 0:
                return None
        elif rate > 0:
            low = max(low, -start / rate)
        else:
            high = min(high, -start / rate)
    return (float(low), float(high)) if high - low > 1e-12 else None


def parts_in_outline(a, b, outline) -> list[tuple[float, float]]:
    """
    Which parts of a straight line lie within an outline of any shape.

    Parameters
    ----------
    a, b : (2,) array
        Its ends. [mm]
    outline : (n, 2) array
        [mm]

    Returns
    -------
    list of (float, float)
        From and to, as parts of the line. [1]

    Examples
    --------
    >>> parts_in_outline((-5, 1), (15, 1), [(0, 0), (10, 0), (10, 3), (0, 3)])
    [(0.25, 0.75)]
    """
    points = np.asarray(outline, float)
    a, run = np.asarray(a, float), np.asarray(b, float) - np.asarray(a, float)
    p, edge = points, _after(points) - points
    cross = run[0] * edge[:, 1] - run[1] * edge[:, 0]
    off = p - a
    with np.errstate(divide="ignore", invalid="ignore"):
        along = (off[:, 0] * edge[:, 1] - off[:, 1] * edge[:, 0]) / cross
        beside = (off[:, 0] * run[1] - off[:, 1] * run[0]) / cross
    hits = along[(np.abs(cross) > 1e-12) & (beside >= 0) & (beside <= 1) & (along > 0) & (along < 1)]
    stops = np.unique(np.r_[0.0, hits, 1.0])
    middles = a + run * ((stops[1:] + stops[:-1]) / 2)[:, None]
    parts = zip(stops[:-1].tolist(), stops[1:].tolist(), _within(middles, points), strict=True)
    return merged([(low, high) for low, high, inside in parts if inside])


def _after(points: np.ndarray) -> np.ndarray:
    """The next corner of each."""
    return np.concatenate((points[1:], points[:1]))


def _within(places, outline) -> np.ndarray:
    """Whether each place lies within an outline, by counting the edges to one side of it."""
    x, y = np.asarray(places, float)[:, :, None].transpose(1, 0, 2)
    (px, py), (qx, qy) = outline.T, _after(outline).T
    spans = (py > y) != (qy > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        crossing = px + (y - py) * (qx - px) / (qy - py)
    return np.sum(spans & (x < crossing), axis=1) % 2 == 1


def merged(parts) -> list[tuple[float, float]]:
    """
    Parts of a line, those that touch joined, in order.

    Parameters
    ----------
    parts : sequence of (float, float)
        From and to. [1]

    Returns
    -------
    list of (float, float)

    Examples
    --------
    >>> merged([(5, 7), (0, 2), (1, 3)])
    [(0, 3), (5, 7)]
    """
    out: list[tuple[float, float]] = []
    for low, high in sorted(parts):
        if out and low <= out[-1][1] + 1e-9:
            out[-1] = (out[-1][0], max(high, out[-1][1]))
        else:
            out.append((low, high))
    return out
