"""Labelled controls for a live panel: a slider, a number, a choice, a tick box."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from deckgeom.units import parse_length

#: Steps between the places at which a drawing can be read. [mm]
STRIDE = {"mm": 50.0, "in": parse_length("3in"), "ft-in-8": parse_length("3in")}


@dataclass(frozen=True)
class Slider:
    """
    A value that slides between two ends in equal steps.

    Parameters
    ----------
    key : str
        Name of the argument that it becomes.
    label : str
        What the reader sees and hears.
    low, high, step : float
        Ends and step. [any unit; ``say`` names it]
    value : float
        Where it stands at first. [as the ends]
    say : callable, optional
        Puts a value into words, read out beside the slider: a length in tape language, say.
    read : callable, optional
        Reads a value that was given as words.

    Examples
    --------
    >>> slider = Slider("camber", "Camber", 0, 20, 5, 10, say=lambda v: f"{v:g} mm")
    >>> slider.spec()["says"]
    ['0 mm', '5 mm', '10 mm', '15 mm', '20 mm']
    >>> slider.accept("12")
    10.0
    """

    key: str
    label: str
    low: float
    high: float
    step: float
    value: float
    say: Callable[[float], str] = "{:g}".format
    read: Callable[[str], float] = float

    def _count(self) -> int:
        return round((self.high - self.low) / self.step)

    def spec(self) -> dict[str, Any]:
        """
        Return what the page needs to draw it.

        Examples
        --------
        >>> Slider("a", "A", 0, 1, 1, 0).spec()["kind"]
        'slider'
        """
        says = [self.say(self.low + k * self.step) for k in range(self._count() + 1)]
        return {
            "kind": "slider",
            "key": self.key,
            "label": self.label,
            "low": self.low,
            "step": self.step,
            "steps": self._count(),
            "says": says,
        }

    def accept(self, value: Any) -> float:
        """
        Return the nearest step to a value, kept between the ends.

        Examples
        --------
        >>> Slider("a", "A", 0, 1, 0.25, 0).accept(7)
        1.0
        """
        wanted = self.read(value) if isinstance(value, str) else float(value)
        step = min(max(round((wanted - self.low) / self.step), 0), self._count())
        return float(self.low + step * self.step)


@dataclass(frozen=True)
class Entry:
    """
    A cell to type in; what is typed is handed on as it stands, so that any notation of a length may be used.

    Parameters
    ----------
    key : str
        Name of the argument that it becomes.
    label : str
        What the reader sees and hears.
    value : str
        What stands in it at first.
    hint : str
        Shown while it is empty.

    Examples
    --------
    >>> Entry("figure", "Camber", "1:32").accept("3/8in per ft")
    '3/8in per ft'
    """

    key: str
    label: str
    value: str = ""
    hint: str = ""

    def spec(self) -> dict[str, Any]:
        """
        Return what the page needs to draw it.

        Examples
        --------
        >>> Entry("a", "A").spec()["kind"]
        'entry'
        """
        return {"kind": "entry", "key": self.key, "label": self.label, "hint": self.hint}

    def accept(self, value: Any) -> str:
        """
        Return what was typed, as words.

        Examples
        --------
        >>> Entry("a", "A").accept(94)
        '94'
        """
        return str(value)[:200]


@dataclass(frozen=True)
class Choice:
    """
    One of several named things.

    Parameters
    ----------
    key : str
        Name of the argument that it becomes.
    label : str
        What the reader sees and hears.
    options : sequence of str
        What there is to choose from.
    value : str
        What is chosen at first.

    Examples
    --------
    >>> Choice("rule", "Rule", ("one mould", "no hump"), "no hump").accept("one mould")
    'one mould'
    >>> Choice("rule", "Rule", ("one mould", "no hump"), "no hump").accept("two moulds")
    Traceback (most recent call last):
    ...
    ValueError: Rule cannot be 'two moulds': choose one of 'one mould', 'no hump'.
    """

    key: str
    label: str
    options: Sequence[str]
    value: str

    def spec(self) -> dict[str, Any]:
        """
        Return what the page needs to draw it.

        Examples
        --------
        >>> Choice("a", "A", ("x",), "x").spec()["options"]
        ['x']
        """
        return {"kind": "choice", "key": self.key, "label": self.label, "options": list(self.options)}

    def accept(self, value: Any) -> str:
        """
        Return the option, or say which there are.

        Examples
        --------
        >>> Choice("a", "A", ("x", "y"), "x").accept("y")
        'y'
        """
        if value not in self.options:
            named = ", ".join(map(repr, self.options[:12]))
            raise ValueError(f"{self.label} cannot be {str(value)[:60]!r}: choose one of {named}.")
        return str(value)


@dataclass(frozen=True)
class Tick:
    """
    Something that is so, or not.

    Parameters
    ----------
    key : str
        Name of the argument that it becomes.
    label : str
        What the reader sees and hears.
    value : bool
        Whether it is ticked at first.

    Examples
    --------
    >>> Tick("humps", "Mark the humps", True).accept(0)
    False
    """

    key: str
    label: str
    value: bool = False

    def spec(self) -> dict[str, Any]:
        """
        Return what the page needs to draw it.

        Examples
        --------
        >>> Tick("a", "A").spec()["kind"]
        'tick'
        """
        return {"kind": "tick", "key": self.key, "label": self.label}

    def accept(self, value: Any) -> bool:
        """
        Return true or false.

        Examples
        --------
        >>> Tick("a", "A").accept(True)
        True
        """
        return bool(value)


Control = Slider | Entry | Choice | Tick
