"""How far each reading leans on itself: the needed part of the inverse of a banded matrix, in linear time."""

from __future__ import annotations

import numpy as np
from scipy.linalg import lapack

from deckgeom.fairing.threads import one_thread

_CHUNK = 20_000


class NearInverse:
    """
    Entries of the inverse near the diagonal.

    Parameters
    ----------
    factor : (width, size) array
        Banded Cholesky factor, lower, as LAPACK's pbtrf leaves it.
    reach : int
        How far off the diagonal entries are wanted.

    Notes
    -----
    With blocks at least as wide as the band and S = L21 L11^-1, the inverse Z follows from the last block backwards
    [1]_: Z21 = -Z22 S, Z11 = L11^-T L11^-1 + S' Z22 S. Work is size * reach^2.

    References
    ----------
    .. [1] A.M. Erisman, W.F. Tinney, Comm. ACM 18 (1975) 177-179, after Takahashi, Fagan and Chin 1973 (from memory).

    Examples
    --------
    >>> inverse = NearInverse(np.array([[2.0, 4.0]]), reach=1)
    >>> inverse.variance(np.array([[0, 1]]), np.array([[1.0, 1.0]]))
    array([0.3125])
    """

    def __init__(self, factor: np.ndarray, reach: int) -> None:
        size = factor.shape[1]
        m = max(int(reach), factor.shape[0] - 1, 1)
        blocks = -(-size // m)
        diagonal, below = self._split(factor, m, blocks)
        self.near = np.zeros((blocks * m, m + 1))
        self._fill(diagonal, below, m, blocks)
        self.size = size

    @staticmethod
    def _split(factor: np.ndarray, m: int, blocks: int) -> tuple[np.ndarray, np.ndarray]:
        """Dense blocks of the factor, on the diagonal and below it, (blocks, m, m); padded with ones."""
        band, size = factor.shape[0] - 1, factor.shape[1]
        column = np.arange(size)
        dense = np.zeros((blocks, 2 * m, m))
        for d in range(band + 1):
            dense[column // m, column % m + d, column % m] = factor[d]
        last = np.arange(size, blocks * m)
        dense[last // m, last % m, last % m] = 1.0
        if size < blocks * m:
            dense[-1, size - (blocks - 1) * m : m, : size - (blocks - 1) * m] = 0.0
        return dense[:, :m], dense[:, m:]

    @one_thread
    def _fill(self, diagonal: np.ndarray, below: np.ndarray, m: int, blocks: int) -> None:
        """Recurrence from the last block to the first; entries are written to `near` as [column, row - column]."""
        row, column = np.tril_indices(m)
        across_row, across_column = np.nonzero(np.arange(m)[:, None] <= np.arange(m)[None, :])
        z = None
        for j in range(blocks - 1, -1, -1):
            inverse = lapack.dtrtri(diagonal[j], lower=1)[0]
            own = inverse.T @ inverse
            if z is not None:
                s = below[j] @ inverse
                off = -(z @ s)
                own -= s.T @ off
                self.near[j * m + across_column, across_row + m - across_column] = off[across_row, across_column]
            self.near[j * m + column, row - column] = own[row, column]
            z = own

    def take(self, rows: np.ndarray, columns: np.ndarray) -> np.ndarray:
        """
        Entries of the inverse at (rows, columns), broadcast, no farther apart than the reach.
        """
        return self.near[np.minimum(rows, columns), np.abs(rows - columns)]

    def variance(self, columns: np.ndarray, values: np.ndarray) -> np.ndarray:
        """
        b' A^-1 b for every row b, (n,), given as columns and values (n, m).
        """
        out = np.empty(len(columns))
        for start in range(0, len(columns), _CHUNK):
            part = slice(start, start + _CHUNK)
            c, v = columns[part], values[part]
            out[part] = np.einsum("ni,nij,nj->n", v, self.take(c[:, :, None], c[:, None, :]), v, optimize=True)
        return out

    def between(self, columns: np.ndarray, values: np.ndarray) -> np.ndarray:
        """
        V A^-1 V' for groups of rows on common columns: columns (g, m), values (g, r, m); answer (g, r, r).
        """
        out = np.empty((len(columns), values.shape[1], values.shape[1]))
        step = max(1, _CHUNK * 40 // columns.shape[1] ** 2)
        for start in range(0, len(columns), step):
            part = slice(start, start + step)
            c, v = columns[part], values[part]
            out[part] = v @ self.take(c[:, :, None], c[:, None, :]) @ v.transpose(0, 2, 1)
        return out
