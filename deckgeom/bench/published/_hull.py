"""Ways to work out the values of groups C to F: sheer, offsets, measuring, spiling."""

from __future__ import annotations

import math

import numpy as np

from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.flat_edge import flat_edge
from deckgeom.deck.geodesic import geodesic
from deckgeom.deck.spiling import spile, spile_curve
from deckgeom.deck.surface import Deck
from deckgeom.hull.differences import divided_differences, rounding_bound
from deckgeom.hull.fair_curve import FairCurve
from deckgeom.hull.level import Level
from deckgeom.hull.offsets import OffsetTable
from deckgeom.hull.sheer import Sheer
from deckgeom.hull.strings import string_sag
from deckgeom.hull.suspects import find_suspects
from deckgeom.hull.water_level import water_level_error
from deckgeom.units import parse_length
from deckgeom.units.measures import MM_PER_INCH

_EIGHTH = MM_PER_INCH / 8
_WEIGHTS = np.array([1.0, 3.0, 3.0, 1.0]) / 8


def standard_sheer(end, sixths_of_length_from_end):
    return FairCurve([-3.0, 0.0, 3.0], [end, 0.0, end])(3.0 - sixths_of_length_from_end)


def standard_sheer_mean(end):
    return _WEIGHTS @ FairCurve([-3.0, 0.0, 3.0], [end, 0.0, end])(np.array([3.0, 2.0, 1.0, 0.0]))


def standard_sheer_sum(end):
    fractions = FairCurve([-3.0, 0.0, 3.0], [1.0, 0.0, 1.0])(np.array([3.0, 2.0, 1.0, 0.0])).round(3)
    return 8 * _WEIGHTS @ fractions * end


def length_from_words(words):
    return parse_length(words, "ft-in-8")


def apart_in_words(one, other):
    return parse_length(one, "ft-in-8") - parse_length(other, "ft-in-8")


def _values(values):
    if "-" in values:
        return np.array([parse_length(one, "ft-in-8") for one in values.split()])
    return np.array([float(one) for one in values.split()])


def _differences(values, order):
    return divided_differences(np.arange(len(values)), values, order) * math.factorial(order)


def largest_difference(values, order):
    return np.abs(_differences(_values(values), int(order))).max()


def difference_at(values, order, number):
    return _differences(_values(values), int(order))[int(number) - 1]


def _canoe(heights, half_breadths):
    x = 12 * MM_PER_INCH * np.arange(15)
    table = OffsetTable.from_rows({"x": x, "height": _values(heights), "half_breadth": _values(half_breadths)})
    return find_suspects(table, 0.0, _EIGHTH, "ft-in-8")


def largest_difference_repaired(heights, half_breadths, order):
    values = _values(half_breadths)
    for suspect in _canoe(heights, half_breadths)[:2]:
        values[int(suspect.station)] = round(suspect.expected / _EIGHTH) * _EIGHTH
    return np.abs(_differences(values, int(order))).max()


def suspect_place(heights, half_breadths, number):
    suspect = _canoe(heights, half_breadths)[int(number) - 1]
    return f"{suspect.column} {suspect.station}, {suspect.strength}"


def suspect_short_by(heights, half_breadths, number):
    suspect = _canoe(heights, half_breadths)[int(number) - 1]
    return suspect.expected - suspect.value


def only_suspect_should_be(values):
    heights = _values(values)
    (suspect,) = find_suspects(OffsetTable.from_rows({"x": range(len(heights)), "height": heights}))
    return suspect.expected


def only_suspect_number(values):
    heights = _values(values)
    (suspect,) = find_suspects(OffsetTable.from_rows({"x": range(len(heights)), "height": heights}))
    return int(suspect.station) + 1


def rounding_moves(rounded_to, order):
    return rounding_bound(np.arange(8), rounded_to, int(order))[0] * math.factorial(int(order))


def batten_gap(first, middle, last):
    return FairCurve([0.0, 2.0], [first, last])(1.0) - middle


def sag(length, weight, pull, place=None):
    return string_sag(length / 2 if place is None else place, length, weight, pull)


def list_over(breadth, angle):
    level = Level(list=np.sin(np.radians(angle)))
    return level.measured_height(0, breadth / 2, 0) - level.measured_height(0, -breadth / 2, 0)


def water_level(riser, cold, warm):
    return water_level_error(riser, cold, warm)


def arc_offset(radius, chord, part_of_half_chord):
    def arc(x, order=0):
        root = np.sqrt(radius**2 - x * x)
        return root if order == 0 else -x / root

    along = chord / 2 * (1 + part_of_half_chord)
    return spile_curve(arc, -chord / 2, chord / 2, np.array([along])).offset[0]


def edge_plan_length(length, half_breadth, end_sheer):
    return even_hull(length, half_breadth, 900.0, end_sheer).plan_length("port")


def edge_true_length(length, half_breadth, end_sheer):
    deck = Deck(even_hull(length, half_breadth, 900.0, end_sheer), SameProportion("circle", 1 / 32))
    return flat_edge(deck, "port").length


def _cylinder(radius, length, middle, ends):
    """A deck that is a cylinder: one circular mould, a straight crown line, a deck edge rounded in plan."""

    def plan(x, order=0):
        xi = np.asarray(x, float) / length * 2 - 1
        drop = middle - ends
        return [middle - drop * xi**2, -4 * drop * xi / length, -8 * drop / length**2 + 0 * xi, 0 * xi][order]

    def height(x, order=0):
        b, root = plan(x), np.sqrt(radius**2 - plan(x) ** 2)
        second = radius**2 / root**3 * plan(x, 1) ** 2 + b / root * plan(x, 2)
        return [900 - b * b / (radius + root), -b / root * plan(x, 1), -second][order]

    camber = middle**2 / (radius + np.sqrt(radius**2 - middle**2))
    return Deck(Sheer.from_curves(plan, height, start=0, end=length), OneMould("circle", camber / (2 * middle)))


def cylinder_flat_offset(radius, length, half_breadth_amidships, half_breadth_at_ends, x):
    deck = _cylinder(radius, length, half_breadth_amidships, half_breadth_at_ends)
    return np.interp(x, *(lambda e: (e.along, e.offset))(flat_edge(deck, "starboard", x=np.array([0.0, x, length]))))


def batten_off_straight_when_unrolled(radius, from_x, from_y, to_x, to_y):
    line = geodesic(_cylinder(radius, 6000.0, 1200.0, 260.0), (from_x, from_y), (to_x, to_y))
    return np.abs(spile(line.x, radius * np.arcsin(line.y / radius)).offset).max()


def batten_length(radius, from_x, from_y, to_x, to_y):
    return geodesic(_cylinder(radius, 6000.0, 1200.0, 260.0), (from_x, from_y), (to_x, to_y)).length
