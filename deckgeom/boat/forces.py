"""
The pull on a string and its weight, as a person has them: from a spring balance, a bucket or a label.
"""

from __future__ import annotations

import re

from deckgeom.units import MM_PER_INCH, LengthError
from deckgeom.units.text import tidy, without_commas

GRAVITY = 9.80665
"""Standard gravity, by definition (3rd General Conference on Weights and Measures, 1901). [m/s2]"""

POUND = 0.45359237
"""One pound, by definition (1959). [kg]"""

_FORCES = {
    **dict.fromkeys(("", "n", "newton", "newtons"), 1.0),
    **dict.fromkeys(("kn",), 1000.0),
    **dict.fromkeys(("kg", "kgf", "kilo", "kilos"), GRAVITY),
    **dict.fromkeys(("g", "gram", "grams", "gramme", "grammes"), GRAVITY / 1000),
    **dict.fromkeys(("lb", "lbs", "lbf", "pound", "pounds"), POUND * GRAVITY),
    **dict.fromkeys(("oz", "ounce", "ounces"), POUND * GRAVITY / 16),
}
_RUNS = {"m": 1.0, "metre": 1.0, "ft": 12 * MM_PER_INCH / 1000, "foot": 12 * MM_PER_INCH / 1000}
_FORCE = re.compile(r"(?P<number>[0-9]+\.?[0-9]*|\.[0-9]+) ?(?P<unit>[a-z]*)\.?(?: ?(?:/|per) ?(?P<run>[a-z]+))?")


def parse_pull(text: str) -> float:
    """
    Read a pull.

    Parameters
    ----------
    text : str
        `130 N`, `30 lb`, `13 kg`; a bare number is newtons.

    Returns
    -------
    float
        [N]

    Examples
    --------
    >>> round(parse_pull("30 lb"), 3)
    133.447
    """
    value, run = _read(text)
    if run:
        raise LengthError(text, "a pull is a force alone", "weight and pull swapped", "Write it like 130 N or 30 lb.")
    return value


def parse_string_weight(text: str) -> float:
    """
    Read the weight of a string for each metre or foot of it.

    Parameters
    ----------
    text : str
        `0.0225 N/m`, `2.3 g/m`, `.0015396 lb/ft`; a bare number is newtons per metre.

    Returns
    -------
    float
        [N per m of length]

    Examples
    --------
    >>> round(parse_string_weight(".0015396 lb/ft"), 6)
    0.022469
    """
    value, run = _read(text)
    if run:
        return value / _RUNS[run]
    if tidy(text).strip("0123456789., "):
        raise LengthError(
            text, "the weight is for each metre or foot of string", "the whole string weighed", "Write it like 2.3 g/m."
        )
    return value


def _read(text: str) -> tuple[float, str]:
    plain, grouped = without_commas(text, tidy(text))
    match = _FORCE.fullmatch(plain)
    if grouped is not None or not match or match["unit"] not in _FORCES or (match["run"] or "m") not in _RUNS:
        raise LengthError(
            text, "this is not a pull or a weight in any known unit", advice="Write it like 130 N, 30 lb, 2.3 g/m."
        )
    return float(match["number"]) * _FORCES[match["unit"]], match["run"] or ""
