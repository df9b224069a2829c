"""The words of every picture carry the computed values, and names that bite draw nothing but themselves."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from deckgeom.deck.camber import Circle, Parabola
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.humps import crown_line
from deckgeom.deck.surface import Deck
from deckgeom.drawings.batten import draw_batten
from deckgeom.drawings.beam import draw_beam
from deckgeom.drawings.camber import draw_camber_curves
from deckgeom.drawings.crown import draw_crown_line, draw_crown_lines
from deckgeom.drawings.plan import draw_plan
from deckgeom.drawings.sheer import draw_distances, draw_sheer
from deckgeom.drawings.spiling import draw_spiled_edges
from deckgeom.drawings.tops import draw_tops
from deckgeom.fairing.batten import Strip, lay_batten
from deckgeom.fairing.fore_and_aft import lines_of_readings
from deckgeom.hull.sheer import Sheer
from deckgeom.units import format_length
from tests.drawings.boats import HOSTILE, boat, breadth, height

SVG = "{http://www.w3.org/2000/svg}"


def shown(picture) -> str:
    return "\n".join(node.text or "" for node in ElementTree.fromstring(picture.svg()).iter(f"{SVG}text"))


def test_sheer_says_the_heights_at_its_ends_and_the_suspect():
    picture = draw_sheer(boat().sheer, boat().suspects)
    for x in (0.0, 5400.0):
        assert format_length(height(x), "mm") in picture.alt
    assert "Suspect: height at station 5" in picture.alt
    assert format_length(height(3000.0) + 40, "mm") + " written" in shown(picture)


def test_distances_name_the_offset_that_is_set_aside():
    job = boat()
    assert job.aside == (("height", "5"),)
    picture = draw_distances(job.sheer, 0.5)
    assert "Station 5 is set aside, 40 mm off." in picture.alt
    assert "40 mm" in shown(picture)


def test_both_sides_of_the_plan_are_the_parabola_that_the_offsets_lie_on():
    """The half-breadths of the boat are a parabola, which a fair curve must give back; port is 4 mm the wider."""
    picture = draw_sheer(boat().sheer)
    assert "In plan the greatest half-breadth is 1004 mm to port and 1000 mm to starboard." in picture.alt
    lines = {line.get_gid() or k: line for k, line in enumerate(picture.figure.axes[1].get_lines())}
    port = max(lines.values(), key=lambda line: -np.min(line.get_ydata()) * (len(line.get_xdata()) > 100))
    x, y = (np.asarray(v, dtype=float) for v in port.get_data())
    assert np.allclose(y, -(breadth(x) + 4), atol=0.01)


def hull(sheer_rise: float) -> Sheer:
    """Parabola in plan, ends raised by a parabola: published exact results exist for its crown line."""

    def half(x, order=0):
        xi = np.asarray(x) / 3000
        return [1500 * (1 - xi**2), -xi, -1 / 3000 + 0 * xi, 0 * xi][order]

    def rise(x, order=0):
        xi = np.asarray(x) / 3000
        return [sheer_rise * xi**2, 2 * sheer_rise * xi / 3000, 2 * sheer_rise / 9e6 + 0 * xi, 0 * xi][order]

    return Sheer.from_curves(half, rise, start=-3000, end=3000)


def test_crown_line_marks_the_hump_of_one_mould_on_a_flat_sheer():
    """c/c0 = (1 - xi^2)^2 inflects at xi = 1/sqrt 3 (differentiate twice), so a round line is hollow at both ends."""
    profile = crown_line(Deck(hull(0.0), OneMould("parabola", "1:30")))
    picture = draw_crown_line(profile, "one mould")
    assert np.abs(profile.inflections) == pytest.approx(3000 / np.sqrt(3), rel=1e-3)
    assert picture.alt.count("hollow of") == len(profile.humps) == 2
    assert "bend changes over" in shown(picture)
    assert "hollow" in shown(picture)
    for hump in profile.humps:
        assert format_length(hump.gap, "mm") in shown(picture)


def test_crown_lines_of_all_rules_are_on_one_picture():
    decks = {"one mould": OneMould("parabola", "1:30"), "same proportion": SameProportion("parabola", "1:30")}
    profiles = {name: crown_line(Deck(hull(0.0), rule)) for name, rule in decks.items()}
    picture = draw_crown_lines(profiles, chosen="same proportion")
    assert "same proportion (chosen)" in shown(picture)
    assert "One mould: camber from 0 mm to 100 mm." in picture.alt
    assert "one mould: hollow" in shown(picture)


def test_camber_curves_differ_as_they_are_known_to():
    """Circle minus parabola is at most c (c/B)^2: a power series to the second term."""
    curves = {"circle": Circle(1500, 300), "parabola": Parabola(1500, 300)}
    picture = draw_camber_curves(1500, curves, "circle")
    assert f"departs from the circle by {format_length(300 * 0.1**2, 'mm')} at most" in picture.alt


def test_beam_says_camber_reach_face_and_greatest_bevel():
    beam = boat().beams["4"]
    picture = draw_beam(beam)
    assert f"camber {format_length(beam.camber, 'mm')}" in picture.alt
    assert f"{np.max(beam.ordinates.bevel_deg):.1f} degrees" in picture.alt
    assert beam.mould_face in picture.alt
    assert format_length(float(beam.ordinates.mould_drop[0]), "mm") in shown(picture)


def test_spiled_edges_say_line_edge_and_greatest_offset():
    port, starboard = boat().spiles
    picture = draw_spiled_edges((port, starboard))
    for edge in (port, starboard):
        assert format_length(edge.chord, "mm") in picture.alt
        assert format_length(float(np.max(edge.offset)), "mm") in picture.alt
    assert format_length(float(np.max(port.offset)), "mm") in shown(picture)


def test_high_low_and_doubtful_beams_are_told_apart_in_words_and_marks():
    fairing = boat().fairing
    high, low, slipped = (draw_tops(fairing.verdicts, k, plan=fairing) for k in (5, 7, 3))
    assert "plane 5 mm" in high.alt and "plane 5 mm" in shown(high) and "pack" not in high.alt
    assert "pack 5 mm" in low.alt and "pack 5 mm" in shown(low) and "plane" not in low.alt
    assert "measure again: 20 mm high" in slipped.alt and "plane" not in slipped.alt
    assert "measure this again first" in shown(slipped)


def test_plan_counts_and_names():
    job = boat()
    picture = draw_plan(job.fairing.verdicts, job.sheer, plan=job.fairing, fittings=job.boat.fittings)
    assert "plane at 5, pack at 5, doubtful reading at 1" in picture.alt
    assert re.search(r"Beam 5: plane [45] mm at", picture.alt) and re.search(r"Beam 7: pack [45] mm at", picture.alt)
    assert "Measure again: beam 3 at" in picture.alt
    assert {"plane here", "pack here", "doubtful: measure again first", "leave"} <= set(shown(picture).split("\n"))


def test_a_beam_that_was_not_measured_says_so():
    fairing = boat().fairing
    tops = fairing.tops
    only = type(tops)(tops.beam, (*tops.beam_names, "later"), tops.x, tops.y, tops.half_breadth, tops.z)
    told = type("Told", (), {"tops": only, "word": fairing.verdicts.word})()
    assert draw_tops(told, len(tops.beam_names)).alt == "Beam later was not measured."


def test_batten_over_one_low_beam_tells_its_gap():
    """A beam 3 mm low under a batten that its neighbours carry straight across: the gap is the 3 mm, to a hair."""
    laid = lay_batten([0, 400, 800, 1200], [0, 0, -3, 0], Strip(20, 20, 10000, 500, name="batten"), names="ABCD")
    picture = draw_batten(laid, "centreline")
    assert "The greatest gap is 3 mm, at beam C." in picture.alt
    assert "3 mm" in shown(picture) and "It touches 3 of 4 beams." in picture.alt


def every_picture(job):
    fairing = job.fairing
    profiles = {f"one mould{HOSTILE}": crown_line(job.deck), "no hump": crown_line(job.deck)}
    line = lines_of_readings(fairing.tops, at=[0.0])[0]
    names = [fairing.tops.beam_names[b] for b in line.beam]
    laid = lay_batten(line.x, line.z, Strip(20, 20, 10000, 500, name=f"batten{HOSTILE}"), names=names)
    units = job.boat.units
    yield draw_sheer(job.sheer, job.suspects, units)
    yield draw_distances(job.sheer, 0.5, units)
    yield draw_crown_lines(profiles, units, "no hump")
    yield draw_crown_line(crown_line(job.deck), f"one mould{HOSTILE}", profiles, units)
    yield draw_camber_curves(1000, {f"circle{HOSTILE}": Circle(1000, 60)}, f"circle{HOSTILE}", units)
    yield draw_beam(job.beams[4], units)
    yield draw_spiled_edges(job.spiles, units)
    yield draw_tops(fairing.verdicts, 3, units, fairing)
    yield draw_plan(fairing.verdicts, job.sheer, units, fairing, job.boat.fittings)
    yield draw_batten(laid, f"centreline{HOSTILE}", units)


def test_names_that_bite_are_drawn_as_words():
    pictures = list(every_picture(boat(HOSTILE, "ft-in-8")))
    assert len(pictures) == 10
    for picture in pictures:
        root = ElementTree.fromstring(picture.svg())
        assert not [node for node in root.iter() if node.tag.endswith("script")]
        assert "\x00" not in picture.alt and len(picture.alt) < 4000
    assert sum("<script>" in shown(picture) for picture in pictures) >= 8


@pytest.mark.parametrize("units", ["mm", "ft-in-8"])
def test_every_pane_names_its_axes_with_units(units):
    unit = {"mm": "mm", "ft-in-8": "inches"}[units]
    for picture in every_picture(boat("", units)):
        for pane in picture.figure.axes:
            heights = pane.get_ylabel()
            assert f"{unit})" in heights, picture.alt
        assert any(
            f"{unit})" in pane.get_xlabel() or pane.get_xlabel() in ("station", "beam") for pane in picture.figure.axes
        )


def test_inches_are_spoken_on_an_inch_boat():
    picture = draw_beam(boat("", "in").beams["4"], "in")
    assert " in" in picture.alt and " mm" not in picture.alt
