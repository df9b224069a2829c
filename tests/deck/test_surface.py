"""The deck surface: exact derivatives, the parallel surface, curvature, ends, properties, time."""

from __future__ import annotations

import numpy as np
import pytest
import sympy as sp
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize, root

from deckgeom.deck.blocks import BLOCK
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from tests.deck.crown_hulls import every_rule, powers, rules, swapped, uneven

HULL = uneven()
EVERY = every_rule()
NAMES = [name for name, _ in EVERY]
# heights and humps of the other rules belong to the hull as it stands
FREE = [rule for _, rule in EVERY if rule.name in ("same proportion", "one mould")]
X = np.array([310.0, 905, 1777, 2950, 4444, 5600, 6800])
PART = np.array([-0.98, -0.41, -0.07, 0.13, 0.55, 0.9, 0.99])


def on_deck(hull=HULL, x=X, part=PART):
    """Points of a grid that reaches from edge to edge."""
    half = np.where(part < 0, hull.half_breadth("port", x[:, None]), hull.half_breadth("starboard", x[:, None]))
    return x[:, None], part * half


def differences(f, x, y, h):
    """Fourth-order differences of f along and across."""

    def along(n):
        return f(x + n * h, y)

    def across(n):
        return f(x, y + n * h)

    return tuple((g(-2) - 8 * g(-1) + 8 * g(1) - g(2)) / (12 * h) for g in (along, across))


@pytest.mark.parametrize("which", ["deck", "beam"])
@pytest.mark.parametrize("rule", [rule for _, rule in EVERY], ids=NAMES)
def test_slopes_and_second_derivatives_are_exact_on_both_surfaces(rule, which):
    deck = Deck(HULL, rule, thickness=14.0)
    x, y = on_deck()
    p, q = deck.slopes(x, y, which)
    xx, xy, yy = deck.second(x, y, which)
    by_x, by_y = differences(lambda a, b: deck.height(a, b, which), x, y, 0.2)
    assert p == pytest.approx(by_x, abs=2e-9) and q == pytest.approx(by_y, abs=2e-9)
    p_x, p_y = differences(lambda a, b: deck.slopes(a, b, which)[0], x, y, 0.2)
    q_x, q_y = differences(lambda a, b: deck.slopes(a, b, which)[1], x, y, 0.2)
    for made, wanted in ((xx, p_x), (xy, p_y), (xy, q_x), (yy, q_y)):
        assert made == pytest.approx(wanted, abs=3e-8)


def test_a_circle_in_proportion_against_sympy_on_sides_that_differ():
    # the rule written out afresh and differentiated by sympy, to port, with a tilted line between the edges
    x, y = sp.symbols("x y")
    bp, bs = 1200 + x / 20 - x**2 / 8000, 1150 + x / 25 - x**2 / 9000
    zp, zs = 900 - x / 50 + x**2 / 30000, 915 - x / 60 + x**2 / 40000
    c = (bp + bs) / 30
    radius = (bp**2 + c**2) / (2 * c)
    z = zp + (zs - zp) * (y + bp) / (bp + bs) + c - (radius - sp.sqrt(radius**2 - y**2))
    hull = Sheer.from_curves(
        powers(1200, 1 / 20, -1 / 8000), powers(900, -1 / 50, 1 / 30000),
        powers(1150, 1 / 25, -1 / 9000), powers(915, -1 / 60, 1 / 40000), start=-2000, end=2000,
    )  # fmt: skip
    deck = Deck(hull, SameProportion("circle", 1 / 30))
    at = {x: sp.Rational(730), y: sp.Rational(-911)}
    made = [deck.height(730, -911), *deck.slopes(730, -911), *deck.second(730, -911)]
    wanted = [z, z.diff(x), z.diff(y), z.diff(x, 2), z.diff(x, y), z.diff(y, 2)]
    for ours, expression in zip(made, wanted, strict=True):
        assert float(ours) == pytest.approx(float(expression.subs(at).evalf(40)), rel=1e-11)


@pytest.mark.parametrize("rule", rules("circle"), ids=lambda r: f"{r.name} {r.least}")
def test_each_side_runs_to_its_own_edge_on_the_line_that_joins_them(rule):
    deck = Deck(HULL, rule)
    for side, sign in (("port", -1), ("starboard", 1)):
        y, z = deck.edge(side, X)
        assert y == pytest.approx(sign * HULL.half_breadth(side, X))
        assert z == pytest.approx(HULL.height(side, X), abs=1e-9)
        assert deck.edge_line(X, y) == pytest.approx(HULL.height(side, X), abs=1e-9)
    crown = deck.crown(X) - deck.edge_line(X, 0.0)
    assert crown == pytest.approx(deck.camber(X), abs=1e-9)


def test_the_two_sides_meet_on_the_centreline_without_a_ridge():
    deck = Deck(HULL, SameProportion("circle", 1 / 28))
    left, right = deck.slopes(X, -1e-9), deck.slopes(X, 1e-9)
    assert left[0] == pytest.approx(right[0], abs=1e-9) and left[1] == pytest.approx(right[1], abs=1e-9)


# the parallel surface


@pytest.mark.parametrize("rule", rules("circle")[:4], ids=lambda r: f"{r.name} {r.least}")
def test_every_point_of_the_beam_tops_is_the_thickness_away_square_off(rule):
    # a general minimiser finds the nearest point of the deck's top from a point of the beams' tops
    deck = Deck(HULL, rule, thickness=18.0)
    for x, y in ((905.0, -500.0), (2950.0, 20.0), (5600.0, 1050.0)):
        p = np.array([x, y, float(deck.height(x, y, "beam"))])

        def away(at, p=p):
            return (at[0] - p[0]) ** 2 + (at[1] - p[1]) ** 2 + (float(deck.height(at[0], at[1])) - p[2]) ** 2

        found = minimize(away, (x, y), method="Nelder-Mead", options={"xatol": 1e-7, "fatol": 1e-12})
        assert np.sqrt(found.fun) == pytest.approx(18.0, abs=1e-8)
        step = np.array([*found.x, float(deck.height(*found.x))]) - p
        assert step / 18 == pytest.approx(deck.normal(x, y, "beam"), abs=1e-5)


def test_the_foot_by_a_general_solver():
    deck = Deck(HULL, OneMould("quarter-circle", "1:20 of beam"), thickness=22.0)

    def off(at, x, y):
        p, q = deck.slopes(*at)
        w = np.sqrt(1 + p * p + q * q)
        return at[0] + 22 * p / w - x, at[1] + 22 * q / w - y

    for x, y in ((600.0, -200.0), (3900.0, 1100.0)):
        foot = root(off, (x, y), args=(x, y), tol=1e-13).x
        p, q = deck.slopes(*foot)
        z = deck.height(*foot) - 22 / np.sqrt(1 + p * p + q * q)
        assert float(deck.height(x, y, "beam")) == pytest.approx(float(z), abs=1e-10)
        assert [float(v) for v in deck.slopes(x, y, "beam")] == pytest.approx([float(p), float(q)], abs=1e-11)


def test_a_cylinder_under_a_cylinder():
    # one circular mould on straight edges: the beams' tops are the arc of a radius less the thickness
    hull = Sheer.from_curves(powers(1500), powers(900), start=0, end=6000)
    deck = Deck(hull, OneMould("circle", 100), thickness=20.0)
    y = np.linspace(-1490, 1490, 31)
    radius = 11300.0
    assert deck.height(2000.0, y, "beam") == pytest.approx(1000 - radius + np.sqrt((radius - 20) ** 2 - y**2), abs=1e-9)
    bend = deck.curvature(2000.0, y, "beam")
    assert bend.most == pytest.approx(1 / (radius - 20), rel=1e-9)
    assert bend.least == pytest.approx(0, abs=1e-15) and bend.gaussian == pytest.approx(0, abs=1e-19)
    assert np.abs(bend.direction_deg) == pytest.approx(90, abs=1e-6)


def test_heights_to_the_beams_put_the_deck_above_them():
    x, y = on_deck()
    under = Deck(HULL, SameProportion("circle", 1 / 28), 16.0, heights_to="top of beams")
    over = Deck(HULL, SameProportion("circle", 1 / 28), 16.0)
    assert under.height(x, y, "beam") == pytest.approx(over.height(x, y), abs=1e-12)
    assert np.all(under.height(x, y) - under.height(x, y, "beam") >= 16 - 1e-9)
    p, q = under.slopes(x, y)
    # and back down from the deck so found: the foot of each deck point is a point of the beams
    w = np.sqrt(1 + p * p + q * q)
    down = under.height(x + 16 * p / w, y + 16 * q / w, "beam")
    assert down == pytest.approx(under.height(x, y) - 16 / w, abs=1e-8)


def test_no_thickness_is_one_surface():
    x, y = on_deck()
    deck = Deck(HULL, SameProportion("circle", 1 / 28))
    assert np.array_equal(deck.height(x, y), deck.height(x, y, "beam"))


# curvature


@pytest.mark.parametrize("which", ["deck", "beam"])
@pytest.mark.parametrize("rule", [rule for _, rule in EVERY][::3], ids=NAMES[::3])
def test_curvature_by_the_shape_operator(rule, which):
    # eigenvalues of I^-1 II from first principles
    deck = Deck(HULL, rule, thickness=14.0)
    x, y = on_deck()
    bend = deck.curvature(x, y, which)
    p, q = deck.slopes(x, y, which)
    xx, xy, yy = deck.second(x, y, which)
    w = np.sqrt(1 + p * p + q * q)
    first = np.stack([np.stack([1 + p * p, p * q], -1), np.stack([p * q, 1 + q * q], -1)], -2)
    second = -np.stack([np.stack([xx, xy], -1), np.stack([xy, yy], -1)], -2) / w[..., None, None]
    operator = np.linalg.solve(first, second)
    values = np.sort(np.linalg.eigvals(operator).real, axis=-1)
    assert bend.most == pytest.approx(values[..., 1], abs=1e-12)
    assert bend.least == pytest.approx(values[..., 0], abs=1e-12)
    assert bend.gaussian == pytest.approx(np.linalg.det(operator), abs=1e-15)
    assert bend.mean == pytest.approx(np.trace(operator, axis1=-2, axis2=-1) / 2, abs=1e-12)
    angle = np.radians(bend.direction_deg)
    line = np.stack([np.cos(angle), np.sin(angle)], -1)[..., None]
    assert operator @ line == pytest.approx(bend.most[..., None, None] * line, abs=1e-11)
    assert np.all((bend.direction_deg > -90) & (bend.direction_deg <= 90))


def test_parallel_surfaces_share_normals_and_have_curvatures_k_over_one_less_tk():
    deck = Deck(HULL, OneMould("circle", "1:24 of beam"), thickness=25.0)
    x, y = on_deck()
    p, q = deck.slopes(x, y)
    w = np.sqrt(1 + p * p + q * q)
    below = x + 25 * p / w, y + 25 * q / w
    top, tops = deck.curvature(x, y), deck.curvature(*below, "beam")
    assert deck.normal(*below, "beam") == pytest.approx(deck.normal(x, y), abs=1e-9)
    assert tops.most == pytest.approx(top.most / (1 - 25 * top.most), rel=1e-6)
    assert tops.least == pytest.approx(top.least / (1 - 25 * top.least), abs=1e-10)


def test_one_mould_on_a_straight_sheer_is_developable_and_normals_are_units():
    hull = Sheer.from_curves(powers(1500, 0, -5e-5), powers(900, 0.05), start=-3000, end=3000)
    deck = Deck(hull, OneMould("circle", 100), thickness=12)
    flat = Deck(Sheer.from_curves(powers(1500), powers(900, 0.05), start=-3000, end=3000), OneMould("circle", 100), 12)
    x, y = np.linspace(-2500, 2500, 7)[:, None], np.linspace(-900, 900, 5)
    assert np.max(np.abs(flat.curvature(x, y, "beam").gaussian)) < 1e-18
    assert np.max(np.abs(deck.curvature(x, y, "beam").gaussian)) > 1e-11
    normal = deck.normal(x, y, "beam")
    assert normal.shape == (7, 5, 3)
    assert np.sum(normal**2, axis=-1) == pytest.approx(1) and np.all(normal[..., 2] > 0.9)


# ends


@pytest.mark.parametrize("rule", [rule for _, rule in EVERY], ids=NAMES)
def test_a_stem_that_comes_to_a_point_gives_nothing_silly(rule):
    deck = Deck(HULL, rule, thickness=14.0)
    x = np.array([-60.0, -1e-9, 0.0, 1e-9, 0.01, 0.3, 1, 3, 10, 40])[:, None]
    y = np.array([-300.0, -20, -1, -1e-9, 0, 1e-9, 1, 20, 300])
    for which in ("deck", "beam"):
        values = [
            deck.height(x, y, which),
            *deck.slopes(x, y, which),
            *deck.second(x, y, which),
            *deck.curvature(x, y, which),
        ]
        assert all(np.all(np.isfinite(v)) for v in values)
    stem = np.array([0.0, 1e-6, 0.01, 0.3])
    assert deck.height(stem, 0.0) == pytest.approx(deck.edge_line(stem, 0.0), abs=0.5)
    assert deck.edge_line(stem, 0.0) == pytest.approx(
        (HULL.height("port", stem) + HULL.height("starboard", stem)) / 2, abs=0.01
    )
    assert np.max(np.abs(deck.slopes(stem, 0.0))) < 2


def test_two_heights_at_a_pointed_stem_are_noted():
    c = dict(HULL.curves)
    lifted = Sheer(
        {**c, "height_port": lambda x, order=0: c["height_port"](x, order) + (9.0 if order == 0 else 0.0)}, 0, 7000
    )
    rule = SameProportion("circle", "1:30 of beam")
    (note,) = Deck(lifted, rule).notes
    assert "At x = 0 mm the deck is 0 mm broad, yet its edges stand 9 mm apart in height" in note
    assert Deck(HULL, rule).notes == ()
    stem = Deck(lifted, rule, 14.0)
    assert np.all(np.isfinite(stem.slopes(np.array([0.0, 1.0, 5.0]), 0.0, "beam")))


def test_the_beam_tops_at_a_pointed_stem_are_the_thickness_down():
    deck = Deck(even_hull(rise=200), SameProportion("circle", "1:30 of beam"), thickness=12.0)
    x = -3000 + np.array([0.0, 0.5, 2, 5, 10, 50])
    below = deck.crown(x) - deck.crown(x, "beam")
    slope = deck.slopes(x, 0.0)[0]
    assert below == pytest.approx(12 * np.sqrt(1 + slope**2), abs=0.05)


def test_past_the_edge_the_deck_runs_on_without_a_break():
    deck = Deck(HULL, SameProportion("circle", 1 / 28), thickness=14.0)
    for x in (900.0, 4000.0):
        half = float(HULL.half_breadth("starboard", x))
        for part in (1.0, 1.1):
            y = half * (part + np.array([-1e-7, 1e-7]))
            for which in ("deck", "beam"):
                assert np.ptp(deck.height(x, y, which)) < 1e-3
                assert np.ptp(deck.slopes(x, y, which)[1]) < 1e-6


# properties


@given(st.floats(-0.03, 0.03), st.floats(-0.03, 0.03), st.sampled_from(FREE))
def test_list_and_trim_add_a_plane_and_leave_the_camber_alone(listed, trim, rule):
    c = HULL.curves

    def tilted(side, sign):
        def height(x, order=0):
            plane = [trim * np.asarray(x), trim, 0.0, 0.0][order]
            return c[f"height_{side}"](x, order) + plane + sign * listed * c[f"half_breadth_{side}"](x, order)

        return height

    hull = Sheer.from_curves(
        c["half_breadth_port"],
        tilted("port", -1),
        c["half_breadth_starboard"],
        tilted("starboard", 1),
        start=0,
        end=7000,
    )
    level, leaning = Deck(HULL, rule), Deck(hull, rule)
    x, y = on_deck()
    assert leaning.camber(X) == pytest.approx(level.camber(X), abs=1e-9)
    assert leaning.height(x, y) - level.height(x, y) == pytest.approx(trim * x + listed * y, abs=1e-9)


@pytest.mark.parametrize("rule", [rule for _, rule in EVERY], ids=NAMES)
def test_swapping_port_and_starboard_swaps_the_deck_and_nothing_else(rule):
    x, y = on_deck()
    here, there = Deck(HULL, rule, 14.0), Deck(swapped(HULL), rule, 14.0)
    for which in ("deck", "beam"):
        assert here.height(x, y, which) == pytest.approx(there.height(x, -y, which), abs=1e-8)
        p, q = here.slopes(x, y, which)
        p_there, q_there = there.slopes(x, -y, which)
        assert p == pytest.approx(p_there, abs=1e-9) and q == pytest.approx(-q_there, abs=1e-9)


@given(
    st.floats(0.02, 30),
    st.sampled_from(["circle", "parabola", "quarter-circle"]),
    st.sampled_from([OneMould, SameProportion]),
)
def test_millimetres_inches_or_any_scale_give_the_same_deck(factor, shape, make):
    x, y = on_deck()
    here = Deck(HULL, make(shape, "1:26 of beam"), 14.0)
    there = Deck(uneven(factor), make(shape, "1:26 of beam"), 14.0 * factor)
    assert there.height(factor * x, factor * y, "beam") == pytest.approx(factor * here.height(x, y, "beam"), rel=1e-9)
    bend, scaled = here.curvature(x, y, "beam"), there.curvature(factor * x, factor * y, "beam")
    assert factor * scaled.most == pytest.approx(bend.most, rel=1e-5)


# words


def test_why_gives_the_numbers_that_the_height_came_from():
    deck = Deck(even_hull(), SameProportion("circle", "1:32 of beam"), thickness=12.0)
    said = deck.why(0.0, 0.0)
    assert said.startswith("94 mm (3 11/16 in) of camber because: half-breadth 1500 mm at x = 0 mm")
    assert "figure 1:32 of the whole beam in the same proportion at every beam; arc of a circle" in said
    assert "94 mm (3 11/16 in) above the line that joins the edges, which stands at 900 mm" in said
    assert (
        "top of deck at 994 mm" in said and "top of beams, 12 mm (1/2 in) away square to the deck, is at 982 mm" in said
    )


def test_why_names_both_sides_where_they_differ_and_what_was_changed():
    said = Deck(HULL, OneMould("circle", "1:40 of beam", least="1:50 of beam")).why(900.0, -100.0)
    port, starboard = (f"{float(HULL.half_breadth(side, 900.0)):.0f}" for side in ("port", "starboard"))
    assert f"half-breadth {port} mm to port and {starboard} mm to starboard" in said
    assert "changed to keep the least camber of 1:50" in said and "100 mm to port" in said


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: Deck(HULL, OneMould("circle", "1:30"), -3), "deck thickness -3 mm: it must be nought or more"),
        (lambda: Deck(HULL, OneMould("circle", "1:30"), 3, "top"), "heights_to 'top'"),
        (lambda: Deck(HULL, OneMould("circle", "1:30")).height(0, 0, "top"), "surface 'top'"),
    ],
)
def test_wrong_use_is_refused(make, said):
    with pytest.raises(ValueError) as caught:
        make()
    assert said in str(caught.value)


# arrays


def test_any_shapes_that_broadcast_and_any_block_give_the_same_numbers():
    deck = Deck(HULL, SameProportion("circle", 1 / 28), thickness=14.0)
    random = np.random.default_rng(3)
    x = random.uniform(1500, 6900, 2 * BLOCK // 100)
    y = random.uniform(-400, 400, 150)
    whole = deck.height(x[:, None], y, "beam")
    assert whole.shape == (x.size, y.size)
    assert whole[17, 120] == pytest.approx(float(deck.height(x[17], y[120], "beam")), abs=1e-9)
    assert whole[:, 9] == pytest.approx(deck.height(x, y[9], "beam"), abs=1e-9)
    assert deck.height(x[:, None], y[None, :], "deck").T == pytest.approx(deck.height(x, y[:, None]), abs=1e-12)
    assert deck.height(np.zeros((0, 3)), 0.0).shape == (0, 3)
    assert np.ndim(deck.height(100.0, 0.0)) == 0
