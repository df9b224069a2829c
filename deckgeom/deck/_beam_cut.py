"""
Ordinates of many beams in one flat table: the curve at both faces, the mould and the bevels.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.deck._beam_ends import Ends, bottom_ends, bottom_feet
from deckgeom.deck._beam_faces import Frames, Tops
from deckgeom.deck.ordinates import Ordinates

#: An ordinate nearer than this to a beam's true end gives way to the end. [mm]
TOO_NEAR = 0.5
#: A rise over the siding below this is square: nobody planes it. [mm]
SQUARE = 0.05
#: Ends of both faces nearer together than this are one. [mm]
SAME = 1e-3
HIGH_EDGE = np.array(["square", "forward edge high", "after edge high"])


@dataclass(frozen=True, eq=False)
class Shape:
    """
    What one cut of all beams gives besides the ordinates.

    Parameters
    ----------
    ordinates : Ordinates
    bottom_y, bottom_up : (n, 2, 2) array
        Bottom corners: faces, sides. [mm]
    crown_height : (n, 2) array
        Height on the centreline at both faces. [mm]
    mark_up, mark_slope, mark_z : (n, 3) array
        At the mark: port deck edge, centreline, starboard deck edge. [mm], [-], [mm]
    stock_depth : (n,) array
        Depth of a straight plank that the beam can be sawn from. [mm]
    grain : (n,) array
        Steepest slope of the top against the line joining its ends. [-]
    """

    ordinates: Ordinates
    bottom_y: np.ndarray
    bottom_up: np.ndarray
    crown_height: np.ndarray
    mark_up: np.ndarray
    mark_slope: np.ndarray
    mark_z: np.ndarray
    stock_depth: np.ndarray
    grain: np.ndarray


def ordinate_places(ends: np.ndarray, spacing: float) -> tuple[np.ndarray, np.ndarray]:
    """
    Where the ordinates of each beam stand.

    Parameters
    ----------
    ends : (n, 2, 2) array
        Top corners: faces, sides. [mm]
    spacing : float
        Off the centreline, both ways. [mm]

    Returns
    -------
    beam_index : (m,) int array
    y : (m,) array
        Whole spacings between the ends, and the true ends of both faces; sorted. [mm]
    """
    n = len(ends)
    low, high = ends[:, :, 0].min(axis=1), ends[:, :, 1].max(axis=1)
    first = np.ceil((low + TOO_NEAR) / spacing).astype(int)
    last = np.floor((high - TOO_NEAR) / spacing).astype(int)
    count = np.maximum(0, last - first + 1)
    beam = np.repeat(np.arange(n), count)
    step = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    y = (np.repeat(first, count) + step) * spacing
    # An inner end (the shorter face's) pushes out a whole spacing that stands on it.
    inner = np.stack([ends[:, :, 0].max(axis=1), ends[:, :, 1].min(axis=1)], axis=1)
    keep = np.abs(y[:, None] - inner[beam]).min(axis=1) >= TOO_NEAR if len(y) else np.zeros(0, bool)
    two = np.stack([np.abs(ends[:, 0, side] - ends[:, 1, side]) > SAME for side in (0, 1)], axis=1)
    end_y = np.concatenate([low, high, inner[two[:, 0], 0], inner[two[:, 1], 1]])
    every = np.arange(n)
    end_beam = np.concatenate([every, every, every[two[:, 0]], every[two[:, 1]]])
    beam, y = np.concatenate([beam[keep], end_beam]), np.concatenate([y[keep], end_y])
    order = np.lexsort((y, beam))
    return beam[order], y[order]


def cut_beams(tops: Tops, ends: Ends, flare: np.ndarray, spacing: float, edges: np.ndarray) -> Shape:
    """
    Cut every beam at its ordinates, its corners, its centreline and its mark in one pass.

    Parameters
    ----------
    tops : Tops
    ends : Ends
    flare : (n,) array
        Tangent of the flare. [-]
    spacing : float
        Of the ordinates. [mm]
    edges : (n, 2) array
        Signed y of the deck edges at the mark. [mm]

    Returns
    -------
    Shape
    """
    frames, n = tops.frames, len(tops.frames)
    beam, y = ordinate_places(ends.y, spacing)
    m, every = len(y), np.arange(n)
    feet = bottom_feet(frames, ends, flare)
    marks = np.column_stack([edges[:, 0], np.zeros(n), edges[:, 1]])
    which = np.concatenate([beam, beam, np.repeat(every, 4), np.repeat(every, 2), np.repeat(every, 3)])
    corner_off = np.repeat(frames.off, 2, axis=1).ravel()
    off = np.concatenate([*frames.off[beam].T, corner_off, frames.off.ravel(), np.zeros(3 * n)])
    cut = tops.cut(which, off, np.concatenate([y, y, feet.ravel(), np.zeros(2 * n), marks.ravel()]))
    at = np.cumsum([0, 2 * m, 4 * n, 2 * n, 3 * n])
    part = [[v[a:b] for v in cut] for a, b in zip(at[:-1], at[1:], strict=True)]
    up, slope, _, height = (v.reshape(2, m).T for v in part[0])
    crown_up, crown_z = part[2][0].reshape(n, 2), part[2][3].reshape(n, 2)
    bottom = bottom_ends(frames, ends, flare, feet, part[1][0].reshape(n, 2, 2), part[1][1].reshape(n, 2, 2))
    depth, grain, spiled = _stock(frames, beam, y, up, slope, bottom)
    table = _table(frames, ends, beam, y, up, slope, height, crown_up, spiled)
    mark_up, mark_slope, _, mark_z = (v.reshape(n, 3) for v in part[3])
    return Shape(table, *bottom, crown_z, mark_up, mark_slope, mark_z, depth, grain)


def _table(frames: Frames, ends: Ends, beam, y, up, slope, height, crown_up, spiled) -> Ordinates:
    """The flat table from what the cut gives."""
    rise = up[:, 1] - up[:, 0]
    on_face = (y[:, None] >= ends.y[beam, :, 0] - SAME) & (y[:, None] <= ends.y[beam, :, 1] + SAME)
    mould = up.max(axis=1)
    way = np.where(np.abs(rise) < SQUARE, 0, np.where(rise < 0, 1, 2))
    return Ordinates(
        beam_index=beam,
        y=y,
        height=height,
        drop=crown_up[beam] - up,
        slope=slope,
        on_face=on_face,
        mould_height=frames.place(beam, 0.0, mould)[1],
        mould_drop=crown_up.max(axis=1)[beam] - mould,
        rise=rise,
        bevel_deg=np.degrees(np.arctan2(np.abs(rise), frames.siding[beam])),
        rise_over_siding=np.abs(rise),
        high_edge=HIGH_EDGE[way],
        on_both=on_face.all(axis=1),
        along=spiled[0],
        offset=spiled[1],
    )


def _stock(frames: Frames, beam, y, up, slope, bottom) -> tuple[np.ndarray, np.ndarray, tuple]:
    """
    Depth of straight stock for the mould, the steepest slope of its grain, and the mould spiled from a straight edge.

    Depth is square to the line joining the mould's ends: from the highest of the top to the lowest of the underside.
    """
    start = np.searchsorted(beam, np.arange(len(frames) + 1))
    first, last = start[:-1], start[1:] - 1
    mould = up.max(axis=1)
    tilt = (mould[last] - mould[first]) / np.maximum(y[last] - y[first], 1e-9)
    root = np.sqrt(1 + tilt * tilt)
    base, start_y = mould[first], y[first]

    def above(which, y, up):
        return (up - base[which] - tilt[which] * (y - start_y[which])) / root[which]

    higher = np.where(up[:, 0] >= up[:, 1], slope[:, 0], slope[:, 1])
    m, lean = frames.moulding[beam], np.sqrt(1 + higher * higher)
    offset = above(beam, y, mould)
    along = (y - start_y[beam] + tilt[beam] * (mould - base[beam])) / root[beam]
    top = np.maximum.reduceat(offset, first)
    under = np.minimum.reduceat(above(beam, y + m * higher / lean, mould - m / lean), first)
    every = np.repeat(np.arange(len(frames)), 4)
    corners = above(every, bottom[0].ravel(), bottom[1].ravel()).reshape(-1, 4).min(axis=1)
    run_out = np.abs((slope - tilt[beam, None]) / (1 + slope * tilt[beam, None])).max(axis=1)
    return top - np.minimum(under, corners), np.maximum.reduceat(run_out, first), (along, offset)
