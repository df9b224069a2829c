"""
The search of one line of offsets for values and steps that spoil its fairness.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from deckgeom.hull.offsets import OffsetLine
from deckgeom.hull.unfairness import weigh, weigh_pairs, weigh_steps

__all__ = ["FEWEST", "MOST_SEARCHED", "Finding", "examine"]

MOST_SEARCHED = 400
"""Lines with more stations than this are not searched: they are not a table of offsets. [-]"""

FEWEST = 6
"""Lines with fewer stations than this are not searched: too few neighbours to say which one is wrong. [-]"""

STANDS_OUT = 2.2
"""Least evidence for one value to be set apart by itself. [-]"""

TOGETHER = 3.5
"""Least mean evidence for two or three values to be set apart together, where each one hides the others. [-]"""

HINT = 1.0
"""Least evidence for such a company to be looked for. [-]"""

CLEAR = 3.0
"""Evidence by which one explanation beats the next so that the next need not be looked at. [-]"""

CANDIDATES = 5
"""Values with most against them that are tried as one of a pair. [-]"""

LEAST_STEP = 7.0
"""Least evidence for a step. [-]"""


@dataclass(frozen=True)
class Finding:
    """
    One value of a line that stands out.

    Parameters
    ----------
    index : int
        Its place in the line.
    bend, change : float
        Evidence from second and from third differences. [-]
    lead : float
        Evidence over the next likeliest value. [-]
    excess, spread : float
        Value minus the fair one, and how far that may be out. [mm]
    beyond : int
        Sound values beyond it at the nearer end: 0 for the last one, where a slip looks like a change of shape. [-]

    Examples
    --------
    >>> Finding(3, 9.0, 11.0, 4.0, 25.0, 2.0, 3).beyond
    3
    """

    index: int
    bend: float
    change: float
    lead: float
    excess: float
    spread: float
    beyond: int


def examine(line: OffsetLine, band: float):
    """
    Values and steps of one line that stand out.

    Parameters
    ----------
    line : OffsetLine
        One column of the table.
    band : float
        How far an honest value may be off, from accuracy or rounding. [mm]

    Returns
    -------
    findings : tuple of Finding
    steps : tuple of (int, float, float)
        Index of the first value of a step, its evidence, and its height. [-, mm]

    Examples
    --------
    >>> line = OffsetLine("height", "abcdefgh", range(8), [0, 1, 4, 9, 16, 25, 36, 49], range(8))
    >>> examine(line, 0.5)
    ((), ())
    """
    first = np.concatenate(([True], np.diff(line.x) > 1e-6 * max(np.ptp(line.x), 1e-9))) if len(line) else []
    index = np.flatnonzero(first)
    if not FEWEST <= index.size <= MOST_SEARCHED:
        return (), ()
    findings, steps = _search(line.x[index].tobytes(), line.value[index].tobytes(), float(band), line.what == "height")
    return tuple(replace(one, index=int(index[one.index])) for one in findings), tuple(
        (int(index[k]), evidence, jump) for k, evidence, jump in steps
    )


@lru_cache(maxsize=64)
def _search(x_bytes, value_bytes, band, height):
    """One value after another, a pair, or a step, until nothing stands out; then each against all that are sound."""
    x, value = np.frombuffer(x_bytes), np.frombuffer(value_bytes).copy()
    noise = max(band / np.sqrt(3), 1e-4 * np.ptp(np.sort(value)[1:-1]))
    kept, apart, trial, steps = np.arange(x.size), [], [], []
    for _ in range(x.size // 2 + 3 if noise else 0):
        now = np.setdiff1d(kept, [index for index, *_ in trial], assume_unique=True) if trial else kept
        if now.size < FEWEST:
            break
        evidence = weigh(x[now], value[now], noise, 3)
        chosen = [int(evidence.against.argmax())]
        if not trial and evidence.against[chosen[0]] >= HINT:
            step, chosen, weight = _rather(x[now], value[now], noise, evidence.against)
            if step:
                steps.append((int(now[step[0]]), *step[1:]))
                value[now[step[0]] :] -= step[2]
                continue
        else:
            weight = float(evidence.against[chosen[0]])
        for k in chosen:
            end = k in (0, now.size - 1)
            out = _far_out(value[now], k, evidence.excess[k], height) if end else 0.0
            trial.append((int(now[k]), weight / len(chosen), end, float(out)))
        weight = sum(against for _, against, *_ in trial)
        if weight >= (STANDS_OUT if len(trial) == 1 else TOGETHER * len(trial)):
            kept, apart, trial = np.setdiff1d(now, now[chosen]), apart + trial, []
        elif len(trial) >= 3 or trial[0][1] < HINT:
            break
    return _findings(x, value, noise, kept, apart), tuple(steps)


def _findings(x, value, noise, kept, apart):
    """Judge what was set apart: inner values among the sound, outer ones among the ends too, ends by their range."""
    single = [index for index, _, end, _ in apart if not end]
    inner = [index for index in single if kept[0] < index < kept[-1]]
    found = _against_the_sound(x, value, noise, kept, inner)
    shape = np.union1d(kept, [index for index, _, end, out in apart if end and not out]).astype(int)
    outer = [_one_against(x, value, noise, shape, index) for index in single if index not in inner]
    found += [one for one in outer if one.change >= STANDS_OUT and one.beyond]
    found += [Finding(index, 0.0, 0.0, 0.0, out, abs(out) / 4, 0) for index, _, end, out in apart if end and out]
    return tuple(found)


def _rather(x, value, noise, against):
    """
    What explains a line best: a step (index, evidence, height), or one value, or two; and the evidence for it.

    The next explanation is only looked at where the simpler one is not clear, and must beat it clearly.
    """
    first, second = np.argsort(against)[:-3:-1]
    one = float(against[first])
    if one - against[second] > CLEAR:
        return None, [int(first)], one
    firsts = np.argsort(against)[: -1 - CANDIDATES : -1]
    pairs = weigh_pairs(x, value, noise, 3, firsts)
    a, b = np.unravel_index(pairs.argmax(), pairs.shape)
    two = float(pairs[a, b])
    if one >= STANDS_OUT:
        evidence = weigh_steps(x, value, noise, 3)
        j = 3 + int(evidence.against[3:-2].argmax())
        step = float(evidence.against[j])
        if step > max(LEAST_STEP, one + CLEAR, two + CLEAR):
            return (j, step, float(evidence.excess[j])), [], step
    if two > one + CLEAR + STANDS_OUT and x.size > FEWEST:
        return None, [int(firsts[a]), int(b)], two
    return None, [int(first)], one


def _against_the_sound(x, value, noise, kept, single):
    """Weigh each value set apart among those that nothing is held against; the weakest goes back if it is sound too."""
    while single:
        found = [_one_against(x, value, noise, kept, index) for index in single]
        weakest = min(found, key=lambda one: one.change)
        if weakest.change >= STANDS_OUT:
            return found
        single = [index for index in single if index != weakest.index]
        kept = np.sort(np.append(kept, weakest.index))
    return []


def _one_against(x, value, noise, kept, index):
    among = np.sort(np.append(kept, index))
    k = int(np.searchsorted(among, index))
    bend = weigh(x[among], value[among], noise, 2)
    change = weigh(x[among], value[among], noise, 3) if among.size >= FEWEST else bend
    return Finding(
        int(index),
        float(bend.against[k]),
        float(change.against[k]),
        float(change.against[k] - np.delete(change.against, k).max()),
        float(change.excess[k]),
        float(change.spread[k]),
        min(k, among.size - 1 - k),
    )


def _far_out(value, k, excess, height):
    """Excess of an end value that lies outside the others by more than they span, else nought; a hull may end in 0."""
    others = np.delete(value, k)
    span = max(np.ptp(others), 0.25 * np.median(np.abs(others)))
    out = value[k] > others.max() + span or (height and value[k] < others.min() - span)
    return excess if out else 0.0
