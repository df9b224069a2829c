"""One row of `values.csv`: a value from outside, and what this package gives for the same inputs."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from deckgeom.units.measures import MM_PER_INCH

__all__ = ["COLUMNS", "SEEN", "Row", "given", "read_values"]

COLUMNS = ("id", "what", "inputs", "how", "expected", "unit", "within", "reason", "source", "seen")

#: How a value was seen, in words.
SEEN = {
    "S": "read in the source",
    "S*": "read in a reprint or transcription of the source",
    "D": "derived from first principles",
    "M": "from memory, or common practice without a source",
}

#: What one of each unit is in the package's own: mm, degrees, N, MPa, N/m for strings.
UNITS = {
    "": 1.0, "mm": 1.0, "m": 1000.0, "in": MM_PER_INCH, "ft": 12 * MM_PER_INCH, "eighths": MM_PER_INCH / 8, "deg": 1.0,
    "N": 1.0, "lb": 4.4482216152605, "MPa": 1.0, "GPa": 1000.0, "kg/m3": 1.0, "degC": 1.0, "%": 1.0, "per m2": 1e-6,
    "lb/ft": 4.4482216152605 / (12 * MM_PER_INCH / 1000), "m2/L": 1.0, "min": 1.0,
}  # fmt: skip

_NUMBER = re.compile(r"([-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?)(?:/(\d+))?(?:\s+(\S.*))?")


def _number(text: str) -> float | None:
    """Value of a number with its unit, in the package's own units; None for words."""
    found = _NUMBER.fullmatch(text)
    if not found or (found[3] or "") not in UNITS:
        return None
    return float(Fraction(found[1]) / int(found[2] or 1)) * UNITS[found[3] or ""]


def given(inputs: str) -> dict[str, float | str]:
    """
    Read the inputs of a row, which are words for a reader and numbers for the package at once.

    Parameters
    ----------
    inputs : str
        ``name = value unit`` apart by semicolons; what is no number with a known unit stays words.

    Returns
    -------
    dict of str to float or str
        Lengths in mm, angles in degrees, whatever unit they are written in.

    Examples
    --------
    >>> given("half-breadth = 2 in; u = 1/4; shape = circle")
    {'half_breadth': 50.8, 'u': 0.25, 'shape': 'circle'}
    """
    found = {}
    for part in inputs.split(";"):
        name, equals, value = (text.strip() for text in part.partition("="))
        if not equals or not value:
            raise ValueError(f"inputs {inputs!r}: {part.strip()!r} is not written as name = value. Is the = left out?")
        number = _number(value)
        found[re.sub(r"[\s-]+", "_", name)] = value if number is None else number
    return found


@dataclass(frozen=True)
class Row:
    """
    One value from outside the package.

    Parameters
    ----------
    id, what, inputs : str
        Its number, such as ``A3b``; what it is the value of; what goes in, as `given` reads it.
    how : str
        Name of the function that works it out with the package.
    expected, unit : str
        As printed or derived; a number in the unit, or words.
    within, reason : str
        How far ours may differ, in the same unit, or ``exact``; and why that far.
    source, seen : str
        Where it is from; one of `SEEN`.

    Examples
    --------
    >>> row = Row("A2", "radius", "half-breadth = 1500 mm; camber = 100 mm", "circle_radius", "11300", "mm", "1e-6",
    ...           "rounding of the computer", "Euclid III.35", "D")
    >>> row.group, row.ours, row.agrees
    ('A', 11300.0, True)
    """

    id: str
    what: str
    inputs: str
    how: str
    expected: str
    unit: str
    within: str
    reason: str
    source: str
    seen: str

    def __post_init__(self) -> None:
        if self.seen not in SEEN:
            known = ", ".join(SEEN)
            raise ValueError(f"row {self.id}: seen {self.seen!r} is none of {known}. Is a comma missing before it?")
        if self.unit not in UNITS:
            raise ValueError(f"row {self.id}: the unit {self.unit!r} is none of {', '.join(filter(None, UNITS))}.")

    @property
    def group(self) -> str:
        """Letter of its notebook."""
        return self.id[0]

    @property
    def value(self) -> float | str:
        """What is expected: a number where it is one, else words."""
        try:
            return float(Fraction(self.expected))
        except ValueError:
            return self.expected

    @property
    def ours(self) -> float | str:
        """What the package gives for the same inputs, in the row's unit."""
        from deckgeom.bench.published.registry import WAYS

        if self.how not in WAYS:
            raise KeyError(f"row {self.id}: no way {self.how!r} to work it out. Is it spelt another way?")
        found = WAYS[self.how](**given(self.inputs))
        return found if isinstance(found, str) else float(found) / UNITS[self.unit]

    @property
    def tolerance(self) -> float:
        """How far ours may differ; for an exact number what the computer's own rounding leaves."""
        return 1e-12 * max(abs(self.value), 1.0) if self.within == "exact" else float(self.within)

    def agreed(self, ours: float | str) -> bool:
        """
        Say whether a result is near enough.

        Parameters
        ----------
        ours : float or str
            In the row's unit. [1]
        """
        if isinstance(self.value, str) or isinstance(ours, str):
            return ours == self.value
        return abs(ours - self.value) <= self.tolerance

    @property
    def agrees(self) -> bool:
        """Whether the package agrees with it."""
        return self.agreed(self.ours)


def read_values(path: str | Path = "values.csv") -> tuple[Row, ...]:
    """
    Read the file of published values.

    Parameters
    ----------
    path : str or Path
        The file; beside the notebooks it is ``values.csv``.

    Returns
    -------
    tuple of Row

    Examples
    --------
    >>> read_values("nowhere.csv")
    Traceback (most recent call last):
    FileNotFoundError: no file of values at 'nowhere.csv': it lies beside the notebooks that show it.
    """
    if not Path(path).is_file():
        raise FileNotFoundError(f"no file of values at {str(path)!r}: it lies beside the notebooks that show it.")
    with open(path, encoding="utf-8", newline="") as file:
        rows = tuple(Row(**row) for row in csv.DictReader(file))
    names = [row.id for row in rows]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise ValueError(f"{path}: rows {', '.join(twice)} stand there twice. Give one of each another number.")
    return rows
