"""The record that the fairing engine starts from: true heights of beam tops, each with the beam that it belongs to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.units import format_length

#: How far past the beam's end a reading may lie before it is refused, as a fraction of the half-breadth.
OVERHANG = 0.05
#: Two readings of one beam this close together athwartships are the same point measured twice. [mm]
SAME_POINT = 1.0


class FairingError(ValueError):
    """
    Something that the fairing engine cannot take, told so that the person can mend it.

    Parameters
    ----------
    value : object
        What was given.
    rule : str
        What must hold.
    slip : str
        The likely slip behind it, or nothing.
    advice : str
        What to do next.

    Examples
    --------
    >>> raise FairingError("nan", "a height must be a number", "a blank cell", "leave it out")
    Traceback (most recent call last):
    ...
    deckgeom.fairing.beam_tops.FairingError: nan: a height must be a number. Likely slip: a blank cell. Leave it out.
    """

    def __init__(self, value: object, rule: str, slip: str = "", advice: str = "") -> None:
        self.value, self.rule, self.slip, self.advice = value, rule, slip, advice
        text = f"{value}: {rule}."
        if slip:
            text += f" Likely slip: {slip}."
        if advice:
            text += f" {advice[0].upper()}{advice[1:]}" + ("" if advice.endswith("?") else ".")
        super().__init__(text)


def closed(values, kind: type = float) -> np.ndarray:
    """
    Copy of an array that nobody can write to.

    Parameters
    ----------
    values : array_like, shape (n, ...)
        Any unit.
    kind : type
        Of the elements.

    Returns
    -------
    ndarray
        Same shape and unit, `flags.writeable` off.

    Examples
    --------
    >>> closed([1, 2]).flags.writeable
    False
    """
    out = np.array(values, dtype=kind)
    out.flags.writeable = False
    return out


@dataclass(frozen=True, eq=False)
class BeamTops:
    """
    Heights of beam tops as measured, list and trim and string sag already taken off.

    Parameters
    ----------
    beam : (n,) array of int
        Which beam each reading belongs to: an index into `beam_names`.
    beam_names : tuple of str
        The beams' names, in the order that they are to be listed. A beam without readings is allowed.
    x : (n,) array
        Along the boat, aft of the boat's zero. [mm]
    y : (n,) array
        Off the centreline, starboard positive. [mm]
    half_breadth : (n,) array
        Centreline to the deck edge on the reading's own side, at its own x. [mm]
    z : (n,) array
        Height of the beam top above the base line. [mm]

    Notes
    -----
    The same point may be measured more than once: give each reading its own row. The repeats are the best witness of
    the reading error.

    Examples
    --------
    >>> tops = BeamTops(beam=[0, 0, 1], beam_names=("1", "2"), x=[0, 0, 400], y=[-500, 500, 0],
    ...                 half_breadth=[900, 900, 950], z=[1000, 1001, 1050])
    >>> tops.count, tops.spacing
    (3, 400.0)
    """

    beam: np.ndarray
    beam_names: tuple[str, ...]
    x: np.ndarray
    y: np.ndarray
    half_breadth: np.ndarray
    z: np.ndarray

    def __post_init__(self) -> None:
        names = tuple(str(name) for name in self.beam_names)
        object.__setattr__(self, "beam_names", names)
        object.__setattr__(self, "beam", closed(self.beam, int).reshape(-1))
        for field in ("x", "y", "half_breadth", "z"):
            object.__setattr__(self, field, closed(getattr(self, field)).reshape(-1))
        self._check_lengths()
        for field in ("x", "y", "half_breadth", "z"):
            bad = np.flatnonzero(~np.isfinite(getattr(self, field)))
            if bad.size:
                raise FairingError(
                    f"{field} of {self.where(bad[0], place=False)} is {getattr(self, field)[bad[0]]}",
                    "every reading needs a number there",
                    "a blank cell or a reading not taken",
                    "leave the row out; a beam may have as few readings as you like",
                )
        self._check_breadths()

    def _check_lengths(self) -> None:
        lengths = {len(getattr(self, field)) for field in ("beam", "x", "y", "half_breadth", "z")}
        if len(lengths) > 1:
            raise FairingError(
                sorted(lengths),
                "beam, x, y, half_breadth and z must be equally long",
                "a row that lost a cell",
                "give one value of each for every reading",
            )
        if not len(self.z):
            raise FairingError("no readings", "there must be at least one", "", "measure a few beam tops first")
        if self.beam.min() < 0 or self.beam.max() >= len(self.beam_names):
            wrong = self.beam[(self.beam < 0) | (self.beam >= len(self.beam_names))][0]
            raise FairingError(
                f"beam number {wrong}",
                f"there are {len(self.beam_names)} beams, counted from 0",
                "counting from 1",
                "use the place of the beam in beam_names",
            )
        if len(set(self.beam_names)) < len(self.beam_names):
            twice = next(n for n in self.beam_names if self.beam_names.count(n) > 1)
            raise FairingError(
                f"beam name {twice!r}", "each beam needs its own name", "a beam listed twice", "rename one of them"
            )

    def _check_breadths(self) -> None:
        bad = np.flatnonzero(self.half_breadth <= 0)
        if bad.size:
            raise FairingError(
                f"half-breadth {self.half_breadth[bad[0]]:g} mm at {self.where(bad[0], place=False)}",
                "the beam must have a breadth",
                "a zero at the stem",
                "leave out readings where the deck runs out to nothing",
            )
        bad = np.flatnonzero(np.abs(self.y) > (1 + OVERHANG) * self.half_breadth)
        if bad.size:
            i = bad[0]
            raise FairingError(
                f"y reaches {abs(self.y[i]):.0f} mm on beam {self.beam_names[self.beam[i]]} but the beam ends at "
                f"{self.half_breadth[i]:.0f} mm",
                "a reading must lie on its beam",
                "measured from the deck edge instead of the centreline, or half taken for whole breadth",
                "check where the tape started",
            )

    @property
    def count(self) -> int:
        """Number of readings, repeats included."""
        return len(self.z)

    @property
    def eta(self) -> np.ndarray:
        """Place of each reading as a fraction of the half-breadth, (n,): -1 at the port edge, 1 at the starboard."""
        return self.y / self.half_breadth

    @property
    def beam_x(self) -> np.ndarray:
        """Mean x of each beam's readings, (beams,). [mm] NaN for a beam without readings."""
        n = np.bincount(self.beam, minlength=len(self.beam_names))
        total = np.bincount(self.beam, weights=self.x, minlength=len(self.beam_names))
        return np.where(n > 0, total / np.maximum(n, 1), np.nan)

    @property
    def spacing(self) -> float:
        """Mean distance from one measured beam to the next. [mm] 0 if there is only one."""
        x = self.beam_x
        x = np.unique(x[np.isfinite(x)])
        return float((x[-1] - x[0]) / (len(x) - 1)) if len(x) > 1 else 0.0

    def where(self, i: int, place: bool = True, units: str = "mm") -> str:
        """
        Name of a reading in words.

        Parameters
        ----------
        i : int
            Which reading, counted from 0.
        place : bool
            Whether to say how far off the centreline it is.
        units : {"mm", "ft-in-8", "in"}
            For the distance.

        Returns
        -------
        str

        Examples
        --------
        >>> tops = BeamTops([0], ("9",), [0], [-620], [900], [1000])
        >>> tops.where(0)
        'beam 9, 620 mm to port'
        """
        name = f"beam {self.beam_names[self.beam[i]]}"
        if not place:
            return f"{name} (reading {i + 1})"
        if abs(self.y[i]) < 0.5:
            return f"{name}, on the centreline"
        return f"{name}, {format_length(abs(float(self.y[i])), units)} to {'starboard' if self.y[i] > 0 else 'port'}"

    def points(self) -> np.ndarray:
        """
        Number of the point that each reading was taken at: repeats of one point share a number.

        Returns
        -------
        (n,) array of int
            From 0; numbered by beam, then from port to starboard.

        Examples
        --------
        >>> BeamTops([0, 0, 0], ("1",), [0] * 3, [300, -300, 300.4], [900] * 3, [5, 6, 7]).points().tolist()
        [1, 0, 1]
        """
        order = np.lexsort((self.y, self.beam))
        new = np.ones(self.count, dtype=bool)
        new[1:] = (
            (np.diff(self.beam[order]) != 0)
            | (np.diff(self.y[order]) > SAME_POINT)
            | (np.abs(np.diff(self.x[order])) > SAME_POINT)
        )
        out = np.empty(self.count, dtype=int)
        out[order] = np.cumsum(new) - 1
        return out
