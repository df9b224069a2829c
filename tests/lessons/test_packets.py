"""The packet of a class, read back from the paper: whose it is, large black letters, true scale, nothing given away."""

from __future__ import annotations

import io
from datetime import date

import pdfplumber
import pytest
from pypdf import PdfReader

from deckgeom.lessons.__main__ import main
from deckgeom.lessons.class_work import pair_work
from deckgeom.lessons.packet_pages import LARGE
from deckgeom.lessons.packets import write_packet
from deckgeom.papers.canvas import POINT
from deckgeom.papers.page import PAPER_SIZES

SEED, PAIRS = 23, 3


@pytest.fixture(scope="module", params=[("normal", "mm", "A4"), ("hard", "ft-in-8", "Letter")], ids=lambda p: p[1])
def packet(request, tmp_path_factory):
    level, units, paper = request.param
    out = tmp_path_factory.mktemp("class room")
    told = []
    files = write_packet(SEED, PAIRS, level, units, paper, out=out, day=date(2026, 5, 1),
                         tell=lambda part, words: told.append(part))  # fmt: skip
    return {"files": {file.name: file for file in files}, "told": told, "param": request.param}


def texts(file) -> list[str]:
    return [page.extract_text() for page in PdfReader(file).pages]


def test_every_sheet_says_whose_it_is(packet):
    level, units, paper = packet["param"]
    names = list(packet["files"])
    assert names == ["packet.pdf", "teacher.pdf", "for_everybody.pdf", "pair_01.pdf", "pair_02.pdf", "pair_03.pdf"]
    for name, file in packet["files"].items():
        reader = PdfReader(file)
        for number, page in enumerate(reader.pages, 1):
            text = page.extract_text()
            assert f"seed {SEED}, {level}, {units}" in text and "2026-05-01" in text
            if name.startswith("pair"):
                assert f"pair {int(name[5:7])}" in text and f"page {number} of {len(reader.pages)}" in text
            size = tuple(float(v) * POINT for v in page.mediabox[2:])
            assert size == pytest.approx(PAPER_SIZES[paper], abs=0.1)


def test_the_one_file_holds_all_the_others_in_printing_order(packet):
    parts = [text for name, file in packet["files"].items() if name != "packet.pdf" for text in texts(file)]
    assert texts(packet["files"]["packet.pdf"]) == parts


def test_it_is_told_how_far_it_is(packet):
    told = packet["told"]
    assert told == sorted(told) and told[0] == 0 and 0.9 < told[-1] < 1 and len(told) > 2 * PAIRS


def test_handouts_hold_the_task_the_figures_and_a_box_for_every_answer(packet):
    level, units, _ = packet["param"]
    work = pair_work(SEED, 2, level, units)
    text = " ".join(" ".join(texts(packet["files"]["pair_02.pdf"])).split())
    for exercise in work.exercises:
        for words in (*exercise.task, exercise.on_the_boat):
            assert all(word in text for word in words.split()), words
        for given in exercise.given:
            assert all(cell in text for row in given.rows for cell in row)
        for box in exercise.answers:
            assert box.key in text and all(word in text for word in box.asks.split())
            assert all(choice in text for choice in box.choices)


def test_the_key_is_in_the_teachers_part_alone(packet):
    level, units, _ = packet["param"]
    teacher = " ".join(texts(packet["files"]["teacher.pdf"]))
    assert all(title in teacher for title in ("Key, pair 1", "Wrong-answer key, pair 3", "Marking sheet", "Wall sheet"))
    for pair in range(1, PAIRS + 1):
        for box in pair_work(SEED, pair, level, units).answers:
            assert box.kind == "choice" or box.shown in teacher, box.key
    others = " ".join(text for name in ("for_everybody.pdf", "pair_01.pdf", "pair_03.pdf")
                      for text in texts(packet["files"][name]))  # fmt: skip
    for words in ("Key,", "counts as right", "the slip", "on purpose", "Wall sheet"):
        assert words in teacher and words not in others


def test_no_answer_of_a_length_stands_on_its_own_handout_by_number(packet):
    """What is asked may not be copied from a table of the same part, nor the camber of part 4 from parts 1 to 3."""
    level, units, _ = packet["param"]
    work = pair_work(SEED, 1, level, units)
    for exercise in work.exercises:
        printed = {cell for given in exercise.given for row in given.rows for cell in row}
        for box in exercise.answers:
            if box.kind == "length":
                assert box.shown not in printed, (box.key, box.shown)
    widest = work.part(4).answer("4A").shown
    assert all(widest not in " ".join(part.task) for part in work.exercises[:4])


def test_letters_are_large_black_and_nothing_is_coloured(packet):
    with pdfplumber.open(packet["files"]["pair_01.pdf"]) as book:
        for page in book.pages:
            for letter in page.chars:
                assert letter["non_stroking_color"] in (None, (0,), 0, (0, 0, 0), [0])
            for line in page.lines + page.curves + page.rects:
                assert line["stroking_color"] in (None, (0,), 0, (0, 0, 0), [0])
        body = [c["size"] for c in book.pages[0].chars if 120 < c["top"] < 400]
    assert min(body) >= LARGE - 0.01


def grid_lines(page, least: float) -> tuple[list[float], list[float]]:
    """Places of thin upright and level lines of a page that are long enough, sorted. [mm]"""
    lines = [(x0 * POINT, y0 * POINT, x1 * POINT, y1 * POINT) for x0, y0, x1, y1 in
             ((e["x0"], e["y0"], e["x1"], e["y1"]) for e in page.edges)]  # fmt: skip
    upright = sorted({round(x0, 2) for x0, y0, x1, y1 in lines if abs(x1 - x0) < 0.01 and y1 - y0 > least})
    level = sorted({round(y0, 2) for x0, y0, x1, y1 in lines if abs(y1 - y0) < 0.01 and 120 < x1 - x0 < 165})
    return upright, level


def test_grids_are_true_to_scale(packet):
    level, units, _ = packet["param"]
    work = pair_work(SEED, 1, level, units)
    every = 5.0 if units == "mm" else 6.35
    found = 0
    with pdfplumber.open(packet["files"]["pair_01.pdf"]) as book:
        for page in book.pages:
            text = page.extract_text()
            if "From line to line upwards" not in text:
                continue
            part = int(text.split("Part ")[1].split(".")[0])
            grid = work.part(part).grid
            _, lines = grid_lines(page, 30)
            steps = [b - a for a, b in zip(lines, lines[1:], strict=False)]
            assert steps.count(pytest.approx(every, abs=0.03)) >= grid.on_paper[1] / every - 1
            found += 1
            for name, _ in grid.marks:
                assert name in text
    assert found == 4


def test_boxes_are_drawn_for_every_value_and_squares_for_every_choice(packet):
    level, units, _ = packet["param"]
    work = pair_work(SEED, 3, level, units)
    with pdfplumber.open(packet["files"]["pair_03.pdf"]) as book:
        shapes = [shape for page in book.pages for shape in page.curves + page.rects]
    wide = [s for s in shapes if abs(s["width"] * POINT - 52) < 0.2 and abs(s["height"] * POINT - 11) < 0.2]
    small = [s for s in shapes if abs(s["width"] * POINT - 4.5) < 0.2 and abs(s["height"] * POINT - 4.5) < 0.2]
    values = [box for box in work.answers if box.kind != "choice"]
    choices = [choice for box in work.answers for choice in box.choices]
    assert (len(wide), len(small)) == (len(values), len(choices))


def test_the_same_seed_prints_the_same_packet(tmp_path):
    made = [write_packet(4, 1, "easy", "in", "A4", out=tmp_path / name, day=date(2026, 5, 1)) for name in "ab"]
    assert all(one.read_bytes() == other.read_bytes() for one, other in zip(*made, strict=True) if one.stem != "packet")
    assert [PdfReader(io.BytesIO(f[0].read_bytes())).pages[3].extract_text() for f in made][0].count("seed 4") == 1


def test_the_command_writes_it_and_says_where(tmp_path, capsys):
    wishes = ["--pairs", "1", "--level", "easy", "--units", "in", "--paper", "Letter"]
    assert main([str(tmp_path / "evening"), *wishes]) == 0
    said = capsys.readouterr().out
    assert said.startswith(f"Written: {tmp_path / 'evening' / 'packet.pdf'}") and "100 %" in said


@pytest.mark.parametrize(("arguments", "words"), [
    (["--pairs", "99"], "a class has from 1 to 41 pairs"), (["--seed", "-3"], "seed is -3"),
])  # fmt: skip
def test_the_command_refuses_in_one_line(tmp_path, capsys, arguments, words):
    assert main([str(tmp_path / "never"), *arguments]) == 2
    said = capsys.readouterr().err
    assert words in said and said.count("\n") == 1 and not (tmp_path / "never").exists()


def test_a_folder_that_cannot_be_made_is_told_in_one_line(tmp_path, capsys):
    (tmp_path / "file").write_text("mine", "utf-8")
    assert main([str(tmp_path / "file" / "packet"), "--pairs", "1", "--level", "easy"]) == 2
    assert capsys.readouterr().err.count("\n") == 1 and (tmp_path / "file").read_text("utf-8") == "mine"
