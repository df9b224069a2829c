"""
Saving so that nothing is ever lost: the whole new file or the whole old one, never over another's change, and the last
good copies kept.
"""

from __future__ import annotations

import contextlib
import errno
import os
import re
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

KEPT = ".last_good"
"""Folder of the copies, in the boat's folder."""

MOST_COPIES = 20
COPY_EVERY_S = 300.0
"""Single cells typed one after another share a copy for so long. [s]"""

_NAME = re.compile(r"(?P<file>.+)\.(?P<number>\d{5,})\.(?P<when>\d{8}-\d{6})")


class NotSaved(OSError):
    """Something could not be saved; the message says why, and that what stands on the disk is as it was."""


class ChangedElsewhere(NotSaved):
    """The file is not what it was when it was read: another page, notebook or editor has saved it meanwhile."""


@dataclass(frozen=True)
class Copy:
    """
    A file as it was.

    Parameters
    ----------
    path : Path
        Where the copy stands.
    file : str
        What it is a copy of.
    number : int
        Counted on from copy to copy, whatever the clock says. [-]
    when : str
        By this machine's clock.

    Examples
    --------
    >>> Copy(Path("x"), "beams.csv", 3, "20260501-140312").words
    'copy 3, of 2026-05-01 14:03:12'
    """

    path: Path
    file: str
    number: int
    when: str

    @property
    def words(self) -> str:
        """For a list to choose from."""
        day, clock = self.when.split("-")
        return (
            f"copy {self.number}, of {day[:4]}-{day[4:6]}-{day[6:]} {clock[:2]}:{clock[2:4]}:{clock[4:]}"
        )  # fmt: skip


def save(path: Path, before: bytes | None, after: bytes, whole: bool = False) -> None:
    """
    Put new bytes in the place of a file, if it still is what it was.

    Parameters
    ----------
    path : Path
        A file of a boat's folder.
    before : bytes or None
        What it was when it was read; None where it was not there.
    after : bytes
        What it is to be.
    whole : bool
        True for more than a cell or two: the old file is kept as a copy of its own.

    Raises
    ------
    ChangedElsewhere
        Where the file has been changed meanwhile.
    NotSaved
        Where it cannot be written.

    Examples
    --------
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder, "beams.csv")
    ...     save(path, None, b"beam,x\\n")
    ...     save(path, b"beam,x\\n", b"beam,x\\n1,400\\n")
    ...     [len(path.read_bytes()), len(copies(path))]
    [13, 1]
    """
    path = Path(path)
    try:
        with _alone(path.parent):
            now = path.read_bytes() if path.exists() else None
            if now == before == after:
                return
            if now != before:
                what = "is gone" if now is None else "was changed"
                raise ChangedElsewhere(f"{path.name} {what} by another page or program since it was read here.")
            if now is not None and not (path.stat().st_mode & 0o222 and os.access(path, os.W_OK)):
                raise PermissionError(errno.EACCES, "it may only be read", str(path))
            for folder in (path.parent, path.parent / KEPT):
                for left in folder.glob(f".{path.name}.*.half"):
                    left.unlink(missing_ok=True)
            if now is not None:
                _keep(path, now, whole)
            write_whole(path, after)
            for old in copies(path)[MOST_COPIES:]:
                old.path.unlink(missing_ok=True)
    except NotSaved:
        raise
    except OSError as error:
        if _stands(path, after):
            return  # what failed came after the new file had taken its place
        why = error.strerror or type(error).__name__
        raise NotSaved(
            f"{path.name} is not saved ({why}): on the disk it is as it was, and what you typed is still here. "
            f"{advice(error, 'press Enter in the cell again')}"
        ) from error


def _stands(path: Path, data: bytes) -> bool:
    try:
        return path.read_bytes() == data
    except OSError:
        return False


def copies(path: Path) -> list[Copy]:
    """
    List the good copies of a file, the last first.

    Examples
    --------
    >>> copies(Path("no such folder", "beams.csv"))
    []
    """
    folder, found = Path(path).parent / KEPT, []
    for one in folder.iterdir() if folder.is_dir() else ():
        match = _NAME.fullmatch(one.name)
        if match and match["file"] == Path(path).name:
            found.append(Copy(one, match["file"], int(match["number"]), match["when"]))
    return sorted(found, key=lambda copy: -copy.number)


def go_back(path: Path, copy: Copy, before: bytes | None) -> bytes:
    """
    Put a good copy in the place of a file; what stands there is kept as a copy first.

    Parameters
    ----------
    path : Path
        A file of a boat's folder.
    copy : Copy
        One of `copies`.
    before : bytes or None
        What the file was when it was read.

    Returns
    -------
    bytes
        What stands there now.

    Examples
    --------
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder, "beams.csv")
    ...     save(path, None, b"old")
    ...     save(path, b"old", b"new")
    ...     go_back(path, copies(path)[0], b"new")
    b'old'
    """
    data = copy.path.read_bytes()
    save(path, before, data, whole=True)
    return data


@contextlib.contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Keep other saves in this folder waiting; ended with the program, however it ends."""
    kept = folder / KEPT
    kept.mkdir(exist_ok=True)
    with open(kept / "in-use", "a+b") as held:
        _lock(held, True)
        try:
            yield
        finally:
            _lock(held, False)


def _lock(held, on: bool) -> None:
    try:
        import fcntl

        fcntl.flock(held, fcntl.LOCK_EX if on else fcntl.LOCK_UN)
    except ImportError:
        import msvcrt

        held.seek(0)
        msvcrt.locking(held.fileno(), msvcrt.LK_LOCK if on else msvcrt.LK_UNLCK, 1)


def _keep(path: Path, data: bytes, whole: bool) -> None:
    """A copy of what is about to be replaced, unless there is one of a moment ago."""
    have = copies(path)
    if have and have[0].path.read_bytes() == data:
        return
    if have and not whole and 0 <= time.time() - have[0].path.stat().st_mtime < COPY_EVERY_S:
        return
    number = have[0].number + 1 if have else 1
    write_whole(path.parent / KEPT / f"{path.name}.{number:05d}.{time.strftime('%Y%m%d-%H%M%S')}", data)


def write_whole(path: Path, data: bytes) -> None:
    """
    Write the whole of a file or nothing: it is on the disk before it takes the old one's place.

    Parameters
    ----------
    path : Path
        In a folder that is there.
    data : bytes
        All of it.

    Examples
    --------
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_whole(Path(folder, "chosen.txt"), b"wherry")
    ...     [file.name for file in Path(folder).iterdir()]
    ['chosen.txt']
    """
    handle, half = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".half", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as page:
            page.write(data)
            page.flush()
            os.fsync(page.fileno())
        if path.exists():
            os.chmod(half, path.stat().st_mode & 0o777)
        else:
            os.chmod(half, 0o644)
        os.replace(half, path)
    except BaseException:
        Path(half).unlink(missing_ok=True)
        raise
    _settle(path.parent)


def _settle(folder: Path) -> None:
    """The new name on the disk as well, where the system can be asked for it; the file stands under it either way."""
    if os.name != "posix":
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def advice(error: OSError, again: str) -> str:
    """
    Say what to do about something that could not be written.

    Parameters
    ----------
    error : OSError
        What was in the way.
    again : str
        How it is tried once more.

    Examples
    --------
    >>> advice(OSError(errno.ENOSPC, "No space left on device"), "press the button again")
    'The disk is full: make room, then press the button again.'
    """
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        full = "The disk is full" if error.errno != errno.EFBIG else "No more may be written here"
        return f"{full}: make room, then {again}."
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return "The file or its folder may only be read: change that, or copy the boat's folder to a place of your own."
    return f"Look whether the folder is still there, then {again}."
