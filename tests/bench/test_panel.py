"""A panel answers every change, says errors in one line, and leaves a plain copy behind."""

from __future__ import annotations

import asyncio
from html.parser import HTMLParser
from pathlib import Path

import pytest

from deckgeom.bench import camber, panel
from deckgeom.bench.controls import Choice, Entry, Slider, Tick
from deckgeom.bench.panel import Answer, Panel, one_line
from deckgeom.bench.tables import Table
from deckgeom.drawings.board import Board
from tests.drawings.boats import HOSTILE, boat

RESERVED = {"layout", "style", "tabbable", "tooltip", "comm", "keys", "log"}


class Tags(HTMLParser):
    """Collect tags and words as a browser's parser would."""

    def __init__(self):
        super().__init__()
        self.tags, self.words = [], ""

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data):
        self.words += data


def parsed(html: str) -> Tags:
    found = Tags()
    found.feed(html)
    return found


def half(y: float, name: str, marked: bool) -> Answer:
    """What a builder types may be wrong: then one line says so."""
    if name == "broken":
        raise ZeroDivisionError("division by zero")
    if y > 90:
        raise ValueError(f"y reaches {y:g} mm but the beam ends at 90 mm. Is y a half-breadth, or the whole beam?")
    board = Board((1.0,))
    board.start()
    board.line("beam", [0, y + 1], [0, 1], "designed")
    board.limits((0, 100), (0, 1))
    table = Table("Half", ("y", "half"), [(f"{y:g} mm", f"{y / 2:g} mm")])
    return Answer(board.finish(f"A line to {y:g} mm."), f"{name}: half of {y:g} mm is {y / 2:g} mm", table)


@pytest.fixture
def halves() -> Panel:
    controls = [Slider("y", "Off the centreline", 0, 100, 5, 40), Entry("name", "Beam", "7"), Tick("marked", "Mark it")]
    return Panel(f"Half {HOSTILE}", controls, half)


def test_a_slider_moved_from_python_alters_readout_picture_and_table(halves):
    before = halves.svg
    halves.set(y=60)
    assert str(halves.readout) == "7: half of 60 mm is 30 mm"
    assert halves.alt == "A line to 60 mm." and "30 mm" in halves.numbers
    assert halves.svg != before and halves.svg.startswith("<svg")


def test_a_change_from_the_page_does_the_same(halves):
    halves.set_state({"settings": {"y": 60.0, "name": "7", "marked": False}})
    assert halves.words == "7: half of 60 mm is 30 mm"


def test_an_error_is_one_line_and_the_last_answer_stays(halves):
    before = halves.svg
    halves.set(y=95)
    assert halves.trouble == "y reaches 95 mm but the beam ends at 90 mm. Is y a half-breadth, or the whole beam?"
    assert str(halves.readout) == halves.trouble
    assert halves.svg == before and halves.answer.words == "7: half of 40 mm is 20 mm"
    assert "Traceback" in halves.trouble_details and "\n" not in halves.trouble
    halves.set(y=20)
    assert halves.trouble == halves.trouble_details == ""


def test_an_error_of_the_program_itself_is_named_and_not_thrown(halves):
    halves.set(name="broken")
    assert halves.trouble.startswith("The sum broke down (ZeroDivisionError: division by zero).")


def test_rubbish_from_the_page_is_answered_in_words(halves):
    for rubbish in ({}, {"y": "north", "name": "7", "marked": False}, {"y": None, "name": None, "marked": None}):
        halves.set_state({"settings": rubbish})
        assert halves.trouble
    halves.set(y=20, name="8", marked=True)
    assert halves.words == "8: half of 20 mm is 10 mm"


def test_every_change_counts_a_turn_so_that_the_page_draws_it(halves):
    turns = []
    halves.observe(lambda change: turns.append(change["new"]), "turn")
    for y in (5, 10, 95, 15):
        halves.set(y=y)
    assert len(turns) == 4 and turns == sorted(set(turns))


def test_a_control_that_is_not_there_is_named(halves):
    with pytest.raises(KeyError, match="no control 'x' on this panel; there are: y, name, marked"):
        halves.set(x=1)


def test_sliders_keep_to_their_steps_and_ends():
    slider = Slider("a", "A", 0.0, 2.0, 0.25, 1.0)
    assert [slider.accept(v) for v in (-9, 0.3, 1.99, 77)] == [0.0, 0.25, 2.0, 2.0]
    assert len(slider.spec()["says"]) == 9


def test_choices_name_what_there_is():
    with pytest.raises(ValueError, match="Rule cannot be 'x': choose one of 'a', 'b'"):
        Choice("rule", "Rule", ("a", "b"), "a").accept("x")


def test_the_plain_copy_holds_picture_words_and_table_and_escapes_them(halves):
    halves.set(name=HOSTILE)
    copy = parsed(halves.snapshot())
    kinds = [tag for tag, _ in copy.tags]
    assert kinds[0] == "div" and "img" in kinds and "table" in kinds and "script" not in kinds
    assert dict(copy.tags)["img"]["alt"] == "A line to 40 mm."
    assert "<script>" in copy.words


def test_what_the_page_sets_as_html_is_ours_and_the_rest_is_text(halves):
    """`words` and `trouble` go to the page as text; only the picture and the table go as HTML, escaped here."""
    halves.set(name=HOSTILE)
    assert "<script" not in halves.svg and "<script" not in halves.numbers
    source = Path(panel.__file__).with_suffix(".js").read_text(encoding="utf-8")
    assert source.count("innerHTML") == 2
    assert 'innerHTML = model.get("svg")' in source and 'innerHTML = model.get("numbers")' in source


def test_no_trait_takes_a_name_that_widgets_use_themselves():
    own = set(Panel.class_own_traits())
    assert own and not own & RESERVED
    assert not [name for name in own if name.startswith("_") and name not in ("_esm", "_css")]


def test_words_about_a_panel_hold_no_address(halves):
    assert "0x" not in repr(halves) and repr(halves).startswith("Panel: Half ")


def test_the_plain_copy_is_refreshed_once_the_hand_rests(halves, monkeypatch):
    shown = []

    class Handle:
        def update(self, data, raw):
            shown.append(data["text/plain"])

    monkeypatch.setattr(panel, "SNAPSHOT_DELAY_S", 0.02)
    halves._snapshot = Handle()

    async def drag():
        for y in (5, 10, 15, 20):
            halves.set(y=y)
        assert shown == []
        await asyncio.sleep(0.1)

    asyncio.run(drag())
    assert shown == ["7: half of 20 mm is 10 mm"]
    halves.set(y=30)
    assert shown[-1] == "7: half of 30 mm is 15 mm"


def test_long_and_empty_errors_are_still_one_line():
    assert len(one_line(ValueError("x " * 4000))) <= 400
    assert (
        one_line(RuntimeError()) == "The sum broke down (RuntimeError). Put the last change back and try another value."
    )
    assert one_line(ValueError("two\nlines")) == "two lines"


def test_the_camber_panel_answers_with_the_rule_that_was_chosen():
    live = camber.panel(boat())
    wide, narrow = (live.set(rule=rule).words for rule in ("same proportion", "one mould"))
    assert "by the rule same proportion" in wide and "by the rule one mould" in narrow and not live.trouble
    live.set(camber="100 mm")
    assert live.words.startswith("100 mm (3 15/16 in) at the widest beam, 1:20 of it")
