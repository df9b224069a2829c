"""Which beams are out, all weighed together: one low or its neighbours high explain the same gap; one is likelier."""

from __future__ import annotations

from itertools import combinations

import numpy as np
from scipy.special import betaln

#: Standard deviation of a departure that is out. [reading errors] Common practice, no source.
LIKELY_SIZE = 5.0
#: Beta law of the share of departures that are out: as if of so many known before so many had been out, and not.
ODDS = (1.0, 50.0)
_HELD = LIKELY_SIZE**-2
#: More beams than this are not weighed all together but each against the beams beside it: time grows with their square.
MOST_TOGETHER = 40
#: On fewer beams than this the sheer's bends are not let free: they would take all that the beams say.
FEWEST_BENT = 8
#: Departures on beams this near each other are also tried in pairs, and with beams this much farther on.
_NEAR, _AROUND = 4, 3
#: More departures than this are not tried in pairs.
_MOST_PAIRED = 14
_STEPS = 60
#: Three or four within so many beams are the hardest to tell from their neighbours: all such sets are tried.
_CLOSE_BY = 7


class Choice:
    """
    The likeliest set of whole-beam departures.

    Parameters
    ----------
    normal : (k + f, k + f) array
        N = M'(I - H)M, with a column of M what each departure does to the readings and H the smoothing of all
        readings. [1]
    pull : (k + f,) array
        M' times the residuals. [reading errors]
    beam : (k,) array of int
        Beam that each departure belongs to, counted along the boat.
    free : int
        How many of the last columns are shapes that may be of any size, whatever is chosen.

    Notes
    -----
    A departure that is out is so by some reading errors, with standard deviation s = `LIKELY_SIZE`; how many are out
    is not known beforehand, so that k of n have the odds of the beta-binomial law with `ODDS`. Twice the log of how
    much likelier the readings are with a set S out than with none is then

    .. math:: g_S'(N_{SS} + s^{-2} I)^{-1} g_S - \\log\\det(I + s^2 N_{SS}) + 2\\log\\frac{B(k+a, n-k+b)}{B(a, n+b)}.

    A beam that can hardly be told explains less but is also charged less. Starting from none, that departure is
    added, dropped or put in place of another that gains most; when no such step gains, pairs near each other are
    exchanged for other pairs; all that once more from the likeliest three or four of one kind close by. It need not be
    the best of all sets but is seldom far from it.

    References
    ----------
    .. [1] J.G. Scott, J.O. Berger, Ann. Statist. 38 (2010) 2587-2619 (from memory): prior odds of how many.
    .. [2] A.J. Miller, *Subset Selection in Regression*, Chapman and Hall 1990 (from memory): stepwise with
       replacement.

    Examples
    --------
    >>> normal = np.array([[9.0, 8.0], [8.0, 9.0]])
    >>> Choice(normal, np.array([50.0, 44.0]), np.array([0, 1])).best()
    [0]
    """

    def __init__(self, normal: np.ndarray, pull: np.ndarray, beam: np.ndarray, free: int = 0) -> None:
        k = len(pull) - free
        self._back = np.zeros((free, k + 1))
        if free:
            own = normal[k:, k:] + 1e-6 * np.eye(free)
            self._back = np.linalg.solve(own, np.column_stack([normal[k:, :k], pull[k:]]))
            pull = pull[:k] - normal[:k, k:] @ self._back[:, -1]
            normal = normal[:k, :k] - normal[:k, k:] @ self._back[:, :-1]
        self.normal, self.pull, self.beam = normal, pull, beam
        self.size = np.diag(normal) + _HELD
        some = np.arange(k + 1)
        self.odds = 2.0 * (betaln(some + ODDS[0], k - some + ODDS[1]) - betaln(ODDS[0], k + ODDS[1]))

    def _gains(self, chosen: list[int]) -> tuple[np.ndarray, float]:
        """How much likelier the set is made by each departure more, and how likely it is; twice the log, odds in."""
        count = len(chosen)
        left, pull, value = self.size, self.pull, 0.0
        if chosen:
            rows = self.normal[chosen]
            inner = rows[:, chosen] + _HELD * np.eye(count)
            solved = np.linalg.solve(inner, np.column_stack([rows, self.pull[chosen]]))
            left = self.size - np.einsum("ij,ij->j", rows, solved[:, :-1])
            pull = self.pull - rows.T @ solved[:, -1]
            value = float(self.pull[chosen] @ solved[:, -1]) - np.linalg.slogdet(inner / _HELD)[1]
        left = np.maximum(left, _HELD)
        more = self.odds[count + 1] - self.odds[count] if count < len(self.pull) else -np.inf
        out = pull**2 / left - np.log(left / _HELD) + more
        out[chosen] = -np.inf
        return out, value + float(self.odds[count])

    @staticmethod
    def _with_best(chosen: list[int], gains: np.ndarray, value: float) -> tuple[float, list[int]]:
        """The set with the best addition, and how likely it is."""
        add = int(gains.argmax())
        return value + gains[add], [*chosen, add]

    def amounts(self, chosen: list[int]) -> np.ndarray:
        """
        How much of each free shape there is with a set out, (f,).
        """
        size = np.linalg.solve(self.normal[np.ix_(chosen, chosen)] + _HELD * np.eye(len(chosen)), self.pull[chosen])
        return self._back[:, -1] - self._back[:, :-1][:, chosen] @ size

    def _single_steps(self, chosen: list[int]):
        """Sets one step away: one more, one less, one exchanged."""
        yield self._with_best(chosen, *self._gains(chosen))
        for i in range(len(chosen)):
            rest = chosen[:i] + chosen[i + 1 :]
            gains, value = self._gains(rest)
            yield value, rest
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
                        yield value, some
                        yield self._with_best(some, gains, value)

    def _few(self) -> list[int]:
        """The likeliest set of three or four departures of one kind (the first, second or third of beams) close by."""
        best, chosen = 0.0, []
        kind = np.arange(len(self.beam)) - np.searchsorted(self.beam, self.beam)
        for k in range(3):
            some = np.flatnonzero(kind == k)
            for many in (3, 4):
                beside = np.array([(0, *rest) for rest in combinations(range(1, _CLOSE_BY), many - 1)])
                sets = (np.arange(len(some))[:, None, None] + beside).reshape(-1, many)
                sets = some[sets[sets[:, -1] < len(some)]]
                if not len(sets):
                    continue
                inner = self.normal[sets[:, :, None], sets[:, None, :]] + _HELD * np.eye(many)
                pull = self.pull[sets]
                value = np.einsum("si,si->s", pull, np.linalg.solve(inner, pull[:, :, None])[:, :, 0])
                value += self.odds[many] - np.linalg.slogdet(inner / _HELD)[1]
                if value.max() > best:
                    best, chosen = float(value.max()), sets[value.argmax()].tolist()
        return chosen

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
        if not len(self.pull):
            return []
        found = self._climb(list(start or []))
        if len(found) >= 2 and not start:  # what is near each other has several explanations: another way up
            other = self._climb(self._few())
            found = max(found, other, key=lambda chosen: self._gains(chosen)[1])
        return found

    def _climb(self, chosen: list[int]) -> list[int]:
        """From a set step by step to one that no step betters."""
        known = sorted(chosen)
        for _ in range(_STEPS):
            worth = self._gains(chosen)[1]
            gain, better = max(self._single_steps(chosen), key=lambda step: step[0])
            if gain <= worth + 1e-6 and 2 <= len(chosen) <= _MOST_PAIRED and sorted(chosen) != known:
                gain, better = max(self._pair_steps(chosen), key=lambda step: step[0], default=(worth, chosen))
            if gain <= worth + 1e-6:
                break
            chosen = better
        return sorted(chosen)
