"""
How long glue can be worked, in the pot and spread out, and batches that fit it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from deckgeom.laying.glue import figures

__all__ = ["Batches", "Crew", "Tin", "WorkingTime", "batches", "working_time"]

#: Part of the pot time within which a pot is emptied. Own margin, no source.
POT_SHARE = 0.5


@dataclass(frozen=True)
class Tin:
    """
    What the tin says of time.

    Parameters
    ----------
    pot : float
        Time in the pot. [min]
    at_degc : float
        The temperature that it is stated for. [degC]
    film : float or None
        Time spread out, or open time, at the same temperature; None where the tin does not say. [min]
    second : (float, float) or None
        Time in the pot at another temperature, where the tin or a trial gives it: takes the place of the rule. [min],
        [degC]

    Examples
    --------
    >>> Tin(pot=20, at_degc=25).film is None
    True
    """

    pot: float
    at_degc: float
    film: float | None = None
    second: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        times = [self.pot, *([self.film] if self.film is not None else []), *([self.second[0]] if self.second else [])]
        if not all(0 < each < math.inf for each in times):
            raise ValueError(f"times of {', '.join(f'{t:g}' for t in times)} minutes: each is above 0. Is one left "
                "blank?")
        if self.film is not None and self.film < self.pot:
            raise ValueError(
                f"a film time of {self.film:g} minutes with a pot time of {self.pot:g}: spread out it lasts longer "
                "than "
                "in the pot. Are the two swapped?"
            )
        if self.second:
            _check_second(self)


def _check_second(tin: Tin) -> None:
    minutes, degc = tin.second
    if (minutes - tin.pot) * (degc - tin.at_degc) >= 0:
        raise ValueError(
            f"{tin.pot:g} minutes at {tin.at_degc:g} degC and {minutes:g} at {degc:g}: the warmer one is shorter. Are "
            "they "
            "swapped, or is one in degrees Fahrenheit?"
        )


@dataclass(frozen=True)
class WorkingTime:
    """
    How long it can be worked at one temperature.

    Parameters
    ----------
    pot : float
        In the pot. [min]
    film : (float, float)
        Spread out, from and to. [min]
    degc : float
        [degC]
    basis : str

    Examples
    --------
    >>> WorkingTime(20, (80, 100), 25, "by the tin").words()
    'At 25 degC: 20 minutes in the pot, 80 to 100 spread out (by the tin).'
    """

    pot: float
    film: tuple[float, float]
    degc: float
    basis: str

    def words(self, units: str = "mm") -> str:
        """In a sentence."""
        low, high = (f"{each:.0f}" for each in self.film)
        degrees = f"{self.degc:.0f} degC" if units == "mm" else f"{self.degc * 9 / 5 + 32:.0f} degF"
        film = low if low == high else f"{low} to {high}"
        return f"At {degrees}: {self.pot:.0f} minutes in the pot, {film} spread out ({self.basis})."


def working_time(tin: Tin, degc: float, own=()) -> WorkingTime:
    """
    Times at the temperature of the shed and of the resin.

    Parameters
    ----------
    tin : Tin
    degc : float
        The warmer of shed and resin. [degC]
    own : sequence of mapping
        The user's own rows, as in `figures`.

    Returns
    -------
    WorkingTime

    Notes
    -----
    .. math:: t(T) = t_0 \\, 2^{(T_0 - T)/10}

    common practice, no source; where the tin gives a second figure the curve of the same kind goes through both. A film
    lasts 4 to 5 times as long as the pot (makers' data), unless the tin says.

    Examples
    --------
    >>> working_time(Tin(20, 25), 15).words()[:57]
    'At 15 degC: 40 minutes in the pot, 160 to 200 spread out '
    """
    if not -10 <= degc <= 60:
        raise ValueError(f"{degc:g} degC in the shed: between -10 and 60 is believed. Is it in degrees Fahrenheit?")
    rows = figures(own)
    if tin.second:
        minutes, at = tin.second
        factor = (minutes / tin.pot) ** ((degc - tin.at_degc) / (at - tin.at_degc))
        basis = "temperature by the tin's two figures"
    else:
        step = rows["warming that halves the time"]
        factor = 2 ** ((tin.at_degc - degc) / step["likely"])
        basis = f"time halves with each {step['likely']:g} degC: {step['source']}, {step['seen']}"
        basis = basis if degc != tin.at_degc else "by the tin"
    if tin.film is not None:
        return WorkingTime(tin.pot * factor, (tin.film * factor,) * 2, degc, basis)
    ratio = rows["film time over pot time"]
    film = (tin.pot * factor * ratio["low"], tin.pot * factor * ratio["high"])
    basis += f"; film {ratio['low']:g} to {ratio['high']:g} times the pot: {ratio['source']}"
    return WorkingTime(tin.pot * factor, film, degc, basis)


@dataclass(frozen=True)
class Crew:
    """
    The hands at work. The rates are common practice, no source: time one small piece and give your own.

    Parameters
    ----------
    people : int
        With three or more, one does nothing but mix and hand.
    spread : float
        Area that one person wets and coats. [m2/min]
    drive : float
        Fastenings that one person drives. [1/min]
    mix : float
        To measure and mix one batch. [min]

    Examples
    --------
    >>> Crew(3).workers, Crew(2).workers
    (2, 2)
    """

    people: int = 2
    spread: float = 0.25
    drive: float = 3.0
    mix: float = 4.0

    def __post_init__(self) -> None:
        if self.people < 1 or not (self.spread > 0 and self.drive > 0 and self.mix >= 0):
            raise ValueError(
                f"{self.people} people who spread {self.spread:g} m2 and drive {self.drive:g} fastenings a minute: "
                "there is "
                "at least one, and rates are above 0. Is one left blank?"
            )

    @property
    def workers(self) -> int:
        """Those who spread and drive."""
        return self.people - 1 if self.people >= 3 else self.people


@dataclass(frozen=True)
class Batches:
    """
    Equal batches.

    Parameters
    ----------
    count : int
    litres : float
        Each. [L]
    why : str
        What holds their size down.

    Examples
    --------
    >>> Batches(3, 0.25, "the largest that you mix").words()
    '3 batches of 0.25 litres, no larger for the largest that you mix.'
    """

    count: int
    litres: float
    why: str

    def words(self, units: str = "mm") -> str:
        """In a sentence."""
        each = f"{self.litres:.2f} litres" if self.litres >= 0.095 else f"{self.litres * 1000:.0f} ml"
        if self.count == 1:
            return f"one batch of {each}."
        return f"{self.count} batches of {each}, no larger for {self.why}."


def batches(litres: float, area: float, time: WorkingTime, crew: Crew, largest: float = 0.5) -> Batches:
    """
    Batches that are out of the pot before it heats.

    Parameters
    ----------
    litres : float
        In all. [L]
    area : float
        That they are spread on. [m2]
    time : WorkingTime
    crew : Crew
    largest : float
        That you mix at once, or that your pots hold. [L]

    Returns
    -------
    Batches

    Notes
    -----
    A batch holds at most what is spread in half the pot time, an own margin without a source.

    Examples
    --------
    >>> batches(3.0, 9.0, WorkingTime(20, (80, 100), 25, ""), Crew(2, spread=0.1)).count
    6
    """
    if not (litres > 0 and area > 0 and largest > 0):
        raise ValueError(f"{litres:g} litres on {area:g} m2 from pots of {largest:g}: each is above 0. Is one left "
            "blank?")
    spread = litres / area * crew.spread * crew.workers * time.pot * POT_SHARE
    size, why = (spread, "the time in the pot") if spread < largest else (largest, "the largest that you mix")
    count = math.ceil(litres / size - 1e-9)
    return Batches(count, litres / count, why)
