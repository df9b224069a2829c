"""An error stands in one line under its box, its traceback folded; the boxes below do not run on."""

from __future__ import annotations

OPENED = "from deckgeom.bench import beams, open_boat\njob = open_boat('boats/thimblewick')"


def test_an_error_is_one_line_with_its_particulars_folded(workbook):
    workbook.write_notebook("slip.ipynb", OPENED, "beams.mould(job, '99')", "print('ran on')")
    workbook.run_all()
    words = "No beam is called '99' here: it is not in the list, or was left out. Is it 9?"
    assert len(workbook.errors()) == 1 and words in workbook.errors()[0]
    outputs = workbook.page.locator(".jp-OutputArea-output:visible")
    assert outputs.first.inner_text().strip() == words
    details = workbook.page.locator(".jp-OutputArea-output details")
    trace = details.locator("pre")
    assert not trace.is_visible()
    assert {number for number, _ in workbook.outputs()} == {2}, "the box below the error ran on"
    workbook.keep_pictures()
    details.locator("summary").focus()
    workbook.page.keyboard.press("Enter")
    assert trace.is_visible() and "Traceback (most recent call last)" in trace.inner_text()
