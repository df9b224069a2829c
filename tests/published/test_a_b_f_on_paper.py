"""Published curves cut out of the finished files: measured on the page, not asked of the program."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET

import ezdxf
import numpy as np
import pdfplumber
import pytest

from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.flat_edge import flat_edge
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from deckgeom.papers.machine import pattern_dxf, pattern_svg
from deckgeom.papers.page import Imprint
from deckgeom.papers.pattern import LAYERS, beam_pattern
from deckgeom.papers.pattern_edges import edge_pattern
from deckgeom.papers.pattern_pdf import pattern_pdf

INCH = 25.4
MM = INCH / 72
IMPRINT = Imprint("Check", "2026-05-01", (), "0.1")
PAPER = 0.1  # what a length on a page may be out by. [mm]


def level(height):
    """A line that stays where it is along the boat."""
    return lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * np.asarray(x, float)


def pattern_of(half: float, rule):
    """The pattern of one beam of a boat of even breadth."""
    deck = Deck(Sheer.from_curves(level(half), level(800), start=0, end=6000), rule)
    return beam_pattern(lay_out_beams(deck, [BeamMark("1", 2000, siding=40, moulding=60)], spacing=100)["1"])


def curve_on_roll(pattern):
    """The heavy full line of the roll, left to right. [mm]"""
    with pdfplumber.open(io.BytesIO(pattern_pdf(pattern, "roll", IMPRINT))) as book:
        marks = [m for m in book.pages[0].curves if round(m["linewidth"] * MM, 2) == LAYERS["top"][0]]
        x, y = np.array(max((m["pts"] for m in marks), key=len)).T * MM
    return x, -y


def curve_on_svg(pattern):
    """The group called top. [mm]"""
    root = ET.fromstring(pattern_svg(pattern).encode())
    group = next(g for g in root.iter("{http://www.w3.org/2000/svg}g") if g.get("id") == "top")
    x, y = np.array([p.split(",") for p in group[0].get("points").split()], float).T
    return x, -y


def curve_on_dxf(pattern):
    """The polyline on the layer top. [mm]"""
    document = ezdxf.read(io.StringIO(pattern_dxf(pattern)))
    line = next(iter(document.modelspace().query('LWPOLYLINE[layer=="top"]')))
    return np.array(line.get_points("xy")).T


READERS = {"roll": curve_on_roll, "svg": curve_on_svg, "dxf": curve_on_dxf}
QUARTERS = (0.25, 0.5, 0.75)


def heights_at(read, pattern, parts=QUARTERS):
    """Breadth of the curve as measured, and its height above its ends at parts of the half-breadth, to starboard."""
    x, y = read(pattern)
    middle, half = (x[0] + x[-1]) / 2, (x[-1] - x[0]) / 2
    return 2 * half, np.interp(middle + half * np.array(parts), x, y) - (y[0] + y[-1]) / 2


@pytest.mark.parametrize("kind", READERS)
@pytest.mark.parametrize(
    ("shape", "ratio", "printed"),
    [
        ("circle", 32, (0.93773, 0.75073, 0.43846)),  # A3: circle, c/B 1/32
        ("circle", 9, (0.94027, 0.75903, 0.44972)),  # A4: circle, c/B 1/9
        # A5: equal-division method, e.g. Emary, A Comprehensive Practical Geometry for Builders
        ("parabola", 32, (15 / 16, 3 / 4, 7 / 16)),
        ("quarter-circle", 32, (0.93336, 0.73681, 0.42033)),  # A6: construction common practice, no source
    ],
)
def test_a3_to_a6_fractions_of_the_camber_at_the_quarters(kind, shape, ratio, printed):
    half = 1200.0
    camber = 2 * half / ratio
    breadth, heights = heights_at(READERS[kind], pattern_of(half, OneMould(shape, f"1:{ratio}")), (0.0, *QUARTERS))
    assert breadth == pytest.approx(2 * half, abs=PAPER)
    assert heights[0] == pytest.approx(camber, abs=PAPER)
    assert heights[1:] == pytest.approx(np.array(printed) * camber, abs=PAPER)


@pytest.mark.parametrize("kind", READERS)
def test_a1_radius_of_the_arc_from_three_points_of_the_page(kind):
    # 385.5 in for 96 in and 3 in: R = (b^2 + c^2)/2c, Euclid III.35
    breadth, (rise, quarter) = heights_at(READERS[kind], pattern_of(48 * INCH, OneMould("circle", "1:32")), (0.0, 0.5))
    b = breadth / 2
    assert (b * b + rise * rise) / (2 * rise) == pytest.approx(385.5 * INCH, rel=PAPER / rise)
    assert quarter == pytest.approx((np.sqrt(385.5**2 - 24**2) - 382.5) * INCH, abs=PAPER)


@pytest.mark.parametrize("kind", READERS)
def test_a11_one_mould_and_a12_same_proportion_on_half_the_beam(kind):
    # A11: .7500 and .74781 in of a 96/3 mould are left on 48 in; A12: 1.5 in. Derived.
    def narrow(rule):
        def half(x, order=0):
            x = np.asarray(x, float)
            return [48 * INCH * (1 - x / 12000), -48 * INCH / 12000 + 0 * x, 0 * x, 0 * x][order]

        deck = Deck(Sheer.from_curves(half, level(800), start=0, end=9000), rule)
        beam = lay_out_beams(deck, [BeamMark("1", 6000, mark="forward face", siding=20, moulding=60)])["1"]
        return beam_pattern(beam)

    for rule, printed in ((OneMould("parabola", "1:32"), 0.75), (OneMould("circle", "1:32"), 0.74781),
                          (SameProportion("circle", "1:32"), 1.5)):  # fmt: skip
        _, (rise,) = heights_at(READERS[kind], narrow(rule), (0.0,))
        assert rise == pytest.approx(printed * INCH, abs=PAPER)


def test_a17_the_slope_at_the_edge_of_a_canoe_of_1882():
    # 25.058 deg for 27 in and 3 in: W. P. Stephens, plate of "Raritania"
    x, y = curve_on_roll(pattern_of(13.5 * INCH, OneMould("circle", "1:9")))
    chord = np.degrees(np.arctan2(y[1] - y[0], x[1] - x[0]))
    half_step = np.degrees((x[1] - x[0]) / 2 / (31.875 * INCH * np.cos(np.radians(25.058))))
    assert chord + half_step == pytest.approx(25.058, abs=0.05)


def test_b9_bevel_of_1_in_12_over_2_in_is_on_the_sheet():
    # .16667 in, 4.7636 deg. Derived.
    def rising(x, order=0):
        return [800 + np.asarray(x, float) / 12, 1 / 12 + 0.0 * np.asarray(x), 0.0 * np.asarray(x)][min(order, 2)]

    deck = Deck(Sheer.from_curves(level(1200), rising, start=0, end=6000), OneMould("circle", "1:32"))
    beam = lay_out_beams(deck, [BeamMark("1", 2000, siding=2 * INCH, moulding=60)])["1"]
    with pdfplumber.open(io.BytesIO(pattern_pdf(beam_pattern(beam), "A4", IMPRINT))) as book:
        text = book.pages[0].extract_text()
    assert text.count("4 mm, 4.8 deg, after edge high") == len(beam.ordinates)
    assert beam.ordinates.rise_over_siding == pytest.approx(2 * INCH / 12, abs=1e-6)


@pytest.mark.parametrize("kind", READERS)
def test_f3_the_edge_of_a_cylinder_unrolls_to_the_arc_length(kind):
    # F3: one circular mould and a straight crown line; the flat edge is exactly (x, R asin(b(x)/R)). Derived.
    radius, length = 7250.0, 4000.0

    def plan(x, order=0):
        xi = np.asarray(x, float) / length * 2 - 1
        return [1200 - 900 * xi**2, -3600 * xi / length, -7200 / length**2 + 0 * xi, 0 * xi][order]

    def height(x, order=0):
        b, root = plan(x), np.sqrt(radius**2 - plan(x) ** 2)
        second = radius**2 / root**3 * plan(x, 1) ** 2 + b / root * plan(x, 2)
        return [900 - b * b / (radius + root), -b / root * plan(x, 1), -second][order]

    deck = Deck(Sheer.from_curves(plan, height, start=0, end=length), OneMould("circle", 100 / 2400))
    edge = flat_edge(deck, "starboard", x=np.linspace(0, length, 400))
    x, y = READERS[kind](edge_pattern(edge, marks=[0, length / 2, length]))
    exact = radius * np.arcsin(plan(np.linspace(0, length, 41)) / radius)
    offsets = exact - exact[0]  # both ends are equally broad: the straight line between them runs fore and aft
    assert x[-1] - x[0] == pytest.approx(length, abs=PAPER)
    measured = np.interp(x[0] + np.linspace(0, length, 41), x, y) - y[0]
    assert np.abs(measured - offsets).max() < PAPER


@pytest.mark.parametrize("kind", READERS)
def test_f1_an_edge_that_is_an_arc_has_the_arcs_offsets(kind):
    # F1: circle R 5 m, chord 2.4 m: 146.136 mm, and 137.13, 110.01, 64.47 mm at its quarters. Derived.
    def plan(x, order=0):
        v = np.asarray(x, float) - 1200
        root = np.sqrt(5000.0**2 - v * v)
        return [root - 4000, -v / root, -(5000.0**2) / root**3, 0 * v][order]

    deck = Deck(Sheer.from_curves(plan, level(800), start=0, end=2400), SameProportion("circle", 0))
    edge = flat_edge(deck, "starboard", x=np.linspace(0, 2400, 300))
    breadth, heights = heights_at(READERS[kind], edge_pattern(edge, marks=[1200]), (0.0, *QUARTERS))
    assert breadth == pytest.approx(2400, abs=PAPER)
    assert heights == pytest.approx([146.136, 137.13, 110.01, 64.47], abs=PAPER)
