"""
The lessons on screen: what their panels say, against printed values, and that each change is quick.

Sources: crown lines B1 to B4 are derived (one parabola for plan and sheer); spring-back G1 from the energy of loose
layers against the glued section, measured in *Forests* 2020, 11(7), 725.
"""

from __future__ import annotations

import re

import numpy as np
import pytest

from deckgeom.bench import lesson_bent, lesson_crown, lessons
from deckgeom.lessons.layouts import LAYOUTS
from deckgeom.units import UNITS

BEAM = lessons.beam(1500, 100)
PANELS = {
    **{name: lambda beam, name=name: lessons.layout_panel(beam, name) for name in LAYOUTS},
    "gaps": lessons.gaps_panel,
    "crown": lesson_crown.crown_panel,
    "ducks": lesson_bent.ducks_panel,
    "spring-back": lesson_bent.spring_back_panel,
    "bevel": lesson_bent.bevel_panel,
}


# ------------------------------------------------------------ the crown line


def crown(rule: str, cambers: float):
    return lesson_crown.profile(BEAM, rule, cambers * BEAM.camber)


def test_b1_one_mould_on_a_flat_sheer_bends_over():
    line = crown("one mould", 0)
    xi = (line.x - 3000) / 3000
    assert line.camber / BEAM.camber == pytest.approx((1 - xi**2) ** 2, abs=1e-12)
    # it inflects at xi = 1/sqrt 3, where the camber is 4/9: half of the last digit, and a line of 401 points
    assert (np.array(line.inflections) - 3000) / 3000 == pytest.approx([-0.57735, 0.57735], abs=1e-5)
    assert np.interp(line.inflections, line.x, line.camber) / BEAM.camber == pytest.approx([4 / 9] * 2, abs=1e-4)
    assert [hump.kind for hump in line.humps] == ["hollow", "hollow"]


def test_b2_same_proportion_does_not():
    line = crown("same proportion", 0)
    xi = (line.x - 3000) / 3000
    assert line.camber / BEAM.camber == pytest.approx(1 - xi**2, abs=1e-12)
    assert line.inflections == () and line.humps == ()


def test_b3_same_proportion_is_dead_straight_when_the_sheer_is_as_much_as_the_camber():
    assert np.ptp(crown("same proportion", 1).height) == pytest.approx(0, abs=1e-9)
    live = lesson_crown.crown_panel(BEAM).set(rule="same proportion", sheer=100)
    assert "no hump" in live.words and "1.0 times the camber" in live.words


@pytest.mark.parametrize(("cambers", "lowest", "xi"), [(1.0, 0.75, 0.70711), (1.5, 0.9375, 0.5)])
def test_b4_one_mould_dips_and_where(cambers, lowest, xi):
    line = crown("one mould", cambers)
    k = int(np.argmin(line.height))
    above = (line.height[k] - BEAM.half_breadth / 2) / BEAM.camber
    assert above == pytest.approx(lowest, abs=5e-5)  # the lowest of 401 points
    assert abs(line.x[k] - 3000) / 3000 == pytest.approx(xi, abs=2.5e-3)  # half a step of 401 points


def test_b4_no_hump_from_two_cambers_on():
    live = lesson_crown.crown_panel(BEAM)
    assert "hump of" in live.set(sheer=190).words
    assert "hump of" not in live.set(sheer=200).words and "no hump" in live.words
    table = lesson_crown.crown_table(BEAM, ("100 mm", "200 mm"))
    assert table.rows[0][2] == "hump of 25 mm" and table.rows[1][2:] == ("none", "none")


# ------------------------------------------------------------ bending


def test_g1_spring_back_of_four_and_three_layers():
    # 100 mm wanted: forms of 106.67 and 112.50 mm; the table shows whole millimetres
    rows = {row[0]: row for row in lesson_bent.spring_back_table(BEAM).rows}
    assert rows["4"][1:3] == ("94 mm", "107 mm") and rows["3"][1:3] == ("89 mm", "113 mm")
    live = lesson_bent.spring_back_panel(BEAM).set(layers=4, camber=100)
    assert "on a form of 107 mm" in live.words and "the beam keeps 100 mm" in live.words
    assert "the beam keeps 94 mm" in live.set(form="forgotten").words
    assert "opened by 6 mm" in live.alt


def test_b7_the_bevel_panel_says_what_is_printed():
    beam = lessons.beam(1200, 75)
    live = lesson_bent.bevel_panel(beam)
    assert "At the centreline: 2.3 degrees, falls aft. At the end of the beam: 1.8 degrees" in live.words
    one = live.set(rule="one mould").words
    assert "the same right across" in one
    first, last = re.findall(r"(\d\.\d) degrees", one)
    assert first == last
    assert lesson_bent.bevel_table(beam, "40 mm").rows[1][1] == "2.2 degrees, falls aft"


def test_a_duck_pushed_is_named_and_lifted_it_is_told_how_far_the_batten_went():
    live = lesson_bent.ducks_panel(BEAM)
    still = live.words
    assert "Lift any one of them, and the batten stays" in still
    pushed = live.set(duck3=16).words
    assert "most when duck 3 is lifted: it goes 16 mm down" in pushed
    told = live.set(lift="3").words
    assert "Duck 3 is lifted: the batten has gone" in told
    lifted = live.svg
    assert [row[1] for row in live.answer.table.rows].count("lifted") == 1
    assert live.set(lift="none", duck3=0, along=300).svg != lifted, "a duck slid along changes the line"


# ------------------------------------------------------------ layouts


@pytest.mark.parametrize("name", LAYOUTS)
def test_each_step_has_its_own_words_and_picture(name):
    live = lessons.layout_panel(BEAM, name)
    rows = lessons.steps(BEAM, name).rows
    seen = set()
    for k, (_, words) in enumerate(rows, 1):
        live.set(step=k, camber=100)
        assert words in live.alt and live.words == f"Step {k} of {len(rows)}. {words}"
        seen.add(live.svg)
    assert len(seen) == len(rows)


def test_a8_a9_the_gaps_in_millimetres():
    # camber 94 on 3 m: parabola .09 mm under the circle, quarter-circle 1.7 mm, sprung batten 2/27 of 94 and that
    beam = lessons.beam(1500, 94)
    rows = {row[0]: row[-1] for row in lessons.gaps_table(beam).rows}
    assert rows["equal divisions"].startswith("less than 1 mm below")
    assert rows["quarter-circle"].startswith("2 mm below") and rows["sprung batten"].startswith("7 mm below")
    assert rows["three nails and two sticks"] == "on the circle"
    assert "sprung batten departs from it by 7 mm" in lessons.gaps(beam).alt


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("name", PANELS)
def test_every_panel_speaks_the_units_of_the_class_and_has_no_trouble(name, units):
    beam = lessons.beam("1500 mm", "94 mm", units)
    live = PANELS[name](beam)
    assert live.trouble == "" and live.words and len(live.alt) > 40
    for control in live.specs:
        assert control["label"].strip()
        if control["kind"] == "slider":
            for end in (control["low"], control["low"] + control["steps"] * control["step"]):
                assert live.set(**{control["key"]: end}).trouble == "", (control["key"], end)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: lessons.beam("94", "1500"), "half-breadth 94 mm and camber 1500 mm.*exchanged"),
        (lambda: lessons.beam("94", "50", "cm"), "units 'cm': choose one of mm, "),
        (lambda: lesson_crown.profile(BEAM, "no hump", 0), "'no hump' is none of the rules of this lesson"),
        (lambda: lessons.layout(BEAM, "by eye"), "'by eye' is no layout"),
    ],
)
def test_what_cannot_be_is_refused(call, words):
    with pytest.raises(ValueError, match=words):
        call()
