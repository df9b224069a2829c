"""
Collects complaints while a folder is read: all of them, but never a thousand of one kind.
"""

from __future__ import annotations

import difflib
import re
from collections import Counter

from deckgeom.complaint import Complaint
from deckgeom.units import LengthError

MOST_ALIKE = 20
"""So many complaints of one kind about one column are shown; the others are counted in one line."""

MOST_OF_A_RULE = 60
"""So many complaints of one kind about one file are shown, whatever their columns."""

_VARYING = re.compile(r"'[^']*'|[0-9][0-9./'\" ]*")


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
        self._of_a_rule: Counter = Counter()
        self._last: dict[tuple, int] = {}

    def say(self, complaint: Complaint, alike: str | None = None) -> None:
        """Keep one complaint, unless many of its kind (`alike`, or else the same rule) stand already."""
        alike = _VARYING.sub("", complaint.rule) if alike is None else alike
        key = (complaint.file, complaint.column, complaint.kind, alike)
        if key not in self._alike and self._of_a_rule[key[::2], alike] >= MOST_OF_A_RULE:
            key = (complaint.file, "", complaint.kind, alike)
            self._alike[key] = max(self._alike[key], MOST_ALIKE)
        self._alike[key] += 1
        if self._alike[key] <= MOST_ALIKE:
            self._of_a_rule[key[::2], alike] += 1
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
                rule = f"{count - MOST_ALIKE} more like the one before it in this {'column' if column else 'file'}"
                if key in self._last:
                    rule += f", the last in row {self._last[key]}"
                more.append(Complaint(file, None, column, "", rule, "", kind))
        return (*self._kept, *more)


def few(complaints) -> tuple[Complaint, ...]:
    """
    The same complaints, but never a thousand of one kind.

    Parameters
    ----------
    complaints : iterable of Complaint
        As they arose.

    Returns
    -------
    tuple of Complaint
        With one line more for each kind of which there were too many to show.

    Examples
    --------
    >>> print(few(Complaint("a.csv", row, "x", f"q{row}", "a length holds a number") for row in range(2, 99))[-1])
    a.csv, column x: 77 more like the one before it in this column, the last in row 98.
    """
    log = Log()
    for complaint in complaints:
        log.say(complaint)
    return log.complaints()


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
