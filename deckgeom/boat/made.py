"""
What papers and tables were made from: a record beside them, and whether it still is so.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from deckgeom import __version__

from .digests import digest
from .folder import Boat

_RECORD = "{}_made_from.json"


@dataclass(frozen=True)
class Made:
    """
    What one kind of results was made from.

    Parameters
    ----------
    version : str
        Of the program.
    rests_on : dict of str to str
        Digests of the boat's files, as `Boat.digests` has them.
    files : dict of str to str
        Digest of each file that was written, by its name.

    Examples
    --------
    >>> Made("0.1.0", {"offsets.csv": "ba78"}, {}).version
    '0.1.0'
    """

    version: str
    rests_on: dict[str, str]
    files: dict[str, str]


def record_made(boat: Boat, out: Path, kind: str, files: Iterable[Path]) -> Path:
    """
    Write down what results were made from, whole or not at all.

    Parameters
    ----------
    boat : Boat
        As read: the digests are those of what was read, not of what stands in the folder by now.
    out : Path
        The folder that the files were written to.
    kind : str
        ``"tables"`` or ``"papers"``.
    files : iterable of Path
        What was written.

    Returns
    -------
    Path
        The record.

    Examples
    --------
    >>> import tempfile
    >>> from .build import default_settings
    >>> with tempfile.TemporaryDirectory() as out:
    ...     record_made(Boat(Path("punt"), default_settings()), Path(out), "papers", []).name
    'papers_made_from.json'
    """
    held = {Path(file).name: digest(Path(file).read_bytes()) for file in files}
    record = {"version": __version__, "rests_on": boat.digests, "files": held}
    target = out / _RECORD.format(kind)
    half = target.with_name(target.name + ".part")
    try:
        half.write_text(json.dumps(record, indent=1) + "\n", encoding="utf-8")
        half.replace(target)
    finally:
        half.unlink(missing_ok=True)
    return target


def forget_made(out: Path, kind: str) -> None:
    """
    Take the record away before anything of its kind is written anew: what is half written is then known to be old.

    Parameters
    ----------
    out : Path
        The folder that is written to.
    kind : str
        ``"tables"`` or ``"papers"``.

    Examples
    --------
    >>> forget_made(Path("no such folder"), "papers")
    """
    (out / _RECORD.format(kind)).unlink(missing_ok=True)


def is_record(name: str) -> bool:
    """
    Tell whether a file of this name is a record.

    Examples
    --------
    >>> is_record("papers_made_from.json"), is_record("beams.csv")
    (True, False)
    """
    return name.endswith(_RECORD.format(""))


def read_made(out: Path, kind: str) -> Made | None:
    """
    Read what results were made from.

    Parameters
    ----------
    out : Path
        The folder that they were written to.
    kind : str
        ``"tables"`` or ``"papers"``.

    Returns
    -------
    Made or None
        None where there is no record, or none that can be read.

    Examples
    --------
    >>> read_made(Path("no such folder"), "papers") is None
    True
    """
    try:
        record = json.loads((out / _RECORD.format(kind)).read_text(encoding="utf-8"))
        made = Made(str(record["version"]), dict(record["rests_on"]), dict(record["files"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return made


def differing(before: dict[str, str], now: dict[str, str], of: Iterable[str] | None = None) -> tuple[str, ...]:
    """
    Name what differs between two sets of digests.

    Parameters
    ----------
    before, now : dict of str to str
        As `content_digests` gives them.
    of : iterable of str, optional
        What to look at; everything if not given.

    Returns
    -------
    tuple of str
        In the order of ``of``, or of the alphabet.

    Examples
    --------
    >>> differing({"beams.csv": "1", "marks.csv": "2"}, {"beams.csv": "3"})
    ('beams.csv', 'marks.csv')
    >>> differing({"beams.csv": "1"}, {"beams.csv": "3"}, ["offsets.csv"])
    ()
    """
    names = sorted(set(before) | set(now)) if of is None else of
    return tuple(name for name in names if before.get(name) != now.get(name))


def altered(made: Made, out: Path) -> tuple[str, ...]:
    """
    Name the written files that are gone, or are not as they were written.

    Parameters
    ----------
    made : Made
        The record.
    out : Path
        The folder that they were written to.

    Returns
    -------
    tuple of str
        In the order of writing.

    Examples
    --------
    >>> altered(Made("0.1.0", {}, {"beams.csv": "ba78"}), Path("no such folder"))
    ('beams.csv',)
    """
    return tuple(name for name, was in made.files.items() if _now(out / name) != was)


def _now(file: Path) -> str | None:
    try:
        return digest(file.read_bytes())
    except OSError:
        return None
