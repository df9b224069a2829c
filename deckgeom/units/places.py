"""
A place off the centreline: so much to port or to starboard, or the deck edge itself.
"""

from __future__ import annotations

import re

from .errors import LengthError, question
from .reading import parse_length
from .text import tidy
from .writing import echo, format_length

_SIDES = {
    **dict.fromkeys(("p", "port", "larboard"), "port"),
    **dict.fromkeys(("s", "stbd", "stb", "starboard"), "starboard"),
}
_MIDDLE = {"centre", "center", "centreline", "centerline", "middle", "cl"}
_EDGE = {"edge", "deck edge"}
_SIDE = r"(larboard|port|starboard|stbd|stb|p|s)"
_LEADING = re.compile(rf"{_SIDE}(?:\b\.?[ :]*|(?=[0-9.]))(?=[^a-z]|deck|edge)(.*)")
_TRAILING = re.compile(rf"(.*?) ?(?<![a-z]){_SIDE}\.?")


def parse_offcentre(text: str | float, units: str = "mm") -> float | str:
    """
    Read a place off the centreline with its side.

    Parameters
    ----------
    text : str or float
        `P 1-2-0`, `300 S`, `300 starboard`, `port edge`, `0`, `centreline`.
    units : {"mm", "ft-in-8", "in"}
        The units of the boat folder.

    Returns
    -------
    float or str
        Starboard positive, port negative; or "port edge" or "starboard edge". [mm]

    Raises
    ------
    LengthError
        A question where no side is named.

    Examples
    --------
    >>> parse_offcentre("P 1-2-0"), parse_offcentre("300 S"), parse_offcentre("port edge")
    (-355.6, 300.0, 'port edge')
    """
    if not isinstance(text, str):
        return _sideless(str(text), parse_length(text, units), units)
    plain = tidy(text)
    if plain in _MIDDLE:
        return 0.0
    side, rest = _split(plain)
    if side is None:
        return _sideless(text, parse_length(text, units), units)
    if rest in _EDGE:
        return f"{side} edge"
    if not rest:
        raise LengthError(
            text, "a side alone is not a place", "the number left out", f"Write {side} 300, or {side} edge."
        )
    length = parse_length(rest, units)
    if length < 0:
        raise LengthError(text, "a place with a side has no minus", "the side named twice, by word and by sign")
    return (-length if side == "port" else length) + 0.0


def format_offcentre(y: float, units: str = "mm") -> str:
    """
    Write a place off the centreline, unsigned, with its side.

    Parameters
    ----------
    y : float
        Starboard positive. [mm]
    units : {"mm", "ft-in-8", "in"}
        The units of the boat folder.

    Returns
    -------
    str
        To 1 mm or 1/16 in.

    Examples
    --------
    >>> format_offcentre(-355.6, "ft-in-8"), format_offcentre(0.2)
    ('1\\' 2" port', 'centreline')
    """
    words = format_length(abs(y), units)
    if words == format_length(0, units):
        return "centreline"
    return f"{words} {'port' if y < 0 else 'starboard'}"


def _split(plain: str) -> tuple[str | None, str]:
    match = _LEADING.fullmatch(plain)
    if match:
        return _SIDES[match[1]], match[2].strip()
    match = _TRAILING.fullmatch(plain)
    if match:
        return _SIDES[match[2]], match[1].strip(" ,")
    return None, plain


def _sideless(text: str, length: float, units: str) -> float:
    if length == 0:
        return 0.0
    size = abs(length)
    readings = [("port", -size), ("starboard", size)]
    raise question(
        text,
        readings,
        [echo(size, units).replace(" (", ", ").rstrip(")")] * 2,
        f"Write P or S with it: P {text.strip().lstrip('-+ ')}.",
    )
