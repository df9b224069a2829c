"""Every notebook, opened in JupyterLab and run from top to bottom, as a builder sees it."""

from __future__ import annotations

from pathlib import Path

import pytest

BOOKS = Path(__file__).parents[2] / "notebooks"
NAMES = sorted(
    path.relative_to(BOOKS).as_posix() for path in BOOKS.rglob("*.ipynb") if ".ipynb_checkpoints" not in path.parts
)


def test_there_are_notebooks():
    assert "00_start_here.ipynb" in NAMES


@pytest.mark.parametrize("name", NAMES)
def test_notebook_runs_without_an_error(workbook, name):
    workbook.open_notebook(name)
    workbook.run_all()
    workbook.keep_pictures()
    assert workbook.outputs(), "nothing came out"
    assert workbook.errors() == []
    assert workbook.pictures_without_words() == []
