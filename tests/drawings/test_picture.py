"""A picture is the same bytes every time, keeps its text as text, and carries its words."""

from __future__ import annotations

import base64
import os
import re
import subprocess
import sys
from html.parser import HTMLParser
from xml.etree import ElementTree

import matplotlib as mpl
import pytest
from matplotlib.figure import Figure

from deckgeom.drawings import Picture
from deckgeom.drawings.beam import draw_beam
from deckgeom.drawings.sheer import draw_sheer
from tests.drawings.boats import HOSTILE, boat


class Images(HTMLParser):
    """Collect what an HTML parser makes of the tags."""

    def __init__(self):
        super().__init__()
        self.tags = []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))


def tags_of(html: str) -> list:
    found = Images()
    found.feed(html)
    return found.tags


def test_the_same_picture_twice_is_the_same_bytes():
    job = boat()
    assert draw_sheer(job.sheer, job.suspects).svg() == draw_sheer(job.sheer, job.suspects).svg()
    picture = draw_beam(job.beams["4"])
    assert picture.svg() == picture.svg()


def test_another_process_with_other_settings_draws_the_same_bytes(tmp_path):
    (tmp_path / "matplotlibrc").write_text("font.size: 31\naxes.grid: False\nsvg.fonttype: path\nlines.linewidth: 9\n")
    code = "from tests.drawings.boats import boat; from deckgeom.drawings.beam import draw_beam; "
    code += "import sys; sys.stdout.buffer.write(draw_beam(boat().beams['4']).svg().encode())"
    env = os.environ | {"MPLCONFIGDIR": str(tmp_path), "MATPLOTLIBRC": str(tmp_path), "PYTHONHASHSEED": "17"}
    env["PYTHONPATH"] = os.pathsep.join(filter(None, [".", env.get("PYTHONPATH", "")]))
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, env=env, check=True)
    assert done.stdout.decode() == draw_beam(boat().beams["4"]).svg()


def test_the_svg_has_no_date_and_its_text_is_text():
    svg = draw_beam(boat().beams["4"]).svg()
    assert "<dc:date>" not in svg and "2026" not in svg
    words = [node.text for node in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]
    assert "Beam 4, seen from aft; the numbers are drops below the crown" in words


def test_the_image_carries_the_words_and_the_very_same_svg():
    picture = draw_beam(boat().beams["4"])
    [(tag, attributes)] = tags_of(picture._repr_html_())
    assert tag == "img" and attributes["alt"] == picture.alt
    kind, _, data = attributes["src"].partition(",")
    assert kind == "data:image/svg+xml;base64"
    assert base64.b64decode(data).decode() == picture.svg()


def test_words_that_bite_are_escaped():
    [(tag, attributes)] = tags_of(Picture(Figure(figsize=(1, 1)), f'"{HOSTILE}" onerror="x').image())
    assert tag == "img" and set(attributes) == {"alt", "src"}
    assert attributes["alt"].startswith('"<script>')


def test_drawing_leaves_matplotlib_as_it_was():
    before = dict(mpl.rcParams)
    draw_sheer(boat().sheer).svg()
    assert dict(mpl.rcParams) == before


def test_no_window_and_no_pyplot_state_is_needed():
    code = "import deckgeom.drawings.plan, deckgeom.drawings.batten, deckgeom.drawings.crown, sys\n"
    code += "assert 'matplotlib.pyplot' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True)


def test_missing_letters_do_not_warn(recwarn):
    figure = Figure(figsize=(1, 1))
    figure.text(0, 0, "船")
    assert "船" in Picture(figure, "a boat").svg()
    assert not [w for w in recwarn if "Glyph" in str(w.message)]


@pytest.mark.parametrize("what", ["inline", "svg"])
def test_the_inline_form_is_the_same_element(what):
    picture = draw_beam(boat().beams["4"])
    text = getattr(picture, what)()
    assert re.search(r"<svg [^>]*viewBox", text) and text.rstrip().endswith("</svg>")
    assert picture.inline() in picture.svg()
