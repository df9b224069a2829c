"""
One table of a boat in hand: cells typed, rows taken out, steps back and forth, and what another page did meanwhile.
"""

from __future__ import annotations

import random
import time
from collections.abc import Mapping
from pathlib import Path

from .keeping import ChangedElsewhere, copies, go_back, save
from .table_files import typed_table
from .typed_table import TypedError, TypedTable, append_rows, change_cells, differences, remove_rows

MOST_DIFFERENCES = 3
"""So many cells that somebody else changed are told one by one."""

MOST_TRIES = 60
"""So often a cell is set beside what others save at the same moment."""

SHORT_WAIT = 0.01
"""Between two of these tries, from the seventh on longer and longer, and some part of it by chance. [s]"""


class Editing:
    """
    A table that is being typed in; every step is on the disk when its call returns.

    Parameters
    ----------
    folder : str or Path
        The boat's folder.
    file : str
        One of her tables. Nothing is written before the first step.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     _ = Path(folder, "beams.csv").write_text("beam,x\\n1,400\\n")
    ...     table = Editing(folder, "beams.csv")
    ...     _ = table.type({(0, 1): "410", (1, 0): "2"})
    ...     Path(folder, "beams.csv").read_text()
    'beam,x\\n1,410\\n2,\\n'
    """

    def __init__(self, folder: str | Path, file: str) -> None:
        self.folder, self.file = Path(folder), file
        self.table = typed_table(folder, file)
        self._taken: list[tuple[TypedTable, TypedTable]] = []
        self._given: list[tuple[TypedTable, TypedTable]] = []

    @property
    def can_undo(self) -> bool:
        """Whether there is a step to take back."""
        return bool(self._taken)

    @property
    def can_redo(self) -> bool:
        """Whether there is a step to make again."""
        return bool(self._given)

    def type(self, cells: Mapping[tuple[int, int], str]) -> str:
        """
        Type into cells; rows beyond the last are added.

        Parameters
        ----------
        cells : mapping of (int, int) to str
            Words by row and column, from 0.

        Returns
        -------
        str
            What was done, for the person who typed.

        Raises
        ------
        TypedError
            Where the table cannot take it, or its row was changed elsewhere.
        NotSaved
            Where it cannot be written.
        """
        words, before, told = dict(cells), self.table, ""
        for tries in range(MOST_TRIES):
            time.sleep(random.random() * max(0, min(tries - 5, 5)) * SHORT_WAIT)  # not in step with the other page
            after = _typed(before, words)
            try:
                save(before.path, before.data, after.data, whole=len(words) > 1)
            except ChangedElsewhere:
                before, words = self._beside(cells)
                told = self._elsewhere(before)
                self._taken.clear()
            else:
                return told + self._done(before, after, "Saved")
        raise TypedError(
            f"{self.file} is being changed over and over by another page or program: nothing was saved here, and what "
            "you typed is still in its cell. Wait for the other to end, then press Enter in the cell again."
        )

    def remove(self, row: int) -> str:
        """
        Take a row out, from 0; as `type` returns and raises.
        """
        if not 0 <= row < len(self.table.rows):
            raise TypedError(f"{self.file} has no row {row + 1} to take out.")
        after = remove_rows(self.table, [row])
        self._save(self.table, after.data)
        return self._done(self.table, after, "A row was taken out")

    def undo(self) -> str:
        """
        Take the last step back; as `type` returns and raises.
        """
        if not self._taken:
            return "There is nothing to take back."
        before, after = self._taken[-1]
        self._save(after, _bytes(before))
        self._taken.pop()
        self.table = before if before.data is not None else typed_table(self.folder, self.file)
        self._given.append((self.table, after))
        return _at("Taken back")

    def redo(self) -> str:
        """
        Make a step again that was taken back; as `type` returns and raises.
        """
        if not self._given:
            return "There is nothing to make again."
        before, after = self._given[-1]
        self._save(before, after.data)
        self._taken.append(self._given.pop())
        self.table = after
        return _at("Made again")

    def restore(self, number: int) -> str:
        """
        Go back to one of the good copies by its number; as `type` returns and raises.
        """
        chosen = [copy for copy in copies(self.table.path) if copy.number == number]
        if not chosen:
            raise TypedError(f"there is no copy {number} of {self.file} any more; nothing was changed.")
        go_back(self.table.path, chosen[0], self.table.data)
        self._done(self.table, typed_table(self.folder, self.file), "")
        return f"{self.file} is again as in {chosen[0].words}."

    def look_again(self) -> str:
        """
        Read the file anew, as an editor or another page may have left it; as `type` returns and raises.
        """
        now = typed_table(self.folder, self.file)
        if now.data != self.table.data:
            self._taken.clear()
            self._given.clear()
        self.table = now
        return _at("Read again")

    def _done(self, before: TypedTable, after: TypedTable, what: str) -> str:
        self._taken.append((before, after))
        self._given.clear()
        self.table = after
        return _at(what)

    def _save(self, before: TypedTable, data: bytes) -> None:
        try:
            save(before.path, before.data, data)
        except ChangedElsewhere as error:
            now = typed_table(self.folder, self.file)
            told = self._elsewhere(now)
            self.table = now
            self._taken.clear()
            self._given.clear()
            raise TypedError(f"{told}Nothing else was done.") from error

    def _beside(self, words: Mapping[tuple[int, int], str]) -> tuple[TypedTable, dict[tuple[int, int], str]]:
        """The table as another page left it, and where the words go in it; refused where their row is another."""
        seen, now = self.table, typed_table(self.folder, self.file)
        moved = {}
        for (row, column), text in words.items():
            if row >= len(seen.rows):
                moved[len(now.rows) + row - len(seen.rows), column] = text
                continue
            same = [k for k, cells in enumerate(now.cells) if cells == seen.cells[row]]
            if seen.columns != now.columns or not same:
                told = self._elsewhere(now)
                self.table = now
                self._taken.clear()
                raise TypedError(f"{told}The row that you typed in is not what it was: look at it, and type again.")
            moved[min(same, key=lambda k: abs(k - row)), column] = text
        return now, moved

    def _elsewhere(self, now: TypedTable) -> str:
        found = differences(self.table, now)
        more = f" and {len(found) - MOST_DIFFERENCES} more" if len(found) > MOST_DIFFERENCES else ""
        said = "; ".join(found[:MOST_DIFFERENCES])
        return f"{self.file} was changed by another page or program meanwhile ({said}{more}); that is shown now. "


def _at(what: str) -> str:
    return f"{what} at {time.strftime('%H:%M:%S')}."


def _typed(table: TypedTable, words: Mapping[tuple[int, int], str]) -> TypedTable:
    """The table with words typed into it, and rows added for those beyond the last."""
    have, wide = len(table.rows), len(table.columns)
    if any(row < 0 or not 0 <= column < wide for row, column in words):
        raise TypedError(f"{table.path.name} has {wide} columns: a word was typed beyond them.")
    beyond = sorted({row for row, _ in words if row >= have})
    added = [[words.get((row, column), "") for column in range(wide)] for row in beyond]
    known = {place: text for place, text in words.items() if place[0] < have}
    now = change_cells(table, known) if known else table
    return append_rows(now, added) if any(map(any, added)) or now.data is None else now


def _bytes(table: TypedTable) -> bytes:
    """What stands in the file for a table; a heading alone where it was not there."""
    return (table.separator.join(table.columns) + "\n").encode() if table.data is None else table.data
