"""Ways to work out the values of groups G to I: timber, bending, scarfs, fastenings, sheathing, glue and paint."""

from __future__ import annotations

import numpy as np

from deckgeom.deck.bending import curvature_factor, grain_slope, spring_back, strength_left, surface_strain
from deckgeom.deck.crown import OneMould
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.laying.fastenings import FasteningChoices, plan_fastenings
from deckgeom.laying.fastenings_hold import fastening_length, screw_diameter, withdrawal
from deckgeom.laying.glue import figures
from deckgeom.laying.glue_time import Tin, working_time
from deckgeom.laying.lie_down_plywood import smallest_radius
from deckgeom.laying.lie_down_strain import membrane_strain, pucker_strain
from deckgeom.laying.planks_butts import check_shift
from deckgeom.laying.quantities import coats, strips_to_cover
from deckgeom.laying.scarfs import Scarf, joined_length
from deckgeom.laying.sheathing import Cloth
from deckgeom.laying.sheets_outline import deck_plan
from deckgeom.tables import table


def form_rise(wanted, layers):
    return spring_back(layers=int(layers)).jig_camber(wanted)


def wood_curvature_factor(thickness, radius):
    return curvature_factor(thickness, radius)


def strength_with_grain(run_for_one):
    return strength_left(1 / run_for_one)


def grain_run_at_end(breadth, camber):
    return 1 / grain_slope(breadth, camber)


def plywood_radius(thickness, bend, kind):
    return smallest_radius(thickness, bend, kind)


def skin_strain(thickness, radius):
    return surface_strain(thickness, radius)


def _strip(curvature, width):
    return membrane_strain(np.full((1, 9), curvature), np.array([width]))


def strip_stretch_in_middle(curvature, width):
    return _strip(curvature, width).stretch


def strip_squeeze_at_edge(curvature, width):
    return _strip(curvature, width).squeeze


def strip_strain_range(curvature, width):
    return _strip(curvature, width).range


def pucker(thickness, apart):
    return pucker_strain(thickness, apart)


def _timber(timber):
    (row,) = [row for row in table("timber") if row["timber"] == timber]
    return row


def timber_strength(timber):
    return float(_timber(timber)["bending_strength_mpa"])


def timber_modulus(timber):
    return 1000 * float(_timber(timber)["modulus_gpa"])


def scarf_length(thickness, ratio):
    return Scarf(thickness, ratio).length


def scarf_angle(thickness, ratio):
    return Scarf(thickness, ratio).angle_deg


def scarf_shear(thickness, ratio):
    return Scarf(thickness, ratio).shear_part


def steepest_without_a_word(thickness):
    return min(n for n in np.arange(3.0, 20.0, 0.5) if not Scarf(thickness, float(n)).warnings)


def two_sheets_joined(sheet, thickness, ratio):
    return joined_length([sheet, sheet], Scarf(thickness, ratio))


def strakes_between_butts(bay):
    beams = np.arange(21) * bay
    return min(k for k in range(9) if not check_shift([(0, 5 * bay), (k + 1, 5 * bay)], beams))


def beams_between_neighbours(bay):
    beams = np.arange(21) * bay
    return min(k for k in range(1, 9) if not check_shift([(0, 5 * bay), (1, (5 + k) * bay)], beams))


def draw_load(fastening, gravity, depth, diameter=None, gauge=None):
    return withdrawal(fastening, gravity, diameter or screw_diameter(gauge), depth)


def shank(gauge):
    return screw_diameter(gauge)


def least_diameters_in_wood(diameter):
    return fastening_length("wood screw", diameter, 10, 200, (1,), gravity=0.5).least / diameter - 10 / diameter


def nails_along_beam(true_length, apart):
    half = true_length / 2 + FasteningChoices().edge
    deck = Deck(even_hull(100000.0, half), OneMould("circle", 0.0))
    return plan_fastenings(deck, deck_plan(deck), [("1", 0.0)], choices=FasteningChoices(spacing=apart)).count("beam")


def strips_of_cloth(breadth, cloth, lap):
    return strips_to_cover(breadth, cloth, lap)


def area_for_one_litre(coat):
    return 1000.0 / coats(1000.0, coat).likely


def cloth_thickness(cloth):
    return Cloth(cloth).thickness


def resin_band(layer):
    row = figures()[layer]
    return row["high"] / row["low"]


def film_over_pot(pot, end):
    low, high = working_time(Tin(pot, 25), 25).film
    return (low if end == "shortest" else high) / pot
