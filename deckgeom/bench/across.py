"""The readings to type in as on squared paper: a row a beam, a column a place across it."""

from __future__ import annotations

import pathlib
from collections.abc import Callable, Mapping, Sequence

import traitlets

from deckgeom.bench.entries import verdict_lines
from deckgeom.bench.type_in import MOST_SHOWN, TypeIn
from deckgeom.bench.waiting import Seen
from deckgeom.boat.editing import Editing
from deckgeom.boat.readings_grid import ReadingsGrid, grid_of, table_words
from deckgeom.boat.table_files import cell_echo
from deckgeom.boat.typed_table import TypedError
from deckgeom.job import Job

__all__ = ["Across", "readings"]

FILE = "readings.csv"


def readings(job: Job, places: Sequence[str] = (), round: int = 1) -> Across:
    """
    Type the heights of the beam tops beam by beam and place by place; below them, the verdict as it is now.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    places : sequence of str
        Places across the beams that you measure at, such as ``["P edge", "P 3-0-0", "0", "S 3-0-0", "S edge"]``; those
        of readings.csv are there already.
    round : int
        Which time round the boat. [-]

    Returns
    -------
    Across
        Nothing is written before a cell is changed; then each height is a row of readings.csv.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> readings(example_job(), ["P 300", "0", "S 300"]).heads
    ['300 mm port', 'centreline', '300 mm starboard']
    """
    return Across(job, places, round)


class _Sheet(Editing):
    """The table of readings, typed into by beam and place."""

    def __init__(self, folder: pathlib.Path, places: Sequence[str], round: int) -> None:
        super().__init__(folder, FILE)
        self._places, self._round = tuple(places), round
        self.grid = self.lay_out(())

    def lay_out(self, beams: Sequence[str], units: str = "mm") -> ReadingsGrid:
        """The sheet as the table stands now, with a row for each of these beams."""
        self.grid = grid_of(self.table, beams, self._places, units, self._round)
        return self.grid

    def type(self, cells: Mapping[tuple[int, int], str]) -> str:
        """Type into cells of the sheet; as the table's own call returns and raises."""
        return super().type(table_words(self.grid, cells))

    def remove(self, row: int) -> str:
        """A row of the sheet is a beam, and stays."""
        raise TypedError(f"Row {row + 1} is a beam and stays: empty its cells, or take rows out of the long table.")


class Across(TypeIn):
    """
    The readings of one round as a sheet to type in.

    Parameters
    ----------
    job : Job
        Of the boat's folder.
    places : sequence of str
        Places across the beams that have a column even where nothing is measured yet.
    round : int
        Which time round the boat. [-]

    Examples
    --------
    >>> import tempfile
    >>> from deckgeom.bench.boat import open_boat
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     _ = pathlib.Path(folder, "beams.csv").write_text("beam,x\\n1,400\\n2,800\\n")
    ...     sheet = Across(open_boat(folder), ["P 300", "0"]).type({(0, 0): "901", (1, 1): "955"})
    ...     pathlib.Path(folder, "readings.csv").read_text().splitlines()[1:]
    ['1,port,300,901,1,', '2,,0,955,1,']
    """

    row_word = traitlets.Unicode("beam").tag(sync=True)
    spare = traitlets.Int(0).tag(sync=True)

    def __init__(self, job: Job, places: Sequence[str] = (), round: int = 1) -> None:
        self._places, self._round = tuple(places), round
        title = f"{FILE} of {job.boat.name}, round {round}: a row a beam, a column a place, from port to starboard"
        super().__init__(job.boat.folder, FILE, title, verdict_lines, job)

    def _hold(self, folder: str | pathlib.Path, file: str) -> Editing:
        return _Sheet(pathlib.Path(folder), self._places, self._round)

    def _fill(self) -> None:
        self._editing.lay_out([mark.name for mark in self.job.boat.beams], self.job.boat.units)
        super()._fill()

    def _rows(self) -> tuple[list[str], list, list[list[str]]]:
        grid = self._editing.grid
        return list(grid.heads), list(grid.beams[:MOST_SHOWN]), [list(cells) for cells in grid.cells[:MOST_SHOWN]]

    def _look_of_rows(self) -> Seen:
        return Seen(list(self.lines), list(self.heads))

    def _count_hidden(self) -> int:
        return max(0, len(self._editing.grid.beams) - MOST_SHOWN)

    def _echo(self, row: int, column: int, words: str) -> str:
        said = cell_echo(FILE, "height", words, self.job.boat.units)
        grid = self._editing.grid
        spot = grid.spots.get((row, column))
        where = spot.words(self.job.boat.units) if said and spot else ""
        return f"{said}, {where}" if where and where != grid.heads[column] else said

    def _placer(self) -> Callable[[int | None, str], str]:
        table, found = self._editing.table, self._editing.grid.found
        places = {table.rows[row]: f"{k},{j}" for (k, j), (row, _) in found.items() if k < MOST_SHOWN}
        return lambda line, column: places.get(line, "")
