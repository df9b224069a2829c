"""The notebooks are in the shape that a reader can rely on, and quote no number that is not so."""

from __future__ import annotations

import ast
import json
import re
from pathlib import Path

import pytest

from deckgeom.bench import choosing

BOOKS = Path(__file__).parents[2] / "notebooks"
NAMES = ["00_start_here", "01_sheer", "02_camber", "03_beams_and_spiling", "04_fairing", "05_laying"]
TALL_WORDS = ("simply", "just", "obviously", "of course", "easily", "merely")


def cells(name: str) -> list[tuple[str, str]]:
    book = json.loads((BOOKS / f"{name}.ipynb").read_text(encoding="utf-8"))
    return [(cell["cell_type"], "".join(cell["source"])) for cell in book["cells"]]


def words(name: str) -> str:
    return "\n".join(text for kind, text in cells(name) if kind == "markdown")


@pytest.mark.parametrize("name", NAMES)
def test_no_outputs_are_stored_and_ids_are_stable(name):
    book = json.loads((BOOKS / f"{name}.ipynb").read_text(encoding="utf-8"))
    code = [cell for cell in book["cells"] if cell["cell_type"] == "code"]
    assert code and all(cell["outputs"] == [] and cell["execution_count"] is None for cell in code)
    ids = [cell["id"] for cell in book["cells"]]
    assert len(set(ids)) == len(ids) and all(re.fullmatch(r"[\w-]{1,64}", one) for one in ids)
    assert book["metadata"]["kernelspec"]["name"] == "python3"


@pytest.mark.parametrize("name", NAMES)
def test_shape_of_a_page(name):
    first, second = cells(name)[0][1], words(name)
    assert first.startswith("# ") and "| what goes in | what comes out | how long |" in first
    assert "**After this page you can**" in first
    for part in ("## What to check on the boat", "> **Take care.**", "## Summary"):
        assert part in second, part
    kind, inputs = next((kind, text) for kind, text in cells(name) if kind == "code")
    assert 'boat_folder = ""' in inputs and "import" not in inputs


@pytest.mark.parametrize("name", NAMES)
def test_cells_are_short_and_hold_no_geometry(name):
    for kind, text in cells(name):
        if kind != "code":
            continue
        assert len(text.splitlines()) <= 12
        tree = ast.parse(text)
        assert not [node for node in ast.walk(tree) if isinstance(node, ast.BinOp | ast.FunctionDef | ast.For)], text
        modules = [node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
        assert not [node for node in ast.walk(tree) if isinstance(node, ast.Import)]
        assert all(module.startswith("deckgeom.bench") for module in modules)


@pytest.mark.parametrize("name", NAMES)
def test_boxes_that_only_show_something_are_folded_and_no_others(name):
    """A box in which nothing stands that a reader might change is folded; inputs and examples to alter stay open."""
    book = json.loads((BOOKS / f"{name}.ipynb").read_text(encoding="utf-8"))
    folded = {True: [], False: []}
    for cell in book["cells"]:
        if cell["cell_type"] == "code":
            text = "".join(cell["source"])
            to_change = any(isinstance(node, ast.Constant) for node in ast.walk(ast.parse(text)))
            hidden = cell["metadata"].get("jupyter", {}).get("source_hidden", False)
            assert hidden is not to_change, (
                f"{text!r} {'has values to change: leave it open' if to_change else 'only shows: fold it'} "
                '(cell metadata "jupyter": {"source_hidden": true})'
            )
            folded[hidden].append(text)
    assert folded[True] and folded[False]


def test_the_first_page_tells_once_how_to_unfold():
    told = [name for name in NAMES if "Expand All Code" in words(name)]
    assert told == ["00_start_here"] and words("00_start_here").count("Expand All Code") == 1


@pytest.mark.parametrize("name", NAMES)
def test_words_are_plain(name):
    plain = words(name).lower()
    found = [word for word in TALL_WORDS if re.search(rf"\b{word}\b", plain)]
    assert not found
    assert "color" not in plain and "center" not in plain and "fiber" not in plain


@pytest.mark.parametrize("name", NAMES)
def test_a_panel_is_never_the_only_way(name):
    """Each live panel is followed, on the same page, by a plain call or a table of the same result."""
    code = [text for kind, text in cells(name) if kind == "code"]
    panels = [k for k, text in enumerate(code) if re.search(r"panel\([^)]*\)\s*$", text.strip())]
    assert panels
    for k in panels:
        after = "\n".join(code[k + 1 :])
        assert re.search(r"\.readout|\.(gaps|beams|sheet|lengths|along|table)\(", after), code[k]


def test_every_page_is_linked_from_the_first_and_every_link_leads_somewhere():
    for name in NAMES:
        for link in re.findall(r"\]\(([^)]+)\)", words(name)):
            assert (BOOKS / link).exists(), f"{name} links to {link}"
    assert all(f"({name}.ipynb)" in words("00_start_here") for name in NAMES[1:])


#: Pages with a table to type in, and the box that shows it.
TYPED = {"01_sheer": "entries.offsets(job)", "03_beams_and_spiling": "entries.beams(job)",
         "04_fairing": "entries.readings(job)"}  # fmt: skip


@pytest.fixture(scope="module")
def new_boat_pages(tmp_path_factory):
    """Each page run from the top, as Run All does it, for a boat that was made and has no number yet."""
    import nbformat
    from nbclient import NotebookClient
    from nbclient.exceptions import CellExecutionError

    folder = tmp_path_factory.mktemp("notebooks")
    choosing.make("punt", "mm", folder / "boats")
    ran = {}
    for name in NAMES:
        book = nbformat.read(BOOKS / f"{name}.ipynb", 4)
        place = {"metadata": {"path": str(folder)}}
        client = NotebookClient(book, timeout=60, resources=place, store_widget_state=False)
        try:
            client.execute()
            stopped = ""
        except CellExecutionError as error:
            stopped = error.traceback.rpartition("----")[2].strip()  # without the text of the cell
        done = [cell for cell in book.cells if cell.cell_type == "code" and cell.execution_count]
        sound = [cell for cell in done if not any(output.output_type == "error" for output in cell.outputs)]
        ran[name] = [cell.source for cell in sound], stopped
    return ran


@pytest.mark.parametrize("name", NAMES)
def test_a_new_boat_can_be_typed_in_and_is_told_in_one_line_what_is_wanting(new_boat_pages, name):
    ran, stopped = new_boat_pages[name]
    if name in TYPED:
        assert TYPED[name] in ran
    assert bool(stopped) is (name != "00_start_here")
    assert "broke down" not in stopped and "\n" not in stopped
