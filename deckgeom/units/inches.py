"""
Feet, inches, eighths and fractions: the notations of a printed table of offsets.
"""

from __future__ import annotations

import re
from fractions import Fraction

from .errors import LengthError, doubt
from .measures import INCH

_NUMBER = r"[0-9]+\.[0-9]+|[0-9]+\.?|\.[0-9]+"
_EIGHTHS = re.compile(
    rf"(?P<feet>{_NUMBER})(?: ?- ?| ?' ?-? ?)(?P<inches>{_NUMBER})(?: ?- ?| ?\" ?- ?)"
    rf"(?P<eighths>{_NUMBER})(?P<part> [0-9]+ ?/ ?[0-9]+)? ?(?P<half>[+-]?)"
)
_FEET = re.compile(
    rf"(?P<feet>{_NUMBER})(?P<join> ?' ?-? ?| ?- ?)"
    rf"(?:(?P<inches>{_NUMBER})(?:[ -](?P<more>[0-9]+ ?/ ?[0-9]+))?|(?P<fraction>[0-9]+ ?/ ?[0-9]+)) ?(?P<mark>\"?)"
)
_DATE = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}.*|[0-9]{1,2}[-/.][0-9]{1,2}[-/.](?:[0-9]{2}|[0-9]{4})|.*\b[0-9]{1,2}-[a-z]{3}.*"
)
_PARTS = frozenset({2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 24, 32, 48, 64, 100, 128})


def eighths(text: str, plain: str, units: str) -> Fraction | None:
    """
    Read feet-inches-eighths: `1-7-4`, `1-7-4+`, `1-7-4 1/2`.

    Parameters
    ----------
    text, plain : str
        As typed; and tidied, without a sign, units as symbols.
    units : str
        The folder's units, for the words of a question.

    Returns
    -------
    Fraction or None
        The length, or None where the text is not of this form. [mm]

    Examples
    --------
    >>> float(eighths("1-7-4+", "1-7-4+", "mm") / INCH)
    19.5625
    """
    match = _EIGHTHS.fullmatch(plain)
    if not match:
        return None
    feet, inch, eighth = match["feet"], match["inches"], match["eighths"]
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", plain):
        raise unreadable(text, plain)
    if "." in feet + inch:
        raise LengthError(
            text,
            "feet and inches are whole numbers in feet-inches-eighths",
            "a decimal point in the wrong place",
            "Write feet, inches and eighths as 1-7-4, or inches alone as 19.5 in.",
        )
    part = Fraction(0)
    if match["part"]:
        part = fraction(text, match["part"], whole="0")
    count = Fraction(eighth) + part + {"+": Fraction(1, 2), "-": Fraction(-1, 2), "": 0}[match["half"]]
    total = 12 * int(feet) + int(inch) + count / 8
    if int(inch) >= 12:
        raise _inches_of_twelve(text, match, total, units)
    if Fraction(eighth) >= 8:
        raise _eighths_of_eight(text, match, total, units)
    return total * INCH


def feet_and_inches(text: str, plain: str, units: str) -> Fraction | None:
    """
    Read feet and inches with a mark or a fraction that tells them apart: `1' 7 9/16"`, `1'-7`, `1-7 9/16`, `1-7"`.

    Parameters
    ----------
    text, plain : str
        As typed; and tidied, without a sign, units as symbols.
    units : str
        The folder's units, for the words of a question.

    Returns
    -------
    Fraction or None
        The length, or None where the text is not of this form. [mm]

    Examples
    --------
    >>> float(feet_and_inches("1' 7 9/16\\"", "1' 7 9/16\\"", "mm") / INCH)
    19.5625
    """
    match = _FEET.fullmatch(plain)
    if not match or not ("'" in match["join"] or match["mark"] and match["inches"] or match["more"]):
        return None
    if "." in match["feet"]:
        raise LengthError(
            text,
            "feet are a whole number when inches follow",
            "a decimal point in the wrong place",
            "Write 1' 7 1/2\".",
        )
    if match["fraction"]:
        inch = fraction(text, match["fraction"], whole="0")
    else:
        inch = Fraction(match["inches"])
        if match["more"]:
            inch = mixed(text, match["inches"], match["more"])
    feet = int(match["feet"])
    if inch >= 12:
        raise _too_many_inches(text, feet, match["inches"], inch, units)
    if match["more"] and match["more"].endswith("/2") and "-" in match["join"] and not match["mark"] and inch < 8:
        raise _pair_question(text, feet, inch, units)
    return (12 * feet + inch) * INCH


def pair(text: str, plain: str, units: str) -> Fraction | None:
    """
    Ask about two numbers with a dash: `1-7` is feet and inches to one and inches and eighths to another.

    Parameters
    ----------
    text, plain : str
        As typed; and tidied, without a sign, units as symbols.
    units : str
        The folder's units, for the words of the question.

    Returns
    -------
    None
        Where the text is not of this form; otherwise the question is raised.

    Examples
    --------
    >>> pair("497", "497", "mm") is None
    True
    """
    match = re.fullmatch(rf"(?P<feet>{_NUMBER}) ?- ?(?P<inches>{_NUMBER}) ?[+-]?", plain)
    if not match:
        return None
    if "." in match["feet"]:
        raise unreadable(text, plain)
    raise _pair_question(text, int(match["feet"]), Fraction(match["inches"]), units)


def fraction(text: str, words: str, whole: str | None) -> Fraction:
    """
    Read `9/16`, refusing what no rule is divided into and asking about `13/8`.

    Parameters
    ----------
    text, words : str
        As typed, and the fraction alone.
    whole : str or None
        The whole number before it, None if there is none.

    Returns
    -------
    Fraction
        Its value.

    Examples
    --------
    >>> fraction("9/16", "9/16", None)
    Fraction(9, 16)
    """
    above, below = (int(part) for part in words.split("/"))
    if below not in _PARTS:
        raise LengthError(
            text,
            f"a rule is not divided into parts of 1/{below}",
            "a digit too many or too few below the line",
            "Write halves, quarters, eighths, sixteenths or the like.",
        )
    if above < below:
        return Fraction(above, below)
    if whole is not None:
        raise LengthError(text, "the fraction after a whole number is less than one", "a digit too many above the line")
    value = Fraction(above, below)
    digits = str(above)
    if len(digits) > 1 and 0 < int(digits[1:]) < below:
        readings = [(f"{above}/{below} in", float(value * INCH))]
        other = int(digits[0]) + Fraction(int(digits[1:]), below)
        readings.append((f"{digits[0]} {int(digits[1:])}/{below} in", float(other * INCH)))
        raise doubt(text, readings, "in", "Write the whole number apart: 1 5/8.")
    return value


def mixed(text: str, whole: str, part: str) -> Fraction:
    """
    Read a whole number and a fraction.

    Parameters
    ----------
    text, whole, part : str
        As typed; the whole number; the fraction.

    Returns
    -------
    Fraction
        Their sum.

    Examples
    --------
    >>> mixed("19 9/16", "19", "9/16")
    Fraction(313, 16)
    """
    if "." in whole:
        raise LengthError(text, "a fraction follows a whole number", "a decimal point and a fraction in one length")
    return int(whole) + fraction(text, part, whole=whole)


def whole_and_fraction(text: str, whole: str, part: str, units: str) -> LengthError:
    """
    Build the question for `19-9/16` with no unit: inches, or feet and a part of an inch.

    Parameters
    ----------
    text, whole, part, units : str
        As typed; the number before the dash; the fraction after it; the folder's units.

    Returns
    -------
    LengthError
        Not raised here.

    Examples
    --------
    >>> [round(mm) for words, mm in whole_and_fraction("19-9/16", "19", "9/16", "mm").readings]
    [497, 5805]
    """
    small = fraction(text, part, whole=whole)
    readings = [
        (f"{whole} {part} in", float((int(whole) + small) * INCH)),
        (f"{whole} ft 0 {part} in", float((12 * int(whole) + small) * INCH)),
    ]
    return doubt(text, readings, units, f'Write {whole} {part}" or {whole}\' {part}".')


def unreadable(text: str, plain: str) -> LengthError:
    """
    Build the error for a text of no known form, with the slip that it looks like.

    Parameters
    ----------
    text, plain : str
        As typed, and tidied.

    Returns
    -------
    LengthError
        Not raised here.

    Examples
    --------
    >>> unreadable("2004-07-01", "2004-07-01").slip
    'a spreadsheet has turned feet-inches-eighths into a date'
    """
    rule, slip = "this is not a length in any known notation", ""
    if _DATE.fullmatch(plain):
        slip = "a spreadsheet has turned feet-inches-eighths into a date"
    elif not re.search("[0-9]", plain):
        rule, slip = "a length holds a number and none stands here", "a note in a column of numbers"
    elif re.search(r"[0-9.]e[+-]?[0-9]", plain):
        slip = "a spreadsheet has shortened a long number"
    elif re.search(r"[0-9][ol]|[ol][0-9]", plain):
        slip = "a letter o or l for a nought or a one"
    elif re.search(r"[0-9] [0-9]", plain):
        slip = "two numbers in one cell, or a space as a thousands mark"
    elif re.search(r"[0-9] ?[+]", plain):
        slip = "the + (a sixteenth more) belongs after eighths only, as in 1-7-4+"
    elif re.search("[a-z]", plain):
        slip = "a letter or an unknown unit in a number"
    return LengthError(text, rule, slip, "Write it like one of 497, 49.7cm, 19 9/16 in, 1' 7 9/16\", 1-7-4+.")


def _pair_question(text: str, feet: int, inch: Fraction, units: str) -> LengthError:
    words = _words(inch)
    readings = [(f"{feet} ft {words} in", float((12 * feet + inch) * INCH))]
    if inch < 8:
        readings.append((f"{feet} in and {words} eighths", float((feet + inch / 8) * INCH)))
    else:
        readings.append((f"{feet} in and {words} sixteenths", float((feet + inch / 16) * INCH)))
    advice = f"Write {feet}' {words}\" for feet and inches"
    if inch < 8 and feet < 12:
        advice += f" or 0-{feet}-{words} for inches and eighths"
    return doubt(text, readings, units, advice)


def _inches_of_twelve(text: str, match: re.Match, total: Fraction, units: str) -> LengthError:
    feet, inch = match["feet"], match["inches"]
    less = Fraction(int(inch) - int(inch[-1])) if len(inch) > 1 else Fraction(0)
    fewer = total - less
    tail = match["eighths"] + (match["part"] or "") + match["half"]
    readings = [
        (f"{feet} ft and {inch} in and {tail} eighths", float(total * INCH)),
        (f"{feet}-{inch[-1]}-{tail}", float(fewer * INCH)),
    ]
    return doubt(
        text,
        readings,
        units,
        "There are 12 inches in a foot, so the middle number is 11 at most.",
    )


def _eighths_of_eight(text: str, match: re.Match, total: Fraction, units: str) -> LengthError:
    feet, inch, eighth = match["feet"], match["inches"], match["eighths"]
    count = Fraction(eighth)
    parts = 16 if count < 16 else 100
    other = 12 * int(feet) + int(inch) + count / parts
    name = "sixteenths" if parts == 16 else "hundredths"
    readings = [
        (f"{feet} ft {inch} in and {eighth} eighths", float(total * INCH)),
        (f"{feet} ft {inch} in and {eighth} {name}", float(other * INCH)),
    ]
    return doubt(
        text,
        readings,
        units,
        "There are 8 eighths in an inch, so the last number is 7 at most.",
    )


def _too_many_inches(text: str, feet: int, typed: str, inch: Fraction, units: str) -> LengthError:
    readings = [(f"{feet} ft and {_words(inch)} in", float((12 * feet + inch) * INCH))]
    if typed and re.fullmatch("[0-9]{3}", typed):
        readings.append((f"{feet}{typed} with a thousands mark", float(Fraction(f"{feet}{typed}"))))
    elif typed:
        whole = typed.partition(".")[0]
        fewer = 12 * feet + int(whole[-1]) + inch - int(whole)
        readings.append((f"{feet} ft {_words(fewer - 12 * feet)} in", float(fewer * INCH)))
    return doubt(text, readings, units, "There are 12 inches in a foot.")


def _words(value: Fraction) -> str:
    whole, part = divmod(value, 1)
    if not part:
        return str(whole)
    if part.denominator in _PARTS:
        return f"{whole} {part}" if whole else str(part)
    return str(float(value))
