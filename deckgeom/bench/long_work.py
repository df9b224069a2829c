"""
Work that takes seconds: done beside the notebook, followed while it runs, stopped at once when asked.

The work runs in a Python of its own, so the notebook stays alive and nothing has to be waited for when it is stopped.
Files that it writes appear all together when it is done, or not at all.
"""

from __future__ import annotations

import contextlib
import os
import pickle
import queue
import shutil
import struct
import subprocess
import sys
import tempfile
import threading
import time
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any, BinaryIO

from deckgeom.bench.errors import one_line
from deckgeom.boat.keeping import NotSaved, advice
from deckgeom.boat.made import is_record

_START = "from deckgeom.bench.long_work import work_beside; work_beside()"
_STAGE = ".being-written-"


class LongWork:
    """
    A call that is made in a Python of its own.

    Parameters
    ----------
    work : callable
        A function at the top of a module. Where files are to be written its keyword ``out`` is the folder to write them
        to; where ``tells`` is true its keyword ``tell`` takes the part that is done, 0 to 1, and words.
    *arguments
        What it is called with; they must be of a kind that can be pickled.
    about : str
        What is being done, in words.
    out : Path, optional
        Where its files are to end up.
    tells : bool
        Whether the work tells how far it is.
    at_most : float, optional
        The longest that it can take; then the bar shows the time. [s]
    finish : callable, optional
        Makes what is shown from what the work returns.

    Examples
    --------
    >>> work = LongWork(divmod, 7, 3, about="dividing").start()
    >>> work.wait().state, work.result
    ('done', (2, 1))
    """

    def __init__(
        self,
        work: Callable[..., Any],
        *arguments: Any,
        about: str = "working",
        out: Path | None = None,
        tells: bool = False,
        at_most: float | None = None,
        finish: Callable[[Any], Any] | None = None,
    ) -> None:
        self._call, self._out, self._tells = (work, arguments), None if out is None else Path(out), tells
        self._about, self._at_most, self._finish = about, at_most, finish
        self._state, self._part, self._told, self._came = "waiting", -1.0, "", None
        self._words = self._details = ""
        self._heard: queue.SimpleQueue = queue.SimpleQueue()
        self._child: subprocess.Popen | None = None
        self._stage: Path | None = None
        self._begun = self._ended = 0.0

    def start(self) -> LongWork:
        """
        Begin.

        Returns
        -------
        LongWork
            Itself.

        Examples
        --------
        >>> LongWork(max, 1, 2).start().wait().result
        2
        """
        if self._state != "waiting":
            raise RuntimeError(f"This work was begun already and is {self._state}: make it anew to do it again.")
        try:
            call = pickle.dumps(self._call)
        except (pickle.PicklingError, AttributeError, TypeError) as problem:
            raise TypeError(
                f"{self._about}: this cannot be handed to a Python of its own ({problem}). The work is a function at "
                "the top of a module, and takes plain records."
            ) from None
        if self._out is not None:
            self._stage = _staging(self._out)
        payload = pickle.dumps((call, {"out": self._stage} if self._stage else {}, self._tells))
        path = os.pathsep.join(str(Path(one).resolve()) for one in sys.path)
        environment = {**os.environ, "PYTHONPATH": path, "PYTHONUTF8": "1"}
        self._child = subprocess.Popen(
            [sys.executable, "-c", _START], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
            env=environment,
        )  # fmt: skip
        self._state, self._begun = "running", time.monotonic()
        threading.Thread(target=_listen, args=(self._child.stdout, self._heard), daemon=True).start()
        with contextlib.suppress(OSError):  # it has died: the listener says so
            _send(self._child.stdin, payload)
        return self

    @property
    def state(self) -> str:
        """
        ``"waiting"``, ``"running"``, ``"done"``, ``"stopped"`` or ``"failed"``.

        Examples
        --------
        >>> LongWork(max, 1, 2).state
        'waiting'
        """
        self._hear()
        return self._state

    @property
    def seconds(self) -> float:
        """
        How long it has run. [s]

        Examples
        --------
        >>> LongWork(max, 1, 2).seconds
        0.0
        """
        return (self._ended or time.monotonic()) - self._begun if self._begun else 0.0

    @property
    def part(self) -> float:
        """
        How much is done, 0 to 1; -1 where that is not known. [1]

        Examples
        --------
        >>> LongWork(max, 1, 2).part
        -1.0
        """
        self._hear()
        if self._part < 0 and self._at_most and self._state == "running":
            return min(self.seconds / self._at_most, 1.0)
        return self._part

    @property
    def says(self) -> str:
        """
        How it stands, in one line.

        Examples
        --------
        >>> LongWork(max, 1, 2, about="comparing").says
        'comparing: not begun.'
        """
        self._hear()
        took = f"{self.seconds:.0f} s"
        if self._state == "running":
            limit = f" of at most {self._at_most:g} s" if self._at_most else ""
            return f"{self._about}: {self._told + ', ' if self._told else ''}{took}{limit}"
        if self._state == "stopped":
            kept = f" Nothing was written to {self._out}; what stood there stands." if self._out else ""
            return f"Stopped after {took}.{kept}"
        return self._words or {"waiting": f"{self._about}: not begun.", "done": f"{self._about}: done in {took}."}.get(
            self._state, ""
        )

    @property
    def details(self) -> str:
        """
        The traceback, where it failed.

        Examples
        --------
        >>> LongWork(max, 1, 2).details
        ''
        """
        return self._details

    @property
    def result(self) -> Any:
        """
        What came of it.

        Examples
        --------
        >>> LongWork(max, 1, 2).result
        Traceback (most recent call last):
        ...
        RuntimeError: There is no result: working: not begun.
        """
        if self.state != "done":
            raise RuntimeError(f"There is no result: {self.says}")
        return self._came if self._finish is None else self._finish(self._came)

    def wait(self) -> LongWork:
        """
        Wait for the end; interrupting the notebook meanwhile stops the work.

        Returns
        -------
        LongWork
            Itself, at its end.

        Examples
        --------
        >>> LongWork(max, 1, 2).start().wait().state
        'done'
        """
        try:
            while self.state == "running":
                time.sleep(0.02)
        except KeyboardInterrupt:
            self.stop()
            raise
        return self

    def stop(self) -> LongWork:
        """
        Stop at once. Files that it was writing are taken away again.

        Returns
        -------
        LongWork
            Itself.

        Examples
        --------
        >>> import time
        >>> LongWork(time.sleep, 60).start().stop().state
        'stopped'
        """
        if self.state == "running":
            self._end("stopped")
        return self

    def _hear(self) -> None:
        """Take in what the other Python has sent since."""
        while self._state == "running":
            try:
                kind, *what = self._heard.get_nowait()
            except queue.Empty:
                return
            if kind == "told":
                self._part, self._told = what
            elif kind == "came":
                self._done(what[0])
            elif kind == "broke":
                self._words, self._details = self._outside(what[0]), what[1]
                self._end("failed")
            else:
                code = self._child.wait()
                self._words = (
                    f"The work ended by itself before it was done (exit status {code}). Is the computer short of "
                    "memory? Close what is not needed and try again."
                )
                self._end("failed")

    def _outside(self, words: str) -> str:
        """What went wrong, without the name of the hidden folder, which nobody knows."""
        if self._stage is None:
            return words
        kept = f" Nothing was written to {self._out}; what stood there stands." if str(self._stage) in words else ""
        return words.replace(str(self._stage), str(self._out)) + kept

    def _done(self, came: Any) -> None:
        try:
            if self._stage is not None:
                came = _move(self._stage, self._out, came)
        except OSError as problem:
            self._words = (
                f"{self._out}: the files cannot be put there ({problem.strerror or problem}). Is one of them open in "
                f"another program? {advice(problem, 'press the button again')}"
            )
            self._details = traceback.format_exc()
            self._end("failed")
            return
        self._came, self._part = came, 1.0
        self._end("done")

    def _end(self, state: str) -> None:
        if self._child is not None:
            self._child.kill()
            self._child.wait()
            for pipe in (self._child.stdin, self._child.stdout):
                with contextlib.suppress(OSError):
                    pipe.close()
        if self._stage is not None:
            shutil.rmtree(self._stage, ignore_errors=True)
        self._state, self._ended = state, time.monotonic()


def _staging(out: Path) -> Path:
    """A hidden folder beside the one that files go to; what a broken-off run left of such is taken away."""
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        for left in out.parent.glob(f"{_STAGE}*"):
            if time.time() - left.stat().st_mtime > 3600:
                shutil.rmtree(left, ignore_errors=True)
        return Path(tempfile.mkdtemp(prefix=_STAGE, dir=out.parent))
    except OSError as problem:
        why, then = problem.strerror or problem, advice(problem, "press the button again")
        raise NotSaved(f"{out}: nothing can be written there ({why}); what stood there stands. {then}") from problem


def _move(stage: Path, out: Path, came: Any) -> Any:
    """Move the files to their place, each whole, records of them last; return what came with their new paths in it."""
    out.mkdir(parents=True, exist_ok=True)
    files = sorted((path for path in stage.rglob("*") if path.is_file()), key=lambda one: (is_record(one.name), one))
    for record in (file for file in files if is_record(file.name)):
        (out / record.relative_to(stage)).unlink(missing_ok=True)
    for file in files:
        target = out / file.relative_to(stage)
        target.parent.mkdir(parents=True, exist_ok=True)
        os.replace(file, target)
    if isinstance(came, list):
        return [out / Path(one).relative_to(stage) if isinstance(one, Path) and stage in one.parents else one
                for one in came]  # fmt: skip
    return came


def _send(pipe: BinaryIO, data: bytes) -> None:
    pipe.write(struct.pack(">Q", len(data)) + data)
    pipe.flush()


def _receive(pipe: BinaryIO) -> bytes | None:
    head = pipe.read(8)
    if len(head) < 8:
        return None
    (length,) = struct.unpack(">Q", head)
    data = pipe.read(length)
    return data if len(data) == length else None


def _listen(pipe: BinaryIO, heard: queue.SimpleQueue) -> None:
    """Hand on what the other Python says, until it says no more."""
    try:
        while (data := _receive(pipe)) is not None:
            heard.put(pickle.loads(data))
    except (OSError, ValueError, pickle.UnpicklingError, EOFError):
        pass
    heard.put(("silent",))


def work_beside() -> None:
    """
    Do one piece of work that comes in on standard input; the other side of :class:`LongWork`.

    Examples
    --------
    >>> work_beside.__name__
    'work_beside'
    """
    back = os.fdopen(os.dup(1), "wb")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # what libraries print must not come between
    data = _receive(sys.stdin.buffer)
    if data is None:
        return
    threading.Thread(target=_leave_with_the_notebook, daemon=True).start()
    lock = threading.Lock()

    def say(*what: Any) -> None:
        with lock:
            _send(back, pickle.dumps(what))

    try:
        call, words, tells = pickle.loads(data)
        work, arguments = pickle.loads(call)
        if tells:
            words["tell"] = lambda part, said="": say("told", float(part), str(said))
        came = work(*arguments, **words)
        say("came", came)
    except Exception as error:
        say("broke", one_line(error), traceback.format_exc())


def _leave_with_the_notebook() -> None:
    """End when the notebook's end of the pipe closes: a killed kernel leaves nothing running."""
    sys.stdin.buffer.read()
    os._exit(1)
