"""
Millimetres written in the language of the tape: to 1 mm or 1/16 in, never finer.
"""

from __future__ import annotations

import math
from fractions import Fraction

from .measures import INCH, check_units

NOTATIONS = ("mm", "cm", "m", "in", "decimal in", "ft-in", "ft-in-8")
"""The notations that `write_length` knows: 497 mm, 49.7 cm, 0.497 m, 19 9/16 in, 19.56 in, 1' 7 9/16", 1-7-4+."""


def format_length(mm: float, units: str = "mm", fine: bool = False) -> str:
    """
    Write a length as a person reads it off a tape.

    Parameters
    ----------
    mm : float
        The length. [mm]
    units : {"mm", "ft-in-8", "in"}
        The units of the boat folder.
    fine : bool
        For a "why?" detail only: 0.01 mm or 0.001 in.

    Returns
    -------
    str
        To 1 mm or 1/16 in, halves away from nought.

    Examples
    --------
    >>> format_length(93.75), format_length(93.75, "in"), format_length(493.7125, "ft-in-8")
    ('94 mm', '3 11/16 in', '1\\' 7 7/16"')
    >>> format_length(93.75, "in", fine=True)
    '3.691 in'
    """
    check_units(units)
    if units == "mm":
        return f"{_decimals(_exact(mm), 2 if fine else 0)} mm"
    inches = _exact(mm) / INCH
    if units == "in":
        return f"{_decimals(inches, 3) if fine else _sixteenths(inches)} in"
    return _feet_and_inches(inches, fine)


def write_length(mm: float, notation: str) -> str:
    """
    Write a length in one of the notations that can be read.

    Parameters
    ----------
    mm : float
        The length. [mm]
    notation : str
        One of `NOTATIONS`.

    Returns
    -------
    str
        To 1 mm or 1/16 in.

    Examples
    --------
    >>> [write_length(493.7125, notation) for notation in NOTATIONS]
    ['494 mm', '49.4 cm', '0.494 m', '19 7/16 in', '19.44 in', '1\\' 7 7/16"', '1-7-3+']
    """
    if notation not in NOTATIONS:
        raise ValueError(f"notation is {notation!r}; it is one of {', '.join(NOTATIONS)}")
    length = _exact(mm)
    inches = length / INCH
    if notation in ("cm", "m"):
        places = 1 if notation == "cm" else 3
        return f"{_decimals(Fraction(_nearest(length)) / 10 ** (1 if notation == 'cm' else 3), places)} {notation}"
    if notation == "decimal in":
        return f"{_decimals(Fraction(_nearest(inches * 16), 16), 2)} in"
    if notation == "ft-in-8":
        return _eighths(inches)
    return format_length(mm, {"ft-in": "ft-in-8"}.get(notation, notation))


def echo(mm: float, units: str = "mm") -> str:
    """
    Write a length in the boat's own units and, in brackets, in the other kind.

    Parameters
    ----------
    mm : float
        The length. [mm]
    units : {"mm", "ft-in-8", "in"}
        The units of the boat folder, named first.

    Returns
    -------
    str
        Both, each to 1 mm or 1/16 in.

    Examples
    --------
    >>> echo(93.75), echo(93.75, "in")
    ('94 mm (3 11/16 in)', '3 11/16 in (94 mm)')
    """
    other = "in" if units == "mm" else "mm"
    return f"{format_length(mm, units)} ({format_length(mm, other)})"


def _exact(mm: float) -> Fraction:
    if not math.isfinite(mm):
        raise ValueError(f"a length to be written is {mm!r}; only a finite number of millimetres can be")
    return Fraction(repr(float(mm)))


def _nearest(value: Fraction) -> int:
    """Round to the nearest whole number, halves away from nought."""
    whole = math.floor(abs(value) + Fraction(1, 2))
    return -whole if value < 0 else whole


def _decimals(value: Fraction, places: int) -> str:
    scaled = _nearest(value * 10**places)
    sign = "-" if scaled < 0 else ""
    whole, part = divmod(abs(scaled), 10**places)
    return f"{sign}{whole}" + (f".{part:0{places}d}" if places else "")


def _sixteenths(inches: Fraction) -> str:
    count = _nearest(inches * 16)
    whole, part = divmod(abs(count), 16)
    words = [str(whole)] if whole or not part else []
    if part:
        words.append(str(Fraction(part, 16)))
    return ("-" if count < 0 else "") + " ".join(words)


def _feet_and_inches(inches: Fraction, fine: bool) -> str:
    step = 1000 if fine else 16
    count = _nearest(inches * step)
    feet, rest = divmod(abs(count), 12 * step)
    within = Fraction(rest, step)
    words = [f"{feet}'"] if feet else []
    inches_words = _decimals(within, 3) if fine else _sixteenths(within)
    if feet and 0 < within < 1 and not fine:
        inches_words = f"0 {inches_words}"
    words.append(inches_words + '"')
    return ("-" if count < 0 else "") + " ".join(words)


def _eighths(inches: Fraction) -> str:
    count = _nearest(inches * 16)
    feet, rest = divmod(abs(count), 192)
    whole, part = divmod(rest, 16)
    sign = "-" if count < 0 else ""
    return f"{sign}{feet}-{whole}-{part // 2}{'+' if part % 2 else ''}"
