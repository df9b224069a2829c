"""
Butts of laid planks: on beams, from the lengths in stock, well apart from those in the planks beside, with least waste.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

import numpy as np

from deckgeom.laying.planks_butts_program import (
    ButtChoices,
    PlankPiece,
    PlankRuns,
    bays_of,
    clash,
    solve_butts,
)
from deckgeom.units import format_length

__all__ = ["ButtChoices", "ButtPlan", "PlankPiece", "carried_at", "check_shift", "plan_butts"]

RULE_BASIS = "common practice, no source"
CARRIED = 0.75
"""Part of a plank's width that a carlin must carry under a butt. Own rule, no source. [1]"""


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
    lanes : tuple of int
        Which plank each is a part of.
    beams : tuple of float
        Middles of the beams. [mm]

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
    lanes: tuple[int, ...] = ()
    beams: tuple[float, ...] = ()

    @property
    def too_close(self) -> tuple[tuple[int, int], ...]:
        """Pairs of butts that lie closer than the rules kept allow, looked for again on the finished plan."""
        at = [(self.lanes[plank], x) for plank, x in self.butts]
        return check_shift(at, self.beams, self.choices.between, self.choices.shift) if at else ()

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
            f"{self.choices.shift} beams apart or more ({RULE_BASIS}). Looked over again: "
            + (f"{len(close)} pairs lie closer." if (close := self.too_close) else "no two lie closer."),
        )


def check_shift(butts, beams, between: int = 3, shift: int = 2) -> tuple[tuple[int, int], ...]:
    """
    Pairs of butts that lie too close.

    Parameters
    ----------
    butts : sequence of (int, float)
        Plank and place along the boat of each. [mm]
    beams : (n,) array
        Their middles; a butt between two of them counts as that part of a bay from each. [mm]
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
    bays = bays_of([x for _, x in butts], beams)
    at = [(plank, bay) for (plank, _), bay in zip(butts, bays, strict=True)]
    pairs = itertools.combinations(range(len(at)), 2)
    return tuple((i, j) for i, j in pairs if clash(at[i], at[j], between, shift))


def carried_at(piece, supports, beams) -> tuple[float, ...]:
    """
    Where a plank may be butted: on beams and half beams that carry its whole width, and on carlins under most of it.

    Parameters
    ----------
    piece : Piece
    supports : sequence of Support
    beams : sequence of float
        Middles of all beams; on a carlin a butt lies midway between two of them. [mm]

    Returns
    -------
    tuple of float
        Along the boat. [mm]

    Examples
    --------
    >>> from deckgeom.laying.dry_fit import Piece
    >>> from deckgeom.laying.fastenings_lines import Support
    >>> plank = Piece("port plank 2", [(0, -50), (3000, -50)], [(0, -100), (3000, -100)])
    >>> half = Support("13S", "beam", 1480, 1520, 300, 9e9)
    >>> carried_at(plank, [Support("4", "beam", 980, 1020, -9e9, 9e9), half], [1000, 1500])
    (1000.0,)
    """
    found = []
    for one in supports:
        if one.kind == "beam":
            places = [one.middle]
        else:
            bays = [(a + b) / 2 for a, b in itertools.pairwise(sorted(beams))]
            places = [x for x in bays if one.x0 < x < one.x1]
        for x in places:
            if piece.first[0, 0] < x < piece.first[-1, 0]:
                low, high = sorted(float(np.interp(x, *edge.T)) for edge in (piece.first, piece.second))
                least = 1.0 if one.kind == "beam" else CARRIED
                if min(high, one.y1) - max(low, one.y0) >= least * (high - low) - 1.0:
                    found.append(round(float(x), 6))
    return tuple(sorted(set(found)))


def plan_butts(planks, beams, choices: ButtChoices, lanes=None, carried=None) -> ButtPlan:
    """
    Butts with the least stock taken.

    Parameters
    ----------
    planks : sequence of (float, float)
        From and to of each, in the order in which they lie side by side. Where planks bend, give true lengths with the
        beams at true lengths too. [mm]
    beams : (n,) array
        Middles of the beams. [mm]
    choices : ButtChoices
    lanes : sequence of int, optional
        Which plank each is a part of, where openings cut planks in two; each its own unless given.
    carried : sequence of sequence of float, optional
        Where each may be butted; on every beam unless given. [mm]

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
    lanes = list(range(len(planks)) if lanes is None else lanes)
    carried = [beams] * len(planks) if carried is None else [np.asarray(each, float) for each in carried]
    for anywhere, kept, lines in _attempts(planks, beams, choices):
        places = carried if anywhere is None else [anywhere] * len(planks)
        found = solve_butts(PlankRuns.of(planks, lanes, places, beams), kept)
        if found is not None:
            return ButtPlan(found[0], kept, found[1], lines, tuple(lanes), tuple(beams.tolist()))
    raise ValueError(
        f"stock of {choices.stock[-1]:g} mm at the longest does not plank this deck even with butts between beams. Is "
        "a length in another unit? Get longer stock."
    )


def _attempts(planks, beams: np.ndarray, choices: ButtChoices):
    """Where butts may lie (None: where the plank is carried), and what is kept: the wishes, then less and less."""
    yield None, choices, ()
    line = f"The shift rules cannot be kept with this stock ({choices.stock[-1]:.0f} mm at the longest)."
    loose = replace(choices, between=min(choices.between, 1), shift=min(choices.shift, 1))
    yield None, loose, (f"{line} This plan keeps {loose.between} plank between and {loose.shift} beam's shift.",)
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
