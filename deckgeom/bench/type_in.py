"""Tables to type in: any notation in any cell, each accepted cell on the disk at once, and nothing ever lost."""

from __future__ import annotations

import html
import pathlib
import weakref
from collections import deque
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import anywidget
import traitlets
from IPython.display import display

from deckgeom.bench.errors import one_line
from deckgeom.bench.waiting import Seen, followed
from deckgeom.boat import read_boat
from deckgeom.boat.editing import Editing
from deckgeom.boat.keeping import copies, save
from deckgeom.boat.table_files import cell_echo, typed_table
from deckgeom.boat.typed_table import TypedError, TypedTable, change_cells
from deckgeom.job import Job, do_job

__all__ = ["TypeIn", "change"]

MOST_SHOWN = 800
MOST_HOMELESS = 9
MOST_TURNS = 30
STEPS = ("undo", "redo", "look_again", "remove", "restore")
_HERE = pathlib.Path(__file__).parent
#: The tables opened last: what one of them saves, the others of the same file show.
_OPEN: deque[weakref.ref[TypeIn]] = deque(maxlen=12)


def change(folder: str | pathlib.Path, file: str, line: int, column: str, words: str) -> TypedTable:
    """
    Change one cell of a boat's table on the disk, and nothing else in it.

    Parameters
    ----------
    folder : str or Path
        The boat's folder.
    file : str
        ``"readings.csv"`` and the like.
    line : int
        Line of the file that the row begins on, as an editor counts them. [-]
    column : str
        Its name in the heading.
    words : str
        What is to stand there, in any notation.

    Returns
    -------
    TypedTable
        As it stands on the disk now.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     _ = pathlib.Path(folder, "beams.csv").write_text("beam,x\\n1,400\\n")
    ...     change(folder, "beams.csv", 2, "x", "410").cells
    (('1', '410'),)
    """
    before = typed_table(folder, file)
    after = change_cells(before, {(before.row(line), before.column(column)): words})
    save(before.path, before.data, after.data)
    return after


class TypeIn(anywidget.AnyWidget):
    """
    One of a boat's tables, to be typed in.

    Parameters
    ----------
    folder : str or Path
        The boat's folder. Nothing is written before a cell is changed.
    file : str
        ``"readings.csv"`` and the like.
    title : str
        What the table is.
    respond : callable, optional
        Says in lines what follows from the boat as she is typed now; called with the new :class:`Job`.
    job : Job, optional
        Of the folder as it stands, where it is at hand already.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     _ = pathlib.Path(folder, "beams.csv").write_text("beam,x\\n1,400\\n")
    ...     table = TypeIn(folder, "beams.csv").type({(0, 1): "41o", (1, 0): "2"})
    ...     print(pathlib.Path(folder, "beams.csv").read_text().splitlines(), len(table.wrong))
    ['beam,x', '1,41o', '2,'] 2
    """

    _esm = _HERE / "type_in.js"
    _css = (_HERE / "panel.css").read_text(encoding="utf-8") + (_HERE / "type_in.css").read_text(encoding="utf-8")

    title = traitlets.Unicode("").tag(sync=True)
    heads = traitlets.List().tag(sync=True)
    lines = traitlets.List().tag(sync=True)
    cells = traitlets.List().tag(sync=True)
    echoes = traitlets.Dict().tag(sync=True)
    wrong = traitlets.Dict().tag(sync=True)
    matters = traitlets.List().tag(sync=True)
    unsaved = traitlets.Dict().tag(sync=True)
    state = traitlets.Unicode("").tag(sync=True)
    trouble = traitlets.Unicode("").tag(sync=True)
    kept = traitlets.List().tag(sync=True)
    can_undo = traitlets.Bool(False).tag(sync=True)
    can_redo = traitlets.Bool(False).tag(sync=True)
    says = traitlets.List().tag(sync=True)
    answered = traitlets.Int(0).tag(sync=True)
    turn = traitlets.Int(0).tag(sync=True)
    row_word = traitlets.Unicode("row").tag(sync=True)
    spare = traitlets.Int(3).tag(sync=True)

    def __init__(
        self,
        folder: str | pathlib.Path,
        file: str,
        title: str = "",
        respond: Callable[[Job], Sequence[str]] | None = None,
        job: Job | None = None,
    ) -> None:
        self._editing = self._hold(folder, file)
        self._respond = respond or (lambda job: ())
        self._snapshot: Any = None
        self._spare = type(self).spare.default_value
        self._homeless: list[str] = []
        self._seen: dict[int, Seen] = {}
        self._shown, self._total = Seen([], []), 0
        self.job = job or do_job(read_boat(self._editing.folder))
        super().__init__(title=title or file)
        self._look("Nothing has been changed yet. Each cell is saved when you leave it.")
        self.on_msg(self._asked)
        _OPEN.append(weakref.ref(self))

    def _hold(self, folder: str | pathlib.Path, file: str) -> Editing:
        return Editing(folder, file)

    def type(self, cells: Mapping[tuple[int, int], str]) -> TypeIn:
        """
        Type into cells, as the keyboard or a paste would; rows beyond the last are added.

        Parameters
        ----------
        cells : mapping of (int, int) to str
            Words by row and column, from 0.

        Returns
        -------
        TypeIn
            Itself, with what follows.

        Examples
        --------
        >>> import tempfile
        >>> with tempfile.TemporaryDirectory() as folder:
        ...     TypeIn(folder, "lines.csv").type({(0, 0): "ridge string"}).cells
        [['ridge string', '', '', '', '', '', '', '', '']]
        """
        words = {place: " ".join(str(text).split()) for place, text in cells.items()}
        waiting = self._waiting()
        if set(waiting) - set(words):
            try:
                state = self._editing.type(waiting | words)
            except (TypedError, OSError):
                pass  # what waits may be what is in the way: the new words are tried alone
            else:
                self.unsaved = {}
                self._show(state)
                return self
        return self._step(lambda: self._editing.type(words), words)

    def step(self, what: str, *which: int) -> TypeIn:
        """
        Do one of the other things that the buttons do.

        Parameters
        ----------
        what : {"undo", "redo", "look_again", "remove", "restore"}
            The last two take a row, from 0, and the number of a copy.
        *which : int
            That row or number.

        Returns
        -------
        TypeIn

        Examples
        --------
        >>> import tempfile
        >>> with tempfile.TemporaryDirectory() as folder:
        ...     TypeIn(folder, "lines.csv").type({(0, 0): "ridge string"}).step("remove", 0).step("undo").cells
        [['ridge string', '', '', '', '', '', '', '', '']]
        """
        if what not in STEPS:
            raise KeyError(f"no step {what!r}; there are: {', '.join(STEPS)}")
        return self._step(lambda: getattr(self._editing, what)(*which), {})

    def _step(self, do: Callable[[], str], words: Mapping[tuple[int, int], str]) -> TypeIn:
        try:
            state = do()
        except (TypedError, OSError) as error:
            self._refuse(words, error)
        else:
            done = self._on_page(words)
            self.unsaved = {place: text for place, text in self.unsaved.items() if place not in done}
            self._show(state)
        return self

    def _asked(self, _widget: Any, message: Any, _buffers: Any = None) -> None:
        if not isinstance(message, dict):
            return
        try:
            self._do(message)
        except Exception as error:
            self._refuse({}, error)
        self.answered = int(message.get("number", 0))

    def _do(self, message: dict) -> None:
        asked = message.get("do")
        if asked == "type":
            typed = {(int(row), int(column)): str(text) for row, column, text in message["cells"]}
            there, gone = followed(typed, self._seen.get(message.get("turn"), self._shown), self._shown)
            self._set_aside(gone)
            self.type({(self._in_table(row), column): text for (row, column), text in there.items()})
        else:
            self.step(asked, *map(int, message.get("which", ())))

    def _refuse(self, words: Mapping[tuple[int, int], str], error: Exception) -> None:
        """Say what is in the way; what was typed stays in its cells, marked as not saved."""
        with self.hold_sync():
            self.unsaved = {**self.unsaved, **self._on_page(words)}
            self._fill()
            self.trouble = one_line(error)
            self.state = "Not saved."
            self.turn += 1

    def _on_page(self, words: Mapping[tuple[int, int], str]) -> dict[str, str]:
        """Words by places as the page names them: new rows come after those that are shown."""
        hidden = self._total - len(self._shown.rows)
        return {f"{row - hidden * (row >= self._total)},{column}": text for (row, column), text in words.items()}

    def _in_table(self, row: int) -> int:
        """A row of the page in the table: a new one comes after those that are not shown."""
        return row if row < len(self._shown.rows) else row + self._total - len(self._shown.rows)

    def _waiting(self) -> dict[tuple[int, int], str]:
        """Words that are not saved yet, by their places in the table."""
        places = ((tuple(map(int, place.split(","))), text) for place, text in self.unsaved.items())
        return {(self._in_table(row), column): text for (row, column), text in places}

    def _set_aside(self, gone: Mapping[tuple[int, int], str]) -> None:
        """Keep on the page what was typed into a row that is not there any more."""
        self._homeless += [
            f"Not saved: {text!r} was typed into a row that is not there any more. Type it where it belongs."
            for text in gone.values()
            if text
        ]
        del self._homeless[:-MOST_HOMELESS]

    def _show(self, state: str) -> None:
        self.job = do_job(read_boat(self._editing.folder))
        self._look(state)
        for other in [one() for one in _OPEN]:
            if other is not None and other is not self and other._is_of(self._editing.table.path):
                other._follow(self.job)

    def _is_of(self, path: pathlib.Path) -> bool:
        return self._editing.table.path.resolve() == path.resolve()

    def _follow(self, job: Job) -> None:
        """Show what another table on this page has saved of the same file."""
        try:
            state = self._editing.look_again()
        except (TypedError, OSError) as error:
            self._refuse({}, error)
            return
        self.job = job
        self._look(f"Changed in another table on this page. {state}")

    def _look(self, state: str) -> None:
        with self.hold_sync():
            self._fill()
            many = len(self.unsaved)
            waits = f"{many} cell{'s' * (many > 1)}, marked in the table"
            self.trouble = f"Not saved yet: {waits}." if many else ""
            self.state = state
            self.says = self._said()
            self.turn += 1
        if self._snapshot is not None:
            self._snapshot.update(self._plain(), raw=True)

    def _said(self) -> list[str]:
        try:
            return list(self._respond(self.job))
        except ValueError as error:
            return [one_line(error)]

    def _fill(self) -> None:
        self.heads, self.lines, self.cells = self._rows()
        self._move_waiting()
        said = {f"{k},{j}": self._echo(k, j, text) for k, row in enumerate(self.cells) for j, text in enumerate(row)}
        self.echoes = {place: words for place, words in said.items() if words}
        self.wrong, matters = self._complaints()
        self.matters = [*self._homeless, *self._not_shown(), *matters]
        self.kept = [[copy.number, copy.words] for copy in copies(self._editing.table.path)]
        self.can_undo, self.can_redo = self._editing.can_undo, self._editing.can_redo

    def _move_waiting(self) -> None:
        """Put words that are not saved yet where their rows stand now."""
        before, self._shown = self._shown, self._look_of_rows()
        hidden = self._count_hidden()
        self._total, self.spare = len(self._shown.rows) + hidden, 0 if hidden else self._spare
        self._seen[self.turn + 1] = self._shown
        for old in [turn for turn in self._seen if turn < self.turn - MOST_TURNS]:
            del self._seen[old]
        waiting = {tuple(map(int, place.split(","))): text for place, text in self.unsaved.items()}
        there, gone = followed(waiting, before, self._shown)
        self._set_aside(gone)
        self.unsaved = {f"{row},{column}": text for (row, column), text in there.items()}

    def _look_of_rows(self) -> Seen:
        """What tells the rows and columns that are shown apart."""
        return Seen([tuple(row) for row in self.cells], list(self.heads))

    def _count_hidden(self) -> int:
        return max(0, len(self._editing.table.rows) - MOST_SHOWN)

    def _not_shown(self) -> list[str]:
        hidden = self._total - len(self._shown.rows)
        more = f"{hidden} more {self.row_word}s of {self._editing.file} count as well and are not shown here"
        return [f"{more}: an editor shows all, and takes new ones."] if hidden else []

    def _rows(self) -> tuple[list[str], list, list[list[str]]]:
        """Heads of the columns, names of the rows, and what stands in the cells."""
        table, wide = self._editing.table, len(self._editing.table.columns)
        cells = [[*row, *[""] * (wide - len(row))][:wide] for row in table.cells[:MOST_SHOWN]]
        return list(table.columns), list(table.rows[:MOST_SHOWN]), cells

    def _echo(self, row: int, column: int, words: str) -> str:
        """What is in a cell, in tape language."""
        return cell_echo(self._editing.file, self._editing.table.columns[column], words, self.job.boat.units)

    def _placer(self) -> Callable[[int | None, str], str]:
        """Tells the place on the page of a line and a column of the file; nothing where it has none."""
        lines = {line: k for k, line in enumerate(self._editing.table.rows[:MOST_SHOWN])}
        columns = {name: k for k, name in enumerate(self._editing.table.columns)}
        return lambda line, column: f"{lines[line]},{columns.get(column, -1)}" if line in lines else ""

    def _complaints(self) -> tuple[dict[str, str], list[str]]:
        """What is wrong by cell, and what concerns the whole file."""
        place_of = self._placer()
        by_cell: dict[str, list[str]] = {}
        whole = []
        for one in self.job.complaints:
            if one.file != self._editing.file or one.kind == "note":
                continue
            place = place_of(one.row, one.column)
            if place:
                words = f"{one.rule.rstrip('.')}.{f' Likely slip: {one.slip}.' if one.slip else ''}"
                by_cell.setdefault(place, []).append(words)
            else:
                whole.append(str(one))
        return {place: " ".join(words) for place, words in by_cell.items()}, whole

    def _plain(self) -> dict[str, str]:
        rows = "".join(f"<tr>{''.join(f'<td>{html.escape(cell)}</td>' for cell in row)}</tr>" for row in self.cells)
        head = "".join(f'<th scope="col">{html.escape(name)}</th>' for name in self.heads)
        table = f"<table><caption>{html.escape(self.title)}</caption><tr>{head}</tr>{rows}</table>"
        said = "".join(f"<p>{html.escape(line)}</p>" for line in self.says)
        return {"text/html": f'<div class="dg-snapshot">{table}{said}</div>', "text/plain": repr(self)}

    def _ipython_display_(self) -> None:
        bundle = self._repr_mimebundle_()
        data = bundle[0] if isinstance(bundle, tuple) else bundle
        if data:
            display(data | {"text/plain": repr(self)}, raw=True)
        self._snapshot = display(self._plain(), raw=True, display_id=True)

    def __repr__(self) -> str:
        return f"Table to type in: {self.title}, {len(self._editing.table.rows)} rows."
