"""Good boat folders to damage, and the ways to damage one: each changes the files in a folder and gives the line."""

from __future__ import annotations

import csv
import io
import random
import re
import shutil
from collections.abc import Callable
from pathlib import Path

from deckgeom.boat import copy_boat, new_boat
from deckgeom.boat.table_files import _LENGTHS as LENGTHS
from deckgeom.units import LengthError, parse_length

TOP = Path(__file__).resolve().parents[2]
DEMO = TOP / "notebooks" / "boats" / "thimblewick"
PUBLISHED = TOP / "tests" / "published" / "boats"

Damaging = Callable[[Path, random.Random], int | None]
"""Damages the folder; gives the line of the file that was damaged, from 1, or None where it is no one line."""

_FILLED = {
    "offsets.csv": "stem,0,900,900,8,8,\n1,900,820,818,420,418,\n2,1800,780,779,640,640,\n3,2700,790,790,560,560,\n",
    "beams.csv": "1,600,,,,,,,,,\n2,1000,,60,,,,,,yes,\n3,1400,,,,,,,,,\n4,1800,,,,,,,,,\n5,2200,,,,,,,,,\n",
    "figures.csv": '"paint or varnish, one coat",9,m2/L,8,11,,the tin\n',
}


def good(boat: str, folder: Path) -> Path:
    """A folder of its own: the demo boat, the same in millimetres, a published one, or a new one with some rows."""
    if boat == "new":
        new_boat(folder, "mm", "Whimbrel")
        for name, rows in _FILLED.items():
            with (folder / name).open("a", encoding="utf-8", newline="") as file:
                file.write(rows)
        return folder
    source = DEMO if boat in ("demo", "demo in mm") else PUBLISHED / boat
    copy_boat(source, folder)
    if boat == "demo in mm":
        _in_millimetres(folder)
    return folder


def _in_millimetres(folder: Path) -> None:
    toml = folder / "boat.toml"
    toml.write_bytes(toml.read_bytes().replace(b'units = "ft-in-8"', b'units = "mm"'))
    for path in folder.glob("*.csv"):
        lines = path.read_text(encoding="utf-8").split("\n")
        head = heading(lines)
        names = lines[head].split(",")
        for k in range(head + 1, len(lines)):
            cells = lines[k].split(",")
            if len(cells) == len(names):
                lines[k] = ",".join(map(_metric, names, cells))
        path.write_text("\n".join(lines), encoding="utf-8", newline="")


def _metric(name: str, cell: str) -> str:
    try:
        if name in LENGTHS or name in ("from", "to"):
            return f"{parse_length(cell, 'ft-in-8'):.4g}"
        side, _, rest = cell.partition(" ")
        return f"{side} {parse_length(rest, 'ft-in-8'):.4g}" if side in ("P", "S") else cell
    except LengthError:
        side, _, rest = cell.partition(" ")
        return f"{side} {parse_length(rest, 'ft-in-8'):.4g}" if side in ("P", "S") else cell


def heading(lines: list[str]) -> int:
    """Which line is the heading."""
    return next(k for k, line in enumerate(lines) if line.strip() and not line.startswith("#"))


# --- ways to damage a table -----------------------------------------------------------------------------------------


def _changed(path: Path, change: Callable[[list[str]], int | None]) -> int | None:
    lines = path.read_text(encoding="utf-8").split("\n")
    line = change(lines)
    path.write_bytes("\n".join(lines).encode("utf-8"))
    return line


def cells(line: str) -> list[str]:
    """Cells of a line of a good folder."""
    return next(csv.reader(io.StringIO(line)))


def cell(file: str, column: str, words, row: str | None = None, blank: str = "") -> Damaging:
    """
    Change one cell: `words` is the new text, or makes it of the old one.

    The row is one that `row` begins and whose cell is not blank if there is such a one; or any by chance whose cell is
    not blank. With `blank`, one whose cell of that column is blank.
    """

    def damage(folder: Path, rng: random.Random) -> int:
        def change(lines):
            head = heading(lines)
            place = cells(lines[head]).index(column)
            rows = [k for k in range(head + 1, len(lines)) if lines[k] and (row is None or cells(lines[k])[0] == row)]
            filled = [k for k in rows if cells(lines[k])[place].strip()]
            if blank:
                other = cells(lines[head]).index(blank)
                filled = [k for k in rows if not cells(lines[k])[other].strip()]
            k = rng.choice(filled or rows)
            found = cells(lines[k])
            found[place] = words(found[place]) if callable(words) else words
            lines[k] = _line(found)
            return k + 1

        return _changed(folder / file, change)

    return damage


def _line(found: list[str]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="").writerow(found)
    return out.getvalue()


def column(file: str, name: str, words) -> Damaging:
    """Change a whole column; `words` makes each new text of the old one. The damaged line is the heading."""

    def damage(folder: Path, rng: random.Random) -> int:
        def change(lines):
            head = heading(lines)
            place = cells(lines[head]).index(name)
            for k in range(head + 1, len(lines)):
                if lines[k] and not lines[k].startswith("#"):
                    found = cells(lines[k])
                    found[place] = words(found[place])
                    lines[k] = _line(found)
            return head + 1

        return _changed(folder / file, change)

    return damage


def named(file: str, name: str, new: str) -> Damaging:
    """Another name for a column, or a column more, in the heading."""

    def damage(folder: Path, rng: random.Random) -> int:
        def change(lines):
            head = heading(lines)
            lines[head] = ",".join(new if one == name else one for one in lines[head].split(","))
            return head + 1

        return _changed(folder / file, change)

    return damage


def without(file: str, name: str) -> Damaging:
    """A column taken out, heading and cells."""

    def damage(folder: Path, rng: random.Random) -> int:
        def change(lines):
            head = heading(lines)
            place = lines[head].split(",").index(name)
            for k in range(head, len(lines)):
                if lines[k] and not lines[k].startswith("#"):
                    found = cells(lines[k])
                    del found[place]
                    lines[k] = _line(found)
            return head + 1

        return _changed(folder / file, change)

    return damage


def added(file: str, name: str, words: str, row: str) -> Damaging:
    """A column that the good folder has not, blank but for the row that `row` begins."""

    def damage(folder: Path, rng: random.Random) -> int:
        def change(lines):
            head, at = heading(lines), 0
            lines[head] += f",{name}"
            for k in range(head + 1, len(lines)):
                if lines[k] and not lines[k].startswith("#"):
                    mine = cells(lines[k])[0] == row and not at
                    lines[k] += f",{_line([words])}" if mine else ","
                    at = k + 1 if mine else at
            return at

        return _changed(folder / file, change)

    return damage


def row(file: str, change: Callable[[list[str], int], int], first: str | None = None) -> Damaging:
    """Change the lines about a row by chance, or the one that `first` begins."""

    def damage(folder: Path, rng: random.Random) -> int:
        def changed(lines):
            rows = [k for k in range(heading(lines) + 1, len(lines)) if lines[k] and not lines[k].startswith("#")]
            k = rng.choice(rows[:-1]) if first is None else next(k for k in rows if cells(lines[k])[0] == first)
            return change(lines, k) + 1

        return _changed(folder / file, changed)

    return damage


def swapped(file: str, name: str, other: str, first: str) -> Damaging:
    """Two cells of one row changed for each other."""

    def change(lines, k):
        names, found = lines[heading(lines)].split(","), cells(lines[k])
        a, b = names.index(name), names.index(other)
        found[a], found[b] = found[b], found[a]
        lines[k] = _line(found)
        return k

    return row(file, change, first)


def times(factor: float, units: str = "mm") -> Callable[[str], str]:
    """The old length so many times as large."""

    def words(old: str) -> str:
        side, _, rest = old.partition(" ")
        if side in ("P", "S"):
            return f"{side} {_plain(parse_length(rest, units) * factor)}"
        return _plain(parse_length(old, units) * factor) if old.strip() else old

    return words


def _plain(mm: float) -> str:
    return f"{mm:.3f}".rstrip("0").rstrip(".")


def plus(mm: float, units: str = "mm") -> Callable[[str], str]:
    """The old length and so many mm more."""
    return lambda old: f"{parse_length(old, units) + mm:.6g}mm"


# --- ways to damage a file ------------------------------------------------------------------------------------------


def text(file: str, change: Callable[[str], str]) -> Damaging:
    """The whole text changed."""
    return content(file, lambda data: change(data.decode("utf-8")).encode("utf-8"))


def content(file: str, change: Callable[[bytes], bytes]) -> Damaging:
    """All bytes changed."""

    def damage(folder: Path, rng: random.Random) -> None:
        path = folder / file
        path.write_bytes(change(path.read_bytes() if path.exists() else b""))

    return damage


def path(file: str, change: Callable[[Path], None]) -> Damaging:
    """Something else than a file in its place: the file is taken away first."""

    def damage(folder: Path, rng: random.Random) -> None:
        target = folder / file
        if target.is_dir():
            shutil.rmtree(target)
        target.unlink(missing_ok=True)
        change(target)

    return damage


def key(section: str, name: str, words: str) -> Damaging:
    """One key of boat.toml with another value, in the place of its own line or at the head of its section."""

    def damage(folder: Path, rng: random.Random) -> int:
        def change(lines):
            begin = next((k for k, line in enumerate(lines) if line.startswith(f"[{section}]")), -1) if section else -1
            if section and begin < 0:
                lines.append(f"[{section}]")
                begin = len(lines) - 1
            end = next((k for k in range(begin + 1, len(lines)) if lines[k].startswith("[")), len(lines))
            own = next((k for k in range(begin + 1, end) if re.match(rf"#? ?{name} *=", lines[k])), None)
            if own is None:
                lines.insert(begin + 1, f"{name} = {words}")
                return begin + 2
            last = own
            while lines[own].count("[") > "\n".join(lines[own : last + 1]).count("]") and last < end:
                last += 1
            while "\n".join(lines[own : last + 1]).count("[") > "\n".join(lines[own : last + 1]).count("]"):
                last += 1
            lines[own : last + 1] = [f"{name} = {words}", *[""] * (last - own)]
            return own + 1

        return _changed(folder / "boat.toml", change)

    return damage


def both(*damages: Damaging) -> Damaging:
    """One after the other; the line is the last one's."""

    def damage(folder: Path, rng: random.Random) -> int | None:
        line = None
        for one in damages:
            line = one(folder, rng)
        return line

    return damage
