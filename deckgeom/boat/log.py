"""
Collects complaints while a folder is read: all of them, but never a thousand of one kind.
"""

from __future__ import annotations

import difflib
from collections import Counter

from deckgeom.complaint import Complaint
from deckgeom.units import LengthError

MOST_ALIKE = 20
"""So many complaints of one kind about one column are shown; the others are counted in one line."""


class Log:
    """
    Complaints in the order in which they arise.

    Examples
    --------
    >>> log = Log()
    >>> log.mend("offsets.csv", 7, "x", "abc", "a length holds a number")
    >>> [str(complaint) for complaint in log.complaints()]
    ["offsets.csv, row 7, column x, 'abc': a length holds a number."]
    """

    def __init__(self) -> None:
        self._kept: list[Complaint] = []
        self._alike: Counter = Counter()
        self._last: dict[tuple, int] = {}

    def say(self, complaint: Complaint, alike: str | None = None) -> None:
        """Keep one complaint, unless many of its kind (`alike`, or else the same rule) stand already."""
        key = (complaint.file, complaint.column, complaint.kind, complaint.rule if alike is None else alike)
        self._alike[key] += 1
        if self._alike[key] <= MOST_ALIKE:
            self._kept.append(complaint)
        elif complaint.row is not None:
            self._last[key] = complaint.row

    def mend(self, file, row, column, value, rule, slip="", alike=None) -> None:
        """Say that something is left out until it is mended."""
        self.say(Complaint(file, row, column, value, rule, slip), alike)

    def ask(self, file, row, column, value, rule, slip="", alike=None) -> None:
        """Ask about something that is used as it stands."""
        self.say(Complaint(file, row, column, value, rule, slip, "ask"), alike)

    def note(self, file, row, column, value, rule, slip="", alike=None) -> None:
        """Say what was understood."""
        self.say(Complaint(file, row, column, value, rule, slip, "note"), alike)

    def refusal(self, file, row, column, value, error: LengthError) -> None:
        """Complain about a text that cannot be read with certainty; it is left out until it is mended."""
        rule = error.rule if not error.advice else f"{_stopped(error.rule)} {error.advice}"
        self.mend(file, row, column, value, rule, error.slip, alike="doubtful" if error.readings else "unreadable")

    def complaints(self) -> tuple[Complaint, ...]:
        """All that was said, and one line more for each kind of which there were too many to show."""
        more = []
        for key, count in self._alike.items():
            if count > MOST_ALIKE:
                file, column, kind, _ = key
                rule = f"{count - MOST_ALIKE} more like the one before it in this column"
                if key in self._last:
                    rule += f", the last in row {self._last[key]}"
                more.append(Complaint(file, None, column, "", rule, "", kind))
        return (*self._kept, *more)


def _stopped(text: str) -> str:
    return text if text.endswith((".", "?")) else text + "."


def nearest(word: str, known) -> str | None:
    """
    The known word that a person most likely meant.

    Parameters
    ----------
    word : str
        As typed.
    known : iterable of str
        What there is.

    Returns
    -------
    str or None
        None where nothing is near.

    Examples
    --------
    >>> nearest("heigth", ["x", "height", "station"])
    'height'
    """
    close = difflib.get_close_matches(str(word).lower(), list(known), 1, 0.6)
    return close[0] if close else None
