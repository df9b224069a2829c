"""Rows of the fairing problem as a banded matrix: readings, whole-beam terms, and what change of curvature costs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.linalg import blas, lapack
from scipy.sparse import csc_matrix, csr_matrix

from deckgeom.fairing.basis import Axis

try:  # what scipy's own operator calls in the end; not promised, so the operator stands in where it is not found
    from scipy.sparse import _sparsetools as _kernels
except ImportError:  # pragma: no cover
    _kernels = None

#: From this many readings on, if cells hold so many each, products are summed cell by cell instead of through one
#: stored map; always from so many on, for the map would take too much memory.
MANY, IN_A_CELL, TOO_MANY = 1500, 6.0, 60_000


@dataclass(frozen=True, eq=False)
class Rows:
    """
    Linear functions of the unknowns, a block of equally wide rows.

    Parameters
    ----------
    columns : (n, m) array of int
        Unknowns that each row touches. Places may repeat where the value is nought.
    values : (n, m) array
        What each is multiplied by.
    tail : int
        How many of the last columns are not the surface's but a beam's own.

    Examples
    --------
    >>> Rows(np.array([[0, 1]]), np.array([[0.5, 0.5]])).count
    1
    """

    columns: np.ndarray
    values: np.ndarray
    tail: int = 0

    @property
    def count(self) -> int:
        """Number of rows."""
        return len(self.columns)


@dataclass(frozen=True, eq=False)
class Layout:
    """
    Where each unknown stands in the banded matrix.

    Parameters
    ----------
    across : Axis
        Splines in eta.
    along : Axis
        Splines in x.
    surface : (nx, ny) array of int
        Place of each spline coefficient.
    terms : (beams, 3) array of int
        Place of each beam's height, tilt and crown; -1 where a beam has no such term.
    size : int
        Number of unknowns.

    Notes
    -----
    Columns run along the boat, port to starboard within; a beam's own terms stand after the second of the four
    spline columns that it touches, so that the matrix keeps a narrow band.

    Examples
    --------
    >>> lay_out(Axis(0, 1, 2), Axis(0, 1, 1), np.array([0]), np.array([3])).terms.tolist()
    [[8, 9, 10]]
    """

    along: Axis
    across: Axis
    surface: np.ndarray
    terms: np.ndarray
    size: int

    def surface_rows(self, x: np.ndarray, across: np.ndarray, order: tuple[int, int] = (0, 0)) -> Rows:
        """
        Rows that give the surface (or a derivative of it) at some places.

        Parameters
        ----------
        x, across : (n,) array
            Along the boat and across it, the latter as eta times the widest half-breadth. [mm]
        order : (int, int)
            Derivative along and across.

        Returns
        -------
        Rows
            16 wide for cubics both ways.
        """
        ix, bx = self.along.values(x, order[0])
        iy, by = self.across.values(across, order[1])
        values = (bx[:, :, None] * by[:, None, :]).reshape(len(bx), -1)
        columns = self.surface[ix[:, None] + np.arange(self.along.width), :]
        columns = np.take_along_axis(columns, (iy[:, None] + np.arange(self.across.width))[:, None, :], axis=2)
        return Rows(columns.reshape(len(bx), -1), values)


def lay_out(along: Axis, across: Axis, beam_cell: np.ndarray, beam_terms: np.ndarray) -> Layout:
    """
    Place spline coefficients and whole-beam terms so that the matrix keeps a narrow band.

    Parameters
    ----------
    along, across : Axis
        Splines along the boat and across it.
    beam_cell : (beams,) array of int
        First cell of `along` that each beam stands on.
    beam_terms : (beams,) array of int
        How many terms of its own each beam has, 0 to 3.

    Returns
    -------
    Layout

    Examples
    --------
    >>> lay_out(Axis(0, 1, 1), Axis(0, 1, 1), np.array([0]), np.array([0])).size
    16
    """
    block = np.minimum(np.asarray(beam_cell) + along.degree // 2, along.size - 1)
    extra = np.bincount(block, weights=beam_terms, minlength=along.size).astype(int)
    start = np.concatenate([[0], np.cumsum(across.size + extra)])
    surface = start[:-1, None] + np.arange(across.size)
    terms = np.full((len(beam_terms), 3), -1)
    used = np.zeros(along.size, dtype=int)
    for b in np.argsort(block, kind="stable"):
        for k in range(beam_terms[b]):
            terms[b, k] = start[block[b]] + across.size + used[block[b]]
            used[block[b]] += 1
    return Layout(along, across, surface, terms, int(start[-1]))


def _spread(ab: np.ndarray, layout: Layout, along: np.ndarray, across: np.ndarray) -> None:
    """Add the tensor product of two banded matrices to the band `ab` of shape (size, band + 1)."""
    nx, ny = layout.surface.shape
    for dx in range(len(along)):
        for dy in range(-(len(across) - 1), len(across)):
            if dx == 0 and dy < 0:
                continue
            lo, hi = max(0, -dy), ny - max(0, dy)
            first, second = layout.surface[: nx - dx, lo:hi], layout.surface[dx:, lo + dy : hi + dy]
            value = along[dx, : nx - dx, None] * across[abs(dy), None, min(lo, lo + dy) : min(lo, lo + dy) + hi - lo]
            ab[first, second - first] += value


class Band:
    """
    The problem's matrices: `energy` + rows' D rows, banded, ready for the solver.

    Parameters
    ----------
    layout : Layout
        Where the unknowns stand.
    blocks : sequence of Rows
        All rows, readings first.
    energy : sequence of (amount, along, across)
        Pieces of the surface's energy: how much, then what `Axis.gram` is to be asked for along and across.
    weight : float
        Number of readings that the surface is weighed against. [1]

    Notes
    -----
    The energy of unknowns c is c'Gc, with G = weight * sum of amount * (along, Kronecker, across).

    Examples
    --------
    >>> layout = lay_out(Axis(0, 1, 1), Axis(0, 1, 1), np.array([0]), np.array([0]))
    >>> band = Band(layout, [layout.surface_rows([0.2, 0.8], [0.5, 0.5])], [(1.0, (3, 4.0), (0,))], 2.0)
    >>> band.fit(np.ones(16)).round(12).tolist()
    [1.0, 1.0]
    """

    def __init__(self, layout: Layout, blocks: list[Rows], energy, weight: float) -> None:
        self.layout, self.size = layout, layout.size
        self.count = sum(block.count for block in blocks)
        self.width = self._width(blocks)
        ab = np.zeros((self.size, self.width + 1))
        for amount, along, across in energy:
            _spread(ab, layout, weight * amount * layout.along.gram(*along), layout.across.gram(*across))
        self.energy = ab
        lengths = np.concatenate([np.full(block.count, block.columns.shape[1]) for block in blocks])
        indptr = np.concatenate([[0], np.cumsum(lengths)]).astype(np.int32)
        columns = np.concatenate([block.columns.ravel() for block in blocks]).astype(np.int32)
        values = np.concatenate([block.values.ravel() for block in blocks])
        self.rows = csr_matrix((values, columns, indptr), shape=(self.count, self.size))
        self._transposed = csc_matrix((values, columns, indptr), shape=(self.size, self.count))
        self._many = blocks[0].count if self._crowded(blocks[0]) else 0
        self._cells = _Cells(blocks[0], self.width) if self._many else None
        self._map = self._build_map(blocks)

    def _width(self, blocks: list[Rows]) -> int:
        """Half-bandwidth: farthest apart that two unknowns of one row, or of one piece of energy, stand."""
        at, dx, dy = self.layout.surface, self.layout.along.degree, self.layout.across.degree
        width = int((at[dx:, dy:] - at[: len(at) - dx, : at.shape[1] - dy]).max())
        for block in blocks:
            if block.count:
                width = max(width, int((block.columns.max(axis=1) - block.columns.min(axis=1)).max()))
        return width

    def _crowded(self, readings: Rows) -> bool:
        """Whether to sum cell by cell."""
        if readings.count < MANY or readings.count >= TOO_MANY:
            return readings.count >= TOO_MANY
        wide = readings.columns.shape[1] - readings.tail
        cells = len(np.unique(readings.columns[:, 0].astype(np.int64) * self.size + readings.columns[:, wide - 1]))
        return readings.count >= IN_A_CELL * cells

    def _build_map(self, blocks: list[Rows]) -> csc_matrix:
        """Sparse matrix that takes the rows' weights D to the band of rows' D rows."""
        data, place, lengths = [], [], []
        for block in blocks:
            i, j = np.triu_indices(block.columns.shape[1])
            if self._cells is not None and block is blocks[0]:
                own = j >= block.columns.shape[1] - block.tail
                i, j = i[own], j[own]
            a, b = block.columns.astype(np.int32)[:, i], block.columns.astype(np.int32)[:, j]
            place.append((np.abs(a - b) + np.minimum(a, b) * np.int32(self.width + 1)).ravel())
            data.append((block.values[:, i] * block.values[:, j]).ravel())
            lengths.append(np.full(block.count, len(i)))
        indptr = np.concatenate([[0], np.cumsum(np.concatenate(lengths))])
        shape = (self.size * (self.width + 1), len(indptr) - 1)
        return csc_matrix((np.concatenate(data), np.concatenate(place), indptr.astype(np.int32)), shape=shape)

    def fit(self, c: np.ndarray) -> np.ndarray:
        """
        Value of every row, (count,), for unknowns (size,).
        """
        return _product(self.rows, c)

    def pull(self, force: np.ndarray) -> np.ndarray:
        """
        Sum of forces (count,) on every unknown, (size,): rows' force.
        """
        return _product(self._transposed, force)

    def bend(self, c: np.ndarray) -> np.ndarray:
        """
        Energy matrix times unknowns, (size,).
        """
        return blas.dsbmv(self.width, 1.0, self.energy.T, c, lower=1)

    def stiffness(self, weights: np.ndarray) -> np.ndarray:
        """
        Band of energy + rows' D rows, (size, width + 1): entry [j, d] couples unknowns j and j + d.
        """
        ab = self.energy + _product(self._map, weights).reshape(self.energy.shape)
        if self._cells is not None:
            self._cells.add(ab, weights[: self._many])
        return ab

    def factor(self, weights: np.ndarray) -> np.ndarray | None:
        """
        Cholesky factor of energy + rows' D rows for `resolve`, or None if it is not positive definite.
        """
        factor, info = lapack.dpbtrf(self.stiffness(weights).T, lower=1, overwrite_ab=1)
        return factor if info == 0 else None

    @staticmethod
    def resolve(factor: np.ndarray, right: np.ndarray) -> np.ndarray:
        """
        Unknowns from a factor and a right-hand side (size,) or (size, k).
        """
        return lapack.dpbtrs(factor, right, lower=1)[0]


def _product(matrix: csc_matrix | csr_matrix, values: np.ndarray) -> np.ndarray:
    """Sparse matrix times one column of numbers, without the operator looking at what it is given (8 microseconds)."""
    if _kernels is None or values.dtype != float or not values.flags.c_contiguous:
        return matrix @ values
    out = np.zeros(matrix.shape[0])
    kernel = _kernels.csr_matvec if matrix.format == "csr" else _kernels.csc_matvec
    kernel(*matrix.shape, matrix.indptr, matrix.indices, matrix.data, values, out)
    return out


class _Cells:
    """Sums rows' D rows on the surface cell by cell: rows on the same cell make one dense product."""

    def __init__(self, rows: Rows, width: int) -> None:
        wide = rows.columns.shape[1] - rows.tail
        order = np.lexsort((rows.columns[:, wide - 1], rows.columns[:, 0]))
        ends = rows.columns[order][:, [0, wide - 1]]
        edges = np.flatnonzero(np.concatenate([[True], np.any(ends[1:] != ends[:-1], axis=1), [True]]))
        counts = np.diff(edges)
        values = np.vstack([rows.values[:, :wide], np.zeros((1, wide))])
        i, j = np.tril_indices(wide)
        self._pairs, self._groups, place = i * wide + j, [], []
        size = np.ceil(np.log2(counts) * 2).astype(int)
        for power in np.unique(size):
            chosen = np.flatnonzero(size == power)
            take = np.minimum(edges[chosen, None] + np.arange(counts[chosen].max()), len(order) - 1)
            take = np.where(np.arange(take.shape[1]) < counts[chosen, None], order[take], rows.count)
            columns = rows.columns[take[:, 0]]
            a, b = columns[:, i], columns[:, j]
            place.append((np.abs(a - b) + np.minimum(a, b) * (width + 1)).ravel())
            self._groups.append((take, values[take]))
        self._place = np.concatenate(place)

    def add(self, ab: np.ndarray, weights: np.ndarray) -> None:
        """Add to the band `ab`, (size, width + 1)."""
        weights = np.append(weights, 0.0)
        parts = []
        for take, values in self._groups:
            product = np.matmul(values.transpose(0, 2, 1), values * weights[take][:, :, None])
            parts.append(product.reshape(len(take), -1)[:, self._pairs].ravel())
        ab += np.bincount(self._place, weights=np.concatenate(parts), minlength=ab.size).reshape(ab.shape)
