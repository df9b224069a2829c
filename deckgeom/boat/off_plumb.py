"""
How a mast or a chainplate stands off plumb, as people write it: so many degrees, or so much along for so much up.
"""

from __future__ import annotations

import re

from deckgeom.units import LengthError

from .beams_file import rake_in_degrees

MOST = 45.0
"""From here on it lies rather than stands. [deg]"""

_RAKES = {"aft": 1.0, "forward": -1.0, "fwd": -1.0, "fore": -1.0}
_LEANS = {"port": -1.0, "p": -1.0, "starboard": 1.0, "stbd": 1.0, "s": 1.0, "inboard": 0.0, "outboard": 0.0}
_WORDS = "|".join(sorted({*_RAKES, *_LEANS}, key=len, reverse=True))
_WAY = re.compile(
    rf"(?:(?P<first>{_WORDS})(?![a-z])[ :]*(?P<after>.*)|"
    rf"(?P<before>.*?)(?:\bto )?(?<![a-z])(?P<last>{_WORDS}))\.?",
    re.I,
)


def rake_off_plumb(text: str) -> float:
    """
    Read a rake: which way the top lies along the boat, and how far.

    Parameters
    ----------
    text : str
        `4 aft`, `2.5 deg forward`, `1:12 aft`, `3/8"/ft`, `0`; without a word the top lies aft, as in the list of
        beams, and with a minus forward.

    Returns
    -------
    float
        Above nought the top lies aft. [deg]

    Raises
    ------
    LengthError
        For a word of the other column, a way named twice, or more than can be bored.

    Examples
    --------
    >>> rake_off_plumb("4 aft"), rake_off_plumb("forward 2.5 deg"), round(rake_off_plumb("1:12"), 2)
    (4.0, -2.5, 4.76)
    """
    amount, way = _parted(text)
    if way is not None and way not in _RAKES:
        rule = "a rake is aft or forward"
        raise LengthError(text, rule, "a lean in the column of the rake", "Write it in the column lean.")
    degrees = _degrees(text, amount, way)
    return degrees * _RAKES.get(way, 1.0) + 0.0


def lean_off_plumb(text: str) -> tuple[float, str]:
    """
    Read a lean: which way the top lies across the boat, and how far.

    Parameters
    ----------
    text : str
        `3 P`, `4 deg inboard`, `1:20 to starboard`, `0`.

    Returns
    -------
    (float, str)
        Nought or more [deg], and "port", "starboard", "inboard", "outboard" or, where it is nought, "".

    Raises
    ------
    LengthError
        A question where no side is named.

    Examples
    --------
    >>> lean_off_plumb("3 P"), lean_off_plumb("1:20 inboard")[1], lean_off_plumb("0")
    ((3.0, 'port'), 'inboard', (0.0, ''))
    """
    amount, way = _parted(text)
    if way in _RAKES:
        rule = "a lean is to port or starboard, inboard or outboard"
        raise LengthError(text, rule, "a rake in the column of the lean", "Write it in the column rake.")
    degrees = _degrees(text, amount, way)
    if not degrees:
        return 0.0, ""
    if way is None:
        rule = "a lean names its side"
        amount = amount.lstrip("+-\u2212\u2013 ")
        advice = f"Write {amount} P, {amount} S or {amount} inboard."
        raise LengthError(text, rule, "the side left out", advice)
    return degrees, way if _LEANS[way] == 0.0 else "port" if _LEANS[way] < 0 else "starboard"


def signed_lean(degrees: float, way: str, y: float | str) -> float | None:
    """
    A lean with its sign.

    Parameters
    ----------
    degrees : float
        Nought or more. [deg]
    way : str
        As `lean_off_plumb` gives it.
    y : float or str
        Where it stands, starboard positive, or the edge of a side. [mm]

    Returns
    -------
    float or None
        Above nought the top lies to starboard; None on the centreline, where nothing is inboard. [deg]

    Examples
    --------
    >>> signed_lean(4.0, "inboard", "port edge"), signed_lean(4.0, "outboard", -600.0), signed_lean(4.0, "inboard", 0.0)
    (4.0, -4.0, None)
    """
    if way in ("inboard", "outboard"):
        side = (-1.0 if y.startswith("port") else 1.0) if isinstance(y, str) else float(y)
        if not side:
            return None
        return (degrees if side < 0 else -degrees) * (1.0 if way == "inboard" else -1.0)
    return -degrees if way == "port" else degrees


def _parted(text: str) -> tuple[str, str | None]:
    """How much, and the word of the way in it, if one is."""
    plain = " ".join(text.split())
    match = _WAY.fullmatch(plain)
    if match is None:
        return plain, None
    way = (match["first"] or match["last"]).lower()
    return (match["after"] if match["first"] else match["before"]).strip(" ,"), way


def _degrees(text: str, amount: str, way: str | None) -> float:
    if way is not None and not amount:
        raise LengthError(text, "a way alone is not how far", "the number left out", f"Write 4 {way}.")
    try:
        degrees = rake_in_degrees(amount)
    except LengthError as error:
        if "plumb," not in error.rule:
            raise _lying(text) from None
        slip = error.slip or ("the run written before the rise" if ":" in amount else "a length in this column")
        advice = "Write it like 4 aft, 3 P, 4 deg inboard or 1:12 aft."
        raise LengthError(text, "this is in degrees off plumb, or a slope", slip, advice) from None
    if way is not None and degrees < 0:
        raise LengthError(text, "what names its way has no minus", "the way named twice, by word and by sign")
    if abs(degrees) >= MOST:
        raise _lying(text)
    return degrees


def _lying(text: str) -> LengthError:
    rule = f"what goes through a deck stands less than {MOST:g} degrees off plumb"
    return LengthError(text, rule, "measured from level and not from plumb")
