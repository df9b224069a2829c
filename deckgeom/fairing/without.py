"""What the rest of the deck says about each beam: the fair surface without it, and how far it can be trusted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.assembly import Layout
from deckgeom.fairing.beam_tops import closed
from deckgeom.fairing.field import Field
from deckgeom.fairing.leverage import NearInverse

#: Beams worked on at a time, to keep the memory small.
_BEAMS = 256


@dataclass(frozen=True, eq=False)
class Grouped:
    """
    Readings put in one row for each measured beam, short rows filled up.

    Parameters
    ----------
    beams : (g,) array of int
        Number of each measured beam.
    rows : (g, m) array of int
        Readings of each beam from port to starboard; the fill repeats the beam's first.
    real : (g, m) array of bool
        False for fill.

    Examples
    --------
    >>> group(np.array([1, 0, 1]), np.array([3.0, 0.0, -3.0])).rows.tolist()
    [[1, 1], [2, 0]]
    """

    beams: np.ndarray
    rows: np.ndarray
    real: np.ndarray

    def spread(self, values: np.ndarray, fill: float = 0.0) -> np.ndarray:
        """
        Values of readings (n, ...) as (g, m, ...), with `fill` where there is no reading.
        """
        out = values[self.rows]
        real = self.real.reshape(self.real.shape + (1,) * (out.ndim - 2))
        return np.where(real, out, fill)

    def gather(self, values: np.ndarray, out: np.ndarray) -> np.ndarray:
        """
        Values (g, m, ...) put back to readings, into `out` (n, ...).
        """
        out[self.rows[self.real]] = values[self.real]
        return out


def group(beam: np.ndarray, y: np.ndarray) -> Grouped:
    """
    Put readings in one row for each beam.

    Parameters
    ----------
    beam : (n,) array of int
        Beam of each reading.
    y : (n,) array
        Off the centreline. [mm]

    Returns
    -------
    Grouped

    Examples
    --------
    >>> group(np.array([0, 0]), np.array([1.0, 2.0])).real.tolist()
    [[True, True]]
    """
    order = np.lexsort((y, beam))
    beams, first, count = np.unique(beam[order], return_index=True, return_counts=True)
    place = np.arange(count.max())
    real = place < count[:, None]
    return Grouped(
        closed(beams, int), closed(order[first[:, None] + np.where(real, place, 0)], int), closed(real, bool)
    )


@dataclass(frozen=True, eq=False)
class Without:
    """
    Each beam against the surface that the others make.

    Parameters
    ----------
    grouped : Grouped
        Which reading stands where.
    inverse : (g, m, m) array
        Inverse of V, the covariance of the beam's readings about that surface (readings' own error and the
        surface's). [1]
    pull : (g, m) array
        V^-1 d, with d the heights of the readings above it. [1]

    Examples
    --------
    >>> one = group(np.array([0]), np.array([0.0]))
    >>> without = Without(one, np.array([[[0.5]]]), np.array([[1.0]]))
    >>> without.deviation, without.spread
    (array([[2.]]), array([[[1.]]]))
    """

    grouped: Grouped
    inverse: np.ndarray
    pull: np.ndarray

    @property
    def deviation(self) -> np.ndarray:
        """Height of each reading above the surface without its beam, (g, m). [reading errors]"""
        return np.linalg.solve(self.inverse, self.pull[:, :, None])[:, :, 0]

    @property
    def spread(self) -> np.ndarray:
        """Covariance of that surface at the beam's readings, (g, m, m). [reading errors squared]"""
        return np.linalg.inv(self.inverse) - np.eye(self.pull.shape[1])


def beam_columns(field: Field, layout: Layout, grouped: Grouped) -> tuple[np.ndarray, np.ndarray]:
    """
    Surface rows of each beam on common columns.

    Parameters
    ----------
    field : Field
        Geometry.
    layout : Layout
        Where the unknowns stand.
    grouped : Grouped
        Beams and their readings.

    Returns
    -------
    columns : (g, w) array of int
        Unknowns that the beam's readings touch.
    values : (g, m, w) array
        What they are multiplied by; nought for fill.

    Examples
    --------
    >>> from deckgeom.fairing.beam_tops import BeamTops
    >>> tops = BeamTops([0, 0], ("1",), [0, 0], [-500, 500], [900, 900], [40, 41])
    >>> field = Field(tops, 2400.0, 5400.0)
    >>> beam_columns(field, field.layout, group(tops.beam, tops.y))[1].shape
    (1, 2, 2)
    """
    ix, bx = field.axis_along.values(field.tops.x)
    iy, by = field.axis_across.values(field.across)
    first = np.where(grouped.real, ix[grouped.rows], ix.max()).min(axis=1)
    last = np.where(grouped.real, ix[grouped.rows], 0).max(axis=1)
    wide = int((last - first).max()) + field.axis_along.width
    first = np.minimum(first, field.axis_along.size - wide)
    g, m = grouped.rows.shape
    values = np.zeros((g, m, wide, field.axis_across.size))
    at_x = (ix[grouped.rows] - first[:, None])[:, :, None, None] + np.arange(bx.shape[1])[:, None]
    at_y = iy[grouped.rows][:, :, None, None] + np.arange(by.shape[1])
    product = bx[grouped.rows][:, :, :, None] * by[grouped.rows][:, :, None, :]
    product = np.where(grouped.real[:, :, None, None], product, 0.0)
    values[np.arange(g)[:, None, None, None], np.arange(m)[:, None, None], at_x, at_y] = product
    columns = layout.surface[first[:, None] + np.arange(wide)].reshape(g, -1)
    return columns, values.reshape(g, m, -1)


class LeaveOut:
    """
    Leaves each beam out in turn, from one factor, as often as the deck is looked over.

    Parameters
    ----------
    field : Field
        Geometry.
    layout : Layout
        Where the unknowns stand.
    grouped : Grouped
        Beams and their readings.

    Notes
    -----
    Let K = B A^-1 B' on a beam's readings, r their residuals, and U the orthonormal directions in which the beam does
    not hold the surface (readings set aside, its own free terms). With V the covariance of the readings about the
    surface without the beam and d their heights above it,

    .. math:: V^{-1} = I - K + KU (I + U'KU)^{-1} U'K, \\qquad V^{-1}d = r - KU (I + U'KU)^{-1} U'r,

    by Woodbury's formula. All that the tests need is in these two.

    Examples
    --------
    See `search.search`, which uses it.

    >>> LeaveOut.__name__
    'LeaveOut'
    """

    def __init__(self, field: Field, layout: Layout, grouped: Grouped) -> None:
        self.grouped = grouped
        self.columns, self.values = beam_columns(field, layout, grouped)
        self.reach = int((self.columns.max(axis=1) - self.columns.min(axis=1)).max())
        self.shapes = grouped.spread(field.shapes)

    def __call__(
        self, factor: np.ndarray, residual: np.ndarray, weight: np.ndarray, loose: np.ndarray, force=None
    ) -> Without:
        """
        Each beam against the others.

        Parameters
        ----------
        factor : (width, size) array
            Banded factor of energy + rows' weights.
        residual : (n,) array
            Reading less surface. [reading errors]
        weight : (n,) array
            Weight of each reading in the factor, 0 or 1.
        loose : (beams, 3) array of bool
            Which whole-beam terms are free in the factor.
        force : (n,) array, optional
            Pull of each reading on the surface, where it is not weight times residual. [reading errors]

        Returns
        -------
        Without
        """
        grouped = self.grouped
        near = NearInverse(factor, self.reach)
        r = grouped.spread(residual)
        weight, free = grouped.spread(weight, fill=1.0), loose[grouped.beams]
        g, m = r.shape
        inverse, pull = np.empty((g, m, m)), np.empty((g, m))
        for start in range(0, g, _BEAMS):
            part = slice(start, start + _BEAMS)
            k = near.between(self.columns[part], self.values[part])
            inverse[part], pull[part] = _left_out(k, r[part], weight[part], self.shapes[part], free[part])
        if force is not None:
            f = grouped.spread(force)
            pull = (inverse @ (r - f)[:, :, None])[:, :, 0] + f
        return Without(grouped, inverse, pull)


def _left_out(k: np.ndarray, r: np.ndarray, weight: np.ndarray, shapes: np.ndarray, free: np.ndarray) -> tuple:
    """V^-1 and V^-1 d of some beams, see `LeaveOut`."""
    inverse, pull = np.eye(k.shape[1]) - k, r.copy()
    odd = np.flatnonzero(np.any(weight != 1.0, axis=1) | free.any(axis=1))
    if odd.size > 0.7 * len(k):
        odd = slice(None)  # quicker than picking nearly all
    if not isinstance(odd, np.ndarray) or odd.size:
        u = _let_go(weight[odd], shapes[odd], free[odd])
        turned = u.transpose(0, 2, 1)
        ku = k[odd] @ u
        inner = np.linalg.inv(np.eye(u.shape[2]) + turned @ ku)
        inverse[odd] += ku @ inner @ ku.transpose(0, 2, 1)
        pull[odd] -= (ku @ (inner @ (turned @ r[odd][:, :, None])))[:, :, 0]
    return inverse, pull


def _let_go(weight: np.ndarray, shapes: np.ndarray, loose: np.ndarray) -> np.ndarray:
    """Directions in which a beam does not hold the surface, orthonormal, (g, m, k): readings aside, free terms."""
    aside = weight == 0.0
    most = int(aside.sum(axis=1).max())
    first = np.argsort(~aside, axis=1, kind="stable")[:, :most]
    out = np.zeros((*weight.shape, most + 3))
    g = np.arange(len(weight))[:, None]
    out[g, first, np.arange(most)] = aside[g, first]
    free = weight[:, :, None] * shapes * loose[:, None, :]
    size, turn = np.linalg.eigh(free.transpose(0, 2, 1) @ free)
    scale = np.where(size > 1e-9 * np.maximum(size[:, -1:], 1.0), 1.0 / np.sqrt(np.maximum(size, 1e-12)), 0.0)
    out[:, :, most:] = free @ (turn * scale[:, None, :])
    return out
