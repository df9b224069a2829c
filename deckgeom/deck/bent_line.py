"""
A line given by its bend: the second derivative runs straight from place to place along it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, eq=False)
class BentLine:
    """
    A cubic spline given by its second derivative at even knots, its height and its slope at the start.

    Parameters
    ----------
    start, end : float
        [mm]
    value : ndarray, shape (n + 2,)
        Height at the start, slope times length, and the bend at n even knots times length squared. [mm]

    Examples
    --------
    >>> line = BentLine(0.0, 1000.0, np.array([10.0, 0.0, 80.0, 80.0, 80.0]))
    >>> float(line(500.0)), float(line(1000.0))
    (20.0, 50.0)
    """

    start: float
    end: float
    value: np.ndarray

    def __post_init__(self):
        value = np.array(self.value, dtype=float)
        value.flags.writeable = False
        object.__setattr__(self, "value", value)

    @classmethod
    def free(cls, start: float, end: float, knots: int) -> BentLine:
        """A line with nothing in it yet, for its `rows`."""
        return cls(float(start), float(end), np.zeros(knots + 2))

    def filled(self, value) -> BentLine:
        """The same line with other values."""
        return BentLine(self.start, self.end, value)

    @property
    def _pieces(self) -> tuple:
        """Height, slope and bend at the knots, over the length; spacing of the knots as a part of the length."""
        a = self.value[2:]
        h = 1 / (a.size - 1)
        slope = self.value[1] + np.concatenate([[0.0], np.cumsum(h * (a[:-1] + a[1:]) / 2)])
        rise = h * slope[:-1] + h * h * (2 * a[:-1] + a[1:]) / 6
        return self.value[0] + np.concatenate([[0.0], np.cumsum(rise)]), slope, a, h

    def rows(self) -> tuple[np.ndarray, np.ndarray]:
        """
        How the height depends on the values, at the knots and half-way between them.

        Returns
        -------
        x : ndarray, shape (2n - 1,)
            [mm]
        rows : ndarray, shape (2n - 1, n + 2)
            Heights are rows @ value.

        Examples
        --------
        >>> x, rows = BentLine.free(0, 10, 3).rows()
        >>> x.tolist(), rows.shape
        ([0.0, 2.5, 5.0, 7.5, 10.0], (5, 5))
        """
        n = self.value.size - 2
        x = np.linspace(self.start, self.end, 2 * n - 1)
        rows = np.stack([self.filled(unit)(x) for unit in np.eye(n + 2)], axis=1)
        return x, rows

    def __call__(self, x, order: int = 0):
        """
        Height, slope or bend at x; beyond the ends the bend carries on unchanged.

        Parameters
        ----------
        x : array_like
            [mm]
        order : int
            0, 1 or 2.

        Returns
        -------
        ndarray
            [mm], [1] or [1/mm]
        """
        length = self.end - self.start
        t = (np.asarray(x, dtype=float) - self.start) / length
        z, slope, a, h = self._pieces
        i = np.clip((t / h).astype(int), 0, a.size - 2)
        inside = np.clip(t, 0.0, 1.0)
        s = inside - i * h
        grow = (a[i + 1] - a[i]) / h
        bend = a[i] + grow * s
        if order == 2:
            return bend / length**2
        tilt = slope[i] + s * (a[i] + grow * s / 2)
        past = t - inside
        if order == 1:
            return (tilt + bend * past) / length
        return z[i] + s * (slope[i] + s * (a[i] / 2 + grow * s / 6)) + past * (tilt + bend * past / 2)
