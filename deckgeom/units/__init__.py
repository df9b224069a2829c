"""
Lengths in and out: every notation that a builder meets becomes millimetres once, and leaves in tape language.

A length enters exactly as it was typed (fractions inside, no rounding), so two spellings of one length are equal; a
text that can be read two ways is never guessed at but asked about. Lengths leave to 1 mm or 1/16 in, never finer.
"""

from __future__ import annotations

from .errors import LengthError
from .measures import MM_PER_INCH, UNITS, check_units
from .places import format_offcentre, parse_offcentre
from .reading import parse_length
from .slopes import echo_slope, format_slope, parse_slope
from .writing import NOTATIONS, echo, format_length, write_length

__all__ = [
    "MM_PER_INCH",
    "NOTATIONS",
    "UNITS",
    "LengthError",
    "check_units",
    "echo",
    "echo_slope",
    "format_length",
    "format_offcentre",
    "format_slope",
    "parse_length",
    "parse_offcentre",
    "parse_slope",
    "write_length",
]
