"""
One line for each thing in a boat's files that needs mending, asking or knowing.
"""

from __future__ import annotations

from dataclasses import dataclass

KINDS = ("mend", "ask", "note")
"""What a complaint wants: data to mend, a question to answer, or nothing (information)."""

_LONGEST_VALUE = 40


@dataclass(frozen=True)
class Complaint:
    """
    One wrong or doubtful thing in a file that a person typed, said in one line.

    Parameters
    ----------
    file : str
        Name of the file inside the boat folder.
    row : int or None
        Line of the file as an editor counts it, from 1; None where there is no one line.
    column : str
        Name of the column or key; empty where there is none.
    value : str
        What stands there, as typed; empty where nothing stands there.
    rule : str
        What ought to hold.
    slip : str
        What most likely happened; may be empty.
    kind : {"mend", "ask", "note"}
        "mend": the data need mending and the value is left out. "ask": a question. "note": information.

    Examples
    --------
    >>> print(Complaint("offsets.csv", 7, "half_breadth", "0-0-x", "a length holds only numbers and units"))
    offsets.csv, row 7, column half_breadth, '0-0-x': a length holds only numbers and units.
    """

    file: str
    row: int | None
    column: str
    value: str
    rule: str
    slip: str = ""
    kind: str = "mend"

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"kind is {self.kind!r}; a complaint is one of {', '.join(KINDS)}")
        object.__setattr__(self, "column", "" if self.column is None else str(self.column))
        object.__setattr__(self, "value", "" if self.value is None else str(self.value))

    def __str__(self) -> str:
        parts = [one_line(self.file)]
        if self.row is not None:
            parts.append(f"row {self.row}")
        if self.column:
            parts.append(f"column {one_line(self.column)}")
        if self.value:
            parts.append(f"'{_shortened(one_line(self.value))}'")
        line = f"{', '.join(parts)}: {_sentence(self.rule)}"
        if self.slip:
            line += f" Likely slip: {_sentence(self.slip)}"
        return line


def needs_mending(complaints) -> bool:
    """
    Tell whether any of the complaints asks for data to be mended.

    Parameters
    ----------
    complaints : iterable of Complaint
        As collected from a boat.

    Returns
    -------
    bool
        True when at least one is of the kind "mend": the exit status is then 1.

    Examples
    --------
    >>> needs_mending([Complaint("boat.toml", None, "", "", "the file is missing", kind="note")])
    False
    """
    return any(complaint.kind == "mend" for complaint in complaints)


def one_line(text: str) -> str:
    """
    Write a text on one line of characters that can be printed: no line ends, no control codes, no turned direction.

    Parameters
    ----------
    text : str
        As typed.

    Returns
    -------
    str

    Examples
    --------
    >>> one_line("a\\n b\\x1b[2J")
    'a b [2J'
    """
    return "".join(c if c.isprintable() else " " for c in " ".join(str(text).split()))


def _shortened(text: str) -> str:
    return text if len(text) <= _LONGEST_VALUE else text[: _LONGEST_VALUE - 3] + "..."


def _sentence(text: str) -> str:
    text = one_line(text).strip()
    return text if text.endswith((".", "?", "!")) else text + "."
