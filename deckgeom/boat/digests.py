"""
What a boat's files hold, as short digests: the same content gives the same digest, whatever the clock says.
"""

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path

from .files import LARGEST
from .log import Log
from .toml_file import Typed, read_keys

TABLES = ("offsets.csv", "beams.csv", "readings.csv", "lines.csv", "fittings.csv", "marks.csv", "figures.csv")
_REMARK = re.compile(rb"(?m)^[ \t]*#[^\n]*")


def digest(content: bytes) -> str:
    """
    Digest of some content.

    Parameters
    ----------
    content : bytes

    Returns
    -------
    str
        The first half of its SHA-256 [1]_, in hexadecimal.

    References
    ----------
    .. [1] NIST, *Secure Hash Standard*, FIPS 180-4 (2015).

    Examples
    --------
    >>> digest(b"abc")
    'ba7816bf8f01cfea414140de5dae2223'
    """
    return hashlib.sha256(content).hexdigest()[:32]


def content_digests(folder: str | Path, typed: Typed | None = None) -> dict[str, str]:
    """
    Digest of each table of a boat, and of each section of her boat.toml.

    Parameters
    ----------
    folder : str or Path
        The boat's folder.
    typed : Typed, optional
        Her boat.toml, where it has been read already.

    Returns
    -------
    dict of str to str
        By ``"offsets.csv"``, ``"boat.toml"`` for what stands above its sections, ``"boat.toml [camber]"``; a file that
        is not there has none. What a remark says and how lines end make no difference; where a row stands does, since
        complaints name rows.

    Examples
    --------
    >>> content_digests("no such folder")
    {}
    """
    folder = Path(folder)
    if typed is None:
        typed = read_keys(folder / "boat.toml", Log())
    found = {} if typed is None else _sections(typed)
    for name in TABLES:
        path = folder / name
        try:
            if not path.is_file() or path.stat().st_size > LARGEST:
                continue
            content = path.read_bytes()
        except OSError:
            continue
        plain = content.removeprefix(b"\xef\xbb\xbf").replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        found[name] = digest(_REMARK.sub(b"#", plain).rstrip(b"\n"))
    return found


def _sections(typed: Typed) -> dict[str, str]:
    sections: dict[str, dict] = {"": {}}
    for key, value in [*typed.values.items(), *((key, f"spoilt: {line}") for key, line in typed.spoilt.items())]:
        section, _, name = key.rpartition(".")
        sections.setdefault(section, {})[name] = value
    return {
        f"boat.toml [{section}]" if section else "boat.toml": digest(
            json.dumps(keys, sort_keys=True, default=str).encode("utf-8")
        )
        for section, keys in sections.items()
    }
