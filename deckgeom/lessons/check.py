"""
Say of an answer whether it is right, and if not, which slip it looks like; never what it ought to be.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from deckgeom.lessons.exercise import Answer, Slip
from deckgeom.units import LengthError, parse_length

NOT_TRIED, RIGHT, NOT_YET = "not tried yet", "right", "not yet"
NUMBER = re.compile(r"\s*([-+\u2212]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*(?:°|deg|degrees?|%)?\s*", re.IGNORECASE)
LAST_HINT = "Work it through once more from the first line of the task, and say each step aloud to your partner."


@dataclass(frozen=True)
class Reply:
    """
    What is said of an answer.

    Parameters
    ----------
    state : {"not tried yet", "right", "not yet"}
        How it stands.
    says : str
        What the learner is told; empty before anything was typed.
    slip : Slip, optional
        The known slip that it looks like.

    Examples
    --------
    >>> Reply("right", "Right.").slip is None
    True
    """

    state: str
    says: str = ""
    slip: Slip | None = None


def check(answer: Answer, typed: object, tries: int = 0) -> Reply:
    """
    Compare what was typed with the right answer.

    Parameters
    ----------
    answer : Answer
        The box.
    typed : object
        As typed: a length in any notation, a number, or one of the choices; blank if not tried.
    tries : int
        How many wrong answers came before: later ones get later hints. [-]

    Returns
    -------
    Reply
        Never holds the answer.

    Examples
    --------
    >>> half = Slip("half-beam for beam", 47.0)
    >>> box = Answer("A", "camber", "length", 94.0, 1.0, "mm", (half,), ("Which beam is the widest?",))
    >>> check(box, "").state, check(box, "9.4cm").state, check(box, "47").says
    ('not tried yet', 'right', 'Beam or half-beam? Read again which of the two the figure is meant for.')
    >>> check(box, "61").says
    'Which beam is the widest?'
    """
    if typed is None or not str(typed).strip():
        return Reply(NOT_TRIED)
    try:
        value = _read(answer, str(typed))
    except ValueError as unreadable:
        return Reply(NOT_YET, str(unreadable))
    if answer.accepts(value):
        return Reply(RIGHT, "Right." if answer.kind == "choice" else "Right, within the tolerance.")
    slip = _looks_like(answer, value)
    if slip:
        return Reply(NOT_YET, slip.says, slip)
    hints = answer.hints or (LAST_HINT,)
    return Reply(NOT_YET, hints[min(tries, len(hints) - 1)])


def _read(answer: Answer, typed: str) -> float | str:
    """The typed answer as a value. [mm, degrees, -, or the choice]"""
    if answer.kind == "length":
        try:
            return parse_length(typed, answer.units)
        except LengthError as error:
            raise ValueError(str(error)) from None
    if answer.kind == "choice":
        plain = " ".join(typed.casefold().split())
        for choice in answer.choices:
            if plain == choice.casefold():
                return choice
        raise ValueError(f"'{typed[:40]}' is none of the choices: {', '.join(answer.choices)}.")
    bare = typed.casefold().removesuffix(answer.unit.casefold()) if answer.unit else typed
    match = NUMBER.fullmatch(bare)
    if not match:
        what = "degrees" if answer.kind == "degrees" else "a number"
        raise ValueError(f"'{typed[:40]}' is not {what}. Type figures, such as 4.5.")
    return float(match[1].replace("\u2212", "-").replace(",", "."))


def _looks_like(answer: Answer, value: float | str) -> Slip | None:
    """The known slip that lies nearest, if it lies within the tolerance."""
    if answer.kind == "choice":
        return next((slip for slip in answer.slips if slip.value == value), None)
    near = [slip for slip in answer.slips if abs(slip.value - value) <= answer.tolerance * (1 + 1e-9)]
    return min(near, key=lambda slip: abs(slip.value - value), default=None)
