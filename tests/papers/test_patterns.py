"""Full-size patterns measured on the finished PDF, SVG and DXF with independent readers, against the beams."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET
from functools import lru_cache

import ezdxf
import numpy as np
import pdfplumber
import pytest
from pypdf import PdfReader

from deckgeom.deck.framing import clamp_line
from deckgeom.papers.machine import pattern_dxf, pattern_svg, proofed
from deckgeom.papers.page import Imprint
from deckgeom.papers.pattern import LAYERS, beam_pattern
from deckgeom.papers.pattern_edges import bevel_board, edge_pattern
from deckgeom.papers.pattern_pdf import pattern_pdf, sheets_of
from deckgeom.papers.pattern_set import patterns_of
from deckgeom.papers.tiles import FOOT, MARGIN, ROLL, SHEETS
from tests.papers.boats import laminated

MM = 25.4 / 72
IMPRINT = Imprint("Dabchick", "2026-05-01", ("heights up from the base line",), "0.1")
PAPERS = [*SHEETS, ROLL]


@lru_cache(maxsize=8)
def beam(name: str = "5"):
    """A beam of the small boat; the sixth is raked, the half beam does not reach the centreline."""
    return laminated().beams[name]


@lru_cache(maxsize=32)
def read_lines(name: str, paper: str, scale=(1.0, 1.0)):
    """Every line of every sheet as points in mm from the lower left corner, with its width and dashes."""
    data = pattern_pdf(beam_pattern(beam(name)), paper, IMPRINT, scale=scale)
    sheets = []
    with pdfplumber.open(io.BytesIO(data)) as book:
        for page in book.pages:
            found = []
            for mark in page.lines + page.curves + page.rects:
                pts = np.array(mark["pts"]) * MM
                dash = tuple(round(d * MM, 1) for d in (mark["dash"] or ((),))[0])
                found.append((round(mark["linewidth"] * MM, 2), dash, pts[:, 0], float(page.height) * MM - pts[:, 1]))
            sheets.append(found)
    return sheets


def of_layer(sheet, layer: str):
    """The lines of a sheet that have a layer's width and dashes and are not straight up or level."""
    width, dashes = LAYERS[layer]
    return [(x, y) for w, d, x, y in sheet if w == width and d == tuple(dashes)]


def on_pattern(sheets, name: str, paper: str, layer: str, scale=(1.0, 1.0)):
    """Points of a layer on the sheets after the first, brought back to the pattern; and the parts they lie on."""
    layout = sheets_of(beam_pattern(beam(name)), paper, scale)
    parts = sheets[len(sheets) - len(layout.tiles) :]
    found = []
    for tile, sheet in zip(layout.tiles, parts, strict=True):
        for x, y in of_layer(sheet, layer):
            found.append((tile, (x - MARGIN) / scale[0] + tile.x, (y - MARGIN - FOOT) / scale[1] + tile.y))
    return found


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["5", "6", "half"])
def test_the_top_on_paper_is_the_beams_own_curve(paper, name):
    sheets = read_lines(name, paper)
    found = [(x, y) for _, x, y in on_pattern(sheets, name, paper, "top") if len(x) > 3]
    x, y = (np.concatenate(part) for part in zip(*found, strict=True))
    table = beam(name).ordinates
    assert x.min() == pytest.approx(table.y[0], abs=0.1)
    assert x.max() == pytest.approx(table.y[-1], abs=0.1)
    inside = (x > table.y[0]) & (x < table.y[-1])
    assert np.abs(-beam(name).drop_at(x[inside]) - y[inside]).max() < 0.1
    order = np.argsort(x)
    middle = np.interp(table.y, x[order], y[order])  # between the points too
    assert np.abs(middle + table.mould_drop).max() < 0.1


@pytest.mark.parametrize("paper", PAPERS)
def test_every_ordinate_stands_where_it_says_and_begins_on_the_curve(paper):
    found = on_pattern(read_lines("5", paper), "5", paper, "ordinates")
    tops = [(x[0], y.max()) for _, x, y in found if np.ptp(x) < 1e-3]
    for y, drop in zip(beam().ordinates.y, beam().ordinates.mould_drop, strict=True):
        assert min(np.hypot(x - y, up + drop) for x, up in tops) < 0.1


@pytest.mark.parametrize("paper", list(SHEETS))
def test_the_curve_goes_on_across_every_joint(paper):
    found = [part for part in on_pattern(read_lines("5", paper), "5", paper, "top") if len(part[1]) > 3]
    assert len(found) > 1
    for (left, x, y), (right, u, v) in zip(found, found[1:], strict=False):
        assert left.column + 1 == right.column
        both = np.linspace(right.x + 0.5, left.right - 0.5, 20)
        assert both[-1] - both[0] == pytest.approx(19, abs=0.5)
        assert np.abs(np.interp(both, x, y) - np.interp(both, u, v)).max() < 0.1


@pytest.mark.parametrize("paper", list(SHEETS))
def test_match_marks_are_on_both_sheets_and_meet(paper):
    data = pattern_pdf(beam_pattern(beam()), paper, IMPRINT)
    layout = sheets_of(beam_pattern(beam()), paper)
    where = {}
    with pdfplumber.open(io.BytesIO(data)) as book:
        for tile, page in zip(layout.tiles, book.pages[-len(layout.tiles) :], strict=True):
            for char in page.chars:
                if char["fontname"].endswith("Bold") and char["size"] == pytest.approx(8):
                    place = char["x0"] * MM - MARGIN + tile.x, (page.height - char["bottom"]) * MM + tile.y
                    where.setdefault(char["text"], []).append(place)
    assert sorted(where) == [letter for letter, *_ in layout.marks]
    for places in where.values():
        assert len(places) == 2
        assert np.hypot(*np.subtract(*places)) < 0.1


@pytest.mark.parametrize("scale", [(1.0, 1.0), (1.012, 1.006)])
@pytest.mark.parametrize("paper", PAPERS)
def test_check_bars_both_ways_and_across(paper, scale):
    for sheet in read_lines("5", paper, scale):
        bars = of_layer(sheet, "check bars")
        level = [x for x, y in bars if abs(np.ptp(x) - 100 * scale[0]) < 0.01 and np.ptp(y) < 1e-3]
        upright = [(x, y) for x, y in bars if abs(np.ptp(y) - 100 * scale[1]) < 0.01 and np.ptp(x) < 1e-3]
        assert len(level) == 1 and len(upright) == 1
        across = np.hypot(level[0].max() - level[0].min(), np.ptp(upright[0][1]))
        if scale == (1.0, 1.0):
            assert across == pytest.approx(141.4, abs=0.1)


def test_a_printer_that_shrinks_gets_its_curve_back():
    scale = (1.0 / 0.985, 1.0 / 0.99)
    sheets = read_lines("5", "A4", scale)
    found = [(x, y) for _, x, y in on_pattern(sheets, "5", "A4", "top", scale) if len(x) > 3]
    x, y = (np.concatenate(part) for part in zip(*found, strict=True))
    assert np.abs(-beam().drop_at(np.clip(x, *beam().ordinates.y[[0, -1]])) - y).max() < 0.1
    text = PdfReader(io.BytesIO(pattern_pdf(beam_pattern(beam()), "A4", IMPRINT, scale=scale))).pages[1].extract_text()
    assert "Drawn 1.0152 across and 1.0101 up, for a printer that shrinks." in text


def test_jig_and_finished_differ_by_the_allowance_once():
    drawn = {line.layer: line for line in beam_pattern(beam()).lines}
    one = beam()
    ratio = one.jig_camber / one.camber
    assert ratio == pytest.approx(16 / 15)  # four layers: n^2/(n^2 - 1), from the energy of n layers
    assert np.allclose(drawn["jig top"].y, ratio * drawn["top"].y, atol=1e-9)
    words = " ".join(note.words for note in beam_pattern(one).notes)
    assert "FINISHED" in words and "JIG" in words


def test_underside_lies_the_moulding_below_the_top():
    shapely = pytest.importorskip("shapely")
    drawn = {line.layer: line for line in beam_pattern(beam()).lines}
    top = shapely.LineString(np.column_stack([drawn["top"].x, drawn["top"].y]))
    away = [top.distance(shapely.Point(*p)) for p in zip(drawn["underside"].x, drawn["underside"].y, strict=True)][1:-1]
    assert np.allclose(away, beam().mark.moulding, atol=0.05)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["5", "half"])
def test_nothing_within_5_mm_of_the_edge_and_all_is_black(paper, name):
    data = pattern_pdf(beam_pattern(beam(name)), paper, IMPRINT)
    with pdfplumber.open(io.BytesIO(data)) as book:
        for page in book.pages:
            for mark in page.chars + page.lines + page.curves + page.rects:
                assert 5 <= mark["x0"] * MM and mark["x1"] * MM <= float(page.width) * MM - 5
                assert 5 <= mark["top"] * MM and mark["bottom"] * MM <= float(page.height) * MM - 5
                for key in ("stroking_color", "non_stroking_color"):
                    assert mark[key] is None or not np.any(mark[key])
            assert not page.images


def test_fonts_are_embedded():
    reader = PdfReader(io.BytesIO(pattern_pdf(beam_pattern(beam()), "A4", IMPRINT)))
    fonts = {ref.get_object()["/BaseFont"]: ref.get_object() for page in reader.pages
             for ref in page["/Resources"]["/Font"].values()}  # fmt: skip
    used = [font for name, font in fonts.items() if "DejaVu" in name]
    assert len(used) >= 2
    assert all("/FontFile2" in font["/FontDescriptor"].get_object() for font in used)


def test_all_words_of_the_pattern_are_on_its_sheets():
    pattern = beam_pattern(beam())
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(pattern_pdf(pattern, "A4", IMPRINT))).pages)
    for words in (*(note.words for note in pattern.notes), *(cell for row in pattern.rows for cell in row)):
        assert words in text


def svg_lines(svg: str):
    """Layer, x and y in mm, y upwards, of every line of an SVG; and the size of a user unit."""
    root = ET.fromstring(svg.encode())
    space = "{http://www.w3.org/2000/svg}"
    _, _, wide, high = map(float, root.get("viewBox").split())
    unit = float(root.get("width").removesuffix("mm")) / wide, float(root.get("height").removesuffix("mm")) / high
    lines = []
    for group in root.iter(f"{space}g"):
        for line in group.iter(f"{space}polyline"):
            x, y = np.array([p.split(",") for p in line.get("points").split()], float).T
            lines.append((group.get("id"), x, -y))
    return unit, lines


def dxf_lines(dxf: str):
    """Layer, x and y of every line of a DXF, by the library's own reader."""
    document = ezdxf.read(io.StringIO(dxf))
    assert document.header["$INSUNITS"] == 4  # millimetres
    assert not document.audit().errors
    return [(line.dxf.layer, *np.array(line.get_points("xy")).T) for line in document.modelspace().query("LWPOLYLINE")]


@pytest.mark.parametrize("name", ["5", "6", "half"])
@pytest.mark.parametrize("kind", ["svg", "dxf"])
def test_machine_files_hold_the_beams_own_curve(kind, name):
    drawn = proofed(beam_pattern(beam(name)), IMPRINT)
    if kind == "svg":
        unit, lines = svg_lines(pattern_svg(drawn))
        assert unit == pytest.approx((1, 1), abs=1e-6)
    else:
        lines = dxf_lines(pattern_dxf(drawn))
    layers = {layer for layer, *_ in lines}
    assert {"top", "underside", "end_cut", "level_line", "jig_top", "ordinates", "check_bars"} <= layers
    (top,) = [(x, y) for layer, x, y in lines if layer == "top"]
    first = beam(name).ordinates.y[0]
    x, y = top[0] - top[0][0] + first, top[1] - top[1][0] - beam(name).drop_at([first])[0]
    x[-1] = min(x[-1], beam(name).ordinates.y[-1])
    assert np.abs(-beam(name).drop_at(x) - y).max() < 0.05
    middle = (x[1:] + x[:-1]) / 2, (y[1:] + y[:-1]) / 2
    assert np.abs(-beam(name).drop_at(middle[0]) - middle[1]).max() < 0.05
    bars = [(np.ptp(x), np.ptp(y)) for layer, x, y in lines if layer == "check_bars"]
    assert sorted(bars) == [pytest.approx((0, 100)), pytest.approx((100, 0))]


def test_a_half_is_that_side_of_the_whole():
    whole, half = (next(line for line in beam_pattern(beam(), half=side).lines if line.layer == "top")
                   for side in (None, "starboard"))  # fmt: skip
    kept = whole.x >= half.x[0]
    assert half.x[0] > -20 and np.array_equal(whole.y[kept], half.y)
    with pytest.raises(ValueError, match="half is 'left': it is port or starboard"):
        beam_pattern(beam(), half="left")
    with pytest.raises(ValueError, match="beam half does not cross the centreline"):
        beam_pattern(beam("half"), half="port")


def test_sheets_left_out_carry_no_edge_and_those_kept_hold_together():
    pattern = next(pattern for name, pattern in patterns_of(laminated()) if name == "edge_port")
    layout = sheets_of(pattern, "A4")
    assert len(layout.tiles) < layout.columns * layout.rows
    top = next(line for line in pattern.lines if line.layer == "top")
    on = [sum(tile.holds(x, y) for tile in layout.tiles) for x, y in zip(top.x, top.y, strict=True)]
    assert min(on) >= 1
    for letter, x, y in layout.marks:
        assert sum(tile.holds(x, y) for tile in layout.tiles) >= 2, letter


def test_edges_on_paper_are_the_spiled_offsets():
    job = laminated()
    for name, pattern in patterns_of(job):
        if not name.startswith("edge"):
            continue
        edge = next(edge for edge in job.spiles if name.endswith(edge.side))
        top = next(line for line in pattern.lines if line.layer == "top")
        # Seen from above with the outside up: starboard has her bow to the left, port to the right.
        along = edge.along if edge.side == "starboard" else edge.along[-1] - edge.along
        assert np.abs(np.interp(along, top.x, top.y) - edge.offset).max() < 0.05
        assert f"forward end to the {'left' if edge.side == 'starboard' else 'right'}" in pattern.says[0]
        assert np.hypot(np.diff(top.x), np.diff(top.y)).sum() == pytest.approx(edge.length, abs=0.5)
        data = pattern_pdf(pattern, ROLL, IMPRINT)
        assert max(float(page.mediabox.width) for page in PdfReader(io.BytesIO(data)).pages) <= 14400
    far = edge_pattern(job.spiles[0], marks=job.spiles[0].x[[3]])
    assert len(far.rows) == 1


def test_the_gauge_reads_the_clamps_bevel_off_the_board():
    clamp = clamp_line(laminated().beams, "port")
    lines = [line for line in bevel_board(clamp).lines if line.layer == "top"]
    read = [np.degrees(np.arctan2(line.y[1] - line.y[0], line.x[0] - line.x[1])) for line in lines]
    assert np.allclose(read, 90 + clamp.bevel_deg, atol=1e-6)
    assert all(a.x[1] < b.x[1] for a, b in zip(lines, lines[1:], strict=False))
