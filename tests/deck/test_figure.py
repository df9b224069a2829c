"""The camber figure in every form, its echo and its questions."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckgeom.deck.camber import CamberError, Circle, Parabola
from deckgeom.deck.figure import CamberFigure, as_figure
from deckgeom.deck.figure_text import FigureError


@pytest.mark.parametrize(
    "text",
    [
        "1:32",
        "1/32",
        "1 in 32",
        "1:32 of beam",
        "1:32 of the whole beam",
        "1:16 of half-beam",
        '3/8"/ft',
        "3/8 in per foot",
        "3/8 in per foot of the beam",
        "3/4 in per ft of half-beam",
        "31.25 mm/m",
        "31,25 mm per m",
        "3.125 %",
        "0.03125",
        "93.75",
        "93.75 mm",
        "93.75 mm crown",
        "93.75 on 3.0 m",
        "93.75 on a 3 m beam",
        "93.75 on half-beam of 1.5 m",
        "1:32 of full breadth",
    ],
)
def test_every_spelling_of_one_camber_is_the_same_figure(text):
    assert CamberFigure.parse(text).camber_at(1500) == pytest.approx(93.75, rel=1e-12)
    assert CamberFigure.parse(text).ratio(1500) == pytest.approx(1 / 32, rel=1e-12)


@pytest.mark.parametrize("text", ["3 11/16", "3 11/16 in", '3-11/16"', "0-3-5+", "3.6875"])
def test_bare_lengths_in_an_inch_folder_are_a_crown_in_inches(text):
    figure = CamberFigure.parse(text, "in")
    assert (figure.kind, figure.value) == ("crown", pytest.approx(3.6875 * 25.4, rel=1e-12))


def test_a_radius_gives_the_rise_of_its_own_arc():
    # Euclid III.35 backwards: (2R - c) c = b^2
    figure = CamberFigure.parse("R=4.2m")
    c = figure.camber_at(1200)
    assert (2 * 4200 - c) * c == pytest.approx(1200**2, rel=1e-12)
    assert CamberFigure.parse("R 13' 9\"").value == pytest.approx(165 * 25.4)


def test_rise_on_a_stated_breadth_is_a_mould_that_carries_on():
    figure = CamberFigure.parse("94 on 3.0 m")
    assert figure.mould_size(1600) == (1500, 94)
    assert figure.camber_at(1600, "parabola") == pytest.approx(94 * (1600 / 1500) ** 2)
    assert figure.camber_at(1600, "circle") == pytest.approx(float(Circle(1500, 94).drop(1600)))
    assert figure.ratio(1600) == 94 / 3000


def test_the_echo_says_of_what_and_how_much_at_the_widest_beam():
    echo = CamberFigure.parse("1:32 of beam").words("mm", 1500)
    assert echo == "1:32 of the whole beam: at your widest beam of 3000 mm that is 94 mm (3 11/16 in)."
    assert CamberFigure.parse("1:32 of beam").words("in", 1524).endswith("beam of 120 in that is 3 3/4 in (95 mm).")


def test_an_unsaid_ratio_is_of_the_whole_beam_and_the_echo_names_the_other_reading():
    bare = CamberFigure.parse('3/8"/ft')
    assert (bare.of, bare.said) == ("beam", False)
    assert "Were half-beam meant, it would be 47 mm (1 7/8 in)" in bare.words("mm", 1500)
    assert "Were" not in CamberFigure.parse('3/8"/ft of beam').words("mm", 1500)
    assert "of the half-beam: at your widest" in CamberFigure.parse("1:16 of half-beam").words("mm", 1500)


def test_echo_of_a_rise_on_another_breadth_gives_both_rules():
    said = CamberFigure.parse("94 on 3.0 m").words("mm", 1600, "parabola")
    assert "107 mm (4 3/16 in) from one mould, 100 mm (3 15/16 in) in the same proportion" in said


def test_echo_of_a_crown_gives_the_ratio():
    assert '31 mm/m (3/8"/ft, 1:32) of the whole beam' in CamberFigure.parse("93.75").words("mm", 1500)


@pytest.mark.parametrize(
    ("text", "units", "said"),
    [
        ("3/8", "mm", "3/8 in per foot of the whole beam (1:32)"),
        ("1/4", "mm", "a ratio of 1:4 of the whole beam"),
        ("0.2", "in", "1:5 of the whole beam, or 3/16 in (5 mm) at the widest beam"),
        ("1,234", "mm", "is it 1234 (1234 mm"),
        ("2 1/2", "mm", "2 1/2 in (64 mm"),
        ("32:1", "mm", "1 up on 32 along"),
    ],
)
def test_a_doubtful_figure_raises_a_question_with_its_readings(text, units, said):
    with pytest.raises(FigureError) as caught:
        CamberFigure.parse(text, units)
    assert said in str(caught.value)
    assert all(isinstance(figure, CamberFigure) for _, figure in caught.value.readings)
    assert caught.value.readings


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "there is no camber figure"),
        ("x", "a length holds a number"),
        ("1:2", "0.5 times the whole beam is more than 1:4"),
        ("-1:32", "must be nought or more"),
        ("1:32 or 94", "cannot be compared without the beam"),
        ("94 on 0", "half-breadth 0 mm: it must be more than nought"),
        ("1500 on 3 m", "camber 1500 mm on a half-breadth of 1500 mm"),
    ],
)
def test_a_wrong_figure_says_value_and_rule(text, said):
    with pytest.raises(FigureError, match=f"^'{text}'") as caught:
        CamberFigure.parse(text)
    assert said in str(caught.value)


def test_two_statements_that_agree_are_one_figure():
    assert CamberFigure.parse("94 on 3 m, about 1:32").kind == "on breadth"
    assert CamberFigure.parse("1 1/2 in on 5 ft; 1:40").ratio(762) == pytest.approx(1 / 40)


def test_numbers_that_are_not_text():
    assert as_figure(0.03125).camber_at(1500) == 93.75
    assert as_figure(94).camber_at(1500) == 94
    assert as_figure(3, "in").camber_at(1500) == pytest.approx(76.2)
    assert as_figure(0).camber_at(1500) == 0


def test_a_crown_too_great_for_the_beam_is_refused_when_the_beam_is_known():
    with pytest.raises(CamberError, match="camber 940 mm on a half-breadth of 1500 mm is more than 1:4"):
        CamberFigure.parse("940").mould_size(1500)
    with pytest.raises(CamberError, match="radius 1200 mm is less than the half-breadth 1500 mm"):
        CamberFigure.parse("R 1200").camber_at(1500)


@given(st.integers(8, 400), st.floats(200, 4000))
def test_a_ratio_of_half_beam_is_half_of_the_same_ratio_of_the_beam(n, half):
    whole, part = CamberFigure.parse(f"1:{n} of beam"), CamberFigure.parse(f"1:{n} of half-beam")
    assert whole.camber_at(half) == pytest.approx(2 * part.camber_at(half))
    assert np.isclose(whole.camber_at(half), 2 * half / n)


@given(st.floats(20, 300), st.floats(1000, 4000), st.floats(0.1, 10))
def test_scale_changes_nothing_but_the_size(rise, wide, factor):
    rise = min(rise, wide / 5)
    small, large = (CamberFigure("on breadth", rise * f, breadth=wide * f) for f in (1, factor))
    shape = Parabola
    assert large.camber_at(factor * wide, shape) == pytest.approx(factor * small.camber_at(wide, shape))
