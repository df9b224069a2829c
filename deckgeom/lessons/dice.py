"""Numbers that hang on a seed, the same on every machine."""

from __future__ import annotations

import random

__all__ = ["Dice", "dice"]


class Dice(random.Random):
    """
    Numbers from a seed that come out the same on every machine.

    Parameters
    ----------
    x : str
        The seed.

    Examples
    --------
    >>> one, other = dice(17, 1, "easy"), dice(17, 1, "easy")
    >>> one.whole(1, 100) == other.whole(1, 100)
    True
    """

    def whole(self, low: int, high: int) -> int:
        """A whole number from low to high, both included."""
        return low + int(self.random() * (high - low + 1))

    def between(self, low: float, high: float) -> float:
        """A number between two."""
        return low + self.random() * (high - low)

    def one_of(self, things):
        """One of several."""
        return things[self.whole(0, len(things) - 1)]


def dice(*named: object) -> Dice:
    """
    Dice that belong to what is named.

    Parameters
    ----------
    *named : object
        Seed, pair, level and what else the numbers hang on.

    Returns
    -------
    Dice

    Notes
    -----
    Only `random()` of a seed made of text is used: the standard library promises that it stays as it is.

    Examples
    --------
    >>> dice("a").random() == dice("b").random()
    False
    """
    return Dice("/".join(str(one) for one in named))
