"""
Has she moved since? Four marks on the hull, measured then and now.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.hull.level import Level, terms_at
from deckgeom.units import format_length

BEYOND = 3.0
"""A change counts as real when it is more than so many times its uncertainty (1 in 370 by chance)."""

ASSUMED_READING_ERROR = 1.0
"""Standard deviation of one height where none is given: tape and level with care. [mm] Common practice, no source."""

_PARTS = ("height", "trim", "list", "twist")


@dataclass(frozen=True, eq=False)
class Move:
    """
    What four or more marks say about how the hull has moved between two measurings.

    Parameters
    ----------
    names : tuple of str
        The marks.
    change : ndarray, shape (n,)
        Height now less height then. [mm]
    parts : ndarray, shape (4,)
        Change of height at the middle of the marks [mm], trim and list [rise per run], twist [1/mm].
    parts_sd : ndarray, shape (4,)
        Standard deviation of each, from the reading error. Same units.
    residual : ndarray, shape (n,)
        What a rigid move and a twist leave over at each mark; nought for four marks. [mm]
    residual_sd : ndarray, shape (n,)
        Its standard deviation. [mm]
    origin, length, breadth : float
        Middle of the marks along her, and their reach along and across. [mm]
    reading_error : float
        Of one height. [mm]
    assumed : bool
        True where the reading error is a default and not a measurement.

    Notes
    -----
    .. math:: z_{now} - z_{then} = h + b (x - x_0) + c\\,y + d (x - x_0)\\,y

    with a variance of :math:`2 s^2` for each mark. Four marks fit exactly, so they cannot tell a twist from one mark
    that was knocked: a fifth mark can.

    Examples
    --------
    >>> move = recheck(x=[0, 0, 6000, 6000], y=[-900, 900, -1100, 1100], then=[900, 901, 870, 868],
    ...                now=[900, 902, 869, 868], reading_error=1.0)
    >>> move.moved
    False
    >>> print(move.words()[0])
    She has not moved more than your reading error can explain.
    """

    names: tuple
    change: np.ndarray
    parts: np.ndarray
    parts_sd: np.ndarray
    residual: np.ndarray
    residual_sd: np.ndarray
    origin: float
    length: float
    breadth: float
    reading_error: float
    assumed: bool

    def __post_init__(self) -> None:
        for name in ("change", "parts", "parts_sd", "residual", "residual_sd"):
            array = np.array(getattr(self, name), float)
            array.flags.writeable = False
            object.__setattr__(self, name, array)

    @property
    def real(self) -> dict[str, bool]:
        """Which of height, trim, list and twist have changed by more than the uncertainty can explain."""
        return dict(zip(_PARTS, (np.abs(self.parts) > BEYOND * self.parts_sd).tolist(), strict=True))

    @property
    def moved(self) -> bool:
        """True where any of the four has changed by more than the uncertainty can explain, or a mark disagrees."""
        return any(self.real.values()) or bool(self.odd_marks)

    @property
    def odd_marks(self) -> tuple[str, ...]:
        """Marks that no move of the whole hull explains (five marks or more)."""
        odd = np.abs(self.residual) > BEYOND * np.maximum(self.residual_sd, 1e-9)
        return tuple(name for name, out in zip(self.names, odd, strict=True) if out)

    @property
    def reach(self) -> np.ndarray:
        """Each part as a height: the whole hull, over the marks' length, their breadth, one corner. [mm]"""
        return self.parts * self._spans

    @property
    def reach_sd(self) -> np.ndarray:
        """Standard deviation of `reach`. [mm]"""
        return self.parts_sd * self._spans

    @property
    def _spans(self) -> np.ndarray:
        return np.array([1.0, self.length, self.breadth, self.length * self.breadth])

    def now_from(self, level: Level) -> Level:
        """
        Return how she stands now, from how she stood then.

        Parameters
        ----------
        level : Level
            Found from known points at the time of the first measuring.

        Returns
        -------
        Level
            For readings that were taken after the move.

        Examples
        --------
        >>> move = recheck([0, 0, 6000, 6000], [-900, 900, -900, 900], [0, 0, 0, 0], [5, 5, 5, 5])
        >>> float(move.now_from(Level(height=100)).height)
        105.0
        """
        h, b, c, d = self.parts
        off = level.origin - self.origin
        return Level(
            level.height + h + b * off,
            level.trim + b,
            level.list + c + d * off,
            level.twist + d,
            level.origin,
            level.length,
            level.breadth,
            level.covariance,
            level.reading_error,
            level.missing,
        )

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """
        Return the answer in sentences: moved or not, each part with its uncertainty, and what to do.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}
            For the lengths.

        Returns
        -------
        tuple of str
            The first sentence is the answer.

        Examples
        --------
        >>> move = recheck([0, 0, 6000, 6000], [-900, 900, -900, 900], [0, 0, 0, 0], [-5, 5, 5, -5], reading_error=1)
        >>> for line in move.words()[:2]:
        ...     print(line)
        She has moved.
        She has twisted: going aft the port side has risen 20 mm (8 mm either way) against the starboard side.
        """
        return tuple(_answer(self, units))


def recheck(x, y, then, now, reading_error: float | None = None, names=None) -> Move:
    """
    Compare the heights of four or more marks with what they were.

    Parameters
    ----------
    x, y : array_like, shape (n,)
        Places of the marks, y starboard positive: port and starboard, well forward and well aft. [mm]
    then, now : array_like, shape (n,)
        Heights above the same base. [mm]
    reading_error : float, optional
        Standard deviation of one height; left out, 1 mm is assumed and said so. [mm]
    names : sequence of str, optional
        What the marks are called.

    Returns
    -------
    Move
        The move of the whole hull, its twist, and their uncertainty.

    Raises
    ------
    ValueError
        If there are fewer than four marks, or they do not stand on both sides at two places along her.

    Examples
    --------
    >>> recheck([0, 0, 6000, 6000], [-900, 900, -900, 900], [0, 0, 0, 0], [5, 5, 5, 5]).real
    {'height': True, 'trim': False, 'list': False, 'twist': False}
    """
    x, y, then, now = (np.atleast_1d(np.asarray(a, float)) for a in (x, y, then, now))
    names = tuple(map(str, names)) if names is not None else _mark_names(x, y)
    if not x.shape == y.shape == then.shape == now.shape or x.size < 4 or len(names) != x.size:
        raise ValueError(
            f"{x.size} marks, {y.size} places y, {then.size} heights then and {now.size} now: a re-check "
            "needs four marks or more, each with its place and both heights"
        )
    if not np.isfinite([x, y, then, now]).all():
        raise ValueError("a mark has a blank or NaN in it; measure it or leave the whole mark out")
    if reading_error is not None and not reading_error > 0:
        raise ValueError(f"reading_error is {reading_error:g} mm; no tape reads without error")
    return _fit_move(x, y, now - then, reading_error, names)


def _fit_move(x, y, change, reading_error, names) -> Move:
    sd = ASSUMED_READING_ERROR if reading_error is None else float(reading_error)
    rows = terms_at(x, y, x.mean())
    sizes = np.maximum(np.abs(rows).max(axis=0), 1e-9)
    q, r = np.linalg.qr(rows / sizes)
    if np.abs(np.diag(r)).min() < 1e-2:
        raise ValueError(
            "the marks do not tell list, trim and twist apart: set them port and starboard, well forward and well aft"
        )
    inverse = np.linalg.inv(r) / sizes[:, None]
    parts = inverse @ (q.T @ change)
    residual = change - rows @ parts
    if x.size == 4:
        residual = np.zeros(4)
    free = np.clip(1.0 - np.einsum("ij,ij->i", q, q), 0.0, 1.0)
    return Move(
        names,
        change,
        parts,
        np.sqrt(2 * sd**2 * np.einsum("ij,ij->i", inverse, inverse)),
        residual,
        np.sqrt(2.0 * sd**2 * free),
        float(x.mean()),
        float(np.ptp(x)),
        float(np.ptp(y)),
        sd,
        reading_error is None,
    )


def _mark_names(x, y) -> tuple[str, ...]:
    side = np.where(y < 0, "port", np.where(y > 0, "starboard", "centre"))
    return tuple(f"{s} {'aft' if along > x.mean() else 'forward'}" for s, along in zip(side, x, strict=True))


def _answer(move: Move, units: str):
    real, reach, give = move.real, move.reach, BEYOND * move.reach_sd
    yield "She has moved." if move.moved else "She has not moved more than your reading error can explain."

    def about(i):
        return f"{format_length(abs(reach[i]), units)} ({format_length(give[i], units)} either way)"

    if real["list"]:
        low = "port" if reach[2] > 0 else "starboard"
        yield f"She has listed to {low}: that side is lower than the other by {about(2)} more than it was."
    if real["trim"]:
        low = "bow" if reach[1] > 0 else "stern"
        yield f"She has gone down by the {low}: {about(1)} over the length between the marks."
    if real["twist"]:
        up, other = ("starboard", "port") if reach[3] > 0 else ("port", "starboard")
        yield f"She has twisted: going aft the {up} side has risen {about(3)} against the {other} side."
    if real["height"]:
        yield f"As a whole she has {'risen' if reach[0] > 0 else 'sunk'} {about(0)}, or the base has moved."
    yield from _advice(move, real, give, units)


def _advice(move: Move, real, give, units: str):
    changed = np.abs(move.change) > BEYOND * np.sqrt(2.0) * move.reading_error
    if move.odd_marks:
        yield (
            f"No move of the whole hull explains {', '.join(move.odd_marks)}: a mark was knocked or misread; "
            "measure it again first."
        )
    elif move.moved and move.names and len(move.names) == 4 and changed.sum() == 1:
        yield (
            f"Only {move.names[int(np.argmax(changed))]} has changed. Four marks cannot tell a twist from one mark "
            "that was knocked or misread: measure it again, and a fifth mark."
        )
    if real["twist"]:
        yield "A twist bends the hull: ease the shores and take it out before beams are fitted."
    elif real["list"] or real["trim"]:
        yield "Level her again, or measure her known points again before the next round of readings."
    if not move.moved:
        spans = ", ".join(f"{name} {format_length(value, units)}" for name, value in zip(_PARTS, give, strict=True))
        yield f"What could be there unseen: {spans}."
    if move.assumed:
        error = format_length(move.reading_error, units)
        yield f"A reading error of {error} is assumed: measure one mark five times to know it."
