"""
Tidy what a person typed before it is read: dashes, primes, fractions, spaces, decimal commas, unit words.
"""

from __future__ import annotations

import re
import unicodedata

from .errors import LengthError

LONGEST_TEXT = 60
"""Nobody writes a length in more characters than this."""

_MARKS = str.maketrans(
    {
        **dict.fromkeys("\u2032\u2019\u2018\u02b9\u00b4\u0060\u201b\uff07", "'"),
        **dict.fromkeys("\u2033\u201d\u201c\u201f\u3003\u02dd\u02ba\uff02", '"'),
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe63\uff0d\u00ad", "-"),
        **dict.fromkeys("\u2044\u2215\uff0f", "/"),
        **dict.fromkeys("\u200b\u200c\u200d\u2060\ufeff", None),
        "\u00b0": " deg",
        "\u2236": ":",
    }
)
_FRACTION_CHARACTER = re.compile(r"([0-9])([\u00bc-\u00be\u2150-\u215e\u2070\u00b9\u00b2\u00b3\u2074-\u2079])")

_WORDS = (
    ("'", r"feet|foot|ft\b\.?|ft(?=[0-9 -])"),
    ('"', r"inches|inch|in\b\.?|ins\b\.?|''"),
    ("mm", r"millimet(?:er|re)s?|mms?\b\.?"),
    ("cm", r"centimet(?:er|re)s?|cms?\b\.?"),
    ("m", r"met(?:er|re)s?|m\b\.?|m(?=[0-9])"),
)
_UNIT_WORDS = [(symbol, re.compile(rf"(?<![a-z])(?:{words})")) for symbol, words in _WORDS]

_GROUPED = re.compile(r"[0-9][0-9.,]*[0-9]")
_DOUBTFUL_COMMA = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


def tidy(text: str) -> str:
    """
    Write a text with plain characters: `-`, `'`, `"`, `/`, single spaces, lower case.

    Parameters
    ----------
    text : str
        As typed, in any alphabet of marks.

    Returns
    -------
    str
        The same in plain characters; at most 60 of them.

    Examples
    --------
    >>> tidy("1\u2032\u00a07\u00bd\u2033")
    '1\\' 7 1/2"'
    """
    if len(text) > LONGEST_TEXT:
        raise LengthError(
            text, f"a length is written in at most {LONGEST_TEXT} characters", "a note or a whole row in one cell"
        )
    plain = _FRACTION_CHARACTER.sub(r"\1 \2", text).translate(_MARKS)
    plain = unicodedata.normalize("NFKC", plain).translate(_MARKS).replace("''", '"')
    return " ".join(plain.lower().split())


def with_unit_symbols(plain: str) -> str:
    """
    Replace unit words by one symbol each: `'`, `"`, mm, cm, m.

    Parameters
    ----------
    plain : str
        A text as `tidy` gives it.

    Returns
    -------
    str
        The same with symbols for words.

    Examples
    --------
    >>> with_unit_symbols("1 foot 7 inches")
    '1 \\' 7 "'
    """
    for symbol, words in _UNIT_WORDS:
        plain = words.sub(symbol, plain)
    return plain


def without_commas(text: str, plain: str) -> tuple[str, str | None]:
    """
    Turn decimal commas into points and drop thousands marks.

    Parameters
    ----------
    text : str
        As typed, for the message.
    plain : str
        The same, tidied.

    Returns
    -------
    tuple of (str, str or None)
        The text with decimal points; and, where a comma may be either (`1,234`), the text with the comma dropped as
        a thousands mark.

    Examples
    --------
    >>> without_commas("49,7cm", "49,7cm")
    ('49.7cm', None)
    >>> without_commas("1,234", "1,234")
    ('1.234', '1234')
    """
    if "," not in plain and plain.count(".") < 2:
        return plain, None
    decimal = _GROUPED.sub(lambda match: _decimal(text, match.group()), plain)
    if "," in decimal:
        raise LengthError(
            text,
            "a comma stands between two digits",
            "two cells run together, or a comma at the end",
            "Write one length in each cell.",
        )
    if not _DOUBTFUL_COMMA.search(plain):
        return decimal, None
    doubtful = [match for match in _GROUPED.finditer(plain) if _DOUBTFUL_COMMA.fullmatch(match.group())]
    if not doubtful:
        return decimal, None
    return decimal, _GROUPED.sub(lambda match: _grouped(text, match.group()), plain)


def _decimal(text: str, number: str) -> str:
    """Read one number with the last separator as the decimal one, if the others group thousands."""
    marks = [mark for mark in number if mark in ",."]
    if not marks or marks == ["."]:
        return number
    last = marks[-1]
    if len(marks) == 1:
        return number.replace(",", ".")
    if len(set(marks)) == 1:
        return _ungrouped(text, number, last)
    whole, _, part = number.rpartition(last)
    other = "," if last == "." else "."
    if last in whole:
        raise _bad_groups(text)
    return f"{_ungrouped(text, whole, other)}.{part}"


def _grouped(text: str, number: str) -> str:
    return number.replace(",", "") if _DOUBTFUL_COMMA.fullmatch(number) else _decimal(text, number)


def _ungrouped(text: str, whole: str, mark: str) -> str:
    first, *others = whole.split(mark)
    if not 1 <= len(first) <= 3 or any(len(group) != 3 for group in others):
        raise _bad_groups(text)
    return first + "".join(others)


def _bad_groups(text: str) -> LengthError:
    return LengthError(
        text,
        "thousands are marked off in threes, and there is one decimal point or comma",
        "points or commas used between feet, inches and eighths",
        "Write feet, inches and eighths with dashes: 1-7-4.",
    )
