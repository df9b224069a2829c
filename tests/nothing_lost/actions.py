"""What a person does to a boat's folder, each as a call that is made ready first and then done in one go."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from deckgeom.bench import choosing
from deckgeom.boat import read_boat
from deckgeom.boat.editing import Editing
from deckgeom.boat.keeping import KEPT, MOST_COPIES, copies
from deckgeom.job import do_job
from deckgeom.results import write_results
from tests.boat.conftest import GOOD

BOAT = "whimbrel"
READINGS = (
    b"\xef\xbb\xbf# mine; not yours\r\nbeam;side;y;height;note\r\n"
    b"1;port;200;842;\r\n1;;0;850;\"a; b\"\r\n1;starboard;200; 843 ;\r\n2;P;300;830\r\n"
)  # fmt: skip
"""Readings as a spreadsheet may have left them: a mark, semicolons, remarks, short rows."""


def make_shed(shed: Path) -> Path:
    """A folder with one boat in it, her readings as a spreadsheet left them."""
    folder = shed / BOAT
    folder.mkdir(parents=True)
    for name, text in GOOD.items():
        (folder / name).write_bytes(READINGS if name == "readings.csv" else text.encode())
    (shed / choosing.CHOSEN).write_text(f"{BOAT}\n", encoding="utf-8")
    return shed


@dataclass(frozen=True)
class Action:
    """`ready` makes it ready in a shed and returns what is done; `file` is what it writes, by its path in the shed."""

    name: str
    file: str
    ready: Callable[[Path], Callable[[], object]]

    def __str__(self) -> str:
        return self.name


def _table(shed: Path, file: str = "readings.csv") -> Editing:
    return Editing(shed / BOAT, file)


def _cell(shed: Path) -> Callable[[], object]:
    table = _table(shed)
    return lambda: table.type({(1, 3): "851"})


def _second_cell(shed: Path) -> Callable[[], object]:
    table = _table(shed)
    table.type({(0, 3): "841"})
    return lambda: table.type({(1, 3): "851"})


def _paste(shed: Path) -> Callable[[], object]:
    table = _table(shed)
    return lambda: table.type({(k, j): f"{k}{j}" for k in range(2, 30) for j in range(5)})


def _many_copies(shed: Path) -> Callable[[], object]:
    """A paste when there are as many good copies as are kept: the oldest goes."""
    table, kept = _table(shed), shed / BOAT / KEPT
    kept.mkdir()
    for number in range(1, MOST_COPIES + 1):
        (kept / f"readings.csv.{number:05d}.20260101-000000").write_bytes(b"beam;height\r\n%d;\r\n" % number)
    return lambda: table.type({(0, 3): "25", (1, 3): "25"})


def _new_table(shed: Path) -> Callable[[], object]:
    (shed / BOAT / "marks.csv").unlink()
    table = _table(shed, "marks.csv")
    return lambda: table.type({(0, 0): "stem", (0, 1): "300"})


def _row_out(shed: Path) -> Callable[[], object]:
    table = _table(shed)
    return lambda: table.remove(1)


def _undo(shed: Path) -> Callable[[], object]:
    table = _table(shed)
    table.type({(1, 3): "851", (2, 3): "844"})
    return table.undo


def _redo(shed: Path) -> Callable[[], object]:
    table = _table(shed)
    table.type({(1, 3): "851", (2, 3): "844"})
    table.undo()
    return table.redo


def _restore(shed: Path) -> Callable[[], object]:
    table = _table(shed)
    table.type({(1, 3): "851", (2, 3): "844"})
    number = copies(shed / BOAT / "readings.csv")[0].number
    return lambda: table.restore(number)


def _copy(shed: Path) -> Callable[[], object]:
    return lambda: choosing.copy(BOAT, "skiff", shed)


def _make(shed: Path) -> Callable[[], object]:
    return lambda: choosing.make("skiff", "in", shed)


def _choose(shed: Path) -> Callable[[], object]:
    (shed / choosing.CHOSEN).unlink()
    return lambda: choosing.choose(BOAT, shed)


def _tables(shed: Path) -> Callable[[], object]:
    folder = shed / BOAT
    write_results(do_job(read_boat(folder)), folder / "out")
    Editing(folder, "beams.csv").type({(1, 1): "1010"})
    job = do_job(read_boat(folder))
    return lambda: write_results(job, folder / "out")


TYPING = (
    Action("a cell", f"{BOAT}/readings.csv", _cell),
    Action("a second cell", f"{BOAT}/readings.csv", _second_cell),
    Action("a paste", f"{BOAT}/readings.csv", _paste),
    Action("a paste with all copies kept", f"{BOAT}/readings.csv", _many_copies),
    Action("the first row of a table", f"{BOAT}/marks.csv", _new_table),
    Action("a row taken out", f"{BOAT}/readings.csv", _row_out),
    Action("a step taken back", f"{BOAT}/readings.csv", _undo),
    Action("a step made again", f"{BOAT}/readings.csv", _redo),
    Action("back to a good copy", f"{BOAT}/readings.csv", _restore),
)
"""What is saved as a table is."""

SHED = (
    Action("a copy under a new name", "skiff", _copy),
    Action("an empty boat", "skiff", _make),
    Action("a choice", choosing.CHOSEN, _choose),
)
"""What is done beside the boats."""

TABLES = Action("the tables of out", f"{BOAT}/out", _tables)


def typed(shed: Path) -> dict[str, bytes]:
    """Every file that a person typed or chose, by its path: what is hidden, kept or written to out is left out."""
    found = {}
    for path in sorted(shed.rglob("*")):
        parts = path.relative_to(shed).parts
        if path.is_file() and "out" not in parts and not any(part.startswith(".") for part in parts):
            found["/".join(parts)] = path.read_bytes()
    return found


def litter(shed: Path) -> list[str]:
    """What half-done work left about."""
    words = (".half", ".part", ".new-boat", ".being-written", f".{choosing.CHOSEN}")
    return [str(path) for path in shed.rglob("*") if any(word in path.name for word in words)]
