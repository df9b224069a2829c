"""
A length as typed, in any notation a builder meets, read exactly once.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from numbers import Integral, Real

from . import inches
from .errors import LengthError, doubt
from .measures import INCH, LONGEST, check_units
from .text import tidy, with_unit_symbols, without_commas

_SIZES = {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000), '"': INCH, "'": 12 * INCH}

_NUMBER = r"[0-9]+\.[0-9]+|[0-9]+\.?|\.[0-9]+"
_FRACTION = r"[0-9]+ ?/ ?[0-9]+"
_QUANTITY = re.compile(
    rf"(?:(?P<number>{_NUMBER})(?:(?P<join> | ?- ?)(?P<more>{_FRACTION}))?|(?P<fraction>{_FRACTION}))"
    r" ?(?P<unit>mm|cm|m|\"|')?"
)
_METRIC = re.compile(
    rf"(?:(?P<m>{_NUMBER}) ?m ?)?(?:(?P<cm>{_NUMBER}) ?cm ?)?(?:(?P<mm>{_NUMBER}) ?mm)?",
)
_RUN_ON = re.compile(r"(?P<m>[0-9]+) ?m ?(?P<rest>[0-9]+)")


def parse_length(text: str | float, units: str = "mm") -> float:
    """
    Read a length in any notation.

    Parameters
    ----------
    text : str or float
        `1-7-4+`, `1-7-4 1/2`, `1' 7 9/16"`, `19 9/16`, `19.56in`, `497`, `49,7 cm`, `4.2m` ...; a number is in the
        folder's units.
    units : {"mm", "ft-in-8", "in"}
        The units of the boat folder: what a bare number means (inches in the last two).

    Returns
    -------
    float
        The length; two spellings of one length give the same float. [mm]

    Raises
    ------
    LengthError
        With the rule and the likely slip; for a text with two readings, a question that names both.

    Examples
    --------
    >>> parse_length("1-7-3+") == parse_length("1' 7 7/16\\"") == parse_length("19.4375 in")
    True
    >>> parse_length("49,7cm")
    497.0
    >>> try:
    ...     parse_length("1,234")
    ... except LengthError as question:
    ...     print(question.readings)
    (('1234', 1234.0), ('1.234', 1.234))
    """
    check_units(units)
    if isinstance(text, str):
        return _parse_text(text, units)
    return _of_number(text, units)


@lru_cache(maxsize=65536)
def _parse_text(text: str, units: str) -> float:
    plain = tidy(text)
    if not plain:
        raise LengthError(text, "a length is wanted and nothing stands here", advice="Write a length.")
    decimal, grouped = without_commas(text, plain)
    if grouped is None:
        return float(_believed(text, _signed(text, decimal, units)))
    return _which_comma(text, decimal, grouped, units)


def _which_comma(text: str, decimal: str, grouped: str, units: str) -> float:
    """Ask which of two a comma is, unless only one of them gives a length."""
    readings = []
    for words in (grouped, decimal):
        try:
            readings.append((words, float(_believed(text, _signed(text, words, units)))))
        except LengthError as error:
            failure = error
    if not readings:
        raise failure
    if len(readings) == 1:
        return readings[0][1]
    raise doubt(
        text,
        readings,
        units,
        f"Write {grouped} or {decimal}, with no comma.",
    )


def _of_number(number: float, units: str) -> float:
    if isinstance(number, bool) or not isinstance(number, Real):
        raise LengthError(str(number), "a length is a number or a text", advice="Write a length such as 497 or 1-7-4.")
    try:
        exact = Fraction(int(number)) if isinstance(number, Integral) else Fraction(repr(float(number)))
    except (ValueError, OverflowError):
        raise LengthError(str(number), "a length is a finite number", "a blank read as a number") from None
    return float(_believed(_shown(number), exact * (1 if units == "mm" else INCH)))


def _shown(number: float) -> str:
    return repr(number) if abs(number) < 10**40 else "a number of more than 40 digits"


def _believed(text: str, mm: Fraction) -> Fraction:
    if abs(mm) > LONGEST:
        raise LengthError(
            text, "no length on a boat is over a kilometre", "two cells run together, or a wrong unit", "Measure again."
        )
    return mm


def _signed(text: str, plain: str, units: str) -> Fraction:
    sign = -1 if plain.startswith("-") else 1
    bare = plain[1:].lstrip() if plain[:1] in ("-", "+") else plain
    try:
        return sign * _unsigned(text, with_unit_symbols(bare), units)
    except LengthError as error:
        if sign > 0 or not error.readings:
            raise
        turned = [(f"minus {words}", -mm) for words, mm in error.readings]
        raise doubt(text, turned, units, error.advice) from None


def _unsigned(text: str, plain: str, units: str) -> Fraction:
    for read in (inches.eighths, inches.feet_and_inches, inches.pair):
        found = read(text, plain, units)
        if found is not None:
            return found
    match = _QUANTITY.fullmatch(plain)
    if match:
        return _quantity(text, match, units)
    return _metric_sum(text, plain, units)


def _quantity(text: str, match: re.Match, units: str) -> Fraction:
    unit = match["unit"]
    join = (match["join"] or "").strip()
    if match["fraction"]:
        value = inches.fraction(text, match["fraction"], whole=None)
    else:
        value = Fraction(match["number"])
        if match["more"]:
            value = inches.mixed(text, match["number"], match["more"])
    parted = bool(match["fraction"] or match["more"])
    if unit:
        return value * _SIZES[unit]
    if join and units != "in":
        raise inches.whole_and_fraction(text, match["number"], match["more"], units)
    if units != "mm":
        return value * INCH
    if parted:
        raise _fraction_in_mm(text, value)
    return value


def _fraction_in_mm(text: str, value: Fraction) -> LengthError:
    typed = " ".join(text.split())
    readings = [(f"{typed} in", float(value * INCH)), (f"{typed} mm", float(value))]
    return doubt(
        text,
        readings,
        "mm",
        f"The folder is in mm, where fractions are not usual. Write {typed} in, or the millimetres with a point.",
    )


def _metric_sum(text: str, plain: str, units: str) -> Fraction:
    match = _METRIC.fullmatch(plain) if plain else None
    parts = [(name, Fraction(number)) for name, number in match.groupdict().items() if number] if match else []
    if parts:
        if any(value >= 1000 if name == "mm" else value >= 100 for name, value in parts[1:]):
            raise LengthError(text, "the smaller unit counts less than one of the larger", "a digit too many")
        return sum((value * _SIZES[name] for name, value in parts), Fraction(0))
    run_on = _RUN_ON.fullmatch(plain)
    if run_on:
        m, rest = run_on["m"], run_on["rest"]
        readings = [
            (f"{m} m {rest} cm", float(int(m) * 1000 + int(rest) * 10)),
            (f"{m} m {rest} mm", float(int(m) * 1000 + int(rest))),
        ]
        raise doubt(text, readings, units, "Write the unit after each number.")
    raise inches.unreadable(text, plain)
