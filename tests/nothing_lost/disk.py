"""
A disk under watch: every call that changes something below a folder is a step, before which a hook may act.

Nothing is forced out of the system's memory meanwhile: that takes time, and outlives a killed program anyway.
"""

from __future__ import annotations

import builtins
import contextlib
import errno
import io
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

FREES = ("unlink", "rmdir", "close", "unlock")
"""Calls that want no room on a disk."""


@dataclass(frozen=True)
class Step:
    """One call: its number from 1, what it does, and the name of the file that it does it to."""

    number: int
    call: str
    path: str

    def __str__(self) -> str:
        return f"{self.number} {self.call} {Path(self.path).name}"


@dataclass
class Disk:
    """What is watched, what has been done, and what is called before each step."""

    top: str
    hook: Callable[[Step], None]
    steps: list[Step] = field(default_factory=list)
    handles: dict[int, str] = field(default_factory=dict)

    def step(self, call: str, path: object) -> None:
        """A call is about to be made."""
        where = os.path.abspath(os.fsdecode(path)) if isinstance(path, str | bytes | os.PathLike) else ""
        if where == self.top or where.startswith(self.top + os.sep):
            step = Step(len(self.steps) + 1, call, where)
            self.steps.append(step)
            self.hook(step)


class _File(io.FileIO):
    """A file that is written in two halves, with a step before each."""

    def __init__(self, disk: Disk, path: object, file: object, mode: str, **words) -> None:
        self._disk, self._where = disk, path
        super().__init__(file, mode, **words)

    def write(self, data) -> int:
        data = memoryview(data).cast("B")
        self._disk.step("write", self._where)
        done = super().write(data[: len(data) // 2])
        self._disk.step("write on", self._where)
        return done + super().write(data[done:])

    def close(self) -> None:
        if self.closed:
            return
        try:
            self._disk.step("close", self._where)
        finally:
            super().close()


@contextlib.contextmanager
def watched(folder: str | Path, hook: Callable[[Step], None] = lambda step: None) -> Iterator[Disk]:
    """Watch a folder; gives the disk, whose steps may be read afterwards."""
    disk = Disk(os.path.abspath(folder), hook)
    with contextlib.ExitStack() as undo:

        def put(module, name: str, call: Callable) -> None:
            undo.callback(setattr, module, name, getattr(module, name))
            setattr(module, name, call)

        for name in ("chmod", "mkdir", "rmdir", "unlink", "remove", "replace", "rename"):
            put(os, name, _named(disk, name, getattr(os, name)))
        put(os, "fsync", lambda handle: disk.step("fsync", disk.handles.get(handle)))
        put(os, "open", _os_open(disk, os.open))
        opened = _open(disk, io.open)
        put(io, "open", opened)
        put(builtins, "open", opened)
        _watch_locks(disk, put)
        yield disk


def _named(disk: Disk, name: str, call: Callable) -> Callable:
    def made(path, *rest, **words):
        where = path
        if words.get("dir_fd") is not None:
            where = os.path.join(disk.handles.get(words["dir_fd"], ""), os.fsdecode(path))
        target = rest[0] if name in ("replace", "rename") else where
        disk.step({"remove": "unlink"}.get(name, name), target)
        return call(path, *rest, **words)

    return made


def _os_open(disk: Disk, call: Callable) -> Callable:
    def made(path, flags, *rest, **words):
        where = path
        if words.get("dir_fd") is not None:
            where = os.path.join(disk.handles.get(words["dir_fd"], ""), os.fsdecode(path))
        if flags & (os.O_CREAT | os.O_WRONLY | os.O_RDWR):
            disk.step("open", where)
        handle = call(path, flags, *rest, **words)
        disk.handles[handle] = os.fsdecode(where)
        return handle

    return made


def _open(disk: Disk, call: Callable) -> Callable:
    def made(file, mode="r", buffering=-1, encoding=None, errors=None, newline=None, closefd=True, opener=None):
        where = disk.handles.get(file, "") if isinstance(file, int) else file
        writes = opener is None and set(mode) & set("wax+")
        if not writes or not os.path.abspath(os.fsdecode(where)).startswith(disk.top):
            return call(file, mode, buffering, encoding, errors, newline, closefd, opener)
        if not isinstance(file, int):
            disk.step("open", file)
        raw = _File(disk, where, file, mode.replace("b", "").replace("t", ""), closefd=closefd)
        disk.handles[raw.fileno()] = os.fsdecode(where)
        buffered = io.BufferedRandom(raw) if "+" in mode else io.BufferedWriter(raw)
        return buffered if "b" in mode else io.TextIOWrapper(buffered, encoding, errors, newline)

    return made


def _watch_locks(disk: Disk, put: Callable) -> None:
    try:
        import fcntl
    except ImportError:
        return
    call = fcntl.flock

    def made(handle, operation):
        name = "unlock" if operation == fcntl.LOCK_UN else "lock"
        disk.step(name, disk.handles.get(handle if isinstance(handle, int) else handle.fileno()))
        return call(handle, operation)

    put(fcntl, "flock", made)


def failing(number: int, code: int, stays: bool = False) -> Callable[[Step], None]:
    """
    A hook under which one step fails; where `stays` is true all later ones fail too, but for those that free room.
    """

    def hook(step: Step) -> None:
        frees = step.call in FREES
        full = step.number == number or (stays and step.number > number and not frees)
        if full and not (frees and code in (errno.ENOSPC, errno.EDQUOT)):
            raise OSError(code, os.strerror(code), step.path)

    return hook


def tree(folder: str | Path) -> dict[str, bytes | None]:
    """Bytes of every file below a folder by its path; None for folders."""
    folder = Path(folder)
    found = sorted(folder.rglob("*")) if folder.is_dir() else []
    return {str(one.relative_to(folder)): one.read_bytes() if one.is_file() else None for one in found}
