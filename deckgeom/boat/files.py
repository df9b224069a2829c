"""
The text of a file that a person made, whatever program saved it.
"""

from __future__ import annotations

import codecs
from pathlib import Path

from .log import Log

LARGEST = 200_000_000
"""A boat's file is smaller than this. [bytes]"""

_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig", ""),
    (codecs.BOM_UTF16_LE, "utf-16", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16", "UTF-16"),
)


def read_text(path: Path, log: Log) -> str | None:
    """
    Read a file as text, from UTF-8 with or without a mark, UTF-16 or the older Western European encoding.

    Parameters
    ----------
    path : Path
        A file, which may be missing.
    log : Log
        Takes the complaints.

    Returns
    -------
    str or None
        With single `\\n` line ends; None where there is nothing to read.

    Examples
    --------
    >>> import pathlib
    >>> read_text(pathlib.Path("no such folder", "offsets.csv"), Log()) is None
    True
    """
    data = _bytes(path, log)
    if data is None:
        return None
    if data.startswith(_WORKBOOKS):
        log.mend(path.name, None, "", "", "the file is plain text", "a spreadsheet saved in its own format, not as CSV")
        return None
    text = _decoded(path.name, data, log)
    if text is None:
        return None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _bytes(path: Path, log: Log) -> bytes | None:
    try:
        if path.is_dir():
            log.mend(path.name, None, "", "", "this is a file", "a folder stands under the file's name")
            return None
        if not path.exists() and not path.is_symlink():
            return None
        if path.exists() and not path.is_file():
            log.mend(path.name, None, "", "", "this is a file", "a pipe or a device stands under the file's name")
            return None
        if path.stat().st_size > LARGEST:
            log.mend(path.name, None, "", "", f"a boat's file is under {LARGEST // 10**6} MB", "another file's name")
            return None
        return path.read_bytes()
    except OSError as error:
        slip = "no leave to read it, or another program holds it"
        slip = "a link that leads nowhere" if path.is_symlink() else slip
        log.mend(path.name, None, "", "", f"the file cannot be read ({error.strerror or type(error).__name__})", slip)
        return None


def _decoded(name: str, data: bytes, log: Log) -> str | None:
    for mark, encoding, words in _MARKS:
        if data.startswith(mark):
            return _tried(name, data, encoding, words, log)
    even, odd = data[:4000:2].count(0), data[1:4000:2].count(0)
    if max(even, odd) > min(len(data), 4000) / 8 > 2 * min(even, odd):
        return _tried(name, data, "utf-16-le" if odd > even else "utf-16-be", "UTF-16 without its mark", log)
    if b"\x00" in data:
        return _not_text(name, data, log)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        log.note(
            name,
            None,
            "",
            "",
            "the file is not in UTF-8 and is read as Western European (Windows-1252)",
            alike="encoding",
        )
        return data.decode("cp1252", errors="replace")


def _tried(name: str, data: bytes, encoding: str, words: str, log: Log) -> str | None:
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        text = "\x00"
    if "\x00" in text:
        return _not_text(name, data, log)
    if words:
        log.note(name, None, "", "", f"the file is in {words} and is read as such", alike="encoding")
    return text


def _not_text(name: str, data: bytes, log: Log) -> None:
    """Complain about bytes that no text holds; a few of them alone are a disk or a stick that failed."""
    row, slip = None, "a picture, a scan or a program's own format"
    try:
        lines = data.decode("utf-8").replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError:
        lines = ""
    if 0 < lines.count("\x00") < len(lines) / 20:
        row, slip = lines[: lines.index("\x00")].count("\n") + 1, "a disk, a stick or a transfer that failed"
    log.mend(name, row, "", "", "the file is plain text", slip)
