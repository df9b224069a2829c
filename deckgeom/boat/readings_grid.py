"""
The readings as a sheet of squared paper has them: a row a beam, a column a place across it; kept in readings.csv.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from deckgeom.units import LengthError, format_offcentre, parse_offcentre

from .cells import BLANKS
from .heading import plain_name
from .readings_file import place_of
from .typed_table import TypedError, TypedTable

EVERYWHERE = ("port edge", "centreline", "starboard edge")
"""Places of a sheet that names none."""

MOST_COLUMNS = 15
"""Beams measured at more places than this are laid out by counting from the middle, each with its own places."""


@dataclass(frozen=True)
class Place:
    """
    A column of the sheet.

    Parameters
    ----------
    at : float or {"port edge", "starboard edge"}
        Off the centreline, starboard positive. [mm]
    side, y : str
        As they are written into the table of readings.
    line : str
        What new readings here are taken down from; empty where they go up from the base.

    Examples
    --------
    >>> Place(-300.0, "port", "300").order < Place("starboard edge", "starboard", "edge").order
    True
    """

    at: float | str
    side: str
    y: str
    line: str = ""

    @property
    def order(self) -> float:
        """From port to starboard. [mm]"""
        return self.at if isinstance(self.at, float) else float("-inf" if self.at == "port edge" else "inf")

    def words(self, units: str = "mm") -> str:
        """For the head of its column."""
        place = self.at if isinstance(self.at, str) else format_offcentre(self.at, units)
        return f"{place}, down from {self.line}" if self.line else place


@dataclass(frozen=True, eq=False)
class ReadingsGrid:
    """
    The readings of one round, beam by beam and place by place.

    Parameters
    ----------
    table : TypedTable
        readings.csv as it stands, or is to be begun.
    round : int
        Which time round the boat. [-]
    beams : tuple of str
        The rows.
    heads : tuple of str
        The columns, from port to starboard.
    spots : dict
        Where each cell of the sheet lies; a cell without one can take no reading.
    found : dict
        Row and column of the table for each cell that has a reading, the last taken where there are more.
    cells : tuple of tuple of str
        What stands in the sheet.
    beside : int
        Rows of the table that have no cell of their own here: taken more than once, or at no certain place. [-]

    Examples
    --------
    >>> from pathlib import Path
    >>> from deckgeom.boat.typed_table import begin_table
    >>> empty = begin_table(Path("readings.csv"), ("beam", "side", "y", "height"))
    >>> grid_of(empty, ["1", "2"], ["P 300", "0"]).cells
    (('', ''), ('', ''))
    """

    table: TypedTable
    round: int
    beams: tuple[str, ...]
    heads: tuple[str, ...]
    spots: dict[tuple[int, int], Place]
    found: dict[tuple[int, int], tuple[int, int]]
    cells: tuple[tuple[str, ...], ...]
    beside: int = 0


def grid_of(
    table: TypedTable, beams: Sequence[str] = (), places: Sequence[str] = (), units: str = "mm", round: int = 1
) -> ReadingsGrid:
    """
    Lay readings out as a sheet.

    Parameters
    ----------
    table : TypedTable
        readings.csv.
    beams : sequence of str
        Beams that have a row even where nothing is measured yet.
    places : sequence of str
        Places that have a column even where nothing is measured yet, such as ``"P 300"``, ``"0"`` or ``"S edge"``.
    units : {"mm", "ft-in-8", "in"}
        The folder's units.
    round : int
        Which time round the boat. [-]

    Returns
    -------
    ReadingsGrid
        Where neither the table nor the call names a place: the edges and the centreline. Where every beam was measured
        at places of its own: first, second, ... place from the middle, and each cell keeps the place of its beam.

    Raises
    ------
    LengthError
        Where a place cannot be read.

    Examples
    --------
    >>> from pathlib import Path
    >>> from deckgeom.boat.heading import Column
    >>> from deckgeom.boat.typed_table import table_of
    >>> data = b"beam,side,y,height\\n1,port,300,901\\n1,,0,955\\n"
    >>> table = table_of(Path("readings.csv"), data, [Column(name) for name in ("beam", "side", "y", "height")])
    >>> grid_of(table).cells
    (('901', '955'),)
    """
    rows = _rows(table, units)
    asked = list(map(_asked(units), places))
    if not rows and not asked:
        asked = list(map(_asked(units), EVERYWHERE))
    down = tuple(dict.fromkeys([*beams, *(beam for _, _, beam, _, _ in rows)]))
    along = {place.order: place for place in [*asked, *(place for *_, place in reversed(rows))]}
    if len(along) > MOST_COLUMNS and not asked:
        keys = _counted(rows)
        heads = {key: _counted_words(key) for key in sorted(set(keys.values()))}
        spots = {(beam, keys[beam, place.order]): place for _, _, beam, _, place in reversed(rows)}
    else:
        keys = {(beam, order): order for beam in down for order in along}
        heads = {key: along[key].words(units) for key in sorted(along)}
        spots = {(beam, key): place for beam in down for key, place in along.items()}
        spots |= {(beam, place.order): place for _, _, beam, _, place in reversed(rows)}
    down_at, along_at = ({key: k for k, key in enumerate(names)} for names in (down, heads))
    mine = [(beam, keys[beam, place.order], row, column) for row, column, beam, turn, place in rows if turn == round]
    found = {(down_at[beam], along_at[key]): (row, column) for beam, key, row, column in mine}
    size = (range(len(down)), range(len(heads)))
    cells = tuple(tuple(_cell(table, *found[k, j]) if (k, j) in found else "" for j in size[1]) for k in size[0])
    beside = len(table.rows) - len(found) - (len(rows) - len(mine))
    places_at = {(down_at[beam], along_at[key]): place for (beam, key), place in spots.items()}
    return ReadingsGrid(table, round, down, tuple(heads.values()), places_at, found, cells, beside)


def table_words(grid: ReadingsGrid, changes: Mapping[tuple[int, int], str]) -> dict[tuple[int, int], str]:
    """
    Tell what is to be typed into the table of readings for what was typed into the sheet.

    Parameters
    ----------
    grid : ReadingsGrid
        As it stands.
    changes : mapping of (int, int) to str
        New words by row and column of the sheet, both from 0.

    Returns
    -------
    dict
        New words by row and column of the table: in the readings' own rows, or in new ones beyond its last. A height
        that is taken out leaves its row, to be measured again.

    Raises
    ------
    TypedError
        Where the table has no column for what was typed.

    Examples
    --------
    >>> from pathlib import Path
    >>> from deckgeom.boat.typed_table import begin_table
    >>> empty = begin_table(Path("readings.csv"), ("beam", "side", "y", "height"))
    >>> table_words(grid_of(empty, ["1", "2"], ["P 300", "0"]), {(1, 1): "96,5cm"})
    {(0, 0): '2', (0, 2): '0', (0, 3): '96,5cm'}
    """
    typed, last = {}, len(grid.table.rows)
    for (row, column), words in sorted(changes.items()):
        if not 0 <= row < len(grid.beams) or not 0 <= column < len(grid.heads):
            raise TypedError(
                f"The sheet has {len(grid.beams)} beams and {len(grid.heads)} places; {words!r} stood beyond them and "
                "nothing was changed. Name more beams in beams.csv, or more places, first."
            )
        if (row, column) in grid.found:
            typed[grid.found[row, column]] = words
        elif words.strip():
            new = _new_row(grid, row, column, words)
            typed |= {(last, k): cell for k, cell in enumerate(new) if cell}
            last += 1
    return typed


def _rows(table: TypedTable, units: str) -> list[tuple[int, int, str, int, Place]]:
    """Row, column of the height, beam, round and place of each row of the table that has a certain place."""
    names = [plain_name(one) for one in table.columns]
    found = []
    for row in range(len(table.rows)):
        cell = {name: _cell(table, row, k).partition(" #")[0].strip() for k, name in enumerate(names)}
        try:
            at = place_of(cell.get("side", ""), cell.get("y", ""), units)
            turn = int(cell.get("round", "") or 1)
        except ValueError:
            continue
        above = cell.get("height", "") in BLANKS and (cell.get("line", "") not in BLANKS or "height" not in names)
        below = "below" in names and (above or cell.get("below", "") not in BLANKS)
        if not cell.get("beam") or at is None or not {"height", "below"} & set(names):
            continue
        place = Place(at, cell.get("side", ""), cell["y"], cell.get("line", "") if below else "")
        found.append((row, names.index("below" if below else "height"), cell["beam"], turn, place))
    return found


def _counted(rows: Sequence[tuple]) -> dict[tuple[str, float], float]:
    """Which place from the middle each place of each beam is, to port with a minus; edges and the middle stay."""
    keys = {}
    for beam in {row[2] for row in rows}:
        orders = {place.order for _, _, one, _, place in rows if one == beam}
        for sign in (-1, 1):
            out = sorted((order for order in orders if 0 < sign * order < float("inf")), key=abs)
            keys |= {(beam, order): float(sign * k) for k, order in enumerate(out, 1)}
        keys |= {(beam, order): order for order in orders if order in (0.0, float("inf"), float("-inf"))}
    return keys


def _counted_words(key: float) -> str:
    if key in (float("inf"), float("-inf")):
        return "port edge" if key < 0 else "starboard edge"
    return "centreline" if key == 0 else f"{'port' if key < 0 else 'starboard'} {abs(key):.0f} from the middle"


def _cell(table: TypedTable, row: int, column: int) -> str:
    cells = table.cells[row]
    return cells[column] if column < len(cells) else ""


def _asked(units: str):
    """Read a place that was asked for in words."""

    def read(words: str) -> Place:
        at = parse_offcentre(words, units)
        if isinstance(at, str):
            return Place(at, at.split()[0], "edge")
        side = "port" if at < 0 else "starboard" if at > 0 else ""
        return Place(round(at, 6), side, _without_side(words, abs(at), units) if side else "0")

    return read


def _without_side(words: str, length: float, units: str) -> str:
    """A place's number alone, as it was written, if it then still says the same; else all of it."""
    for part in (words.strip().partition(" ")[2], words.strip().rpartition(" ")[0]):
        try:
            if part.strip() and abs(abs(float(parse_offcentre(f"S {part}", units))) - length) < 1e-9:
                return part.strip()
        except (LengthError, ValueError):
            continue
    return words.strip()


def _new_row(grid: ReadingsGrid, row: int, column: int, words: str) -> list[str]:
    beam, file = grid.beams[row], grid.table.path.name
    if (row, column) not in grid.spots:
        raise TypedError(
            f"{words!r}: beam {beam} has no {grid.heads[column]} in {file}, so how far off the centreline that is "
            "cannot be told. Write it into the long table, in a row of its own."
        )
    place, names = grid.spots[row, column], [plain_name(one) for one in grid.table.columns]
    values = {"beam": beam, "side": place.side, "y": place.y, "below" if place.line else "height": words}
    values |= {"line": place.line} if place.line else {}
    if "side" not in names and place.side:
        values |= {"y": f"{place.side} {place.y}", "side": ""}
    if grid.round != 1 or "round" in names:
        values["round"] = str(grid.round)
    missing = [name for name, value in values.items() if value and name not in names]
    if missing:
        raise TypedError(
            f"{words!r} for beam {beam} needs a column {missing[0]!r}, and {file} has only "
            f"{', '.join(grid.table.columns)}. Add that column to its heading in an editor."
        )
    return [values.get(name, "") for name in names]
