"""Result tables: a caption, heads with their units, rows of words and numbers, all escaped."""

from __future__ import annotations

import html
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

#: Letters of a row that a notebook on a small laptop has room for.
ROOM = 80
_STYLE = "border-collapse:collapse;margin:0.4em 0"
_CAPTION = "text-align:left;font-weight:bold;padding:0.3em 0;white-space:nowrap"
_CELL = "padding:0.15em 0.7em;border-bottom:1px solid #ccc;white-space:nowrap"


@dataclass(frozen=True)
class Table:
    """
    Rows for a person to read.

    Parameters
    ----------
    caption : str
        What the rows are, and what they are taken to.
    heads : sequence of str
        One a column, with the unit where the cells do not name it.
    rows : sequence of sequence
        The cells; what is not words is turned into words.
    words : sequence of int
        Columns that hold words, set to the left; the others hold numbers and are set to the right.
    note : str
        A line below.
    most : int
        Rows shown before the rest is only counted; nought shows all.
    strong : sequence of int
        Rows set in bold.
    wrap : sequence of int
        Columns of long sentences, which may take several lines.

    Examples
    --------
    >>> Table("Sheer", ("station", "height"), [("stem", "94 mm")], words=(0,))
    Sheer
    station  height
    stem      94 mm
    >>> "&lt;b&gt;" in Table("<b>", ("a",), [("<i>",)]).html()
    True
    """

    caption: str
    heads: Sequence[str]
    rows: Sequence[Sequence[Any]]
    words: Sequence[int] = (0,)
    note: str = ""
    most: int = 0
    strong: Sequence[int] = ()
    wrap: Sequence[int] = ()

    def __post_init__(self) -> None:
        rows = tuple(tuple("" if cell is None else str(cell) for cell in row) for row in self.rows)
        for k, row in enumerate(rows):
            if len(row) != len(self.heads):
                raise ValueError(f"row {k} has {len(row)} cells, but there are {len(self.heads)} heads")
        for k, head in enumerate(self.heads):
            if not str(head).strip():
                raise ValueError(f"column {k} of the table {self.caption!r} has no head: somebody who hears it is lost")
        object.__setattr__(self, "rows", rows)
        object.__setattr__(self, "heads", tuple(self.heads))

    def _shown(self) -> Sequence[Sequence[str]]:
        return self.rows[: self.most] if self.most else self.rows

    def _below(self) -> str:
        left = len(self.rows) - len(self._shown())
        counted = f"{left} more rows are not shown here." if left else ""
        return " ".join(part for part in (self.note, counted) if part)

    def html(self) -> str:
        """
        Return the table as HTML, every word of it escaped.

        Returns
        -------
        str
            One ``<table>``, with scopes on its heads for a screen reader.

        Examples
        --------
        >>> Table("Sheer", ("station",), [("stem",)]).html().count("<th scope=")
        2
        """
        heads = "".join(self._cell("th", k, head, ' scope="col"') for k, head in enumerate(self.heads))
        body = "".join(self._row(k, row) for k, row in enumerate(self._shown()))
        below = f'<p class="dg-note">{html.escape(self._below())}</p>' if self._below() else ""
        caption = f'<caption style="{_CAPTION}">{html.escape(self.caption)}</caption>'
        reach = f' tabindex="0" role="group" aria-label="{html.escape(self.caption)}"' if self._wide() else ""
        return (
            f'<div class="dg-table"{reach} style="overflow-x:auto"><table style="{_STYLE}">{caption}'
            f"<thead><tr>{heads}</tr></thead><tbody>{body}</tbody></table>{below}</div>"
        )

    def _wide(self) -> bool:
        """Whether it may have to be moved sideways, which must go by the keyboard too."""
        widths = [max(len(row[j]) for row in (self.heads, *self._shown())) for j in range(len(self.heads))]
        return sum(min(width, 24) if j in self.wrap else width + 2 for j, width in enumerate(widths)) > ROOM

    def _row(self, k: int, row: Sequence[str]) -> str:
        first, rest = self._cell("th", 0, row[0], ' scope="row"'), row[1:]
        cells = first + "".join(self._cell("td", j + 1, cell) for j, cell in enumerate(rest))
        return f'<tr style="font-weight:bold">{cells}</tr>' if k in self.strong else f"<tr>{cells}</tr>"

    def _cell(self, tag: str, column: int, words: str, extra: str = "") -> str:
        side = "left" if column in self.words else "right"
        if column in self.wrap:
            side += ";white-space:normal;min-width:16em"
        return f'<{tag}{extra} style="{_CELL};text-align:{side}">{html.escape(words)}</{tag}>'

    def _repr_html_(self) -> str:
        return self.html()

    def __repr__(self) -> str:
        table = [self.heads, *self._shown()]
        widths = [max(len(row[j]) for row in table) for j in range(len(self.heads))]
        lines = ["  ".join(_set(row[j], widths[j], j in self.words) for j in range(len(row))).rstrip() for row in table]
        return "\n".join([self.caption, *lines, *([self._below()] if self._below() else [])])


def _set(cell: str, width: int, left: bool) -> str:
    return cell.ljust(width) if left else cell.rjust(width)


@dataclass(frozen=True)
class Words:
    """
    Sentences for a person to read, escaped when shown.

    Parameters
    ----------
    lines : tuple of str
        One a paragraph.
    kind : str
        ``"plain"``, or ``"look"`` for what wants attention.

    Examples
    --------
    >>> Words.of("94 mm at the widest beam")
    94 mm at the widest beam
    >>> Words.of("<b>")._repr_html_()
    '<p style="margin:0.3em 0">&lt;b&gt;</p>'
    """

    lines: tuple[str, ...]
    kind: str = "plain"

    @classmethod
    def of(cls, *lines: str, kind: str = "plain") -> Words:
        """
        Make words of one or several lines.

        Examples
        --------
        >>> Words.of("one", "two").lines
        ('one', 'two')
        """
        return cls(tuple(lines), kind)

    @classmethod
    def each(cls, lines: Iterable[object], kind: str = "plain") -> Words:
        """
        Make words of many things, one line each.

        Examples
        --------
        >>> Words.each([1, 2]).lines
        ('1', '2')
        """
        return cls(tuple(str(line) for line in lines), kind)

    def _repr_html_(self) -> str:
        body = "".join(f'<p style="margin:0.3em 0">{html.escape(line)}</p>' for line in self.lines)
        if self.kind == "look":
            return f'<div style="border-left:4px solid #D55E00;padding-left:0.8em">{body}</div>'
        return body

    def __repr__(self) -> str:
        return "\n".join(self.lines)
