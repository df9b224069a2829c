"""What the builder will and will not do to the beams."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import BeamTops, FairingError


@dataclass(frozen=True, eq=False)
class PlanChoices:
    """
    Choices that the work is planned under.

    Parameters
    ----------
    plane_only, pack_only : bool
        Nothing is packed up; nothing is planed off.
    most_off : float or mapping of str to float or (n,) array, optional
        The most that may come off: everywhere, for named beams, or at each reading (least depth, heads of
        fastenings). [mm]
    most_up : float or mapping of str to float or (n,) array, optional
        The most that may be packed. [mm]
    price_off, price_up : float
        What a millimetre planed costs, and one packed, against a third of a reading error of unfairness. [1]
    fixed_beams : tuple of str
        Beams that are not touched at all.
    fixed_points : (n,) array of bool, optional
        Readings that the planned surface must pass through: sheer, pads, coamings.
    dead_band : float, optional
        What is let pass either way; two reading errors if not given. [mm]
    no_hollow : bool
        No beam is left hollow across, and no fore-and-aft line that bends one way but for a patch turns there.
    siding : float or mapping of str to float, optional
        Fore-and-aft thickness of the beams, to reckon the wood that comes off. [mm]

    Examples
    --------
    >>> PlanChoices(plane_only=True, most_off={"9": 3.0}).most_off["9"]
    3.0
    >>> PlanChoices(plane_only=True, pack_only=True)
    Traceback (most recent call last):
    ...
    deckgeom.fairing.beam_tops.FairingError: plane only and pack only: one of them at most can hold. Leave both out to
    plane and pack.
    """

    plane_only: bool = False
    pack_only: bool = False
    most_off: float | Mapping[str, float] | np.ndarray | None = None
    most_up: float | Mapping[str, float] | np.ndarray | None = None
    price_off: float = 1.0
    price_up: float = 1.0
    fixed_beams: tuple[str, ...] = ()
    fixed_points: np.ndarray | None = None
    dead_band: float | None = None
    no_hollow: bool = False
    siding: float | Mapping[str, float] | None = None

    def __post_init__(self) -> None:
        if self.plane_only and self.pack_only:
            raise FairingError(
                "plane only and pack only", "one of them at most can hold", "", "leave both out to plane and pack"
            )
        for name in ("price_off", "price_up"):
            if not (np.isfinite(getattr(self, name)) and getattr(self, name) > 0):
                raise FairingError(
                    f"{name} {getattr(self, name)}",
                    "a price must be above nought",
                    "nought for 'never'",
                    "say plane only or pack only instead",
                )
        if self.dead_band is not None and not (np.isfinite(self.dead_band) and self.dead_band >= 0):
            raise FairingError(f"dead_band {self.dead_band}", "must be a length, not below nought")
        object.__setattr__(self, "fixed_beams", tuple(str(name) for name in self.fixed_beams))

    def limit(self, name: str, tops: BeamTops) -> np.ndarray:
        """
        Limit at every reading.

        Parameters
        ----------
        name : {"most_off", "most_up"}
            Which.
        tops : BeamTops
            Readings.

        Returns
        -------
        (n,) array
            [mm], infinite where there is none.

        Examples
        --------
        >>> tops = BeamTops([0, 1], ("8", "9"), [0, 400], [0, 0], [900, 900], [40, 41])
        >>> PlanChoices(most_off={"9": 3.0}).limit("most_off", tops)
        array([inf,  3.])
        """
        out = by_reading(getattr(self, name), name, tops, np.inf)
        if np.any(np.isnan(out)) or np.any(out < 0):
            bad = tops.where(int(np.flatnonzero(~(out >= 0))[0]))
            raise FairingError(
                f"{name} at {bad}", "must be a length, not below nought", "least depth above the depth there is"
            )
        return np.where(self.untouched(tops), 0.0, out)

    def untouched(self, tops: BeamTops) -> np.ndarray:
        """
        True for readings on beams that are not to be touched, (n,).

        Parameters
        ----------
        tops : BeamTops
            Readings.

        Returns
        -------
        (n,) array of bool

        Examples
        --------
        >>> tops = BeamTops([0, 1], ("8", "9"), [0, 400], [0, 0], [900, 900], [40, 41])
        >>> PlanChoices(fixed_beams=("9",)).untouched(tops).tolist()
        [False, True]
        """
        for beam in self.fixed_beams:
            check_beam(beam, "fixed_beams", tops)
        return np.isin(np.array(tops.beam_names)[tops.beam], self.fixed_beams)

    def held(self, tops: BeamTops) -> np.ndarray:
        """
        True for readings that the planned surface must pass through, (n,).

        Parameters
        ----------
        tops : BeamTops
            Readings.

        Returns
        -------
        (n,) array of bool

        Examples
        --------
        >>> PlanChoices().held(BeamTops([0], ("8",), [0], [0], [900], [40])).tolist()
        [False]
        """
        if self.fixed_points is None:
            return np.zeros(tops.count, dtype=bool)
        held = np.array(self.fixed_points, dtype=bool).reshape(-1)
        if len(held) != tops.count:
            raise FairingError(f"{len(held)} fixed points", f"there are {tops.count} readings, each fixed or not")
        return held


def check_beam(name: str, what: str, tops: BeamTops) -> None:
    """
    Refuse the name of a beam that is not there.

    Parameters
    ----------
    name : str
        Of a beam.
    what : str
        Which choice it was given in.
    tops : BeamTops
        Readings.

    Examples
    --------
    >>> check_beam("10a", "most_off", BeamTops([0], ("10",), [0], [0], [900], [40]))
    Traceback (most recent call last):
    ...
    deckgeom.fairing.beam_tops.FairingError: beam '10a' in most_off: there is no beam of that name. Did you mean '10'?
    """
    if name not in tops.beam_names:
        near = difflib.get_close_matches(str(name), tops.beam_names, 1, 0.0)
        raise FairingError(
            f"beam {name!r} in {what}", "there is no beam of that name", "", f"did you mean {near[0]!r}?"
        )


def by_reading(value, name: str, tops: BeamTops, missing: float) -> np.ndarray:
    """
    A choice given for all, for named beams or for each reading, as one value for each reading.

    Parameters
    ----------
    value : float or mapping or (n,) array or None
        The choice. [mm]
    name : str
        What it is called.
    tops : BeamTops
        Readings.
    missing : float
        Where nothing is said. [mm]

    Returns
    -------
    (n,) array
        [mm]

    Examples
    --------
    >>> by_reading({"9": 45.0}, "siding", BeamTops([0, 0], ("9",), [0, 0], [0, 5], [900, 900], [40, 41]), 40.0)
    array([45., 45.])
    """
    if value is None:
        return np.full(tops.count, missing)
    if isinstance(value, Mapping):
        out = np.full(len(tops.beam_names), missing)
        for beam, length in value.items():
            check_beam(str(beam), name, tops)
            out[tops.beam_names.index(str(beam))] = length
        return out[tops.beam]
    out = np.array(value, dtype=float)
    if out.ndim and out.shape != (tops.count,):
        raise FairingError(
            f"{out.size} values of {name}", f"there are {tops.count} readings", "", "give one, or one for each"
        )
    return np.broadcast_to(out, (tops.count,)).copy()
