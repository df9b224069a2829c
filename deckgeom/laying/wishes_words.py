"""
Lines about wishes as they are shown: alike ones once, lengths in the folder's units.
"""

from __future__ import annotations

import re

from deckgeom.units import format_length

__all__ = ["alike_once", "in_units"]

_NUMBER = r"-?\d+(?:\.\d+)?"
_LENGTHS = re.compile(rf"((?:{_NUMBER}(?:, | by | to | and | on ))*{_NUMBER}) mm(?![\d/²])")
_PART = re.compile(r"\b(?:Beam|Carlin|Pad|Butts?|Joint)\b[^:]*(?=: )")
"""The name of one part of the framing, or of one row, before what is told of it."""
_ANY = re.compile(r"\d+(\.\d+)?")


def alike_once(lines) -> tuple[str, ...]:
    """
    Lines that differ in the name of a beam, a carlin or the like, and in numbers, told once.

    Parameters
    ----------
    lines : sequence of str
        "Beam 3: none will do: 41 mm holds ..."

    Returns
    -------
    tuple of str
        The first of each kind, with how many there are.

    Examples
    --------
    >>> alike_once(["ply: Beam 1: 30 mm is short", "ply: Beam 2: 31 mm is short", "no cloth"])
    ('ply: Beam 1 and 1 more like it: 30 mm is short', 'no cloth')
    """
    kinds: dict[str, list[str]] = {}
    for line in dict.fromkeys(lines):
        named = _PART.search(line)
        kinds.setdefault(_ANY.sub("#", _PART.sub("@", line)) if named else line, []).append(line)
    return tuple(
        _PART.sub(rf"\g<0> and {len(alike) - 1} more like it", alike[0], 1) if len(alike) > 1 else alike[0]
        for alike in kinds.values()
    )


def in_units(line: str, units: str) -> str:
    """
    A line whose lengths are told in millimetres, in the folder's units.

    Parameters
    ----------
    line : str
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    str

    Examples
    --------
    >>> in_units("sheets of 2440 by 1220 mm", "in"), in_units("2440 mm long", "mm")
    ('sheets of 96 1/16 in by 48 1/16 in', '2440 mm long')
    """

    def told(match) -> str:
        return re.sub(_NUMBER, lambda number: format_length(float(number[0]), units), match[1])

    return line if units == "mm" else _LENGTHS.sub(told, line)
