"""Ways to work out the values of group A: camber curves and their layout."""

from __future__ import annotations

import re

import numpy as np

from deckgeom.deck.camber import Circle, Parabola
from deckgeom.deck.figure import CamberFigure
from deckgeom.deck.figure_text import FigureError
from deckgeom.deck.layout import KNOWN, recognise, straight_edges_angle_deg
from deckgeom.deck.quarter_circle import QuarterCircle
from deckgeom.units.measures import MM_PER_INCH

_SHAPES = {"circle": Circle, "parabola": Parabola, "quarter circle": QuarterCircle}


def circle_radius(half_breadth, camber):
    return Circle(half_breadth, camber).radius


def circle_edge_slope(half_breadth, camber):
    return Circle(half_breadth, camber).edge_slope_deg


def circle_arc_less_chord(half_breadth, camber):
    return Circle(half_breadth, camber).arc_length - 2 * half_breadth


def part_of_camber(shape, u, camber_over_beam=0.0):
    return _SHAPES[shape].fraction(u, 2 * camber_over_beam)


def slip_part(divided, u):
    (part,) = [fraction for words, fraction in KNOWN.items() if f"divided {divided}" in words]
    return part(u)


def slip_name(u, part_of_camber):
    words = recognise(1200.0, 100.0, [1200.0 * u], [100.0 * part_of_camber]).words
    return re.search(r"\((.*)\)|$", words)[1] if words.startswith("slip") else "no slip"


def _gap(shape, camber_over_beam):
    u = np.linspace(0, 1, 20001)
    gap = _SHAPES[shape].fraction(u, 2 * camber_over_beam) - Parabola.fraction(u)
    worst = np.argmax(np.abs(gap))
    return gap[worst], u[worst]


def worst_off_parabola(shape, camber_over_beam=0.0):
    return _gap(shape, camber_over_beam)[0]


def where_worst_off_parabola(shape, camber_over_beam=0.0):
    return _gap(shape, camber_over_beam)[1]


def straight_edges_angle(half_breadth, camber):
    return straight_edges_angle_deg(half_breadth, camber)


def one_mould_on_narrower(shape, half_breadth, camber, narrower_half_breadth):
    return _SHAPES[shape](half_breadth, camber).drop(narrower_half_breadth)


def camber_from_words(words, half_breadth):
    return CamberFigure.parse(words).camber_at(half_breadth)


def ratio_from_words(words, half_breadth=750.0):
    return CamberFigure.parse(words).ratio(half_breadth)


def reading_of_doubtful_words(words, half_breadth, reading):
    try:
        CamberFigure.parse(words)
    except FigureError as question:
        figure = question.readings[0 if reading == "first" else 1][1]
        return figure.ratio(half_breadth) * 12 * MM_PER_INCH
    return "no question raised"
