"""
Slopes in and out: inches per foot, one in so many, millimetres per metre.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from numbers import Real

from .errors import LengthError, question
from .measures import INCH, check_units
from .reading import parse_length
from .text import tidy, without_commas
from .writing import format_length

_NUMBER = r"[0-9]+(?:\.[0-9]*)?|\.[0-9]+"
_RATIO = re.compile(rf"(?P<rise>{_NUMBER}) ?(?P<mark>:|/| in ) ?(?P<run>{_NUMBER})")
_PER = re.compile(
    r"(?P<rise>.+?) ?(?: per | to the | a | in (?=a |1 )|/ ?(?=[a-z]|1 ?[a-z'])) ?(?P<run>(?:a |1 ?)?[a-z']+\.?)"
)
_RUNS = {
    **dict.fromkeys(("ft", "foot", "feet", "'"), (12 * INCH, "in")),
    **dict.fromkeys(("m", "metre", "meter"), (Fraction(1000), "mm")),
    **dict.fromkeys(("in", "inch", '"'), (INCH, "in")),
    **dict.fromkeys(("cm",), (Fraction(10), "mm")),
}


def parse_slope(text: str | float) -> float:
    """
    Read a slope in any form.

    Parameters
    ----------
    text : str or float
        `3/8"/ft`, `3/8 in per foot`, `1:32`, `1 in 32`, `31 mm/m`, `3.1 %`.

    Returns
    -------
    float
        Rise over run. [-]

    Raises
    ------
    LengthError
        Where it is not a slope; a question where it may be two.

    Examples
    --------
    >>> parse_slope('3/8"/ft') == parse_slope("1:32") == parse_slope("31.25 mm/m")
    True
    """
    if isinstance(text, bool) or not isinstance(text, str | Real):
        raise _no_slope(str(text))
    return _parse(text if isinstance(text, str) else repr(float(text)))


@lru_cache(maxsize=1024)
def _parse(text: str) -> float:
    plain, grouped = without_commas(text, tidy(text))
    if grouped is not None:
        raise LengthError(text, "a comma may be a decimal or a thousands mark", advice="Write a point or no comma.")
    sign = -1 if plain.startswith("-") else 1
    bare = plain[1:].lstrip() if plain[:1] in ("-", "+") else plain
    for read in (_ratio, _percent, _per):
        value = read(text, bare)
        if value is not None:
            return float(sign * value)
    raise _bare_number(text, bare)


def _ratio(text: str, plain: str) -> Fraction | None:
    match = _RATIO.fullmatch(plain)
    if not match:
        return None
    rise, run = Fraction(match["rise"]), Fraction(match["run"])
    if not run:
        raise LengthError(text, "a slope rises over a length, and that is nought", "a digit left out")
    if rise > run:
        readings = [(f"{match['rise']} up on {match['run']} along", float(rise / run))]
        readings.append((f"{match['run']} up on {match['rise']} along", float(run / rise)))
        raise question(
            text, readings, [format_slope(value, "mm") for _, value in readings], "Write 1:32, the rise first."
        )
    return rise / run


def _percent(text: str, plain: str) -> Fraction | None:
    match = re.fullmatch(rf"({_NUMBER}) ?(?:%|percent|per cent)", plain)
    return Fraction(match[1]) / 100 if match else None


def _per(text: str, plain: str) -> Fraction | None:
    match = _PER.fullmatch(plain)
    if not match:
        return None
    run = re.sub(r"^(?:a |1 ?)", "", match["run"]).rstrip(".")
    if run not in _RUNS:
        return None
    length, units = _RUNS[run]
    try:
        rise = parse_length(match["rise"], units)
    except LengthError as error:
        raise LengthError(text, f"the rise '{match['rise']}' is not clear", error.slip, error.advice) from None
    return Fraction(rise) / length


def _bare_number(text: str, plain: str) -> LengthError:
    if not re.fullmatch(_NUMBER, plain):
        return _no_slope(text)
    value = Fraction(plain)
    readings = [
        (f"{plain} mm in a metre", float(value / 1000)),
        (f"{plain} in in a foot", float(value / 12)),
        (f"{plain} up on 1 along", float(value)),
    ]
    return question(text, readings, [format_slope(v, "mm") for _, v in readings], 'Write 31 mm/m, 3/8"/ft or 1:32.')


def _no_slope(text: str) -> LengthError:
    return LengthError(text, "this is not a slope in any known form", advice='Write it like 3/8"/ft, 1:32 or 31 mm/m.')


def format_slope(slope: float, units: str = "mm") -> str:
    """
    Write a slope in the words of the boat's units.

    Parameters
    ----------
    slope : float
        Rise over run. [-]
    units : {"mm", "ft-in-8", "in"}
        Millimetres to the metre, or inches to the foot.

    Returns
    -------
    str
        To 1 mm in a metre or 1/16 in in a foot.

    Examples
    --------
    >>> format_slope(1 / 32), format_slope(1 / 32, "in")
    ('31 mm/m', '3/8"/ft')
    """
    check_units(units)
    if units == "mm":
        return f"{format_length(slope * 1000, 'mm')}/m"
    return format_length(float(Fraction(slope) * 12 * INCH), "in").removesuffix(" in") + '"/ft'


def echo_slope(slope: float, units: str = "mm") -> str:
    """
    Write a slope in the boat's own units and, in brackets, in the other kind and as a ratio.

    Parameters
    ----------
    slope : float
        Rise over run. [-]
    units : {"mm", "ft-in-8", "in"}
        The units of the boat folder, named first.

    Returns
    -------
    str
        All three.

    Examples
    --------
    >>> echo_slope(1 / 32, "in")
    '3/8"/ft (31 mm/m, 1:32)'
    """
    other = "in" if units == "mm" else "mm"
    ratio = f"1:{1 / slope:.3g}" if slope > 0 else "no rise" if slope == 0 else f"falling 1:{-1 / slope:.3g}"
    return f"{format_slope(slope, units)} ({format_slope(slope, other)}, {ratio})"
