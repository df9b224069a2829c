"""What stands still is kept: the picture must be the one that matplotlib's own writer makes, after any changes."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as tree
from collections import Counter
from pathlib import Path

import numpy as np
import pytest
from matplotlib.backends.backend_svg import FigureCanvasSVG

from deckgeom.bench import beams, camber, fairing, open_boat, sheer
from deckgeom.drawings.board import Board
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.style import house_style

DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"


def drawn(svg: str) -> Counter:
    """Every path, text and use of a picture with its looks and place; names and the order of definitions left out."""
    root = tree.fromstring(svg)
    parts = Counter()
    for one in root.iter():
        tag = one.tag.rpartition("}")[2]
        if tag in ("path", "text", "use", "rect", "tspan"):
            looks = tuple(sorted((k, v) for k, v in one.attrib.items() if k not in ("id", "clip-path")))
            parts[tag, looks, one.text or ""] += 1
    return parts


def shown_once(parts: Counter) -> Counter:
    """Definitions may stand in each kept piece; what is seen stands as often as it is seen."""
    return Counter({key: 1 if key[0] in ("path", "rect") else n for key, n in parts.items()})


def by_matplotlib(figure) -> str:
    page = io.StringIO()
    with house_style():
        FigureCanvasSVG(figure).print_svg(page, metadata={"Date": None, "Creator": None, "Format": None, "Type": None})
    return page.getvalue()


@pytest.fixture(scope="module")
def job():
    return open_boat(DEMO)


WALKS = {
    "beam": (lambda job: beams.panel(job), [{"beam": "9"}, {"place": 0}, {"beam": "17"}, {"beam": "9"}]),
    "crown": (lambda job: camber.panel(job), [{"camber": "3 in"}, {"rule": "one mould"}, {"camber": "2 in"}]),
    "tops": (lambda job: fairing.beam_panel(job), [{"beam": "6"}, {"tolerance": "1/4 in"}, {"beam": "9"}]),
    "plan": (lambda job: fairing.plan_panel(job), [{"tolerance": "1/4 in"}, {"ways": "plane only"}, {"cutoff": 8}]),
    "sheer": (lambda job: sheer.panel(job), []),
}


@pytest.mark.parametrize("name", WALKS)
def test_a_picture_after_changes_is_the_one_that_matplotlib_writes(job, name):
    make, walk = WALKS[name]
    panel = make(job)
    for step in [{}, *walk]:
        figure = panel.set(**step).answer.picture.figure
        ours, theirs = drawn(panel.answer.picture.svg()), drawn(by_matplotlib(figure))
        assert shown_once(ours) == shown_once(theirs)
        assert sum(ours.values()) > 40
        assert {k: n for k, n in ours.items() if k[0] == "text"} == {k: n for k, n in theirs.items() if k[0] == "text"}


def test_a_change_of_anything_that_is_kept_is_seen():
    board = Board((1.0,))
    board.start()
    board.line("edge", [0, 1], [0, 1], "designed", label="the edge")
    board.words("note", 0.5, 0.5, "a note")
    board.titles("Title", "along", "up")
    board.limits((0, 1), (0, 1))
    figure = board.finish("An edge.").figure
    seen = [Picture(figure, "x").svg()]
    pane = board.panes[0]
    changes = [
        lambda: board.titles("Another title", "along", "up"),
        lambda: board.titles("Another title", "aft", "up"),
        lambda: board.limits((0, 2), (0, 1)),
        lambda: board.words("note", 0.5, 0.5, "another note"),
        lambda: board.words("note", 0.5, 0.6, "another note"),
        lambda: board.words("note", 0.5, 0.6, "another note", shift=(3, 4)),
        lambda: board.words("note", 0.5, 0.6, "another note", shift=(3, 4), color="#123456"),
        lambda: board.words("note", 0.5, 0.6, "another note", shift=(3, 4), color="#123456", fontsize=20),
        lambda: pane.set_xticks([0, 0.7, 2]),
        lambda: pane.set_xticklabels(["a", "b", "c"]),
    ]
    for change in changes:
        change()
        seen.append(Picture(figure, "x").svg())
    assert len(set(seen)) == len(seen)


def test_no_name_stands_twice_on_a_page_of_pictures():
    board = Board((1.0, 1.0))
    board.line("edge", np.linspace(0, 1, 5), np.zeros(5), "designed")
    assert re.findall(r'<g [^>]*\bid="', board.finish("An edge.").svg()) == []
