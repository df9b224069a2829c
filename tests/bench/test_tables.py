"""Tables and words escape what people typed, and mean the same as text."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest

from deckgeom.bench.tables import Table, Words
from tests.drawings.boats import HOSTILE


class Cells(HTMLParser):
    """The table as a browser would have it."""

    def __init__(self, html: str):
        super().__init__()
        self.rows, self.kinds, self.open = [], [], False
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.kinds.append((tag, dict(attrs)))
        if tag == "tr":
            self.rows.append([])
        self.open = tag in ("th", "td")
        if self.open:
            self.rows[-1].append("")

    def handle_endtag(self, tag):
        self.open = self.open and tag not in ("th", "td")

    def handle_data(self, data):
        if self.open:
            self.rows[-1][-1] += data


def test_a_browser_reads_back_what_was_put_in():
    table = Table("Sheer", ("station", "height"), [("stem", "94 mm"), ("1", None)])
    assert Cells(table.html()).rows == [["station", "height"], ["stem", "94 mm"], ["1", ""]]


def test_words_that_bite_stay_words():
    table = Table(HOSTILE, (HOSTILE, "b"), [(HOSTILE, HOSTILE)], note=HOSTILE)
    read = Cells(table.html())
    assert not [tag for tag, _ in read.kinds if tag in ("script", "i", "b")]
    assert read.rows[1][0].startswith('<script>alert("x")</script>')
    assert "<script" not in Words.of(HOSTILE, kind="look")._repr_html_()


def test_heads_have_scopes_for_a_screen_reader():
    read = Cells(Table("Sheer", ("station", "height"), [("stem", "94 mm")]).html())
    assert [attributes["scope"] for tag, attributes in read.kinds if tag == "th"] == ["col", "col", "row"]
    assert [tag for tag, _ in read.kinds].count("caption") == 1


def test_a_row_of_the_wrong_length_is_refused():
    with pytest.raises(ValueError, match="row 1 has 3 cells, but there are 2 heads"):
        Table("T", ("a", "b"), [(1, 2), (1, 2, 3)])


def test_a_long_table_counts_what_it_does_not_show():
    table = Table("T", ("a",), [(k,) for k in range(2000)], most=40)
    assert len(Cells(table.html()).rows) == 41
    assert "1960 more rows are not shown here." in table.html() and "1960 more rows" in repr(table)


def test_numbers_are_set_to_the_right_and_words_to_the_left():
    cells = [attributes["style"] for tag, attributes in Cells(Table("T", ("a", "b"), [("x", 1)]).html()).kinds
             if tag in ("th", "td")]  # fmt: skip
    assert [style.rpartition(":")[2] for style in cells] == ["left", "right", "left", "right"]


def test_text_form_is_aligned():
    lines = repr(Table("T", ("beam", "drop"), [("1", "94 mm"), ("13S", "4 mm")])).splitlines()
    assert lines == ["T", "beam   drop", "1     94 mm", "13S    4 mm"]


def test_a_column_without_a_head_is_refused():
    with pytest.raises(ValueError, match="column 1 of the table 'Sheer' has no head"):
        Table("Sheer", ("station", " "), [("stem", "94 mm")])
