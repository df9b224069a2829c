"""The work as planned: amounts at every reading, words for every beam, totals, and wishes that cannot be met."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import BeamTops, closed
from deckgeom.fairing.choices import PlanChoices, by_reading
from deckgeom.fairing.found import Surface
from deckgeom.units import format_length

#: Amounts along a beam that differ by less than this, or by less than a fifth, are called one amount. [mm]
EVEN = 1.0


@dataclass(frozen=True)
class Breach:
    """
    One wish that cannot be met.

    Parameters
    ----------
    reading : int
        Where, counted from 0; -1 for the deck as a whole.
    wish : str
        What was wished.
    high : bool
        Whether the beam top stays high there; low if not.
    by : float
        How much is left over. [mm]

    Examples
    --------
    >>> tops = BeamTops([0], ("9",), [0], [-620], [900], [1000])
    >>> Breach(0, "this beam should not be touched", True, 2.0).words(tops)
    'beam 9, 620 mm to port: this beam should not be touched, but then it stays 2 mm high past what is let pass.'
    """

    reading: int
    wish: str
    high: bool
    by: float

    def words(self, tops: BeamTops, units: str = "mm") -> str:
        """
        Where, which wish, and by how much.

        Parameters
        ----------
        tops : BeamTops
            Readings.
        units : {"mm", "ft-in-8", "in"}
            For lengths.

        Returns
        -------
        str
        """
        if self.reading < 0:
            return f"{self.wish}, but a hollow of {format_length(self.by, units)} stays."
        amount = format_length(self.by, units) if self.by >= 0.5 else "less than a millimetre"
        high = "high" if self.high else "low"
        place = tops.where(self.reading, units=units)
        return f"{place}: {self.wish}, but then it stays {amount} {high} past what is let pass."


@dataclass(frozen=True)
class Totals:
    """
    What the plan comes to.

    Parameters
    ----------
    beams_touched : int
        Beams planed or packed.
    beams_planed, beams_packed : int
        Of those.
    strips : int
        Strips to glue on.
    strip_length : float
        Their length together. [mm]
    wood_off, wood_on : float or None
        Volume planed off and glued on; None unless the beams' siding is known. [cm3]

    Examples
    --------
    >>> Totals(2, 1, 1, 1, 1800.0, 130.0, 90.0).words()
    '2 beams touched: 1 planed, 1 packed. 1 strip to glue, 1800 mm in all. About 0.13 litres of wood come off.'
    """

    beams_touched: int
    beams_planed: int
    beams_packed: int
    strips: int
    strip_length: float
    wood_off: float | None
    wood_on: float | None

    def words(self, units: str = "mm") -> str:
        """
        The totals in a line.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}
            For lengths.

        Returns
        -------
        str
        """
        if not self.beams_touched:
            return "No beam needs touching."
        beams = "beam" if self.beams_touched == 1 else "beams"
        text = f"{self.beams_touched} {beams} touched: {self.beams_planed} planed, {self.beams_packed} packed."
        if self.strips:
            length = format_length(self.strip_length, units)
            text += f" {self.strips} {'strip' if self.strips == 1 else 'strips'} to glue, {length} in all."
        if self.wood_off is not None and self.beams_planed:
            text += f" About {self.wood_off / 1000:.2f} litres of wood come off."
        return text


@dataclass(frozen=True, eq=False)
class WorkPlan:
    """
    Work on every beam top.

    Parameters
    ----------
    tops : BeamTops
        The readings.
    choices : PlanChoices
        What it was planned under.
    plane_off, pack_up : (n,) array
        Work at each reading; one of the two is nought. [mm]
    planned : (n,) array
        Height of the surface that the work aims at. [mm]
    believed : (n,) array
        Height that the beam top is taken to have: noise and slips left out. [mm]
    dead_band : float
        What is let pass. [mm]
    breaches : tuple of Breach
        Wishes that cannot be met, worst first.
    waiting : tuple of int
        Readings to take again first; no work is planned on them alone.
    totals : Totals
        What it comes to.
    surface : Surface
        The planned surface, to be asked anywhere.
    optimality : (float, float)
        Out of balance and gap of the solve, relative. [1]
    notes : tuple of str
        What the person should know.

    Examples
    --------
    See `plan.plan_work`.

    >>> WorkPlan.__name__
    'WorkPlan'
    """

    tops: BeamTops
    choices: PlanChoices
    plane_off: np.ndarray
    pack_up: np.ndarray
    planned: np.ndarray
    believed: np.ndarray
    dead_band: float
    breaches: tuple[Breach, ...]
    waiting: tuple[int, ...]
    totals: Totals
    surface: Surface
    optimality: tuple[float, float]
    notes: tuple[str, ...]

    def __post_init__(self) -> None:
        for name in ("plane_off", "pack_up", "planned", "believed"):
            object.__setattr__(self, name, closed(getattr(self, name)))

    @property
    def after(self) -> np.ndarray:
        """Height of the beam tops when the work is done, (n,). [mm]"""
        return self.believed - self.plane_off + self.pack_up

    @property
    def touched(self) -> tuple[int, ...]:
        """Beams that are planed or packed."""
        return tuple(int(b) for b in np.unique(self.tops.beam[(self.plane_off > 0) | (self.pack_up > 0)]))

    def breach_words(self, units: str = "mm") -> tuple[str, ...]:
        """
        Wishes that cannot be met, the worst of each beam.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}
            For lengths.

        Returns
        -------
        tuple of str
        """
        seen, said = set(), []
        for breach in self.breaches:
            key = (int(self.tops.beam[breach.reading]) if breach.reading >= 0 else -1, breach.wish)
            if key not in seen:
                seen.add(key)
                said.append(breach.words(self.tops, units))
        return tuple(said)

    def total_words(self, units: str = "mm") -> str:
        """
        The totals in a line; never that all is well where a wish cannot be met.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}
            For lengths.

        Returns
        -------
        str
        """
        if self.breaches and not self.totals.beams_touched:
            return "No work that helps is left within these limits, and what cannot be had stays."
        return self.totals.words(units)

    def beam_words(self, beam: int, units: str = "mm") -> str:
        """
        What to do on one beam.

        Parameters
        ----------
        beam : int
            Which, from 0.
        units : {"mm", "ft-in-8", "in"}
            For lengths.

        Returns
        -------
        str
        """
        rows = np.flatnonzero(self.tops.beam == beam)
        rows = rows[np.argsort(self.tops.y[rows], kind="stable")]
        said = [
            _work_words(self.tops, rows, amount[rows], work, units)
            for amount, work in ((self.plane_off, "plane"), (self.pack_up, "pack"))
        ]
        said = [words for words in said if words]
        name = f"Beam {self.tops.beam_names[beam]}"
        if not said:
            return f"{name}: leave." if rows.size else f"{name}: not measured."
        return f"{name}: {'; '.join(said)}."


def _work_words(tops: BeamTops, rows: np.ndarray, amount: np.ndarray, work: str, units: str) -> str:
    """Planing or packing along one beam, in words; empty if there is none."""
    if not np.any(amount > 0):
        return ""
    some = amount[amount > 0]
    low, high = format_length(some.min(), units), format_length(some.max(), units)
    even = some.max() - some.min() <= max(EVEN, 0.2 * some.max())
    much = format_length(float(np.median(some)), units) if even else f"from {low} to {high}"
    if np.all(amount > 0):
        where = "its whole top"
    else:
        places = [tops.where(int(i), units=units).split(", ", 1)[1] for i in rows[amount > 0]]
        places = list(dict.fromkeys(places))  # a point that was read twice is one place
        where = "its top " + (
            " and ".join(places) if len(places) < 3 else f"at {len(places)} places, {places[0]} to {places[-1]}"
        )
    if work == "plane":
        return f"plane {much} off {where}"
    return f"pack with one strip {much} thick over {where}"


def totals_of(tops: BeamTops, plane_off: np.ndarray, pack_up: np.ndarray, siding) -> Totals:
    """
    Add up the work.

    Parameters
    ----------
    tops : BeamTops
        Readings.
    plane_off, pack_up : (n,) array
        Work at each reading. [mm]
    siding : float or mapping of str to float or None
        Fore-and-aft thickness of the beams. [mm]

    Returns
    -------
    Totals
        Amounts run straight from reading to reading, and level from the outermost to the beam's end.

    Examples
    --------
    >>> tops = BeamTops([0, 0], ("9",), [0, 0], [-500, 500], [1000, 1000], [40, 40])
    >>> totals_of(tops, np.array([3.0, 3.0]), np.zeros(2), 50.0).wood_off
    300.0
    """
    thick = None if siding is None else by_reading(siding, "siding", tops, np.nan)
    planed = packed = strips = 0
    length, off, on = 0.0, 0.0, 0.0
    both = set()
    for b in np.unique(tops.beam[(plane_off > 0) | (pack_up > 0)]):
        rows = np.flatnonzero(tops.beam == b)
        rows = rows[np.argsort(tops.y[rows], kind="stable")]
        share = _shares(tops.y[rows], tops.half_breadth[rows])
        planed += bool(np.any(plane_off[rows] > 0))
        packed += bool(np.any(pack_up[rows] > 0))
        both.add(int(b))
        width = 1.0 if thick is None else float(thick[rows[0]])
        off += width * float(share @ plane_off[rows]) / 1000.0
        on += width * float(share @ pack_up[rows]) / 1000.0
        some = pack_up[rows] > 0
        strips += int(some[0]) + int(np.sum(some[1:] & ~some[:-1]))
        length += float(share[some].sum())
    return Totals(
        len(both), planed, packed, strips, length, None if thick is None else off, None if thick is None else on
    )


def _shares(y: np.ndarray, half_breadth: np.ndarray) -> np.ndarray:
    """Length of beam that each reading stands for: half way to its neighbours, and to the beam's end. [mm]"""
    edges = np.concatenate([[min(-half_breadth[0], y[0])], (y[1:] + y[:-1]) / 2, [max(half_breadth[-1], y[-1])]])
    return np.diff(edges)
