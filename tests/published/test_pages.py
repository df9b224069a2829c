"""The notebooks of published values: their shape, what they show, and that a spoilt row is seen on the page."""

from __future__ import annotations

import ast
import json
import re
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

from deckgeom.bench import published
from deckgeom.bench.published import GROUPS
from deckgeom.bench.published.rows import read_values

PLACE = Path(__file__).parents[2] / "notebooks" / "published"
BOOKS = sorted(PLACE.glob("*.ipynb"))
VALUES = PLACE / "values.csv"
TALL_WORDS = ("simply", "just", "obviously", "of course", "easily", "merely")


def cells(book: Path) -> list[tuple[str, str]]:
    stored = json.loads(book.read_text(encoding="utf-8"))["cells"]
    return [(cell["cell_type"], "".join(cell["source"])) for cell in stored]


def words(book: Path) -> str:
    return "\n".join(text for kind, text in cells(book) if kind == "markdown")


def test_there_is_one_page_a_group_and_one_over_all():
    letters = [re.search(r', "(.)"', text)[1] for book in BOOKS for kind, text in cells(book)
               if kind == "code" and "letter = " in text]  # fmt: skip
    assert sorted(letters) == sorted(GROUPS) and len(BOOKS) == len(GROUPS) + 1
    over_all = words(PLACE / "published.ipynb")
    assert all(f"({book.name})" in over_all for book in BOOKS if book.stem != "published")


@pytest.mark.parametrize("book", BOOKS, ids=[book.stem for book in BOOKS])
def test_shape_of_a_page(book):
    stored = json.loads(book.read_text(encoding="utf-8"))
    code = [cell for cell in stored["cells"] if cell["cell_type"] == "code"]
    assert all(cell["outputs"] == [] and cell["execution_count"] is None for cell in code)
    ids = [cell["id"] for cell in stored["cells"]]
    assert len(set(ids)) == len(ids)
    text = words(book)
    assert text.startswith("# ") and "| what goes in | what comes out | how long |" in text
    for part in ("**After this page you can**", "## What to check on the boat", "> **Take care.**", "## Summary"):
        assert part in text, part
    assert not [word for word in TALL_WORDS if re.search(rf"\b{word}\b", text.lower())]
    for link in re.findall(r"\]\(([^)]+)\)", text):
        assert (PLACE / link).exists(), link


@pytest.mark.parametrize("book", BOOKS, ids=[book.stem for book in BOOKS])
def test_cells_are_short_hold_no_geometry_and_fold_when_they_only_show(book):
    for cell in json.loads(book.read_text(encoding="utf-8"))["cells"]:
        if cell["cell_type"] != "code":
            continue
        text = "".join(cell["source"])
        tree = ast.parse(text)
        assert len(text.splitlines()) <= 12
        assert not [node for node in ast.walk(tree) if isinstance(node, ast.BinOp | ast.FunctionDef | ast.For)]
        modules = [node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
        assert all(module.startswith("deckgeom.bench") for module in modules)
        to_change = any(isinstance(node, ast.Constant) for node in ast.walk(tree))
        assert cell["metadata"].get("jupyter", {}).get("source_hidden", False) is not to_change


def test_the_first_page_leads_here():
    first = "".join(text for _, text in cells(PLACE.parent / "00_start_here.ipynb"))
    assert "(published/published.ipynb)" in first


@pytest.mark.parametrize("name", ["published", "h_scarfs_and_fastenings"])
def test_a_page_runs_where_it_lies(name):
    book = nbformat.read(PLACE / f"{name}.ipynb", 4)
    NotebookClient(book, timeout=60, resources={"metadata": {"path": str(PLACE)}}).execute()
    shown = [output["data"]["text/html"] for cell in book.cells if cell.cell_type == "code" for output in cell.outputs]
    assert shown and "OUT" not in "".join(shown)


@pytest.mark.parametrize("letter", GROUPS)
def test_every_row_is_on_a_page_once_and_memory_stands_apart(letter):
    rows = [row for row in read_values(VALUES) if row.group == letter]
    apart = published.memory(letter, VALUES)
    from_memory = [row[0] for row in getattr(apart, "rows", ())]
    assert from_memory == [row.id for row in rows if row.seen == "M"]
    table = published.group(letter, VALUES)
    assert [row[0] for row in table.rows] == [row.id for row in rows if row.seen != "M"]
    said = str(published.counted(letter, VALUES))
    assert said.startswith(f"{len(table.rows)} rows: ") and "All are within their tolerance." in said
    assert f"Counted apart: {len(from_memory)} row" in said
    for row in rows:
        assert row.source in str(published.sources(letter, VALUES))
    assert "<script" not in table.html() and "<table" in table.html()


def test_a_spoilt_row_is_named_on_its_page_and_over_all(tmp_path):
    spoilt = tmp_path / "values.csv"
    text = VALUES.read_text(encoding="utf-8")
    assert text.count("circle_radius,385.5,in") == 1 and text.count("bevel_word,standing") == 2
    text = text.replace("circle_radius,385.5,in", "circle_radius,385.7,in")
    spoilt.write_text(text.replace("bevel_word,standing", "bevel_word,under"), encoding="utf-8")
    row = dict(zip(published.HEADS, published.group("A", spoilt).rows[0], strict=True))
    assert (row["printed"], row["ours"], row["difference"]) == ("385.7 in", "385.5 in", "OUT: -0.2")
    assert "Out of tolerance: A1a." in str(published.counted("A", spoilt))
    assert "border-left" in published.counted("A", spoilt)._repr_html_()
    out = {row[0]: row[-1] for row in published.counted_all(spoilt).rows}
    assert (out["A"], out["B"], out["C"]) == ("A1a", "B11a, B11d", "none")


def test_the_count_over_all_is_said_in_words():
    rows = read_values(VALUES)
    known = sum(row.seen != "M" for row in rows)
    table = published.counted_all(VALUES)
    assert table.note.startswith(f"{known} rows in all, and apart from them {len(rows) - known} from memory")
    assert sum(int(row[k]) for row in table.rows for k in (2, 3, 4)) == known
