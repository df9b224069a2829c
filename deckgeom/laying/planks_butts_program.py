"""
The integer program behind butts: from the wishes and the places that carry a butt to the lengths with the least stock.
"""

from __future__ import annotations

import itertools
import time
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

__all__ = ["ButtChoices", "PlankPiece", "PlankRuns", "bays_of", "clash", "solve_butts"]

ON_ONE = 0.5
"""Butts less than this part of a bay apart count as on one beam. Own rule. [1]"""


@dataclass(frozen=True)
class ButtChoices:
    """
    Stock and shift rules.

    Parameters
    ----------
    stock : tuple of float
        Lengths to be had, as measured. [mm]
    between : int
        Planks without a butt between two butts on one beam. Default: common practice, no source.
    shift : int
        Beams from a butt to the next in the plank beside. Default: common practice, no source.
    trim : float
        Lost at both ends of each length together, to square it. [mm]
    seconds : float
        Time for the search. [s]

    Examples
    --------
    >>> ButtChoices((4000, 3000)).stock
    (3000.0, 4000.0)
    """

    stock: tuple[float, ...]
    between: int = 3
    shift: int = 2
    trim: float = 20.0
    seconds: float = 5.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "stock", tuple(sorted({float(length) for length in self.stock})))
        if not self.stock or self.stock[0] <= self.trim or self.between < 0 or self.shift < 0 or self.trim < 0:
            raise ValueError(
                f"stock of {self.stock} mm, {self.trim:g} mm trimmed off, {self.between} planks between, {self.shift} "
                "beams' shift: lengths are above the trim and the rest nought or more. Is a length in metres?"
            )


@dataclass(frozen=True)
class PlankPiece:
    """
    One length of one plank.

    Parameters
    ----------
    plank : int
        From 0.
    x0, x1 : float
        From and to along the boat. [mm]
    stock : float
        What it is cut from. [mm]

    Examples
    --------
    >>> PlankPiece(0, 0.0, 2900.0, 3000.0).length
    2900.0
    """

    plank: int
    x0: float
    x1: float
    stock: float

    @property
    def length(self) -> float:
        """Along the boat. [mm]"""
        return self.x1 - self.x0


class PlankRuns(NamedTuple):
    """
    Planks, or their parts where openings cut them, and where each may be butted. Made by `of`.

    Attributes
    ----------
    planks : list of (float, float)
        From and to. [mm]
    lanes : list of int
        Which plank each is a part of, side by side.
    may : list of (n,) int array
        Which of the places carry a butt of it.
    places, bays : (m,) array
        Along the boat, and counted in beams. [mm]

    Examples
    --------
    >>> PlankRuns.of([(0, 2000)], [0], [[500.0]], [0, 1000.0]).bays.tolist()
    [0.5]
    """

    planks: list
    lanes: list
    may: list
    places: np.ndarray
    bays: np.ndarray

    @classmethod
    def of(cls, planks, lanes, carried, beams) -> PlankRuns:
        """From planks, lanes, the places that carry each, and the beams' middles."""
        places = np.unique(np.concatenate([np.asarray(each, float) for each in carried] or [beams]))
        may = [np.searchsorted(places, np.asarray(each, float)) for each in carried]
        return cls(list(planks), list(lanes), may, places, bays_of(places, beams))


def bays_of(x, beams) -> np.ndarray:
    """
    Places along the boat counted in beams.

    Parameters
    ----------
    x : (n,) array
        [mm]
    beams : (m,) array
        Their middles. [mm]

    Returns
    -------
    (n,) array
        [1]

    Examples
    --------
    >>> bays_of([1250], [500, 1000, 1500]).tolist()
    [1.5]
    """
    beams = np.unique(np.asarray(list(beams), float))
    return np.interp(np.asarray(x, float), beams, np.arange(len(beams)))


def clash(one: tuple[int, float], two: tuple[int, float], between: int, shift: int) -> bool:
    """
    Whether two butts lie too close.

    Parameters
    ----------
    one, two : (int, float)
        Which plank, and the place counted in beams.
    between, shift : int
        As in `ButtChoices`.

    Returns
    -------
    bool

    Examples
    --------
    >>> clash((0, 3.0), (1, 4.5), 3, 2), clash((0, 3.0), (1, 5.0), 3, 2)
    (True, False)
    """
    apart, bays = abs(one[0] - two[0]), abs(one[1] - two[1])
    return 0 < apart <= between and bays < ON_ONE or apart == 1 and bays < shift - 1e-9


def _lengths(runs: PlankRuns, choices: ButtChoices) -> list[tuple[int, int, int, float, float, float]]:
    """Every length a plank may be cut into: plank, places it starts and ends on (-1, -2: its ends), from, to, stock."""
    found = []
    for number, (x0, x1) in enumerate(runs.planks):
        inside = [k for k in runs.may[number].tolist() if x0 + 1e-6 < runs.places[k] < x1 - 1e-6]
        stops = [(-1, x0), *((k, float(runs.places[k])) for k in inside), (-2, x1)]
        for (i, a), (j, b) in itertools.combinations(stops, 2):
            stock = next((s for s in choices.stock if s - choices.trim >= b - a - 1e-6), None)
            if stock is not None:
                found.append((number, i, j, a, b, stock))
    return found


def solve_butts(runs: PlankRuns, choices: ButtChoices):
    """
    Lengths with the least stock.

    Parameters
    ----------
    runs : PlankRuns
    choices : ButtChoices

    Returns
    -------
    (tuple of PlankPiece, float) or None
        With the bound on the stock [mm]; None where the rules cannot be kept.

    Notes
    -----
    A plan that takes E more than the planks one by one, without shift rules, uses no length that alone costs more than
    E. So few lengths are tried first, and more until the plan found lies within what was tried: it is then the least.

    Examples
    --------
    >>> runs = PlankRuns.of([(0, 3000)], [0], [[1000, 2000]], [0, 1000, 2000, 3000])
    >>> solve_butts(runs, ButtChoices((2020, 1020)))[1]
    3040.0
    """
    lengths = _lengths(runs, choices)
    if {length[0] for length in lengths} != set(range(len(runs.planks))):
        return None
    least, excess = _excess(lengths)
    if not np.isfinite(least):
        return None
    unit = _common(list(choices.stock))
    tried, until = unit, time.perf_counter() + choices.seconds
    while True:
        some = [length for length, more in zip(lengths, excess, strict=True) if more <= tried + 1e-6]
        whole = len(some) == int(np.isfinite(excess).sum())
        found = _solve_with(runs, some, choices, unit, max(until - time.perf_counter(), choices.seconds / 2))
        if found is not None:
            over = sum(piece.stock for piece in found[0]) - least
            if whole or over <= tried + 1e-6:
                return found
            if time.perf_counter() >= until:
                return found[0], min(found[1], least + tried)
            tried = over
        elif whole:
            return None
        else:
            tried *= 4.0


def _excess(lengths) -> tuple[float, np.ndarray]:
    """Least stock of all planks one by one, and for each length what its plank takes more where it is used."""
    reach: dict[tuple[int, int], float] = {}
    left: dict[tuple[int, int], float] = {}
    for number, i, j, _, _, stock in sorted(lengths, key=lambda length: length[3]):
        reach.setdefault((number, -1), 0.0)
        before = reach.get((number, i), np.inf)
        reach[number, j] = min(reach.get((number, j), np.inf), before + stock)
    for number, i, j, _, _, stock in sorted(lengths, key=lambda length: -length[4]):
        left.setdefault((number, -2), 0.0)
        left[number, i] = min(left.get((number, i), np.inf), left.get((number, j), np.inf) + stock)
    best = {number: left.get((number, -1), np.inf) for number in {length[0] for length in lengths}}
    through = [reach.get((n, i), np.inf) + stock + left.get((n, j), np.inf) for n, i, j, *_, stock in lengths]
    return sum(best.values()), np.array([way - best[n] if np.isfinite(way) else np.inf
                                         for way, (n, *_) in zip(through, lengths, strict=True)])  # fmt: skip


def _solve_with(runs: PlankRuns, lengths, choices: ButtChoices, unit: float, seconds: float):
    """The least stock from some of the lengths, with the bound for them; None where the rules cannot be kept."""
    from scipy.optimize import LinearConstraint, milp
    from scipy.sparse import csr_matrix

    into: dict[tuple[int, int], list[int]] = {}
    out: dict[tuple[int, int], list[int]] = {}
    for k, (number, i, j, *_) in enumerate(lengths):
        out.setdefault((number, i), []).append(k)
        into.setdefault((number, j), []).append(k)
    count = range(len(runs.planks))
    if any((n, -1) not in out or (n, -2) not in into for n in count):
        return None
    rows = [(out[n, -1], [], 1.0, 1.0) for n in count]
    butts = [key for key in {**into, **out} if key[1] >= 0]
    rows += [(into.get(key, []), out.get(key, []), 0.0, 0.0) for key in butts]
    taken = [key for key in butts if key in into]
    rows += [([k for key in group for k in into[key]], [], -np.inf, 1.0) for group in _close(taken, runs, choices)]
    columns = [k for plus, minus, *_ in rows for k in (*plus, *minus)]
    values = [v for plus, minus, *_ in rows for v in (*[1.0] * len(plus), *[-1.0] * len(minus))]
    at = np.repeat(np.arange(len(rows)), [len(plus) + len(minus) for plus, minus, *_ in rows])
    matrix = csr_matrix((values, (at, columns)), shape=(len(rows), len(lengths)))
    cost = np.array([length[5] / unit for length in lengths])
    held = LinearConstraint(matrix, [row[2] for row in rows], [row[3] for row in rows])
    options = {"time_limit": seconds}
    answer = milp(cost, constraints=held, bounds=(0, 1), integrality=np.ones(len(cost)), options=options)
    if answer.x is None:
        return None
    chosen = sorted(lengths[k] for k in np.flatnonzero(answer.x > 0.5))
    chosen.sort(key=lambda length: (length[0], length[3]))
    pieces = [PlankPiece(number, a, b, stock) for number, _, _, a, b, stock in chosen]
    return tuple(pieces), unit * float(answer.fun if answer.mip_dual_bound is None else answer.mip_dual_bound)


def _common(stock: list[float]) -> float:
    """The length of which all stock is a multiple, to a thousandth of a millimetre: whole costs are proved sooner."""
    return float(np.gcd.reduce(np.unique(np.rint(np.asarray(stock) * 1000).astype(np.int64)))) / 1000 if stock else 1.0


def _close(taken, runs: PlankRuns, choices: ButtChoices):
    """Groups of butts of which the rules allow one: those on one beam, and pairs on beams side by side."""
    lanes: dict[int, list[tuple[int, int]]] = {}
    for key in taken:
        lanes.setdefault(runs.lanes[key[0]], []).append(key)
    wide = max(choices.between, 1 if choices.shift > 0 else 0)
    for number, place in taken:
        near = [(step, key) for step in range(1, wide + 1) for key in lanes.get(runs.lanes[number] + step, ())]
        group = [(number, place), *(key for _, key in near if key[1] == place)]
        if len(group) > 1:
            yield tuple(group)
        here = (0, runs.bays[place])
        for step, key in near:
            if key[1] != place and clash(here, (step, runs.bays[key[1]]), choices.between, choices.shift):
                yield (number, place), key
