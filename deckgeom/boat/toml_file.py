"""
The keys of boat.toml with the line of each, as many as can be read.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, field
from pathlib import Path

from .files import read_text
from .log import Log

MOST_BAD_LINES = 50
"""After so many lines that are not TOML the rest is given up."""

_HEADER = re.compile(r"^\s*\[{1,2}\s*([\w-]+)\s*\]")
_KEY = re.compile(r"^\s*([\w-]+|\"[^\"]*\"|'[^']*')\s*=")
_AT_LINE = re.compile(r"at line (\d+)")
_TEXT = re.compile(r"\"(?:[^\"\\\n]|\\.)*\"|'[^'\n]*'|#.*")
_CURLY = re.compile("[\u201c\u201d\u201e\u2018\u2019]")


@dataclass
class Typed:
    """
    What a person typed in boat.toml.

    Parameters
    ----------
    file : str
        Name of the file.
    values : dict of str to object
        Each key with its section ("beams.siding") and its value.
    rows : dict of str to int
        Line of each key and of each section, from 1.
    spoilt : dict of str to str
        What stands on the lines that could not be read, by the key that begins them.

    Examples
    --------
    >>> Typed("boat.toml", {"beams.siding": "1 3/4 in"}, {"beams.siding": 7}).rows["beams.siding"]
    7
    """

    file: str
    values: dict[str, object] = field(default_factory=dict)
    rows: dict[str, int] = field(default_factory=dict)
    spoilt: dict[str, str] = field(default_factory=dict)


def read_keys(path: Path, log: Log) -> Typed | None:
    """
    Read a TOML file; a line that is not TOML is left out with a complaint and the rest is read.

    Parameters
    ----------
    path : Path
        boat.toml, which may be missing.
    log : Log
        Takes the complaints.

    Returns
    -------
    Typed or None
        None where there is no file that can be read.

    Examples
    --------
    >>> read_keys(Path("no such folder", "boat.toml"), Log()) is None
    True
    """
    text = read_text(path, log)
    if text is None:
        return None
    spoilt: dict[str, str] = {}
    tree = _tree(path.name, text.split("\n"), spoilt, log)
    values: dict[str, object] = {}
    for name, value in tree.items():
        if isinstance(value, dict):
            values.update({f"{name}.{key}": inner for key, inner in value.items()})
        else:
            values[name] = value
    sections = {name for name, value in tree.items() if isinstance(value, dict)}
    return Typed(path.name, values, _rows(text, sections), spoilt)


def _tree(file: str, lines: list[str], spoilt: dict[str, str], log: Log) -> dict:
    for _ in range(MOST_BAD_LINES):
        try:
            return tomllib.loads("\n".join(lines))
        except ValueError as error:  # TOMLDecodeError is one; a number of thousands of digits is another
            number = _bad_line(error, lines)
            if number is None:
                log.mend(file, None, "", "", f"the file is TOML ({_plain(error)})", "a bracket or a quote left open")
                return {}
            _complain(file, number, lines[number - 1], error, spoilt, log)
            lines[number - 1] = ""
        except RecursionError:
            break
    log.mend(file, None, "", "", "the file is TOML: key = value on each line", "another kind of file under this name")
    return {}


def _bad_line(error: Exception, lines: list[str]) -> int | None:
    """Line that TOML stumbles over, going back to the key that it belongs to."""
    match = _AT_LINE.search(str(error))
    number = min(int(match[1]), len(lines)) if match else len(lines)
    while number > 1 and not lines[number - 1].strip():
        number -= 1
    if not lines[number - 1].strip():
        return None
    return _left_open(number, lines) or number


def _left_open(number: int, lines: list[str]) -> int | None:
    """Line of the key above whose bracket was never closed, where TOML stumbles over the next key or section."""
    if not (_KEY.match(lines[number - 1]) or _HEADER.match(lines[number - 1])):
        return None
    first = number - 1
    while first > 0 and not (_KEY.match(lines[first - 1]) or _HEADER.match(lines[first - 1])):
        first -= 1
    if not first or not _KEY.match(lines[first - 1]):
        return None
    bare = _TEXT.sub("", "\n".join(lines[first - 1 : number - 1]).partition("=")[2])
    return first if bare.count("[") > bare.count("]") else None


def _plain(error: Exception) -> str:
    return re.sub(r"\s*\(at [^)]*\)", "", str(error)).strip() or "it is not"


def _complain(file: str, number: int, line: str, error: Exception, spoilt: dict[str, str], log: Log) -> None:
    key = _KEY.match(line)
    value = line.partition("=")[2].strip() if key else line.strip()
    name = key[1] if key else ""
    if "overwrite" in str(error).lower() or "twice" in str(error).lower():
        log.mend(file, number, name, value, "a key or section stands once; the first is kept", "a line copied twice")
        return
    spoilt.setdefault(name, value)
    slip = "a bracket or a quote left open, or no = sign"
    if _CURLY.search(line):
        slip = "curly quotes from a word processor; a text stands in straight ones"
    elif key and re.match(r"[^\"'\[{]*[0-9a-zA-Z]", value) and not re.match(r"^[\"'\[]", value):
        slip = f'no quotes: write {name} = "{value}"'
    log.mend(file, number, name, value, "this line is not key = value as TOML has it and is left out", slip, "TOML")


def _rows(text: str, sections: set[str]) -> dict[str, int]:
    """Line of each key; the first where one stands twice."""
    rows: dict[str, int] = {}
    section = ""
    for number, line in enumerate(text.split("\n"), 1):
        header = _HEADER.match(line)
        if header:
            section = header[1] + "."
            rows.setdefault(header[1], number)
            continue
        key = _KEY.match(line)
        if key:
            rows.setdefault(section + key[1].strip("\"'"), number)
    return rows
