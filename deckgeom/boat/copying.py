"""
A new boat begun from another's folder.
"""

from __future__ import annotations

import re
import shutil
import tempfile
import time
from pathlib import Path

from .folder import FILES
from .keeping import NotSaved, advice

_STAGE = ".new-boat-"
OLD_S = 3600.0
"""What a run left half done is taken away when it is older than this. [s]"""

_SECTION = re.compile(rb"^[ \t]*\[", re.MULTILINE)
_NAMED = re.compile(rb"""^([ \t]*name[ \t]*=[ \t]*)(?:"(?:[^"\\\r\n]|\\.)*"|'[^'\r\n]*')""", re.MULTILINE)


def copy_boat(source: str | Path, target: str | Path, name: str | None = None) -> Path:
    """
    Begin a new boat: copy the files of another, never over anything that stands there.

    Parameters
    ----------
    source : str or Path
        A boat folder. Only the files that a person types are copied, not what was written to its out folder.
    target : str or Path
        The new folder; it must not exist, or be empty.
    name : str, optional
        What the new boat is called; as the old one if not given.

    Returns
    -------
    Path
        The new folder.

    Raises
    ------
    FileNotFoundError
        Where the source is not a boat folder.
    FileExistsError
        Where something stands in the target already; nothing is changed then.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> with tempfile.TemporaryDirectory() as shed:
    ...     old, new = pathlib.Path(shed, "old"), pathlib.Path(shed, "new")
    ...     old.mkdir()
    ...     _ = (old / "boat.toml").write_text('units = "in"')
    ...     print(copy_boat(old, new).name, (new / "boat.toml").read_text())
    new units = "in"
    """
    source = Path(source)
    files = [source / name for name in FILES if (source / name).is_file()]
    if not files:
        raise FileNotFoundError(f"{source}: there is no boat folder here, so nothing to copy. Is the path right?")
    copied = {file.name: file.read_bytes() for file in files}
    if name is not None and "boat.toml" in copied:
        copied["boat.toml"] = renamed(copied["boat.toml"], name)
    return begin_folder(target, copied)


def renamed(toml: bytes, name: str) -> bytes:
    """
    Give a boat another name in the bytes of her boat.toml, and change nothing else in them.

    Parameters
    ----------
    toml : bytes
        The file.
    name : str
        What she is called from now on.

    Returns
    -------
    bytes
        The same where no line names her.

    Examples
    --------
    >>> renamed(b'name = "Wherry"   # mine\\n', "Skiff")
    b'name = "Skiff"   # mine\\n'
    """
    words = quoted(name)
    section = _SECTION.search(toml)
    top = section.start() if section else len(toml)
    return _NAMED.sub(lambda line: line[1] + words.encode(), toml[:top], count=1) + toml[top:]


def quoted(name: str) -> str:
    """
    Write a name as a text of TOML, whatever characters it has.

    Parameters
    ----------
    name : str

    Returns
    -------
    str

    Examples
    --------
    >>> print(quoted('the "Skiff"'))
    "the \\"Skiff\\""
    """
    marked = name.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(f"\\u{ord(c):04x}" if ord(c) < 32 or ord(c) == 127 else c for c in marked) + '"'


def begin_folder(target: str | Path, files: dict[str, bytes]) -> Path:
    """
    Make a folder with files in it, the whole of it or nothing.

    Parameters
    ----------
    target : str or Path
        The new folder; it must not exist, or be empty.
    files : dict of str to bytes
        What is to stand in it, by name.

    Returns
    -------
    Path
        The new folder.

    Raises
    ------
    FileExistsError
        Where something stands in the target already; nothing is changed then.
    NotSaved
        Where it cannot be written; nothing is changed then either.

    Examples
    --------
    >>> with tempfile.TemporaryDirectory() as shed:
    ...     [file.name for file in begin_folder(Path(shed, "punt"), {"boat.toml": b""}).iterdir()]
    ['boat.toml']
    """
    target = Path(target)
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise FileExistsError(
            f"{target}: something stands here already, and nothing is written over it. Name a new folder."
        )
    try:
        _stage(target, files)
    except OSError as error:
        why = error.strerror or type(error).__name__
        raise NotSaved(
            f"{target.name} is not made ({why}): no folder of that name was begun. {advice(error, 'try again')}"
        ) from error
    return target


def _stage(target: Path, files: dict[str, bytes]) -> None:
    """Fill the folder under another name, and give it its own when it is whole."""
    target.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=_STAGE, dir=target.parent, ignore_cleanup_errors=True) as work:
        staged = Path(work, "boat")
        staged.mkdir()
        for name, content in files.items():
            (staged / name).write_bytes(content)
        if target.exists():
            target.rmdir()
        staged.rename(target)
    for left in target.parent.glob(f"{_STAGE}*"):
        if time.time() - left.stat().st_mtime > OLD_S:  # of a run that was broken off
            shutil.rmtree(left, ignore_errors=True)
