"""What the rest of the deck says about each beam: the fair surface without it, and how far it can be trusted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.assembly import Layout
from deckgeom.fairing.beam_tops import closed
from deckgeom.fairing.field import Field
from deckgeom.fairing.leverage import NearInverse


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
    deviation : (g, m) array
        Height of each reading above the surface without its beam. [reading errors]
    spread : (g, m, m) array
        Covariance of that surface at the beam's readings. [reading errors squared]

    Examples
    --------
    >>> one = group(np.array([0]), np.array([0.0]))
    >>> Without(one, np.array([[2.0]]), np.array([[[0.5]]])).deviation.shape
    (1, 1)
    """

    grouped: Grouped
    deviation: np.ndarray
    spread: np.ndarray


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


def leave_out(
    field: Field,
    layout: Layout,
    factor: np.ndarray,
    residual: np.ndarray,
    weight: np.ndarray,
    loose: np.ndarray,
    grouped: Grouped,
) -> Without:
    """
    Surface without each beam in turn, from one factor.

    Parameters
    ----------
    field : Field
        Geometry.
    layout : Layout
        Where the unknowns stand.
    factor : (width, size) array
        Banded factor of energy + rows' weights.
    residual : (n,) array
        Reading less surface. [reading errors]
    weight : (n,) array
        Weight of each reading in the factor, 0 or 1.
    loose : (beams, 3) array of bool
        Which whole-beam terms are free in the factor.
    grouped : Grouped
        Beams and their readings.

    Returns
    -------
    Without

    Notes
    -----
    With K = B A^-1 B' on a beam's readings and W what holds the surface there (the weights, less what the beam's own
    free terms take up), the surface without the beam stands d = (I - KW)^-1 r below the readings and has covariance
    P = (I - KW)^-1 K.

    Examples
    --------
    See `verdict.judge`, which calls this.

    >>> leave_out.__name__
    'leave_out'
    """
    columns, values = beam_columns(field, layout, grouped)
    inverse = NearInverse(factor, int((columns.max(axis=1) - columns.min(axis=1)).max()))
    inner = inverse.between(columns, values)
    hold = _held(grouped.spread(weight), grouped.spread(field.shapes), loose[grouped.beams])
    eye = np.eye(inner.shape[1])
    solved = np.linalg.solve(eye - inner @ hold, np.concatenate([inner, grouped.spread(residual)[:, :, None]], axis=2))
    spread = solved[:, :, :-1]
    return Without(grouped, solved[:, :, -1], 0.5 * (spread + spread.transpose(0, 2, 1)))


def _held(weight: np.ndarray, shapes: np.ndarray, loose: np.ndarray) -> np.ndarray:
    """What each beam's readings hold the surface with, (g, m, m): weights less the part that free terms take up."""
    hold = weight[:, :, None] * np.eye(weight.shape[1])
    if loose.any():
        free = shapes * loose[:, None, :]
        pull = weight[:, :, None] * free
        inner = free.transpose(0, 2, 1) @ pull + np.where(loose, 1e-12, 1.0)[:, :, None] * np.eye(3)
        hold = hold - pull @ np.linalg.solve(inner, pull.transpose(0, 2, 1))
    return hold
