"""Crown rules: camber along the boat, humps against a batten, the convex programme and its referee, drainage."""

from __future__ import annotations

import clarabel
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import sparse
from scipy.interpolate import BSpline
from scipy.spatial import ConvexHull

from deckgeom.deck.bent_line import BentLine
from deckgeom.deck.camber import CamberError, Circle
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.drainage import drainage
from deckgeom.deck.drawn import DrawnSection
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.humps import crown_line, find_humps
from deckgeom.deck.lines import BeamByBeam, CrownLine
from deckgeom.deck.no_hump import KNOTS, NoHump, NoHumpImpossible, least_squares_within
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from tests.deck.crown_hulls import SHAPES, every_rule, powers, rules, swapped, uneven

HULL = uneven()
X = np.array([40.0, 333, 910, 1777, 2950, 4444, 5600, 6950])
EVERY = every_rule()


def breadth(x, order=0, hull=HULL):
    return hull.half_breadth("port", x, order) + hull.half_breadth("starboard", x, order)


def five_point(f, x, h):
    """Fourth-order difference."""
    return (f(x - 2 * h) - 8 * f(x - h) + 8 * f(x + h) - f(x + 2 * h)) / (12 * h)


@pytest.mark.parametrize("rule", [rule for _, rule in EVERY], ids=[name for name, _ in EVERY])
def test_derivatives_of_camber_and_rise_are_exact(rule):
    crown = rule.on(HULL)
    h = 0.05
    for order in (0, 1):
        wanted = five_point(lambda x, n=order: crown.camber(x, n), X, h)
        assert crown.camber(X, order + 1) == pytest.approx(wanted, abs=1e-8)
    u, hu = np.array([0.08, 0.31, 0.5, 0.66, 0.83, 0.97, 1.04, 0.2]), 1e-3
    for side in ("port", "starboard"):
        r, r_u, r_x, r_uu, r_ux, r_xx = crown.rise(u, X, side)
        assert r == pytest.approx(crown.rise(u, X, side, 0)[0], abs=1e-12)
        for n, by_u, by_x in ((0, r_u, r_x), (1, r_uu, r_ux), (2, r_ux, r_xx)):
            assert by_u == pytest.approx(five_point(lambda v, n=n, s=side: crown.rise(v, X, s)[n], u, hu), abs=2e-6)
            assert by_x == pytest.approx(five_point(lambda v, n=n, s=side: crown.rise(u, v, s)[n], X, h), abs=2e-7)


@pytest.mark.parametrize("rule", [rule for _, rule in EVERY], ids=[name for name, _ in EVERY])
def test_the_rise_is_the_camber_on_the_centreline_and_nought_at_the_edge(rule):
    crown = rule.on(HULL)
    for side in ("port", "starboard"):
        assert crown.rise(0.0, X, side, 0)[0] == pytest.approx(crown.camber(X), abs=1e-9)
        assert crown.rise(1.0, X, side, 0)[0] == pytest.approx(0, abs=1e-9)


def test_same_proportion_is_the_same_part_of_every_breadth():
    crown = SameProportion("circle", "1:30 of beam").on(HULL)
    assert crown.camber(X) == pytest.approx(breadth(X) / 30, rel=1e-14)


def test_one_mould_has_the_figure_at_the_widest_beam_and_the_drop_of_its_arc_elsewhere():
    crown = OneMould("circle", "94").on(HULL)
    wide = crown.widest_half
    x = np.linspace(3500, 5000, 30001)
    assert wide == pytest.approx(np.max(breadth(x)) / 2, abs=1e-4)
    radius = (wide**2 + 94**2) / (2 * 94)
    b = breadth(X) / 2
    assert crown.camber(X) == pytest.approx(radius - np.sqrt(radius**2 - b**2), abs=1e-9)


def test_crown_line_goes_through_the_heights_and_meets_the_sheer_at_a_pointed_stem():
    x, z = [900.0, 3000, 6500], [1150.0, 1035, 1080]
    deck = Deck(HULL, CrownLine("circle", x, z))
    assert deck.crown(np.array(x)) == pytest.approx(z, abs=1e-9)
    assert float(deck.camber(0.0)) == pytest.approx(0, abs=1e-9)
    near = Deck(HULL, CrownLine("circle", x, z, accuracy=2.0)).crown(np.array(x))
    assert np.max(np.abs(near - z)) <= 2 + 1e-9
    assert deck.notes == ()


def test_an_end_without_a_height_takes_the_proportion_of_the_nearest():
    crown = CrownLine("circle", [900.0, 3000, 6500], [1150.0, 1035, 1080]).on(HULL)
    ratio = crown.camber([6500.0, 7000.0]) / breadth(np.array([6500.0, 7000.0]))
    assert ratio[0] == pytest.approx(ratio[1], rel=1e-9)


def test_a_crown_line_below_the_edges_is_noted():
    notes = Deck(HULL, CrownLine("circle", [900.0, 3000, 6500], [1050.0, 900, 980])).notes
    assert "below the line that joins the edges: water stands there" in notes[0]


def test_beam_by_beam_has_the_stated_cambers():
    x, c = np.array([6300.0, 800, 4100, 2000]), np.array([74.0, 22, 90, 66])
    assert BeamByBeam("parabola", x, c).on(HULL).camber(x) == pytest.approx(c, abs=1e-9)


def test_cambers_of_the_same_proportion_taken_beam_by_beam_give_the_same_deck():
    x = np.linspace(0, 7000, 29)
    whole = SameProportion("circle", "1:30 of beam").on(HULL)
    stated = BeamByBeam("circle", x[1:], whole.camber(x[1:])).on(HULL)
    fine = np.linspace(100, 6900, 200)
    # a batten over beams 250 mm apart against the plan's own curve; most at the pointed stem
    assert stated.camber(fine) == pytest.approx(whole.camber(fine), abs=0.15)


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: BeamByBeam("circle", [1000, 2000], [40]), "2 places and 1 values of camber"),
        (lambda: BeamByBeam("circle", [1000, 2000], [40, -3]), "camber -3 mm at x = 2000 mm"),
        (lambda: BeamByBeam("circle", [1000, 2000], [40, np.nan]), "a blank among the values of camber"),
        (
            lambda: BeamByBeam("circle", [1000, 4000], [40, 940]).on(HULL),
            "camber 940 mm at x = 4000 mm, where the deck is",
        ),
        (lambda: CrownLine("circle", [], []), "0 places and 0 values of height"),
        (lambda: SameProportion("circle").on(HULL), "no camber figure: give one such as"),
        (lambda: OneMould("circle", "40 on 300 mm").on(HULL), "a mould with 40 mm of camber on 300 mm falls away"),
        (lambda: OneMould("parabola", "940").on(HULL), "camber 940 mm on a half-breadth of"),
        (lambda: NoHump("circle", "1:30", way="up"), "way 'up'"),
        (lambda: NoHump("circle", "1:30", start_from="x"), "start_from 'x'"),
    ],
)
def test_wrong_rules_are_refused_with_value_and_reason(make, said):
    with pytest.raises(CamberError) as caught:
        make()
    assert said in str(caught.value)


def test_a_drawn_section_brings_its_own_size():
    old = DrawnSection([300, 700, 1200], [5, 28, 80])
    assert OneMould(old).on(HULL).mould is old
    assert SameProportion(old).on(HULL).camber(X) == pytest.approx(breadth(X) * 80 / 2400, rel=1e-12)


# least camber


@pytest.mark.parametrize("make", [SameProportion, OneMould])
def test_the_least_camber_is_kept_everywhere_and_what_was_enough_is_left_alone(make):
    free, kept = make("circle", "1:40 of beam").on(HULL), make("circle", "1:40 of beam", least="1:60 of beam").on(HULL)
    x = np.linspace(0, 7000, 701)
    assert np.all(kept.camber(x) >= breadth(x) / 60 - 1e-9)
    enough = free.camber(x) >= breadth(x) / 60 * 1.25
    assert kept.camber(x)[enough] == pytest.approx(free.camber(x)[enough], abs=1e-12)
    assert kept.changes(x) == pytest.approx(kept.camber(x) - free.camber(x), abs=1e-12)
    assert np.any(kept.changes(x) > 1) == (make is OneMould)


def test_the_change_over_to_the_least_has_no_break_in_slope_or_bend():
    crown = OneMould("circle", "1:40 of beam", least="1:60 of beam").on(HULL)
    x = np.linspace(300, 3500, 6401)
    for order, jump in ((1, 1e-3), (2, 2e-6)):
        assert np.max(np.abs(np.diff(crown.camber(x, order)))) < jump


@pytest.mark.parametrize("rule", rules("circle"), ids=lambda r: f"{r.name} {r.least}")
def test_drainage_is_reported_for_every_rule(rule):
    deck = Deck(HULL, rule)
    found = drainage(deck, "1:60 of beam")
    x = np.linspace(0, 7000, 201)
    broad = breadth(x) >= 0.04 * deck.law.widest_half
    ratio = deck.camber(x)[broad] / breadth(x)[broad]
    assert found.ratio == pytest.approx(np.min(ratio), rel=1e-9)
    assert found.camber == pytest.approx(float(deck.camber(found.x)))
    assert bool(found.below) == bool(np.min(ratio) < 1 / 60 - 1e-6)
    assert ("Less than 1:60" if found.below else "1:60 is kept everywhere") in found.words()


# humps


@given(st.lists(st.floats(-50, 50), min_size=5, max_size=30), st.sampled_from(["hollow", "round"]))
def test_humps_are_gaps_to_the_convex_hull(z, way):
    z = np.array(z)
    x = np.cumsum(1 + np.abs(np.sin(np.arange(z.size)))) * 100
    sign = 1 if way == "hollow" else -1
    found = find_humps(x, z, way, least=1e-6)
    if np.ptp(z - np.polyval(np.polyfit(x, z, 1), x)) < 1e-6:
        return
    hull = ConvexHull(np.column_stack([x, sign * z]))
    lines = hull.equations[hull.equations[:, 1] < -1e-12]
    lower = np.max(-(lines[:, [0]] * x + lines[:, [2]]) / lines[:, [1]], axis=0)
    gap = sign * z - lower
    assert (max((h.gap for h in found), default=0.0)) >= np.max(gap) - 1e-6
    for hump in found:
        assert gap[np.searchsorted(x, hump.start)] < 1e-6 and gap[np.searchsorted(x, hump.end)] < 1e-6
        inside = (x > hump.start) & (x < hump.end)
        assert np.all(gap[inside] <= hump.gap + 1e-6)


def test_a_fair_line_has_no_hump_and_a_pushed_point_makes_one():
    x = np.linspace(0, 6000, 13)
    z = 900 + 2e-5 * (x - 3000) ** 2
    assert find_humps(x, z) == ()
    z[5] += 14
    (hump,) = find_humps(x, z)
    assert (hump.kind, hump.start, hump.end) == ("hump", x[4], x[6])
    assert hump.gap == pytest.approx(14 - 2e-5 * 500**2, abs=1e-9)
    assert hump.words() == "hump of 9 mm at 2500 mm, over a straight batten from 2000 mm to 3000 mm"


def test_points_out_of_order_are_refused():
    with pytest.raises(ValueError, match="x increasing"):
        find_humps([0, 2, 1], [0, 0, 0])


def test_inflections_of_an_uneven_hull_by_sampling():
    deck = Deck(uneven(sheer=0.2), OneMould("circle", "1:22 of beam"), 14.0)
    profile = crown_line(deck)
    fine = np.linspace(0, 7000, 70001)
    bend = deck.second(fine, 0.0)[0]
    real = np.abs(bend) * 7000**2 / 8 > 0.01
    change = np.flatnonzero(np.diff(np.sign(bend[real])))
    assert len(profile.inflections) == change.size > 0
    for x in profile.inflections:
        before, after = deck.second(np.array([x - 0.02, x + 0.02]), 0.0)[0]
        assert before * after < 0


def test_the_profile_says_in_words_what_a_batten_shows():
    deck = Deck(even_hull(rise=94), OneMould("parabola", 94))
    assert crown_line(deck).words() == (
        "The crown line should be hollow or straight. It has a hump of 23 mm at 0 mm, over a straight batten from "
        "-2115 mm to 2115 mm."
    )
    assert "no hump, no hollow" in crown_line(Deck(even_hull(rise=94), SameProportion("parabola", 94))).words()


# no hump


def referee(base: Deck, way: str, least: float) -> np.ndarray:
    """The same convex programme in B-splines by an interior-point solver; cambers at the places of its sum."""
    sheer = base.sheer
    knots = np.linspace(sheer.start, sheer.end, KNOTS)
    padded = np.concatenate([[knots[0]] * 3, knots, [knots[-1]] * 3])
    n = KNOTS + 2
    basis = BSpline(padded, np.eye(n), 3)
    x = np.linspace(sheer.start, sheer.end, 2 * KNOTS - 1)
    rows, bends = basis(x), basis.derivative(2)(knots) * (sheer.end - sheer.start) ** 2
    edge = base.edge_line(x, 0.0)
    wide = breadth(x, hull=sheer)
    wanted = base.camber(x)
    most = np.maximum(2 * np.maximum(base.law.wanted_ratio * wide, wanted), least * wide) + 1e-3
    weight = np.gradient(x) / (x[-1] - x[0])
    sign = 1 if way == "hollow" else -1
    p = sparse.csc_matrix(2 * rows.T @ (weight[:, None] * rows))
    q = -2 * rows.T @ (weight * (edge + wanted))
    a = sparse.csc_matrix(np.vstack([-sign * bends, -rows, rows]))
    b = np.concatenate([np.zeros(KNOTS), -(edge + least * wide), edge + most])
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = 1e-11
    settings.max_iter = 200
    found = clarabel.DefaultSolver(
        sparse.triu(p).tocsc(), q, a, b, [clarabel.NonnegativeConeT(len(b))], settings
    ).solve()
    assert str(found.status) in ("Solved", "AlmostSolved")
    return rows @ np.array(found.x) - edge


def weighted(off):
    weight = np.full(off.size, 1.0)
    weight[[0, -1]] = 0.5
    return np.sqrt(np.sum(weight * off**2) / (off.size - 1))


@pytest.mark.parametrize("rise", [40.0, 75.0, 120.0])
@pytest.mark.parametrize("least", [None, "1:90 of beam"])
@pytest.mark.parametrize("start", [OneMould, SameProportion])
def test_the_convex_programme_against_an_interior_point_solver(rise, least, start):
    hull = even_hull(6000, 1500, 900, rise)
    base = Deck(hull, start("parabola", "1:32 of beam"))
    made = Deck(hull, NoHump("parabola", "1:32 of beam", least=least, start_from=start.name))
    if crown_line(base, way="hollow").humps == ():
        assert np.all(made.law.changes(np.linspace(-2900, 2900, 50)) == 0)
        return
    x = np.linspace(-3000, 3000, 2 * KNOTS - 1)
    wanted, ours = base.camber(x), made.camber(x)
    other = referee(base, "hollow", 1 / 90 if least else 0.0)
    assert weighted(ours - wanted) == pytest.approx(weighted(other - wanted), abs=1e-4)
    assert ours == pytest.approx(other, abs=2e-2)


@pytest.mark.parametrize("least", [None, "1:45 of beam"])
def test_the_programme_on_an_uneven_hull_against_the_solver(least):
    hull = uneven(sheer=0.5)
    base = Deck(hull, OneMould("circle", "1:18 of beam"))
    assert crown_line(base).humps != ()
    made = Deck(hull, NoHump("circle", "1:18 of beam", least=least, start_from="one mould"))
    x = np.linspace(0, 7000, 2 * KNOTS - 1)
    other = referee(base, "hollow", 1 / 45 if least else 0.0)
    wanted, ours = base.camber(x), made.camber(x)
    assert weighted(ours - wanted) == pytest.approx(weighted(other - wanted), abs=1e-3)
    assert crown_line(made).humps == ()
    assert np.min(crown_line(made).bend) > -1e-12
    if least:
        assert np.all(ours >= breadth(x) / 45 - 1e-4)


def test_too_little_sheer_the_answer_is_known_a_straight_crown_line():
    # both ends are fixed at the height S, so a crown line that is hollow or straight stays below S: the nearest is S
    # itself
    hull = even_hull(6000, 1500, 900, 50.0)
    made = Deck(hull, NoHump("parabola", "93.75"))
    x = np.linspace(-3000, 3000, 101)
    assert made.camber(x) == pytest.approx(50 * (1 - (x / 3000) ** 2), abs=2e-3)
    assert "from 94 to 50 mm" in made.notes[0] and "hollow or straight" in made.notes[0]
    assert made.law.changes(np.array([0.0])) == pytest.approx(50 - 93.75, abs=2e-3)


def test_what_has_no_hump_is_left_as_it_was():
    made = Deck(even_hull(6000, 1500, 900, 120.0), NoHump("circle", "93.75", least="1:60 of beam"))
    assert made.notes == ("The wanted cambers have no hump: none was changed.",)
    assert made.law.changes(np.linspace(-2900, 2900, 20)) == pytest.approx(0)


def test_a_least_camber_that_cannot_be_kept_is_said_with_place_and_figures():
    with pytest.raises(NoHumpImpossible) as caught:
        Deck(even_hull(6000, 1500, 900, 45.0), NoHump("parabola", "93.75", least="1:60 of beam"))
    assert caught.value.least == pytest.approx(50, abs=0.1)
    assert (caught.value.x, caught.value.allowed) == (pytest.approx(0, abs=1), pytest.approx(45, abs=0.1))
    said = "at x = 0 mm it allows 45.0 mm where 50.0 mm is the least. Ask for less least camber"
    assert said in str(caught.value).replace("-0 mm", "0 mm")


def test_a_straight_sheer_leaves_the_way_free():
    made = Deck(even_hull(6000, 1500, 900, 0.0), NoHump("parabola", "93.75", start_from="one mould"))
    assert "round or straight" in made.notes[0]
    assert crown_line(made, way="round").humps == ()


@given(st.integers(0, 10_000))
def test_least_squares_within_bounds_against_the_solver(seed):
    random = np.random.default_rng(seed)
    e, f = random.normal(size=(9, 4)), random.normal(size=9)
    g, h = random.normal(size=(7, 4)), random.normal(size=7) - 0.4
    ours = least_squares_within(e, f, g, h)
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    p, a = sparse.csc_matrix(np.triu(e.T @ e)), sparse.csc_matrix(-g)
    found = clarabel.DefaultSolver(p, -e.T @ f, a, -h, [clarabel.NonnegativeConeT(7)], settings).solve()
    if ours is None:
        assert "Infeasible" in str(found.status)
    else:
        assert np.min(g @ ours - h) > -1e-8
        assert ours == pytest.approx(np.array(found.x), abs=1e-5)


def test_a_bent_line_is_a_cubic_with_its_derivatives():
    line = BentLine(-500.0, 3500.0, np.array([900.0, -120.0, 300.0, -80.0, 500.0, 40.0]))
    x = np.array([-700.0, -350, 11, 1400, 2870, 3490, 3800])
    for order in (0, 1):
        assert line(x, order + 1) == pytest.approx(five_point(lambda v, n=order: line(v, n), x, 0.5), abs=1e-9)
    assert line(np.linspace(-500, 3500, 4), 2) * 4000**2 == pytest.approx(np.array([300, -80, 500, 40.0]))


# properties


@pytest.mark.parametrize("shape", [shape for shape in SHAPES if isinstance(shape, str)])
def test_scale_changes_nothing_but_the_size(shape):
    for small, large in zip(rules(shape), rules(shape, 1 / 25.4), strict=True):
        inches = large.on(uneven(1 / 25.4)).camber(X / 25.4)
        assert 25.4 * inches == pytest.approx(small.on(HULL).camber(X), abs=1e-3 if small.name == "no hump" else 1e-7)


@pytest.mark.parametrize("rule", rules("circle"), ids=lambda r: f"{r.name} {r.least}")
def test_swapping_the_sides_swaps_the_rise_and_nothing_else(rule):
    here, there = rule.on(HULL), rule.on(swapped(HULL))
    assert here.camber(X) == pytest.approx(there.camber(X), abs=1e-9)
    assert here.rise(0.6, X, "port", 0)[0] == pytest.approx(there.rise(0.6, X, "starboard", 0)[0], abs=1e-9)


def test_a_sheer_of_straight_lines_needs_no_change():
    hull = Sheer.from_curves(powers(1200), powers(900, 0.02), start=0, end=6000)
    assert crown_line(Deck(hull, OneMould("circle", "1:30 of beam"))).humps == ()
    assert Deck(hull, NoHump("circle", "1:30 of beam")).notes == ("The wanted cambers have no hump: none was changed.",)
    assert Circle(1200, 80).rise == pytest.approx(float(Deck(hull, OneMould("circle", 80)).camber(0.0)))


def test_a_search_that_stalls_is_told_and_is_no_crash(monkeypatch):
    class Stalled:
        x = np.array([9.0])

    monkeypatch.setattr("scipy.optimize.lsq_linear", lambda *_, **__: Stalled())
    with pytest.raises(CamberError, match="did not come to its end. Ask for less least camber, or take another rule"):
        least_squares_within(np.eye(2), np.array([1.0, 1.0]), np.array([[-1.0, -1.0]]), np.array([-1.0]))
