"""
The curve that a fair batten takes when it may lie anywhere within the accuracy of the offsets.

The batten is a cubic spline with a knot at every offset. Past the first and the last offset it runs on: its
curvature there carries on unchanged, so the first and last spans are parabolas and nothing is drawn straight
at stem or transom.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

__all__ = ["FairCurve"]

MOST_WITHIN_A_BAND = 400
"""More points than this are only ever interpolated: the search within a band is dense. [-]"""

MOST_DENSE = 60
"""Up to here a dense solve is quicker than calling the banded one. [-]"""

TOGETHER = 1e-6
"""Points nearer than this part of the mean spacing are two readings at one place. [-]"""

EVEN = 0.02
"""With no space smaller than this part of the mean one, the quick solution of the squares is exact enough. [-]"""

TINY = 1e-12
"""Part of the accuracy by which rounding may pass a bound. [-]"""

NEARNESS = 2e-3
"""Weight of staying near the points against bending, only there to choose between curves equally fair. [-]"""


@dataclass(frozen=True, eq=False)
class FairCurve:
    """
    Least bending energy within a stated accuracy of every point.

    Parameters
    ----------
    x : array_like, shape (n,)
        Where the points stand along the boat, any order, any spacing, n >= 2. [mm]
    value : array_like, shape (n,)
        Height or half-breadth at each point. [mm]
    accuracy : float or array_like, shape (n,), optional
        How far the curve may pass from each point; 0 means through it. [mm]
    least : float, optional
        The curve is not drawn below this at any point (a half-breadth is never negative); points that are
        themselves below it keep their own band. [mm]

    Attributes
    ----------
    start, end : float
        First and last x. Evaluation beyond them runs on as the batten does. [mm]
    distances : ndarray, shape (n,)
        Curve minus value at each point as given; positive where the curve passes above or outside. [mm]

    Notes
    -----
    Among the cubic splines f with knots at the points and f''' = 0 in the first and last span (parabolic
    run-out), the one with the least

    .. math:: \\int f''(x)^2\\,dx \\quad\\text{with}\\quad |f(x_i) - v_i| \\le a_i

    [1]_. The energy is a square form in the values at the knots, so it is a least-squares problem between
    bounds, solved by exchanging whole blocks of bounds and, when that stalls, one at a time [2]_. Where many
    curves are equally fair (several straight lines fit) the one nearest the points is taken. All lengths are
    made dimensionless first: mm, m and inches give the same curve, and so do two scales for x and value.

    Two points give a straight line, three a parabola. Readings at one and the same place count as one point
    at their mean.

    References
    ----------
    .. [1] J. C. Holladay, "A smoothest curve approximation", *Math. Tables Aids Comput.* 11 (1957), 233-243.
    .. [2] J. J. Júdice, F. M. Pires, "A block principal pivoting algorithm for large-scale strictly monotone
       linear complementarity problems", *Comput. Oper. Res.* 21 (1994), 587-596.

    Examples
    --------
    >>> curve = FairCurve([0, 1000, 2000, 4000], [400, 300, 250, 300])
    >>> round(float(curve(1000)), 6)
    300.0
    >>> sheer = FairCurve([0, 1000, 2000, 3000], [0, 9, 16, 21], accuracy=3)
    >>> bool(abs(sheer.distances).max() <= 3 + 1e-9)
    True
    """

    x: np.ndarray
    value: np.ndarray
    accuracy: np.ndarray | float = 0.0
    least: float | None = None
    distances: np.ndarray = field(init=False)
    _knots: np.ndarray = field(init=False, repr=False)
    _coefficients: np.ndarray = field(init=False, repr=False)

    def __post_init__(self):
        x, value, accuracy = _checked(self.x, self.value, self.accuracy)
        knots, data, low, high = _bands(x, value, accuracy, self.least)
        length = knots[-1] - knots[0]
        t = (knots - knots[0]) / length
        low, high = low - data, high - data
        if knots.size > 2 and np.any(high > low):
            if knots.size > MOST_WITHIN_A_BAND:
                raise ValueError(
                    f"{knots.size} points: a fair curve within an accuracy is found for at most "
                    f"{MOST_WITHIN_A_BAND}. Is this a file of readings and not a table of offsets? "
                    "Keep a point every half metre or so, or give the accuracy as 0."
                )
            data = data + _least_energy(t, data, low, high)
        for name, array in (("x", x), ("value", value), ("accuracy", accuracy)):
            _set(self, name, array)
        _set(self, "_knots", knots)
        _set(self, "_coefficients", _span_coefficients(t, data, length))
        _set(self, "distances", self(x) - value)

    def __call__(self, x, order=0):
        """
        Value of the curve or of one of its derivatives, exact, at any x.

        Parameters
        ----------
        x : array_like
            Where, any shape; beyond the ends the curve runs on. [mm]
        order : int, optional
            0 value, 1 slope, 2 second and 3 third derivative.

        Returns
        -------
        ndarray or float
            Same shape as x. [mm, -, 1/mm, 1/mm^2]

        Examples
        --------
        >>> curve = FairCurve([0, 1, 2], [0, 1, 4])
        >>> [round(float(curve(3.0, order)), 9) for order in range(4)]
        [9.0, 6.0, 2.0, 0.0]
        """
        x = np.asarray(x, dtype=float)
        knots, c = self._knots, self._coefficients
        span = knots[1:-1].searchsorted(x, side="right")
        s = x - knots[span]
        if order == 0:
            return c[0][span] + s * (c[1][span] + s * (c[2][span] + s * c[3][span]))
        if order == 1:
            return c[1][span] + s * (2 * c[2][span] + s * (3 * c[3][span]))
        if order == 2:
            return 2 * c[2][span] + 6 * s * c[3][span]
        if order == 3:
            return 6 * c[3][span] + 0.0 * s
        raise ValueError(f"order is {order}; a cubic batten has orders 0, 1, 2 and 3.")

    @property
    def start(self) -> float:
        """
        First x of the points. [mm]

        Examples
        --------
        >>> FairCurve([3, 1], [0, 0]).start
        1.0
        """
        return float(self._knots[0])

    @property
    def end(self) -> float:
        """
        Last x of the points. [mm]

        Examples
        --------
        >>> FairCurve([3, 1], [0, 0]).end
        3.0
        """
        return float(self._knots[-1])

    @property
    def knots(self) -> np.ndarray:
        """
        The places where one span ends and the next begins, rising, shape (k,). [mm]

        Examples
        --------
        >>> FairCurve([3, 1], [0, 0]).knots.tolist()
        [1.0, 3.0]
        """
        return self._knots

    @property
    def energy(self) -> float:
        """
        Bending energy between the ends, for a batten of stiffness 1: the integral of f'' squared. [1/mm]

        Examples
        --------
        >>> round(FairCurve([0, 1, 2], [0, 1, 4]).energy, 9)
        8.0
        """
        left = 2 * self._coefficients[2]
        h = np.diff(self._knots)
        right = left + 6 * h * self._coefficients[3]
        return float(np.sum(h * (left**2 + left * right + right**2)) / 3)


def _set(record, name, array):
    array.flags.writeable = False
    object.__setattr__(record, name, array)


def _checked(x, value, accuracy):
    """Own copies, all of one shape, with a complaint in words for what no curve can be drawn through."""
    x, value = np.array(x, dtype=float).ravel(), np.array(value, dtype=float).ravel()
    if x.size != value.size:
        raise ValueError(f"{x.size} places along the boat but {value.size} values: is one of them left blank?")
    accuracy = np.array(np.broadcast_to(np.asarray(accuracy, dtype=float), x.shape))
    if x.size < 2:
        raise ValueError(f"{x.size} offset: a curve needs two at least. Was the rest of the table left out?")
    for name, array in (("x", x), ("value", value), ("accuracy", accuracy)):
        bad = np.flatnonzero(~np.isfinite(array))
        if bad.size:
            raise ValueError(f"{name}, point {bad[0] + 1}: {array[bad[0]]} is not a length. Leave blanks out.")
    if accuracy.min() < 0:
        raise ValueError(f"accuracy {accuracy.min():g} mm is negative; it is how far off a value may be, either way.")
    return x, value, accuracy


def _bands(x, value, accuracy, least):
    """Rising knots with the value and the band at each; readings at one place become their mean."""
    order = np.argsort(x, kind="stable")
    knots, data, accuracy = x[order], value[order], accuracy[order]
    length = knots[-1] - knots[0]
    if length <= 0:
        raise ValueError(f"all {x.size} offsets stand at x = {knots[0]:g} mm: a curve needs two places at least.")
    new = np.concatenate(([True], np.diff(knots) > TOGETHER * length / (x.size - 1)))
    if not new.all():
        first = np.flatnonzero(new)
        count = np.diff(np.append(first, x.size))
        knots = knots[first]
        data = np.add.reduceat(data, first) / count
        accuracy = np.maximum.reduceat(accuracy, first)
    low, high = data - accuracy, data + accuracy
    if least is not None:
        low = np.where(data >= least, np.maximum(low, least), low)
    return knots, data, low, high


def _tridiagonals(h):
    """Main and side diagonals of the moments' equations and of the energy, both with parabolic run-out."""
    moments = (h[:-1] + h[1:]) / 3
    energy = moments.copy()
    moments[0] += h[0] / 6
    moments[-1] += h[-1] / 6
    energy[0] += 2 * h[0] / 3
    energy[-1] += 2 * h[-1] / 3
    return moments, energy, h[1:-1] / 6


def _dense(main, side):
    matrix = np.diag(main)
    index = np.arange(side.size)
    matrix[index, index + 1] = matrix[index + 1, index] = side
    return matrix


def _span_coefficients(t, v, length):
    """Power form of each span in the boat's own x, shape (4, n - 1)."""
    h = np.diff(t)
    rise = np.diff(v) / h
    bend = np.zeros(t.size)
    if t.size > 2:
        main, _, side = _tridiagonals(h)
        kink = np.diff(rise)
        if t.size <= MOST_DENSE:
            bend[1:-1] = np.linalg.solve(_dense(main, side), kink)
        else:
            from scipy.linalg import solve_banded

            bands = np.zeros((3, main.size))
            bands[0, 1:], bands[1], bands[2, :-1] = side, main, side
            bend[1:-1] = solve_banded((1, 1), bands, kink)
        bend[0], bend[-1] = bend[1], bend[-2]
    slope = rise - h * (2 * bend[:-1] + bend[1:]) / 6
    return np.array([v[:-1], slope / length, bend[:-1] / (2 * length**2), np.diff(bend) / (6 * h * length**3)])


def _bending_rows(t):
    """J with |J v|^2 the bending energy of the spline through v, shape (n - 2, n)."""
    h = np.diff(t)
    n = t.size
    main, energy, side = _tridiagonals(h)
    kinks = np.zeros((n - 2, n))
    index = np.arange(n - 2)
    kinks[index, index] = 1 / h[:-1]
    kinks[index, index + 1] = -1 / h[:-1] - 1 / h[1:]
    kinks[index, index + 2] = 1 / h[1:]
    return np.linalg.cholesky(_dense(energy, side)).T @ np.linalg.solve(_dense(main, side), kinks)


def _least_energy(t, data, low, high):
    """Shift of each knot value, within low and high, that leaves the least bending energy."""
    centred, middle = t - np.mean(t), np.mean(data)
    line = middle + centred * (centred @ (data - middle)) / (centred @ centred) - data
    if np.all((low <= line) & (line <= high)):
        return line
    scale = max(np.max(high), -np.min(low))
    rows = _bending_rows(t)
    nearness = NEARNESS * np.sqrt(t[-1] / t.size) * np.eye(t.size)
    matrix = np.vstack((rows, nearness))
    target = np.concatenate((-rows @ (data - np.mean(data)) / scale, np.zeros(t.size)))
    even = np.min(np.diff(t)) * t.size > EVEN and t.size <= MOST_DENSE
    return scale * _between_bounds(matrix, target, low / scale, high / scale, even)


def _between_bounds(matrix, target, low, high, even=False):
    """
    Least squares of matrix @ w - target with low <= w <= high, matrix of full column rank.

    State -1: held at low; +1: held at high; 0: free. All that are wrong change together as long as fewer and
    fewer are wrong; where that stalls, or the stations are too uneven for the squares to be exact enough,
    `_one_at_a_time` goes on from there and cannot cycle.
    """
    square, pulled = matrix.T @ matrix, matrix.T @ target
    fixed = high <= low
    rounding = 1e-14 * (np.abs(pulled) + np.abs(square) @ np.maximum(np.abs(low), np.abs(high)))
    state = np.where(pulled > 0, 1, -1)
    w = np.where(state > 0, high, low)
    fewest, tries = low.size + 1, 3 if even else 0
    while tries:
        free = (state == 0) & ~fixed
        w = np.where(state > 0, high, low)
        if np.count_nonzero(free) > low.size - 2:
            w = _with_the_rest_held(matrix, target, w, free)
        elif free.any():
            w[free] = np.linalg.solve(square[free][:, free], pulled[free] - square[free][:, ~free] @ w[~free])
        pull = pulled - square @ w
        up = np.where(free, w > high + TINY, (state < 0) & (pull > rounding)) & ~fixed
        down = np.where(free, w < low - TINY, (state > 0) & (pull < -rounding)) & ~fixed
        wrong = np.count_nonzero(up | down)
        if wrong == 0:
            return np.clip(_with_the_rest_held(matrix, target, w, free), low, high)
        fewest, tries = (wrong, 3) if wrong < fewest else (fewest, tries - 1)
        state = state + up.astype(int) - down.astype(int)
    return _one_at_a_time(matrix, target, low, high, np.clip(w, low, high))


def _with_the_rest_held(matrix, target, w, free):
    """Least squares over the free unknowns by orthogonal factors; the others stay as they are in w."""
    w = np.where(free, 0.0, w)
    if free.any():
        w[free] = np.linalg.lstsq(matrix[:, free], target - matrix @ w, rcond=None)[0]
    return w


def _one_at_a_time(matrix, target, low, high, w):
    """Let go the point that pulls hardest, move until another bound is met, hold that one: energy only falls."""
    size = np.abs(matrix)
    rounding = 1e-14 * (size.T @ (np.abs(target) + size @ np.maximum(np.abs(low), np.abs(high))))
    free = (low < w) & (w < high)
    for _ in range(20 * low.size):
        while free.any():
            aim = _with_the_rest_held(matrix, target, w, free)
            step = aim - w
            with np.errstate(divide="ignore", invalid="ignore"):
                room = np.where(step > 0, (high - w) / step, np.where(step < 0, (low - w) / step, np.inf))
            room[~free] = np.inf
            first = int(np.argmin(room))
            if room[first] >= 1:
                w = aim
                break
            w = w + max(room[first], 0.0) * step
            w[first] = high[first] if step[first] > 0 else low[first]
            free[first] = False
        pull = matrix.T @ (target - matrix @ w)
        excess = np.where(w >= high, -pull, pull) - rounding
        excess[free | (high <= low)] = 0.0
        loosest = int(np.argmax(excess))
        if excess[loosest] <= 0:
            break
        free[loosest] = True
    return np.clip(w, low, high)
