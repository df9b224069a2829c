"""
How the value of each kind of key in boat.toml is read.
"""

from __future__ import annotations

from collections.abc import Callable

from deckgeom.deck.figure import CamberFigure
from deckgeom.deck.mould import CamberError
from deckgeom.units import LengthError, parse_length

from .log import nearest

MOST_LETTERS = 200
"""A name is written in fewer."""


def length(typed, units: str) -> float:
    """
    Read a length of nought or more.

    Parameters
    ----------
    typed : str or float
        As TOML gives it.
    units : str
        The folder's units.

    Returns
    -------
    float
        The length. [mm]

    Examples
    --------
    >>> length("3/8 in", "mm")
    9.525
    """
    if not isinstance(typed, str | int | float) or isinstance(typed, bool):
        raise LengthError(_shown(typed), "one length is wanted", "brackets round a single value, or a yes or no", "")
    value = parse_length(typed, units)
    if value < 0:
        raise LengthError(str(typed), "this length is nought or more", "a minus sign for a dash")
    return value


def any_length(typed, units: str) -> float:
    """
    Read a length of either sign.

    Parameters
    ----------
    typed : str or float
        As TOML gives it.
    units : str
        The folder's units.

    Returns
    -------
    float
        The length. [mm]

    Examples
    --------
    >>> any_length(-12, "mm")
    -12.0
    """
    return parse_length(typed, units)


def size(typed, units: str) -> float:
    """
    Read a length above nought.

    Parameters
    ----------
    typed : str or float
        As TOML gives it.
    units : str
        The folder's units.

    Returns
    -------
    float
        The length. [mm]

    Examples
    --------
    >>> size("1 3/4", "in")
    44.45
    """
    value = length(typed, units)
    if value == 0:
        raise LengthError(str(typed), "this length is above nought", "a blank typed as 0")
    return value


def lengths(typed, units: str) -> tuple[float, ...]:
    """
    Read a list of lengths; one alone is a list of one.

    Parameters
    ----------
    typed : list or str or float
        As TOML gives it.
    units : str
        The folder's units.

    Returns
    -------
    tuple of float
        The lengths. [mm]

    Examples
    --------
    >>> lengths(["3/8in", "6mm"], "mm")
    (9.525, 6.0)
    """
    return tuple(length(one, units) for one in (typed if isinstance(typed, list) else [typed]))


def two_lengths(typed, units: str) -> tuple[float, float]:
    """
    Read a pair of lengths above nought.

    Parameters
    ----------
    typed : list
        As TOML gives it.
    units : str
        The folder's units.

    Returns
    -------
    tuple of (float, float)
        The lengths. [mm]

    Examples
    --------
    >>> two_lengths(["8ft", "4ft"], "mm")
    (2438.4, 1219.2)
    """
    if not isinstance(typed, list) or len(typed) != 2:
        raise LengthError(_shown(typed), "two lengths are wanted", "one side left out", 'Write ["8ft", "4ft"].')
    return size(typed[0], units), size(typed[1], units)


def pairs(typed, units: str) -> tuple[tuple[float, float], ...]:
    """
    Read a list of pairs of lengths.

    Parameters
    ----------
    typed : list of list
        As TOML gives it.
    units : str
        The folder's units.

    Returns
    -------
    tuple of (float, float)
        The pairs, as they stand. [mm]

    Examples
    --------
    >>> pairs([["0", "0"], ["12in", "3/4in"]], "mm")
    ((0.0, 0.0), (304.8, 19.05))
    """
    if not isinstance(typed, list) or any(not isinstance(pair, list) or len(pair) != 2 for pair in typed):
        raise LengthError(
            _shown(typed), "a list of pairs is wanted", "a bracket left out", 'Write [["0", "0"], ["12in", "3/4in"]].'
        )
    return tuple((any_length(first, units), any_length(second, units)) for first, second in typed)


def text(typed, units: str) -> str:
    """
    Read a text.

    Parameters
    ----------
    typed : object
        As TOML gives it.
    units : str
        Not used.

    Returns
    -------
    str
        The text on one line.

    Examples
    --------
    >>> text("a shed", "mm")
    'a shed'
    """
    if isinstance(typed, list | dict):
        raise LengthError(_shown(typed), "one text is wanted", "brackets round a text")
    words = " ".join(str(typed).split())
    if len(words) > MOST_LETTERS:
        raise LengthError(words, f"at most {MOST_LETTERS} letters are wanted", "a note in the place of a name")
    return words


def flag(typed, units: str) -> bool:
    """
    Read true or false.

    Parameters
    ----------
    typed : object
        As TOML gives it.
    units : str
        Not used.

    Returns
    -------
    bool
        The answer.

    Examples
    --------
    >>> flag(True, "mm")
    True
    """
    if not isinstance(typed, bool):
        raise LengthError(_shown(typed), "true or false is wanted, without quotes", "a word in quotes")
    return typed


def number(least: float, most: float, whole: bool = False) -> Callable:
    """
    Make a reader of a plain number.

    Parameters
    ----------
    least, most : float
        Limits. [-]
    whole : bool
        Whether it counts something.

    Returns
    -------
    callable
        Gives the number, or raises `LengthError`.

    Examples
    --------
    >>> number(2, 60, whole=True)(4, "mm")
    4
    """
    kind = "whole number" if whole else "number"

    def read(typed, units: str):
        if isinstance(typed, bool) or not isinstance(typed, int if whole else int | float):
            raise LengthError(_shown(typed), f"a {kind} from {least:g} to {most:g} is wanted", "a text in quotes")
        if not least <= typed <= most:
            raise LengthError(_shown(typed), f"a {kind} from {least:g} to {most:g} is wanted", "another unit")
        return typed

    return read


def numbers(least: float, most: float) -> Callable:
    """
    Make a reader of a list of plain numbers; one alone is a list of one.

    Parameters
    ----------
    least, most : float
        Limits of each. [-]

    Returns
    -------
    callable
        Gives them in rising order, or raises `LengthError`.

    Examples
    --------
    >>> numbers(0.1, 60)([5, 1], "mm")
    (1, 5)
    """
    one = number(least, most)

    def read(typed, units: str) -> tuple[float, ...]:
        listed = typed if isinstance(typed, list) else [typed]
        if not listed:
            raise LengthError("[]", "at least one number is wanted", "the list left empty")
        return tuple(sorted({one(each, units) for each in listed}))

    return read


def choice(*words: str, also: dict[str, str] | None = None) -> Callable:
    """
    Make a reader of one of a few words.

    Parameters
    ----------
    words : str
        The words.
    also : dict of str to str, optional
        Other ways to write them.

    Returns
    -------
    callable
        Gives the word, or raises `LengthError` that names the nearest.

    Examples
    --------
    >>> choice("sawn", "laminated")("Sawn", "mm")
    'sawn'
    """
    known = {word: word for word in words} | (also or {})

    def read(typed, units: str) -> str:
        plain = " ".join(str(typed).lower().split())
        if isinstance(typed, str) and plain in known:
            return known[plain]
        near = nearest(plain, known)
        wanted = f"one of {', '.join(repr(word) for word in words)} is wanted".replace("'", '"')
        raise LengthError(_shown(typed), wanted, f'"{known[near]}" was meant' if near else "")

    return read


def figure(typed, units: str) -> CamberFigure:
    """
    Read a camber figure in any form.

    Parameters
    ----------
    typed : str or float
        As TOML gives it.
    units : str
        The folder's units.

    Returns
    -------
    CamberFigure
        How much camber, and of what.

    Examples
    --------
    >>> figure("1:32", "mm").camber_at(1500)
    93.75
    """
    if isinstance(typed, bool) or not isinstance(typed, str | int | float):
        raise LengthError(_shown(typed), "one camber figure is wanted", "brackets round a single value")
    words = typed if isinstance(typed, str) else repr(typed)
    try:
        return CamberFigure.parse(words, units)
    except LengthError:
        raise
    except CamberError as error:
        raise LengthError(words, str(error)) from None


def set_aside(typed, units: str):
    """
    Read which offsets must not pull the curve.

    Parameters
    ----------
    typed : str or list of str
        "beyond doubt", "none" or a list of station and column, such as ["13 half_breadth"].
    units : str
        Not used.

    Returns
    -------
    str or tuple of (str, str)
        The word, or column and station of each.

    Examples
    --------
    >>> set_aside(["13 half_breadth"], "mm")
    (('half_breadth', '13'),)
    """
    if isinstance(typed, str) and typed.strip().lower() in ("beyond doubt", "none"):
        return typed.strip().lower()
    items = typed if isinstance(typed, list) else [typed]
    found = []
    for item in items:
        station, _, column = str(item).strip().rpartition(" ")
        if not station or not column.startswith(("height", "half_breadth")):
            rule = '"beyond doubt", "none" or a list of station and column is wanted'
            raise LengthError(_shown(item), rule, "the column left out", 'Write ["13 half_breadth"].')
        found.append((column, station.strip()))
    return tuple(found)


def _shown(typed) -> str:
    return str(typed).lower() if isinstance(typed, bool) else str(typed)
