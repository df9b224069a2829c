"""
Forces in words, in the units that go with the boat's own.
"""

from __future__ import annotations

import re

from deckgeom.fairing.beam_tops import FairingError

__all__ = ["force_words", "parse_force"]

#: Newtons in a pound-force: exact, from the international pound and standard gravity.
POUND_FORCE = 0.45359237 * 9.80665
_SAID = re.compile(r"\s*(\d+(?:\.\d*)?|\.\d+)\s*(N|lbf|lb|lbs|)\s*", re.IGNORECASE)


def force_words(force: float, units: str = "mm") -> str:
    """
    Say a force: newtons beside millimetres, pounds-force beside inches.

    Parameters
    ----------
    force : float
        [N]
    units : {"mm", "ft-in-8", "in"}
        The boat's units of length.

    Returns
    -------
    str

    Examples
    --------
    >>> force_words(125.6), force_words(125.6, "in"), force_words(0.2)
    ('126 N', '28 lbf', 'less than 1 N')
    """
    size, unit = (force, "N") if units == "mm" else (force / POUND_FORCE, "lbf")
    return f"{size:.0f} {unit}" if size >= 0.5 or size == 0 else f"less than 1 {unit}"


def parse_force(text: str | float, units: str = "mm") -> float:
    """
    Read a force that was typed.

    Parameters
    ----------
    text : str or float
        ``"500 N"``, ``"110 lbf"``; a bare number is newtons in a boat in millimetres, else pounds-force.
    units : {"mm", "ft-in-8", "in"}
        The boat's units of length.

    Returns
    -------
    float
        [N]

    Examples
    --------
    >>> parse_force("500 N"), round(parse_force("110", "in"), 1), round(parse_force("110 lbf"), 1)
    (500.0, 489.3, 489.3)
    >>> parse_force("5 stone")
    Traceback (most recent call last):
    ...
    deckgeom.fairing.beam_tops.FairingError: a force '5 stone': give a number with N or lbf. Write 500 N or 110 lbf.
    """
    said = _SAID.fullmatch(str(text))
    if not said:
        raise FairingError(f"a force {str(text)[:40]!r}", "give a number with N or lbf", "", "write 500 N or 110 lbf")
    unit = said[2].lower() or ("n" if units == "mm" else "lbf")
    return float(said[1]) * (1.0 if unit == "n" else POUND_FORCE)
