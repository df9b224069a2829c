"""
Integrals along the deck edge: panels between marks, with Gauss points in each.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

#: Gauss points in each panel.
GAUSS = 4
#: No panel is longer than this part of the whole.
LONGEST_PANEL = 1 / 48


@lru_cache(maxsize=1)
def _gauss() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Gauss points and weights on -1..1 and the matrix that integrates from -1 to each point."""
    node, weight = np.polynomial.legendre.leggauss(GAUSS)
    powers = np.arange(GAUSS)
    at_nodes = node[:, None] ** powers
    upto = (node[:, None] ** (powers + 1) - (-1.0) ** (powers + 1)) / (powers + 1)
    return node, weight, upto @ np.linalg.inv(at_nodes)


class Panels:
    """
    Panels between rising marks, cut so that none is long.

    Parameters
    ----------
    marks : (n,) array
        [mm]
    """

    def __init__(self, marks: np.ndarray) -> None:
        longest = LONGEST_PANEL * (marks[-1] - marks[0])
        parts = np.maximum(1, np.ceil(np.diff(marks) / longest).astype(int))
        which = np.repeat(np.arange(len(parts)), parts)
        step = (np.diff(marks) / parts)[which]
        count = np.arange(len(which)) - np.repeat(np.cumsum(parts) - parts, parts)
        self.mark_at = np.concatenate([[0], np.cumsum(parts)])
        self.half = step / 2
        middle = marks[which] + (count + 0.5) * step
        self.x = (middle[:, None] + self.half[:, None] * _gauss()[0]).ravel()

    def between(self, first: int, last: int) -> tuple[Panels, slice]:
        """Only the panels from one mark to another, and where their Gauss points stand among all."""
        a, b = self.mark_at[first], self.mark_at[last]
        inside = slice(a * GAUSS, b * GAUSS)
        part = object.__new__(Panels)
        part.half, part.x, part.mark_at = self.half[a:b], self.x[inside], self.mark_at[first : last + 1] - a
        return part, inside

    def sums(self, f: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Integral of f, given at x, from the first mark to each Gauss point and to each mark."""
        _, weight, inside = _gauss()
        f = f.reshape(len(self.half), GAUSS) * self.half[:, None]
        ends = np.concatenate([[0.0], np.cumsum(f @ weight)])
        return (ends[:-1, None] + f @ inside.T).ravel(), ends[self.mark_at]
