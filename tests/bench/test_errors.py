"""An error of the package is one line in the notebook, stays an error, and keeps its traceback folded away."""

from __future__ import annotations

import re
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

from deckgeom.bench import open_boat, start
from deckgeom.bench.errors import folded, in_words, one_line

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
OPENED = "from deckgeom.bench import beams, open_boat\njob = open_boat('boats/thimblewick')"


def caught(call) -> BaseException:
    try:
        call()
    except BaseException as error:
        return error
    raise AssertionError("nothing was raised, so nothing is tested")


def test_an_error_of_a_plain_call_is_said_in_its_own_words():
    error = caught(lambda: open_boat("no such boat"))
    assert in_words(error, error.__traceback__) == (
        "no such boat: there is no boat folder of that name. Copy one to begin with."
    )


def test_a_wrong_call_is_said_in_one_line():
    error = caught(lambda: open_boat(1, 2, 3))
    assert in_words(error, error.__traceback__) == (
        "open_boat() takes from 0 to 1 positional arguments but 3 were given. With the cursor between its brackets, "
        "Shift + Tab shows how the call is written."
    )


def test_a_slip_in_the_name_of_a_call_is_named():
    error = caught(lambda: start.step)
    assert in_words(error, error.__traceback__) == "There is no call 'step' in start. Was steps meant?"


def test_a_box_that_was_not_run_is_named():
    error = caught(lambda: eval("job.boat", {}))
    assert in_words(error, error.__traceback__).startswith("'job' is not known yet: run the boxes above this one first")


@pytest.mark.parametrize("code", ["1 / 0", "int('x')", "[][1]", "open_boat.missing", "open_boat(1, 2, 3, 4)"])
def test_the_readers_own_program_keeps_its_own_traceback(code):
    error = caught(lambda: eval(code, {"open_boat": str}))
    assert in_words(error, error.__traceback__) == ""


def test_what_is_folded_is_escaped():
    html = folded("<b>", "<script>alert(1)</script>")
    assert set(re.findall(r"<(\w+)", html)) == {"details", "summary", "p", "pre"}


def test_system_errors_name_the_file_and_no_number():
    assert one_line(PermissionError(13, "Permission denied", "out/beams.csv")) == (
        "out/beams.csv: Permission denied. Is it open in another program, the disk full, or the folder not yours?"
    )


@pytest.fixture(scope="module")
def outputs():
    """A notebook of good, wrong and good boxes, run to its end by the kernel as JupyterLab would."""
    cells = (OPENED, "beams.mould(job, '99')", "1 / 0", "beams.mould(job)", "print('still alive')",
             "from deckgeom.bench import start\nstart.length_panel('mm')")  # fmt: skip
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in cells])
    NotebookClient(book, timeout=60, allow_errors=True, resources={"metadata": {"path": str(NOTEBOOKS)}},
                   store_widget_state=False).execute()  # fmt: skip
    return [cell.outputs for cell in book.cells]


def test_the_line_stands_where_it_arose_and_stays_an_error(outputs):
    error, details = outputs[1]
    assert error.output_type == "error" and error.ename == "KeyError"
    assert error.traceback == ["No beam is called '99' here: it is not in the list, or was left out. Is it 9?"]
    html = details.data["text/html"]
    assert html.startswith("<details") and "<details open" not in html
    assert "Traceback (most recent call last)" in html and "mould" in html


def test_the_readers_own_error_is_shown_as_ever(outputs):
    (error,) = outputs[2]
    assert error.ename == "ZeroDivisionError" and len(error.traceback) > 1
    assert "Traceback (most recent call last)" in "".join(error.traceback)


def test_a_call_without_what_it_needs_is_one_line(outputs):
    error = outputs[3][0]
    assert error.ename == "TypeError" and len(error.traceback) == 1
    assert "missing 1 required positional argument: 'beam'" in error.traceback[0]


def test_the_notebook_goes_on(outputs):
    assert outputs[4][0].text == "still alive\n"
    assert not [one for one in outputs[5] if one.output_type == "error"]


def test_a_test_of_the_notebooks_still_sees_the_error(tmp_path):
    from nbclient.exceptions import CellExecutionError

    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(f"{OPENED}\nbeams.mould(job, '99')")])
    client = NotebookClient(book, timeout=60, resources={"metadata": {"path": str(NOTEBOOKS)}})
    with pytest.raises(CellExecutionError, match="No beam is called '99'"):
        client.execute()
