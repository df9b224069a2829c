"""
A Python that does as a workbook does, in children that are killed: asked in lines of JSON, `python -m` this module.

Children are forked, so that none has to start from nothing; what they are doing stands in memory that outlives them.
"""

from __future__ import annotations

import json
import mmap
import os
import random
import signal
import struct
import sys
import time
from collections.abc import Callable
from pathlib import Path

from deckgeom.bench import entries, open_boat
from deckgeom.boat.editing import Editing
from tests.nothing_lost import out
from tests.nothing_lost.actions import BOAT, SHED, TABLES, TYPING, Action
from tests.nothing_lost.disk import Step, watched

PAPERS = Action("tables and papers", f"{BOAT}/out", lambda shed: lambda: out.write(shed))
ACTIONS = {action.name: action for action in (*TYPING, *SHED, TABLES, PAPERS)}
SLOW_S = {"saves": 0.0004, "workbook": 0.005}
"""Waited before each call, in the middle; as long in all as what else is done. [s]"""
_TOLD = struct.Struct("qq")


class Told:
    """How far a child is, told through shared memory: operations begun and done, and the call that comes next."""

    def __init__(self) -> None:
        self._page = mmap.mmap(-1, 4096)

    def put(self, begun: int, done: int) -> None:
        self._page[: _TOLD.size] = _TOLD.pack(begun, done)

    def step(self, words: str) -> None:
        self._page[64:128] = words.encode()[:64].ljust(64)

    def read(self) -> tuple[int, int, str]:
        return *_TOLD.unpack(self._page[: _TOLD.size]), self._page[64:128].strip(b" \0").decode()


def fork(work: Callable[[int], None]) -> tuple[int, int]:
    """Begin work in a child; its number, and a pipe on which it can say a byte at a time."""
    hear, tell = os.pipe()
    child = os.fork()
    if child:
        os.close(tell)
        return child, hear
    try:
        work(tell)
        os.write(tell, b".")
        os._exit(0)
    except BaseException as error:
        sys.stderr.write(f"{type(error).__name__}: {error}\n")
        sys.stderr.flush()
        os._exit(3)


def end(child: int, hear: int) -> int:
    """Kill a child, and give how it ended."""
    os.kill(child, signal.SIGKILL)
    status = os.waitpid(child, 0)[1]
    os.close(hear)
    return os.waitstatus_to_exitcode(status)


def steps(asked: dict) -> dict:
    """Every step of an action, from a run that nobody kills."""
    told = []
    do = ACTIONS[asked["action"]].ready(Path(asked["shed"]))
    with watched(asked["shed"], lambda step: told.append([step.call, step.path])):
        do()
    return {"steps": told}


def held(asked: dict) -> dict:
    """Kill a child that stands before one step of an action."""

    def work(tell: int) -> None:
        def hook(step: Step) -> None:
            if step.number == asked["step"]:
                os.write(tell, b"!")
                time.sleep(60)

        do = ACTIONS[asked["action"]].ready(Path(asked["shed"]))
        with watched(asked["shed"], hook):
            do()

    child, hear = fork(work)
    said = os.read(hear, 1)
    return {"said": said.decode(), "ended": end(child, hear)}


def free(asked: dict) -> dict:
    """Kill a child that types one thing after another, after a while."""
    told, shed, level = Told(), Path(asked["shed"]), asked["level"]
    told.put(asked["start"], asked["start"])

    def type_all(tell: int) -> None:
        do = typist(shed, level)
        os.write(tell, b"!")
        for number, operation in enumerate(asked["operations"], asked["start"]):
            told.put(number + 1, number)
            do(operation)
            told.put(number + 1, number + 1)

    def hook(step: Step) -> None:
        told.step(f"{step.call} {Path(step.path).name[:40]}")
        time.sleep(random.uniform(0, 2 * SLOW_S[level]))

    def work(tell: int) -> None:
        if not asked["slow"]:
            return type_all(tell)
        with watched(shed, hook):
            return type_all(tell)

    child, hear = fork(work)
    os.read(hear, 1)
    time.sleep(asked["delay"])
    ended = end(child, hear)
    begun, done, step = told.read()
    return {"begun": begun, "done": done, "step": step, "ended": ended}


def typist(shed: Path, level: str) -> Callable[[dict], object]:
    """What does an operation: the table that saves, or the workbook's table as a page asks it."""
    if level == "saves":
        table = Editing(shed / BOAT, "readings.csv")
        return lambda one: (
            table.type({(row, column): words for row, column, words in one["cells"]})
            if one["do"] == "type"
            else table.remove(*one["which"])
        )
    shown = entries.readings(open_boat(shed / BOAT))

    def ask(one: dict) -> None:
        shown._asked(shown, {**one, "number": shown.answered + 1, "turn": shown.turn}, [])
        if shown.trouble:
            raise RuntimeError(shown.trouble)

    return ask


def main() -> None:
    """Answer until nobody asks any more."""
    calls = {"steps": steps, "held": held, "free": free}
    with out.quick_papers():
        print(json.dumps("ready"), flush=True)
        for line in sys.stdin:
            asked = json.loads(line)
            print(json.dumps(calls[asked["do"]](asked)), flush=True)


if __name__ == "__main__":
    main()
