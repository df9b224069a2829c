"""Which beams are out, all weighed together: one low or its neighbours high explain the same gap; one is likelier."""

from __future__ import annotations

import numpy as np

#: More beams than this are not weighed all together but each against the beams beside it: time grows with their square.
MOST_TOGETHER = 40
#: Departures on beams this near each other are also tried in pairs, and with beams this much farther on.
_NEAR, _AROUND = 4, 3
#: More departures than this are not tried in pairs.
_MOST_PAIRED = 14
_STEPS = 60


class Choice:
    """
    A set of whole-beam departures that explains the most for its price.

    Parameters
    ----------
    normal : (k, k) array
        N = M'(I - H)M, with a column of M what each departure does to the readings and H the smoothing of all
        readings. [1]
    pull : (k,) array
        M' times the residuals. [reading errors]
    price : (k,) array
        What each departure must explain, in squared standard deviations. [1]
    beam : (k,) array of int
        Beam that each departure belongs to, counted along the boat.

    Notes
    -----
    A set S explains g_S' N_SS^-1 g_S squared standard deviations, the drop of the sum of squares if its departures
    are let free. Starting from none, that departure is added, dropped or put in place of another that gains most;
    when no such step gains, pairs near each other are exchanged for other pairs. It need not be the best of all sets
    but is seldom far from it.

    References
    ----------
    .. [1] A.J. Miller, *Subset Selection in Regression*, Chapman and Hall 1990 (from memory): stepwise with
    replacement.

    Examples
    --------
    >>> normal = np.array([[1.0, 0.9], [0.9, 1.0]])
    >>> Choice(normal, np.array([5.0, 4.4]), np.full(2, 9.0), np.array([0, 1])).best()
    [0]
    """

    def __init__(self, normal: np.ndarray, pull: np.ndarray, price: np.ndarray, beam: np.ndarray) -> None:
        self.normal, self.pull, self.price, self.beam = normal, pull, price, beam
        self.size = np.diag(normal).copy()

    def _gains(self, chosen: list[int]) -> tuple[np.ndarray, float]:
        """What each departure would explain on top of those chosen, and what those explain."""
        if not chosen:
            left, pull, value = self.size, self.pull, 0.0
        else:
            rows = self.normal[chosen]
            inner = rows[:, chosen] + 1e-9 * np.eye(len(chosen))
            solved = np.linalg.solve(inner, np.column_stack([rows, self.pull[chosen]]))
            left = self.size - np.einsum("ij,ij->j", rows, solved[:, :-1])
            pull, value = self.pull - rows.T @ solved[:, -1], float(self.pull[chosen] @ solved[:, -1])
        sound = left > np.maximum(0.05, 1e-3 * self.size)
        out = np.where(sound, pull**2 / np.where(sound, left, 1.0), 0.0)
        out[chosen] = 0.0
        return out, value

    def _with_best(self, chosen: list[int], gains: np.ndarray, value: float) -> tuple[float, list[int]]:
        """The set with the best addition, and what it is worth."""
        add = int((gains - self.price).argmax())
        return value + gains[add] - self._cost([*chosen, add]), [*chosen, add]

    def _cost(self, chosen: list[int]) -> float:
        """Price of a set."""
        return float(self.price[chosen].sum())

    def _single_steps(self, chosen: list[int]):
        """Sets one step away: one more, one less, one exchanged."""
        yield self._with_best(chosen, *self._gains(chosen))
        for i in range(len(chosen)):
            rest = chosen[:i] + chosen[i + 1 :]
            gains, value = self._gains(rest)
            yield value - self._cost(rest), rest
            yield self._with_best(rest, gains, value)

    def _pair_steps(self, chosen: list[int]):
        """Sets with two departures near each other exchanged for two others, or for one."""
        for i, a in enumerate(chosen):
            for b in chosen[:i]:
                if abs(self.beam[a] - self.beam[b]) > _NEAR:
                    continue
                rest = [c for c in chosen if c not in (a, b)]
                low, high = sorted((self.beam[a], self.beam[b]))
                for first in np.flatnonzero((self.beam >= low - _AROUND) & (self.beam <= high + _AROUND)):
                    if first not in rest:
                        some = [*rest, int(first)]
                        gains, value = self._gains(some)
                        yield value - self._cost(some), some
                        yield self._with_best(some, gains, value)

    def best(self, start: list[int] | None = None) -> list[int]:
        """
        The set found, in order.

        Parameters
        ----------
        start : list of int, optional
            A set to start from, for instance the one found before; pairs are not tried again if it stands.

        Returns
        -------
        list of int
        """
        chosen, known = list(start or []), sorted(start or [])
        if not len(self.pull):
            return chosen
        for _ in range(_STEPS):
            worth = self._gains(chosen)[1] - self._cost(chosen)
            gain, better = max(self._single_steps(chosen), key=lambda step: step[0])
            if gain <= worth + 1e-6 and 2 <= len(chosen) <= _MOST_PAIRED and sorted(chosen) != known:
                gain, better = max(self._pair_steps(chosen), key=lambda step: step[0], default=(worth, chosen))
            if gain <= worth + 1e-6:
                break
            chosen = better
        return sorted(chosen)
