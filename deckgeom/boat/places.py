"""
Where each cell of a table stands in its file.
"""

from __future__ import annotations

import re

_COMMENT = re.compile(r"^[ \t]*#[^\r\n]*", re.MULTILINE)
_QUOTED_WHOLE = re.compile(r'\s*"(.*)"\s*')


def one_end(text: str) -> str:
    """
    Give a text single line ends.

    Parameters
    ----------
    text : str

    Returns
    -------
    str

    Examples
    --------
    >>> one_end("a\\r\\nb\\rc")
    'a\\nb\\nc'
    """
    return text.replace("\r\n", "\n").replace("\r", "\n")


def lex(text: str, separator: str, quoted: bool) -> list[tuple[int, list[str], list[tuple[int, int]]]]:
    """
    Find every cell of every row that is not blank and no comment.

    Parameters
    ----------
    text : str
        A whole file, its line ends as they are.
    separator : str
        What stands between two cells.
    quoted : bool
        Whether a quotation mark at the beginning of a cell opens it.

    Returns
    -------
    list of (int, list of str, list of (int, int))
        Line that the row begins on, its cells as the reader of tables takes them, and where each stands in the text.

    Examples
    --------
    >>> lex("# mine\\nbeam, x\\n", ",", True)
    [(2, ['beam', 'x'], [(7, 11), (12, 14)])]
    """
    text = _COMMENT.sub(lambda found: " " * len(found[0]), text)
    found, place, line = [], 0, 1
    while place < len(text):
        first, cells, spans = line, [], []
        while True:
            start = place
            cell, place = _cell(text, place, separator, quoted)
            line += one_end(text[start:place]).count("\n")
            cells.append(cell)
            spans.append((start, place))
            if place < len(text) and text[place] == separator:
                place += 1
                continue
            break
        if place < len(text):
            place += 2 if text[place : place + 2] == "\r\n" else 1
            line += 1
        if "".join(cells).strip():
            found.append((first, cells, spans))
    return found


def _cell(text: str, place: int, separator: str, quoted: bool) -> tuple[str, int]:
    """One cell from a place, as the reader of tables takes it, and where it ends."""
    begin = place
    while place < len(text) and text[place] == " ":
        place += 1
    words = []
    if quoted and place < len(text) and text[place] == '"':
        place += 1
        while place < len(text):
            if text[place] == '"':
                if text[place + 1 : place + 2] != '"':
                    place += 1
                    break
                place += 1
            words.append(text[place])
            place += 1
        begin = place
    else:
        begin = place
    while place < len(text) and text[place] not in (separator, "\n", "\r"):
        place += 1
    plain = text[begin:place]
    if not quoted:
        whole = _QUOTED_WHOLE.fullmatch(plain)
        plain = whole[1].replace('""', '"') if whole else plain
    return one_end("".join(words)) + plain, place
