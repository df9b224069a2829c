"""
How the hull stands where she is measured: her list, trim and twist, found from points whose true heights are known.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from deckgeom.hull.level import TERMS, Level, terms_at

__all__ = ["Level", "find_level"]


def find_level(x, y, height, measured, reading_error: float | None = None, twist: bool = True) -> Level:
    """
    Find how the hull stands from points whose heights are known in her own frame.

    Parameters
    ----------
    x, y, height : array_like
        The known points in the hull's own frame, y starboard positive: deck edges, sheer marks, a base plank. [mm]
    measured : array_like
        The heights that were read there. [mm]
    reading_error : float, optional
        Standard deviation of one reading. Left out: from how well the points agree, if there are more than needed. [mm]
    twist : bool
        Look for twist too; False holds the hull to be stiff.

    Returns
    -------
    Level
        Least squares over all points but those that are beyond doubt slips, which are named in `set_aside`.

    Raises
    ------
    ValueError
        If the arrays differ in length, hold NaN, or are empty.

    Notes
    -----
    A term that the points cannot tell (list from points on one line, twist from three points) is left at nought and
    named in `missing`. A point is set aside when its deletion residual is less likely than 1 in 1000 and at least
    three other points are to spare; never more than a quarter of them.

    Examples
    --------
    >>> tilted = Level(height=20, trim=0.01, list=-0.02)
    >>> x, y, z = [0, 0, 6000, 6000, 3000], [-600, 600, -900, 900, 0], [900, 900, 850, 850, 700]
    >>> found = find_level(x, y, z, tilted.measured_height(x, y, z))
    >>> [round(float(v), 6) for v in found.true_height(x, y, tilted.measured_height(x, y, z))]
    [900.0, 900.0, 850.0, 850.0, 700.0]
    """
    x, y, height, measured = _checked(x, y, height, measured)
    keep = np.ones(x.size, bool)
    wanted = range(4 if twist else 3)
    terms = _telling_terms(x, y, wanted)
    missing = tuple(TERMS[i] for i in wanted if i not in terms)
    for _ in range(1 + x.size // 4):
        level, deletion = _solve(x, y, height, measured, keep, terms, reading_error)
        worst = int(np.argmax(np.abs(deletion)))
        spare = int(keep.sum()) - len(terms)
        if spare < 4 or (~keep).sum() >= x.size // 4 or not _beyond_doubt(deletion[worst], spare - 1, int(keep.sum())):
            break
        keep[worst] = False
    return replace(level, missing=missing)


def _checked(*arrays):
    arrays = [np.atleast_1d(np.asarray(a, float)) for a in arrays]
    sizes = [a.size for a in arrays]
    if len(set(sizes)) > 1 or sizes[0] == 0:
        raise ValueError(f"x, y, height and measured hold {sizes} values; each known point needs all four")
    if not all(np.isfinite(a).all() for a in arrays):
        raise ValueError("a known point has a blank or NaN in it; leave the whole point out")
    return arrays


def _telling_terms(x, y, wanted) -> list[int]:
    """Take the terms in the order of TERMS as long as each adds something that the points can tell."""
    rows = terms_at(x, y, x.mean())
    rows = rows / np.maximum(np.abs(rows).max(axis=0), 1e-30)
    terms: list[int] = []
    for term in wanted:
        trial = rows[:, [*terms, term]]
        if np.linalg.matrix_rank(trial, tol=1e-3 * np.sqrt(x.size)) == len(terms) + 1:
            terms.append(term)
    return terms


def _solve(x, y, height, measured, keep, terms, reading_error):
    """Least squares for the chosen terms by Gauss and Newton's steps; the misfit is all but linear in them."""
    origin = float(x.mean())
    flat, found = terms_at(x, y, origin), np.zeros(4)
    for _ in range(8):
        across = found[2] + found[3] * (x - origin)
        upright = np.sqrt(np.maximum(1.0 - found[1] ** 2 - across**2, 0.01))
        residual = measured - flat @ found - upright * height
        turned = np.stack([0 * x, found[1] + 0 * x, across, across * (x - origin)], axis=-1)
        rows, sizes = _scaled((flat - (height / upright)[:, None] * turned)[:, terms])
        q, r = np.linalg.qr(rows[keep])
        found[terms] += np.linalg.solve(r, q.T @ residual[keep]) / sizes
    spare = int(keep.sum()) - len(terms)
    variance = float(residual[keep] @ residual[keep]) / spare if spare > 0 else float("nan")
    sd = float(reading_error) if reading_error is not None else float(np.sqrt(variance))
    inverse = np.linalg.inv(r) / sizes[:, None]
    covariance = np.zeros((4, 4))
    covariance[np.ix_(terms, terms)] = sd**2 * (inverse @ inverse.T)
    level = Level(
        *found,
        origin=origin,
        length=float(np.ptp(x)),
        breadth=float(np.ptp(y)),
        covariance=covariance,
        reading_error=sd,
        set_aside=tuple(int(i) for i in np.flatnonzero(~keep)),
        residual=residual,
    )
    return level, _deletion_t(residual, q, keep, spare, reading_error)


def _scaled(rows):
    sizes = np.maximum(np.abs(rows).max(axis=0), 1e-30)
    return rows / sizes, sizes


def _deletion_t(residual, q, keep, spare, reading_error) -> np.ndarray:
    """Studentised deletion residual of each kept point; nought for the others."""
    t = np.zeros(residual.size)
    if spare < 2:
        return t
    free = 1.0 - np.einsum("ij,ij->i", q, q)
    alone = free < 1e-6
    free[alone] = 1.0
    e = np.where(alone, 0.0, residual[keep])
    without = np.maximum((e @ e - e**2 / free) / (spare - 1), 0.0)
    least = max(float(reading_error or 0.0), 0.1)
    t[keep] = e / np.sqrt(np.maximum(without, least**2) * free)
    return t


def _beyond_doubt(t: float, freedom: int, points: int) -> bool:
    if abs(t) < 4.0:
        return False
    from scipy.special import stdtr

    return 2.0 * float(stdtr(freedom, -abs(t))) * points < 1e-3
