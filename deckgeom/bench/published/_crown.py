"""Ways to work out the values of group B: crown lines, slopes and bevels."""

from __future__ import annotations

import numpy as np

from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.humps import crown_line
from deckgeom.deck.ordinates import gauge_word
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer

_RULES = {"one mould": OneMould, "same proportion": SameProportion}
_LENGTH, _HALF, _CAMBER = 6000.0, 1500.0, 93.75


def _line(start, slope):
    p = np.polynomial.Polynomial([start, slope])
    return lambda x, order=0: (p.deriv(order) if order else p)(np.asarray(x, float))


def _double_ended(rule, end_sheer_over_camber):
    return Deck(even_hull(_LENGTH, _HALF, 900.0, end_sheer_over_camber * _CAMBER), _RULES[rule]("parabola", _CAMBER))


def camber_along(rule, xi, end_sheer_over_camber=0.0):
    return _double_ended(rule, end_sheer_over_camber).camber(xi * _LENGTH / 2) / _CAMBER


def crown_along(rule, xi, end_sheer_over_camber):
    deck = _double_ended(rule, end_sheer_over_camber)
    return (deck.height(xi * _LENGTH / 2, 0.0) - 900.0) / _CAMBER


def inflection_at(rule, end_sheer_over_camber=0.0):
    return max(crown_line(_double_ended(rule, end_sheer_over_camber)).inflections) / (_LENGTH / 2)


def how_many_inflections(rule, end_sheer_over_camber=0.0):
    return len(crown_line(_double_ended(rule, end_sheer_over_camber)).inflections)


def how_many_humps(rule, end_sheer_over_camber=0.0):
    return len(crown_line(_double_ended(rule, end_sheer_over_camber)).humps)


def crown_rises_and_falls(rule, end_sheer_over_camber):
    return np.ptp(crown_line(_double_ended(rule, end_sheer_over_camber)).height) / _CAMBER


def _lowest(rule, end_sheer_over_camber):
    profile = crown_line(_double_ended(rule, end_sheer_over_camber), points=2401)
    i = np.argmin(profile.height)
    return (profile.height[i] - 900.0) / _CAMBER, abs(profile.x[i]) / (_LENGTH / 2)


def lowest_crown(rule, end_sheer_over_camber):
    return _lowest(rule, end_sheer_over_camber)[0]


def where_crown_is_lowest(rule, end_sheer_over_camber):
    return _lowest(rule, end_sheer_over_camber)[1]


def slope_spread_across(shape, rule, xi):
    deck = Deck(even_hull(_LENGTH, _HALF, 900.0, 260.0), _RULES[rule](shape, _CAMBER))
    x = xi * _LENGTH / 2
    y = np.linspace(-1, 1, 41) * deck.edge("port", x)[0]
    return np.ptp(deck.slopes(x, y)[0])



def added_slope_in_proportion(u, half_breadth, plan_slope, sheer_slope, camber_over_beam):
    return _slope("same proportion", u, half_breadth, plan_slope, sheer_slope, camber_over_beam) - sheer_slope


def slope_angle_in_proportion(u, half_breadth, plan_slope, sheer_slope, camber_over_beam):
    return _degrees(_slope("same proportion", u, half_breadth, plan_slope, sheer_slope, camber_over_beam))


def added_slope_of_one_mould(u, half_breadth, plan_slope, sheer_slope, mould_camber, mould_half_breadth):
    figure = f"{mould_camber:.12g} mm on {2 * mould_half_breadth:.12g} mm"
    return _slope("one mould", u, half_breadth, plan_slope, sheer_slope, figure) - sheer_slope


def slope_angle_of_one_mould(u, half_breadth, plan_slope, sheer_slope, mould_camber, mould_half_breadth):
    figure = f"{mould_camber:.12g} mm on {2 * mould_half_breadth:.12g} mm"
    return _degrees(_slope("one mould", u, half_breadth, plan_slope, sheer_slope, figure))


def _slope(rule, u, half, plan_slope, sheer_slope, figure):
    sheer = Sheer.from_curves(_line(half, plan_slope), _line(900, sheer_slope), start=-2000, end=2000)
    return float(Deck(sheer, _RULES[rule]("parabola", figure)).slopes(0.0, half * u)[0])


def _degrees(slope):
    return float(np.degrees(np.arctan(slope)))


def _beam(siding, slope):
    sheer = Sheer.from_curves(_line(1200.0, 0.0), _line(800.0, slope), start=0, end=6000)
    deck = Deck(sheer, OneMould("circle", 1 / 32))
    return lay_out_beams(deck, [BeamMark("1", 3000, siding=siding)]).ordinates


def rise_over_siding(siding, slope=None, angle=None):
    slope = np.tan(np.radians(angle)) if slope is None else slope
    return _beam(siding, slope).rise_over_siding[0]


def bevel_angle(siding, slope):
    return _beam(siding, slope).bevel_deg[0]


def bevel_word(siding, slope, face):
    return gauge_word(_beam(siding, slope).high_edge[0], face)
