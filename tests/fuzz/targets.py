"""
What is fuzzed, and what must hold whatever comes in.

Each check takes the units of a folder and some bytes, and raises where something does not hold: any error but the
documented one, a value that is not the same after it was written and read again, a complaint that names no row of its
file, words from the inside of the program.
"""

from __future__ import annotations

import math
import re
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from deckgeom.boat import read_boat
from deckgeom.boat.forces import parse_pull, parse_string_weight
from deckgeom.boat.table_files import TABLES
from deckgeom.boat.typed_table import TypedError, append_rows, change_cells, remove_rows, table_of
from deckgeom.boat.ways_reader import ways
from deckgeom.deck.figure import CamberFigure
from deckgeom.deck.figure_text import FigureError
from deckgeom.job import do_job
from deckgeom.results import COLUMNS, summary, table_rows
from deckgeom.units import (
    NOTATIONS,
    UNITS,
    LengthError,
    format_offcentre,
    format_slope,
    parse_length,
    parse_offcentre,
    parse_slope,
    write_length,
)
from tests.boat.conftest import GOOD
from tests.fuzz.words import LENGTHS, PLACES, SLOPES, TABLE_WORDS, TOML_WORDS, WAYS

LARGE = 1e6
"""No length is longer, so no number in a table is much larger. [mm]"""

PART = "\n=== "
"""Parts the files of a whole folder that is written as one text."""

_INSIDE = re.compile(
    r"broadcast|ndarray|\bNaN\b|\bnan\b|\binf\b|operand|numpy|scipy|dtype|Traceback|zero-size|\baxis\b|object at 0x"
    r"|out of bounds|singular matrix|not positive definite|must be (strictly )?(finite|increasing|positive)"
    r"|unpack|NoneType|list index|invalid literal|could not convert|matmul|converge"
)


class Broken(AssertionError):
    """Something that must hold does not."""


def hold(condition, words: str) -> None:
    """Raise `Broken` unless the condition holds; `assert` would be lost under -O."""
    if not condition:
        raise Broken(words)


def _text(data: bytes) -> str:
    return data.decode("utf-8", "replace")


def _one_line(words: str) -> None:
    hold(words.isprintable() and words.strip(), f"not one line that can be printed: {words[:200]!r}")


def _refused(error: LengthError) -> None:
    """A refusal says a rule; a question has two readings or more, each a number."""
    hold(error.rule and str(error), "a refusal without a rule")
    _from_outside(f"{error.rule} {error.slip} {error.advice}", error.text)
    numbers = [value.value if isinstance(value, CamberFigure) else value for _, value in error.readings]
    hold(all(map(math.isfinite, numbers)), "a reading that is no number")
    hold(len(numbers) != 1 or isinstance(error, FigureError), f"a question with one reading: {error}"[:200])


def _from_outside(said: str, typed: str) -> None:
    """No words from the inside of the program, but for those that were typed."""
    found = _INSIDE.search(said)
    hold(not found or found.group().lower() in typed.lower(), f"words from inside: {said[:200]}")


def _length_or_none(text: str, units: str) -> float | None:
    try:
        return parse_length(text, units)
    except LengthError as error:
        _refused(error)
        return None


def length(units: str, data: bytes) -> None:
    """A length is refused, or is the same in every folder but for a bare number, and stays itself when written."""
    text = _text(data)
    mm = _length_or_none(text, units)
    if mm is None:
        return
    hold(isinstance(mm, float) and math.isfinite(mm) and abs(mm) <= LARGE, f"{mm} is no length")
    hold(_length_or_none(f" {text}\t", units) in (mm, None), "blanks about it change it")
    for other in UNITS:
        there = _length_or_none(text, other)
        ratio = 1.0 if there is None or mm == there else abs(there / mm) if mm else math.inf
        hold(min(abs(ratio - r) for r in (1, 25.4, 1 / 25.4)) < 1e-9, f"{mm} in {units}, {there} in {other}")
    for notation in NOTATIONS:
        _written_again(mm, notation)


def _written_again(mm: float, notation: str) -> None:
    words = write_length(mm, notation)
    again = parse_length(words, "mm")
    step = 25.4 / 16 if "in" in notation else 1.0
    slack = 0.005 * 25.4 if notation == "decimal in" else 0.0
    hold(abs(again - mm) <= step / 2 + slack + 1e-6, f"{mm} written as {words} is read as {again}")
    hold(write_length(again, notation) == words, f"{words} is written again as {write_length(again, notation)}")


def slope(units: str, data: bytes) -> None:
    """A slope is refused, or stays itself when written in the folder's words."""
    try:
        value = parse_slope(_text(data))
    except LengthError as error:
        return _refused(error)
    hold(math.isfinite(value), f"{value} is no slope")
    if abs(value) * 1000 < LARGE:
        words = format_slope(value, units)
        again = parse_slope(words)
        hold(abs(again - value) <= (0.5 / 1000 if units == "mm" else 1 / 32 / 12) + 1e-9, f"{words} is read as {again}")
        hold(format_slope(again, units) == words, f"{words} is written again as {format_slope(again, units)}")


def place(units: str, data: bytes) -> None:
    """A place off the centreline is refused, an edge, or keeps its side when written."""
    try:
        y = parse_offcentre(_text(data), units)
    except LengthError as error:
        return _refused(error)
    if isinstance(y, str):
        return hold(y in ("port edge", "starboard edge"), f"{y!r} is no edge")
    hold(math.isfinite(y) and abs(y) <= LARGE, f"{y} is no place")
    words = format_offcentre(y, units)
    again = parse_offcentre(words, units)
    hold(abs(again - y) <= 1 and (again == 0 or again * y > 0), f"{y} written as {words} is read as {again}")
    hold(format_offcentre(again, units) == words, f"{words} is written again as {format_offcentre(again, units)}")


def words(units: str, data: bytes) -> None:
    """Camber figures, pulls, weights of string and ways of laying are refused or give numbers."""
    text = _text(data)
    for read in (lambda: CamberFigure.parse(text, units), lambda: parse_pull(text), lambda: parse_string_weight(text),
                 lambda: ways([["a", *text.split(" + ")]], units)):  # fmt: skip
        try:
            found = read()
        except LengthError as error:
            _refused(error)
            continue
        if isinstance(found, CamberFigure):
            hold(math.isfinite(found.value) and found.value >= 0, f"{found.value} is no figure")
            _one_line(found.short(units))
            _figure_again(found, units)
        elif isinstance(found, float):
            hold(math.isfinite(found) and found >= 0, f"{found} is no force")


def _figure_again(figure: CamberFigure, units: str) -> None:
    if figure.kind != "ratio" or figure.value:
        again = CamberFigure.parse(f"{figure.value!r} mm" if figure.kind == "crown" else figure.text or "1:32", units)
        hold(figure.kind != "crown" or again.value == figure.value, "a crown that is not itself when written")


# --- files ----------------------------------------------------------------------------------------------------------


@cache
def _folder() -> Path:
    """A folder in memory where there is one: thousands of files a second are written."""
    shared = Path("/dev/shm")
    return Path(tempfile.mkdtemp(prefix="deckgeom-fuzz-", dir=shared if shared.is_dir() else None))


def _with(files: dict[str, bytes]) -> Path:
    folder = _folder() / "boat"
    folder.mkdir(exist_ok=True)
    for path in folder.iterdir():
        if path.name not in files:
            path.unlink()
    for name, content in files.items():
        (folder / name).write_bytes(content)
    return folder


def _complaints(folder: Path, complaints) -> None:
    """Each is one line, names a file of the folder, and a row that the file has."""
    for complaint in complaints:
        line = str(complaint)
        _one_line(line)
        typed = "".join(path.read_text("utf-8", "replace") for path in folder.iterdir()) if _INSIDE.search(line) else ""
        _from_outside(f"{complaint.rule} {complaint.slip}", typed)
        hold(len(line) < 1200, f"a complaint of {len(line)} letters: {line[:200]}")
        if complaint.row is not None:
            hold(1 <= complaint.row <= _most_rows(folder / complaint.file), f"no such row: {line[:200]}")


def _most_rows(path: Path) -> int:
    data = path.read_bytes()
    return 1 + data.count(b"\n") + data.count(b"\r") - data.count(b"\r\n") - data.count(b"\r\0\n\0")


def _file(name: str, units: str, data: bytes):
    head = f'units = "{units}"\n'.encode()
    files = {file: text.encode() for file, text in GOOD.items()}
    files["boat.toml"] = files["boat.toml"].replace(b'units = "mm"\n', head)
    files[name] = data
    folder = _with(files)
    boat = read_boat(folder)
    hold({path.name: path.read_bytes() for path in folder.iterdir()} == files, "a file was changed")
    _complaints(folder, boat.complaints)
    for line in boat.echo():
        _from_outside(line, data.decode("utf-8", "replace"))
    return boat


def table(name: str) -> Callable[[str, bytes], None]:
    """The check of one of the tables."""

    def check(units: str, data: bytes) -> None:
        boat = _file(name, units, data)
        for record in (*boat.beams, *boat.readings, *boat.lines, *boat.fittings, *boat.marks):
            for field, value in vars(record).items():
                hold(not isinstance(value, float) or abs(value) <= LARGE * 1e4, f"{field} is {value}: {record}"[:200])
        if name in TABLES:
            _changed(name, data)

    return check


def _changed(name: str, data: bytes) -> None:
    """The table as it can be typed in: a cell changed, a row added, a row taken out; each proves itself or refuses."""
    try:
        typed = table_of(Path(name), data, TABLES[name])
        hold(typed.data == data, "the bytes are not those of the file")
        if typed.rows:
            changed = change_cells(typed, {(0, 0): "77"})
            hold(changed.cells[0][0] == "77" and changed.cells[1:] == typed.cells[1:], "another cell was changed")
            remove_rows(typed, [len(typed.rows) - 1])
        append_rows(typed, [["78"]])
    except TypedError as error:
        hold(str(error), "a refusal without a word")


def settings(units: str, data: bytes) -> None:
    """boat.toml."""
    _file("boat.toml", units, data)


def job(units: str, data: bytes) -> None:
    """A whole folder: every file, and all that is worked out from them."""
    files = {}
    for part in _text(data).split(PART)[1:]:
        name, _, text = part.partition("\n")
        if name in GOOD:
            files[name] = text.encode("utf-8", "replace")
    folder = _with(files)
    done = do_job(read_boat(folder))
    _complaints(folder, done.complaints)
    for line in summary(done):
        _from_outside(line, _text(data))
    said = not done.mended  # numbers that no boat has are complained of
    for name in COLUMNS:
        for row in table_rows(done, name):
            for value in row:
                hold(not isinstance(value, float) or math.isfinite(value), f"{name}: {row}"[:200])
                hold(not isinstance(value, float) or said or abs(value) < LARGE * 1e3, f"{name}: {row}"[:200])


def whole_folder(files: dict[str, str]) -> str:
    """All files of a folder as one text, for `job`."""
    return "".join(f"{PART}{name}\n{text}" for name, text in files.items())


# --- the list -------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Target:
    """One thing to fuzz: its check, where to begin, words to put in, the longest input, the most time for one. [s]"""

    check: Callable[[str, bytes], None]
    seeds: tuple[str, ...]
    words: tuple[str, ...]
    longest: int
    limit: float
    tabular: bool = False


def _tables() -> dict[str, Target]:
    names = [name for name in GOOD if name.endswith(".csv")]
    return {
        name: Target(table(name), (GOOD[name], GOOD[name].replace(",", ";"), GOOD[name].replace("\n", "\r\n")),
                     TABLE_WORDS, 1500, 3.0, True)
        for name in names
    }  # fmt: skip


TARGETS: dict[str, Target] = {
    "length": Target(length, LENGTHS, LENGTHS, 64, 1.0),
    "slope": Target(slope, SLOPES + LENGTHS, SLOPES, 64, 1.0),
    "place": Target(place, PLACES + LENGTHS, PLACES, 64, 1.0),
    "words": Target(words, SLOPES + WAYS + LENGTHS, WAYS + SLOPES, 120, 1.0),
    **_tables(),
    "boat.toml": Target(settings, (GOOD["boat.toml"], *TOML_WORDS), TOML_WORDS, 1500, 3.0),
    "job": Target(job, (whole_folder(GOOD),), TABLE_WORDS + TOML_WORDS, 4000, 20.0, True),
}
"""Everything that is fuzzed, by name."""
