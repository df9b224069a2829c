"""Boxes to type into: each answered beside it, hints in order, nothing typed is lost; and what the teacher looks up."""

from __future__ import annotations

import json
import re

import pytest

from deckgeom.bench import class_exercises, class_packet, class_teacher
from deckgeom.bench.class_kept import Kept
from deckgeom.lessons.class_work import pair_work
from deckgeom.lessons.slips import KNOWN_SLIPS

PARTS = class_exercises.parts(17, 1, "normal", "mm")
CAMBER = PARTS[3].exercise.answer("4A")


def beside(panel, key: str, typed: str) -> tuple[str, str]:
    """What is said of an answer as it is typed."""
    return tuple(panel.set(**{key: typed}).beside[key])


def test_untouched_no_box_is_tried():
    for part in PARTS:
        panel = class_exercises.panel(part, None)
        assert {state for state, _ in panel.beside.values()} == {"not tried yet"}
        assert set(panel.beside) == {box.key for box in part.exercise.answers}
        assert panel.words.startswith(f"Part {part.exercise.part}: 0 of ")


def test_right_in_several_notations_and_a_slip_in_its_own_words():
    panel = class_exercises.panel(PARTS[3], None)
    for typed in (f"{CAMBER.value:.0f}", f"{CAMBER.value / 10} cm", f"{CAMBER.value / 25.4:.3f} in"):
        assert beside(panel, "4A", typed) == ("right", "Right, within the tolerance.")
    state, words = beside(panel, "4A", f"{CAMBER.value / 2} mm")
    assert (state, words) == ("not yet", "Not yet. " + KNOWN_SLIPS["half-beam for beam"].says)
    assert panel.words == "Part 4: 0 of 9 boxes right, 1 not yet, 8 not tried yet."
    assert beside(panel, "4A", "") == ("not tried yet", "Not tried yet.")


def test_hints_come_in_order_and_stay_with_their_answer():
    panel = class_exercises.panel(PARTS[3], None)
    said = [beside(panel, "4A", typed)[1] for typed in ("9001", "9002", "9001", "9003")]
    hints = [f"Not yet. {hint}" for hint in CAMBER.hints]
    assert len(hints) == 2 and said == [hints[0], hints[1], hints[0], hints[1]]
    beside(panel, "4B", "9001")
    assert panel.beside["4A"][1] == hints[1], "another box changed what was said of this one"


def test_what_cannot_be_read_stays_in_its_box():
    panel = class_exercises.panel(PARTS[3], None)
    state, words = beside(panel, "4A", "a mile")
    assert state == "not yet" and "a mile" in words and panel.settings["4A"] == "a mile" and not panel.trouble


def test_a_choice_may_be_taken_back():
    panel = class_exercises.panel(PARTS[0], None)
    wrong = "pack" if PARTS[0].exercise.answer("1D").value == "plane" else "plane"
    assert beside(panel, "1D", wrong)[1] == "Not yet. " + KNOWN_SLIPS["pack for plane"].says
    assert beside(panel, "1D", "not tried yet")[0] == "not tried yet"


def test_what_is_typed_is_there_again_when_the_page_is_run_again(tmp_path):
    first = class_exercises.panel(PARTS[3], tmp_path)
    assert not list(tmp_path.iterdir()), "something was written before anything was typed"
    for typed in ("9001", "9002"):
        beside(first, "4A", typed)
    beside(class_exercises.panel(PARTS[0], tmp_path), "1D", "leave")
    beside(first, "4C", "ninety ½")
    again = class_exercises.panel(PARTS[3], tmp_path)
    assert (again.settings["4A"], again.settings["4C"]) == ("9002", "ninety ½")
    assert again.beside["4A"][1] == f"Not yet. {CAMBER.hints[1]}"
    assert class_exercises.panel(PARTS[0], tmp_path).settings["1D"] == "leave"
    assert [file.name for file in tmp_path.iterdir()] == ["seed_17_pair_1_normal_mm.json"]
    other = class_exercises.parts(17, 2, "normal", "mm")[3]
    assert class_exercises.panel(other, tmp_path).settings["4A"] == ""


@pytest.mark.parametrize("held", ["", "{", "[1, 2]", '{"4A": 7, "4B": {"typed": 3}, "1D": {"typed": "sand"}}'])
def test_a_file_that_somebody_spoilt_does_no_harm(tmp_path, held):
    (tmp_path / "seed_17_pair_1_normal_mm.json").write_text(held, encoding="utf-8")
    panel = class_exercises.panel(PARTS[3], tmp_path)
    assert panel.settings["4A"] == "" and beside(panel, "4A", "9001")[0] == "not yet"
    assert class_exercises.panel(PARTS[0], tmp_path).settings["1D"] == "not tried yet"
    kept = json.loads((tmp_path / "seed_17_pair_1_normal_mm.json").read_text(encoding="utf-8"))
    assert kept["4A"]["typed"] == "9001"


def test_a_spoilt_file_is_put_aside_and_not_written_over(tmp_path):
    work = pair_work(17, 1)
    kept = Kept(work.hull, tmp_path)
    kept.file.write_text('{"1A": {"typed": "beam', "utf-8")
    kept.reply(work.answers[0], "beam B")
    assert kept.save() == ""
    assert kept.file.with_suffix(".damaged").read_text("utf-8") == '{"1A": {"typed": "beam'
    assert Kept(work.hull, tmp_path).typed("1A") == "beam B"


def test_where_nothing_can_be_kept_it_is_said_and_the_boxes_work(tmp_path):
    blocked = tmp_path / "taken"
    blocked.write_text("a file where the folder ought to be")
    panel = class_exercises.panel(PARTS[3], blocked)
    assert beside(panel, "4A", f"{CAMBER.value}")[0] == "right"
    assert "not kept when the page is closed" in panel.words and not panel.trouble


def test_the_table_says_the_same_as_the_boxes():
    typed = {"4A": f"{CAMBER.value / 2}", "4B": "", "4C": "ninety"}
    table, panel = class_exercises.reply_table(PARTS[3], typed), class_exercises.panel(PARTS[3], None)
    for key, _, _, state, says in table.rows[:3]:
        assert beside(panel, key, typed[key]) == (state, f"Not yet. {says}" if says else "Not tried yet.")
    assert table.note == f"What this means on the boat: {PARTS[3].exercise.on_the_boat}"
    second = class_exercises.reply_table(PARTS[3], {"4A": "9001"}, tries=1)
    assert second.rows[0][4] == CAMBER.hints[1]


def test_an_answer_in_a_box_that_is_not_there_is_not_passed_over():
    easy = class_exercises.parts(17, 1, "easy", "mm")[1]
    assert class_exercises.reply_table(easy, {"2A": "", "2F": " "}).rows
    with pytest.raises(ValueError, match="'2F' is no box of part 2 at this level: it has 2A, 2B"):
        class_exercises.reply_table(easy, {"2F": "94"})


def test_right_boxes_pass_and_others_stop():
    right = {box.key: box.shown for box in PARTS[3].exercise.answers}
    assert {row[3] for row in class_exercises.must_be_right(PARTS[3], right | {"1A": "beam A"}).rows} == {"right"}
    with pytest.raises(ValueError, match="Part 4: box 4B is not yet, box 4C is not tried yet"):
        class_exercises.must_be_right(PARTS[3], right | {"4B": "1 mm", "4C": ""})


def test_the_task_is_escaped_and_its_tables_have_heads():
    for part in PARTS:
        shown = class_exercises.task(part)
        assert shown._repr_html_().count("<table") == len(part.exercise.given)
        assert (part.exercise.grid is None) is (shown.paper == "")
    strange = class_exercises.Task(("a < b",), ())
    assert "a &lt; b" in strange._repr_html_()


# ------------------------------------------------------------ the teacher


@pytest.fixture(scope="module")
def taught():
    return class_teacher.taught(17, 2, "hard", "in")


def test_looking_up_never_shows_the_right_answer(taught):
    panel = class_teacher.ask_panel(taught)
    for work in taught.works:
        for box in work.answers:
            for slip in box.slips:
                panel.set(pair=str(work.hull.pair), box=box.key, typed=box.written(slip.value))
                said = panel.words.partition("\n")[2]
                assert "not yet" in panel.words and not panel.trouble
                if box.kind != "choice":
                    assert not re.search(rf"(?<![\w/]){re.escape(box.shown)}(?![\w/])", said)
            panel.set(pair=str(work.hull.pair), box=box.key, typed=box.shown)
            assert panel.words == f"Pair {work.hull.pair}, box {box.key}: {box.shown}: right."


def test_looking_up_a_slip_says_what_went_wrong_and_what_to_say(taught):
    box = taught.works[1].part(4).answer("4A")
    (row,) = class_teacher.ask_table(taught, 2, "4A", box.written(box.slips[0].value)).rows
    assert row[1:] == ("not yet", box.slips[0].happened, box.slips[0].says)
    assert [row[1] for row in class_teacher.ask_table(taught, 2, "4A", box.shown, "", "9001").rows] == [
        "right", "not tried yet", "not yet",
    ]  # fmt: skip
    with pytest.raises(ValueError, match="there is no pair 3: the class has 2"):
        class_teacher.ask_table(taught, 3, "4A", "1")
    with pytest.raises(ValueError, match="there is no box '9Z': there are 1A, 1B"):
        class_teacher.ask_table(taught, 1, "9Z", "1")


def test_keys_are_folded_and_hold_every_box(taught):
    keys, slips = class_teacher.keys(taught), class_teacher.slips(taught)
    shown = keys._repr_html_()
    assert shown.count("<details") == 2 and "<details open" not in shown
    for work, key, wrong in zip(taught.works, keys.tables, slips.tables, strict=True):
        assert [row[0] for row in key.rows] == [box.key for box in work.answers]
        assert len(wrong.rows) == sum(len(box.slips) for box in work.answers)


def test_hulls_say_where_the_humps_are(taught):
    for work, row in zip(taught.works, class_teacher.hulls(taught).rows, strict=True):
        boxes = {key: work.part(5).answer(key).value for key in ("5B", "5C")}
        assert row[5:] == tuple("a hump" if boxes[key] == "yes" else "none" for key in ("5B", "5C"))


@pytest.mark.slow
def test_the_packet_is_written_by_button_and_by_call_and_old_handouts_go(tmp_path, taught):
    out = tmp_path / "packet"
    assert class_packet.written_table(taught, out).lines[0].startswith("No packet was written yet")
    panel = class_packet.packet_panel(taught, out).do("write")
    assert not panel.trouble and f"Written: 5 files in {out}." in panel.words
    names = {file.name for file in out.iterdir()}
    assert names == {"packet.pdf", "teacher.pdf", "for_everybody.pdf", "pair_01.pdf", "pair_02.pdf"}
    assert class_packet.write(taught, now=False, folder=out).lines[0].startswith("Nothing is written")
    alone = class_teacher.taught(17, 1, "easy", "mm")
    assert {file.name for file in class_packet.write(alone, folder=out).files} == names - {"pair_02.pdf"}
    assert not (out / "pair_02.pdf").exists()
    assert len(class_packet.written_table(alone, out).files) == 4


def test_a_packet_that_is_stopped_leaves_nothing(tmp_path, taught):
    panel = class_packet.packet_panel(taught, tmp_path / "packet")
    panel._do("write", {})
    panel.stop()
    assert panel.words.startswith("Stopped after") and list(tmp_path.iterdir()) == []
