"""
What is raised when a length, slope or place cannot be read with certainty.
"""

from __future__ import annotations

from .writing import echo


class LengthError(ValueError):
    """
    A text that is not a length, or that can be read in two ways.

    Parameters
    ----------
    text : str
        What was typed.
    rule : str
        What ought to hold.
    slip : str
        What most likely happened; may be empty.
    advice : str
        What to type instead; may be empty.
    readings : tuple of (str, float)
        For a doubtful text each way to read it, in words, and its value. [mm, or rise over run]

    Examples
    --------
    >>> from deckgeom.units import parse_length
    >>> try:
    ...     parse_length("1-7")
    ... except LengthError as doubt:
    ...     print([words for words, mm in doubt.readings])
    ['1 ft 7 in', '1 in and 7 eighths']
    """

    def __init__(self, text: str, rule: str, slip: str = "", advice: str = "", readings=()) -> None:
        self.text = str(text)
        self.rule = rule
        self.slip = slip
        self.advice = advice
        self.readings = tuple(readings)
        parts = [f"'{self.text[:60]}': {rule}"]
        if slip:
            parts.append(f"Likely slip: {slip}")
        if advice:
            parts.append(advice)
        super().__init__(" ".join(part if part.endswith((".", "?")) else part + "." for part in parts))

    def __reduce__(self):
        return type(self), (self.text, self.rule, self.slip, self.advice, self.readings)


def doubt(text: str, readings, units: str, advice: str) -> LengthError:
    """
    Build the error for a length with several readings: a question that names each with its value.

    Parameters
    ----------
    text : str
        What was typed.
    readings : sequence of (str, float)
        Words and value of each way to read it. [mm]
    units : str
        The folder's units, for the values in words.
    advice : str
        What to type instead.

    Returns
    -------
    LengthError
        With `readings` set; not raised here.

    Examples
    --------
    >>> print(doubt("1-7", [("1 ft 7 in", 482.6), ("1 in and 7 eighths", 47.625)], "mm", "Write 1-7-0 or 0-1-7."))
    '1-7': is it 1 ft 7 in (483 mm, 19 in), or 1 in and 7 eighths (48 mm, 1 7/8 in)? Write 1-7-0 or 0-1-7.
    """
    return question(text, readings, [echo(mm, units).replace(" (", ", ").rstrip(")") for _, mm in readings], advice)


def question(text: str, readings, values, advice: str) -> LengthError:
    """
    Build the error for a text with several readings whose values are already in words.

    Parameters
    ----------
    text : str
        What was typed.
    readings : sequence of (str, float)
        Words and value of each way to read it.
    values : sequence of str
        The values as words for a person.
    advice : str
        What to type instead.

    Returns
    -------
    LengthError
        With `readings` set; not raised here.

    Examples
    --------
    >>> readings = [("31 mm in a metre", 0.031), ("31 up on 1 along", 31.0)]
    >>> print(question("31", readings, ["1:32", "31:1"], "Write it out."))
    '31': is it 31 mm in a metre (1:32), or 31 up on 1 along (31:1)? Write it out.
    """
    named = [f"{words} ({value})" for (words, _), value in zip(readings, values, strict=True)]
    return LengthError(text, f"is it {', or '.join(named)}?", advice=advice, readings=readings)
