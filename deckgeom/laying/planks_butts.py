"""
Butts of laid planks: on beams, from the lengths in stock, well apart from those in the planks beside, with least waste.
"""

from __future__ import annotations

import itertools
import time
from dataclasses import dataclass, replace

import numpy as np

from deckgeom.units import format_length

__all__ = ["ButtChoices", "ButtPlan", "PlankPiece", "check_shift", "plan_butts"]

RULE_BASIS = "common practice, no source"


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


@dataclass(frozen=True, eq=False)
class ButtPlan:
    """
    Where all butts are. Made by `plan_butts`.

    Parameters
    ----------
    pieces : tuple of PlankPiece
    choices : ButtChoices
        As kept.
    bound : float
        No plan under these rules takes less stock. [mm]
    complaints : tuple of str
        One line for each wish given up.

    Examples
    --------
    See `plan_butts`.

    >>> ButtPlan((), ButtChoices((3000,)), 0.0, ()).waste
    0.0
    """

    pieces: tuple[PlankPiece, ...]
    choices: ButtChoices
    bound: float
    complaints: tuple[str, ...]

    @property
    def butts(self) -> tuple[tuple[int, float], ...]:
        """Plank and place of each butt."""
        pairs = itertools.pairwise(self.pieces)
        return tuple((a.plank, a.x1) for a, b in pairs if a.plank == b.plank)

    @property
    def stock_length(self) -> float:
        """Of all stock taken. [mm]"""
        return sum(piece.stock for piece in self.pieces)

    @property
    def waste(self) -> float:
        """Part of the stock taken that is not in the deck, width apart. [1]"""
        return 1 - sum(piece.length for piece in self.pieces) / self.stock_length if self.pieces else 0.0

    @property
    def gap(self) -> float:
        """How far the stock may be above the least, as a part of it. [1]"""
        return max(0.0, 1 - self.bound / self.stock_length) if self.pieces else 0.0

    @property
    def counts(self) -> dict[float, int]:
        """How many of each length."""
        return {s: sum(piece.stock == s for piece in self.pieces) for s in self.choices.stock}

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """
        What is taken from stock, the rules kept and how far it is proved.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}

        Returns
        -------
        tuple of str
        """
        taken = ", ".join(f"{n} of {format_length(s, units)}" for s, n in self.counts.items() if n)
        proof = "proved the least" if self.gap < 1e-4 else f"within {self.gap:.1%} of the least"
        return (
            *self.complaints,
            f"{len(self.butts)} butts. Stock: {taken}; {self.waste:.1%} of its length is waste ({proof}).",
            f"Between two butts on one beam {self.choices.between} planks run on, and butts in planks side by side are "
            f"{self.choices.shift} beams apart or more ({RULE_BASIS}).",
        )


def check_shift(butts, beams, between: int = 3, shift: int = 2) -> tuple[tuple[int, int], ...]:
    """
    Pairs of butts that lie too close.

    Parameters
    ----------
    butts : sequence of (int, float)
        Plank and place along the boat of each. [mm]
    beams : (n,) array
        Where butts may lie. [mm]
    between, shift : int
        As in `ButtChoices`.

    Returns
    -------
    tuple of (int, int)
        Places in the list of butts.

    Examples
    --------
    >>> check_shift([(0, 1000), (3, 1000), (4, 1500)], [500, 1000, 1500, 2000])
    ((0, 1), (1, 2))
    """
    beams = np.asarray(beams, float)
    at = [(plank, int(np.argmin(np.abs(beams - x)))) for plank, x in butts]
    pairs = itertools.combinations(range(len(at)), 2)
    return tuple((i, j) for i, j in pairs if _clash(at[i], at[j], between, shift))


def _clash(one, two, between: int, shift: int) -> bool:
    apart, beams = abs(one[0] - two[0]), abs(one[1] - two[1])
    return 0 < apart <= between and beams == 0 or apart == 1 and beams < shift


def plan_butts(planks, beams, choices: ButtChoices) -> ButtPlan:
    """
    Butts with the least stock taken.

    Parameters
    ----------
    planks : sequence of (float, float)
        From and to of each, in the order in which they lie side by side. Where planks bend, give true lengths with the
        beams at true lengths too. [mm]
    beams : (n,) array
        Where butts may lie. [mm]
    choices : ButtChoices

    Returns
    -------
    ButtPlan
        Where the wishes cannot be kept, the nearest that can, with a line for each given up.

    Notes
    -----
    One yes or no for each length of each plank from beam to beam; its cost is the shortest stock that holds it.

    Examples
    --------
    >>> found = plan_butts([(0, 6000)] * 2, range(0, 6001, 500), ButtChoices((3020, 4020)))
    >>> found.counts, found.complaints
    ({3020.0: 3, 4020.0: 1}, ())
    """
    planks = [(float(a), float(b)) for a, b in planks]
    beams = np.unique(np.asarray(list(beams), float))
    for places, kept, lines in _attempts(planks, beams, choices):
        found = _solve(planks, places, kept)
        if found is not None:
            return ButtPlan(found[0], kept, found[1], lines)
    raise ValueError(
        f"stock of {choices.stock[-1]:g} mm at the longest does not plank this deck even with butts between beams. Is "
        "a length in another unit? Get longer stock."
    )


def _attempts(planks, beams: np.ndarray, choices: ButtChoices):
    """The wishes, then with rules given up one after the other."""
    yield beams, choices, ()
    line = f"The shift rules cannot be kept with this stock ({choices.stock[-1]:.0f} mm at the longest)."
    loose = replace(choices, between=min(choices.between, 1), shift=min(choices.shift, 1))
    yield beams, loose, (f"{line} This plan keeps {loose.between} plank between and {loose.shift} beam's shift.",)
    ends = np.r_[beams, [v for plank in planks for v in plank]]
    most = float(np.max(np.diff(np.unique(ends)))) if len(beams) > 1 else np.ptp(ends)
    short = (
        f"Stock too short: {choices.stock[-1]:.0f} mm at the longest, {choices.trim:.0f} mm of it trimmed off, where "
        f"the widest bay is {most:.0f} mm. This plan has butts between beams as well, each on a block. Longer stock "
        "keeps them on beams."
    )
    places = np.unique(np.r_[beams, *(beams[:-1] + k / 4 * np.diff(beams) for k in (1, 2, 3))])
    yield places, choices, (short,)
    yield places, replace(choices, between=0, shift=0), (short, line + " This plan keeps none.")


def _lengths(planks, places: np.ndarray, choices: ButtChoices) -> list[tuple[int, int, int, float, float, float]]:
    """Every length a plank may be cut into: plank, places it starts and ends on (-1, -2: its ends), from, to, stock."""
    found = []
    for number, (x0, x1) in enumerate(planks):
        inside = np.flatnonzero((places > x0 + 1e-6) & (places < x1 - 1e-6))
        stops = [(-1, x0), *((int(k), float(places[k])) for k in inside), (-2, x1)]
        for (i, a), (j, b) in itertools.combinations(stops, 2):
            stock = next((s for s in choices.stock if s - choices.trim >= b - a - 1e-6), None)
            if stock is not None:
                found.append((number, i, j, a, b, stock))
    return found


def _solve(planks, places: np.ndarray, choices: ButtChoices):
    """
    Pieces and the bound on the stock; None where the rules cannot be kept.

    A plan that takes E more than the planks one by one, without shift rules, uses no length that alone costs more than
    E. So few lengths are tried first, and more until the plan found lies within what was tried: it is then the least.
    """
    lengths = _lengths(planks, places, choices)
    if {length[0] for length in lengths} != set(range(len(planks))):
        return None
    least, excess = _excess(lengths)
    if not np.isfinite(least):
        return None
    unit = _common(list(choices.stock))
    tried, until = unit, time.perf_counter() + choices.seconds
    while True:
        some = [length for length, more in zip(lengths, excess, strict=True) if more <= tried + 1e-6]
        whole = len(some) == int(np.isfinite(excess).sum())
        found = _solve_with(len(planks), some, choices, unit, max(until - time.perf_counter(), choices.seconds / 2))
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


def _solve_with(count: int, lengths, choices: ButtChoices, unit: float, seconds: float):
    """The least stock from some of the lengths, with the bound for them; None where the rules cannot be kept."""
    from scipy.optimize import LinearConstraint, milp
    from scipy.sparse import csr_matrix

    into: dict[tuple[int, int], list[int]] = {}
    out: dict[tuple[int, int], list[int]] = {}
    for k, (number, i, j, *_) in enumerate(lengths):
        out.setdefault((number, i), []).append(k)
        into.setdefault((number, j), []).append(k)
    if any((n, -1) not in out or (n, -2) not in into for n in range(count)):
        return None
    rows = [(out[n, -1], [], 1.0, 1.0) for n in range(count)]
    butts = [key for key in {**into, **out} if key[1] >= 0]
    rows += [(into.get(key, []), out.get(key, []), 0.0, 0.0) for key in butts]
    taken = [key for key in butts if key in into]
    rows += [([k for key in group for k in into[key]], [], -np.inf, 1.0) for group in _close(taken, choices)]
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


def _close(taken, choices: ButtChoices):
    """Groups of butts of which the rules allow one: those on one beam, and pairs on beams side by side."""
    on = set(taken)
    wide = max(choices.between, 1 if choices.shift > 0 else 0)
    for number, place in taken:
        group = [key for k in range(wide + 1) if (key := (number + k, place)) in on]
        if len(group) > 1:
            yield tuple(group)
        for step in range(1, choices.shift):
            for other in ((number + 1, place - step), (number + 1, place + step)):
                if other in on:
                    yield (number, place), other
