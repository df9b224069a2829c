"""Plans of sheets against shapely, brute force and what the bench shows."""

from __future__ import annotations

import itertools
import time
from types import SimpleNamespace

import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union

from deckgeom.deck.crown import OneMould
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.laying.sheets import DeckPlan, SheetChoices, deck_plan, plan_sheets
from deckgeom.laying.sheets_nest import nest
from deckgeom.laying.sheets_outline import Box


def fitting(what, x, y=0.0, length=None, breadth=None):
    return SimpleNamespace(what=what, x=x, y=y, length=length, breadth=breadth)


def uneven(openings=True):
    """A deck with unequal sides, a transom, two openings that overlap and one that reaches past the edge."""
    x = np.r_[0, np.cumsum([90, 210, 170, 350, 400, 600, 800, 700, 900, 600, 380, 300])]
    s = x / x[-1]
    port = 60 + 1500 * np.sin(np.pi * s**0.8) ** 0.9 + 500 * s
    starboard = 40 + 1350 * np.sin(np.pi * s**0.9) + 560 * s
    holes = (
        Box("hatch", 1400, 2000, -310, 290), Box("house", 1900, 3300, -600, 450),
        Box("cockpit", 4100, 5200, -2500, -1300),
    )  # fmt: skip
    chainplates = (Box("chainplate", 2700, 2760, 1180, 1260),)
    return DeckPlan(x, port, starboard, holes if openings else (), chainplates if openings else ())


BEAMS = np.array([300, 700, 1150, 1390, 2010, 2400, 2820, 3310, 3700, 4090, 4600, 5100, 5210])


def polygon(plan):
    outline = np.vstack([np.column_stack([plan.x, -plan.port]), np.column_stack([plan.x, plan.starboard])[::-1]])
    return Polygon(outline)


def holes(boxes):
    return unary_union([box(b.x0, b.y0, b.x1, b.y1) for b in boxes])


def net(piece):
    return Polygon(piece.outline).difference(holes(piece.openings))


CASES = {
    "one skin": SheetChoices(2440, 1220, (9,), wanted=2),
    "two skins": SheetChoices(2440, 1220, (6, 4), joints="either", wanted=2, stagger=200, seconds=2),
    "athwart": SheetChoices(2500, 1250, (6,), way="athwart", joints="either", wanted=1),
    "butts": SheetChoices(1830, 910, (12,), ratio=0, joints="anywhere", margin=0, wanted=2, seconds=2),
}


@pytest.fixture(scope="module", params=CASES)
def found(request):
    return plan_sheets(uneven(), BEAMS, CASES[request.param])


def test_pieces_cover_the_deck_exactly_once(found):
    plan = uneven()
    whole = polygon(plan).difference(holes(plan.openings))
    assert plan.area == pytest.approx(whole.area, rel=1e-9)
    for sheets in found.plans:
        for skin in range(len(sheets.choices.skins)):
            mine = [piece for piece in sheets.pieces if piece.skin == skin]
            shapes = [net(piece) for piece in mine]
            assert all(shape.is_valid for shape in shapes)
            assert unary_union(shapes).symmetric_difference(whole).area < 1e-6 * whole.area
            assert sum(shape.area for shape in shapes) == pytest.approx(whole.area, rel=1e-9)
            for piece, shape in zip(mine, shapes, strict=True):
                assert piece.area == pytest.approx(shape.area, abs=1)


def test_joint_length_is_half_of_what_the_pieces_perimeters_have_over(found):
    """Every joint belongs to two pieces, all else to one: a second route to the length."""
    plan = uneven()
    whole = polygon(plan).difference(holes(plan.openings))
    for sheets in found.plans:
        skins = len(sheets.choices.skins)
        over = sum(net(piece).length for piece in sheets.pieces) - skins * whole.length
        assert sheets.joint_length == pytest.approx(over / 2, abs=2)
        assert sheets.joint_length == pytest.approx(sheets.answer.length, abs=0.1)


def test_pieces_lie_on_their_sheets_apart_from_each_other(found):
    for sheets in found.plans:
        choices = sheets.choices
        sheet = box(0, 0, choices.length, choices.width).buffer(1e-3)
        for number in range(sheets.sheets):
            on = [piece for piece in sheets.pieces if piece.sheet == number]
            assert on and len({choices.skins[piece.skin] for piece in on}) == 1
            shapes = [Polygon(piece.placed) for piece in on]
            assert all(sheet.contains(shape) for shape in shapes)
            assert all(a.distance(b) > 0.9 * choices.kerf for a, b in itertools.combinations(shapes, 2))
        for piece in sheets.pieces:
            assert Polygon(piece.placed).area == pytest.approx(Polygon(piece.cut).area)
            sides = [np.linalg.norm(np.diff(o, axis=0, append=o[:1]), axis=1) for o in (piece.placed, piece.cut)]
            assert sides[0] == pytest.approx(sides[1])
            turn = [Polygon(o).exterior.is_ccw for o in (piece.placed, piece.cut)]
            assert turn[0] == turn[1], "a piece must not be mirrored onto its sheet"


def test_cut_outline_reaches_half_a_scarf_beyond_joints_and_the_margin_beyond_edges(found):
    for sheets in found.plans:
        choices = sheets.choices
        for piece in sheets.pieces:
            half = choices.taper(piece.skin) / 2
            assert Polygon(piece.cut).buffer(1e-3).contains(Polygon(piece.outline))
            ends = {"forward": (0, -1), "after": (0, 1), "port": (1, -1), "starboard": (1, 1)}
            for side in piece.joints:
                axis, sign = ends[side]
                reach = (sign * piece.cut[:, axis]).max() - (sign * piece.outline[:, axis]).max()
                assert reach == pytest.approx(half, abs=0.1)


def test_joints_keep_clear_and_staggered(found):
    plan = uneven()
    corners = [Point(x, y) for b in plan.openings for x in (b.x0, b.x1) for y in (b.y0, b.y1)]
    chainplates = [box(b.x0, b.y0, b.x1, b.y1) for b in plan.clear_of]
    for sheets in found.plans:
        choices = sheets.choices
        lines = [LineString([(j.x0, j.y0), (j.x1, j.y1)]) for j in sheets.joints]
        assert lines and choices.clear == 75
        assert min(line.distance(c) for line in lines for c in (*corners, *chainplates)) >= 75 - 1e-6
        for one, two in itertools.combinations(sheets.joints, 2):
            if abs(one.skin - two.skin) == 1 and one.run == two.run == "across":
                share = min(one.y1, two.y1) - max(one.y0, two.y0)
                assert share <= 1e-6 or abs(one.x0 - two.x0) >= choices.stagger - 1e-6
            if abs(one.skin - two.skin) == 1 and one.run == two.run == "along":
                assert abs(one.y0 - two.y0) >= choices.stagger - 1e-6
        if choices.joints == "either":
            places = np.r_[BEAMS, (BEAMS[1:] + BEAMS[:-1]) / 2]
            assert all(np.abs(places - j.x0).min() < 0.01 for j in sheets.joints if j.run == "across")


def rectangle(length, breadth=1000.0):
    return DeckPlan([0, length], [breadth / 2] * 2, [breadth / 2] * 2)


def test_a_deck_of_one_sheet_takes_one_sheet():
    found = plan_sheets(rectangle(2440, 1220), [800, 1600], SheetChoices(2440, 1220, (9,), margin=0))
    assert (found.best.sheets, found.best.joint_length, len(found.best.pieces)) == (1, 0, 1)
    assert found.best.waste == pytest.approx(0) and found.gap == 0


@pytest.mark.parametrize(("length", "pieces"), [(4808, 2), (4810, 3)])
def test_two_scarfed_sheets_reach_as_far_as_their_net_length(length, pieces):
    """Two sheets of 2440 mm, 9 mm, joined 8:1: 4808 mm and no more."""
    choices = SheetChoices(2440, 1220, (9,), margin=0, way="fore-and-aft", clear=0)
    found = plan_sheets(rectangle(length), [1200, 2404, 3608], choices)
    assert found.complaints == () and len(found.best.pieces) == pieces


def brute(plan, beams, choices, skins):
    """Least joint of an unseamed deck, all subsets of beams tried for each skin."""
    def fits(joints):
        ends = [plan.start, *joints, plan.end]
        return all(
            b - a + (h if k else choices.margin) + (h if k < len(joints) else choices.margin) <= choices.length
            for k, (a, b) in enumerate(itertools.pairwise(ends))
        )

    h = choices.taper(0) / 2
    sets = [s for n in range(len(beams) + 1) for s in itertools.combinations(beams, n) if fits(s)]
    cost = {s: sum(plan.joint_length(x, -9e9, 9e9) for x in s) for s in sets}
    apart = lambda a, b: all(abs(x - y) >= choices.stagger for x in a for y in b)  # noqa: E731
    if skins == 1:
        return min(cost.values())
    return min(cost[a] + cost[b] for a in sets for b in sets if apart(a, b))


@pytest.mark.parametrize("skins", [1, 2])
@pytest.mark.parametrize("seed", range(5))
def test_no_choice_of_joints_has_less_of_them(seed, skins):
    rng = np.random.default_rng(seed)
    x = np.r_[0, np.cumsum(rng.uniform(300, 800, 9))]
    plan = DeckPlan(x, rng.uniform(150, 540, 10), rng.uniform(150, 540, 10))
    beams = np.round(np.cumsum(rng.uniform(330, 700, 10)) + 100, 3)
    beams = beams[(beams > 250) & (beams < plan.end - 250)]
    choices = SheetChoices(2440, 1220, (9,) * skins, way="fore-and-aft", least=0, stagger=260.0)
    found = plan_sheets(plan, beams, choices)
    assert found.complaints == ()
    plain = [p for p in found.plans if not any(layout.seams for layout in p.answer.layouts)]
    assert plain[0].joint_length == pytest.approx(brute(plan, beams, choices, skins), rel=1e-4)


def test_the_best_five_differ_and_rise():
    found = plan_sheets(uneven(), BEAMS, SheetChoices(2440, 1220, (9,), joints="either"))
    lengths = [plan.joint_length for plan in found.plans]
    assert len(lengths) == 5 and lengths == sorted(lengths)
    assert len({tuple(sorted(plan.joints)) for plan in found.plans}) == 5
    assert found.bound <= lengths[0] + 1e-6
    assert found.words("mm")[0].startswith(f"Plan 1: {lengths[0] / 1000:.1f} m of joint")


def test_sides_swapped_swap_the_plan():
    plan = uneven()
    mirror = lambda boxes: tuple(Box(b.what, b.x0, b.x1, -b.y1, -b.y0) for b in boxes)  # noqa: E731
    other = DeckPlan(plan.x, plan.starboard, plan.port, mirror(plan.openings), mirror(plan.clear_of))
    choices = SheetChoices(2440, 1220, (9,), wanted=1)
    one, two = (plan_sheets(p, BEAMS, choices).best for p in (plan, other))
    assert one.joint_length == pytest.approx(two.joint_length)
    assert sorted(p.area for p in one.pieces) == pytest.approx(sorted(p.area for p in two.pieces))


@pytest.mark.slow
def test_twelve_metres_in_two_skins_in_ten_seconds():
    deck = Deck(even_hull(length=12000, half_breadth=1800), OneMould("circle", 120))
    fittings = [
        fitting("hatch", -2000, 0, 600, 600), fitting("cockpit", 3500, 0, 2000, 1400),
        fitting("chainplate, port", 200, "port edge", 50, 20), fitting("mast", -900, 0, 160),
    ]  # fmt: skip
    begun = time.process_time()
    found = plan_sheets(
        deck_plan(deck, fittings), np.linspace(-5600, 5600, 24), SheetChoices(2440, 1220, (6, 6), joints="either")
    )
    assert time.process_time() - begun < 10
    assert len(found.plans) == 5 and found.complaints == () and found.gap < 0.01


# wishes that cannot be kept


def test_a_bay_longer_than_the_sheet_is_named_and_the_nearest_plan_given():
    choices = SheetChoices(1200, 600, (9,), way="fore-and-aft")
    found = plan_sheets(rectangle(4000), [600, 1100, 2500, 3400], choices)
    (line,) = found.complaints
    assert "less than the 1400 mm from x 1100 to 2500 mm where no joint may lie on beams" in line
    assert "Is a beam missing" in line and "either on a beam or between" in line
    shapes = [net(piece) for piece in found.best.pieces]
    assert unary_union(shapes).area == pytest.approx(4e6) == pytest.approx(sum(s.area for s in shapes))


def test_a_scarf_longer_than_the_sheet():
    found = plan_sheets(rectangle(4000), range(200, 4000, 200), SheetChoices(2440, 600, (40,), ratio=12, wanted=1))
    assert "12:1 in 40 mm is 480 mm long" in found.complaints[0] and "scarfs of 7:1" in found.complaints[0]
    assert found.best.choices.ratio == 7


def test_an_opening_outside_the_deck():
    deck = Deck(even_hull(length=6000, half_breadth=1500), OneMould("circle", 100))
    plan = deck_plan(deck, [fitting("hatch", 5000, 0, 600), fitting("cleat", 9000), fitting("hatch", 0, 0, 500)])
    assert [b.what for b in plan.openings] == ["hatch"]
    (line,) = plan.complaints
    assert "hatch at x 5000, y -300 to 300 mm lies outside the deck" in line and "another zero" in line
    assert plan_sheets(plan, range(-2500, 3000, 500), SheetChoices(2440, 1220, (9,), wanted=1)).complaints == (line,)


def test_a_stagger_that_cannot_be():
    found = plan_sheets(rectangle(4000), [1000, 2000, 3000], SheetChoices(2440, 1220, (6, 6), stagger=2000, wanted=1))
    assert "cannot be 2000 mm apart" in found.complaints[-1] and found.plans


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"length": 0}, "sheets 0 by 1220 mm in skins"),
        ({"joints": "on beam"}, "joints 'on beam', way 'either': joints are one of on beams"),
        ({"margin": -5}, "margin -5: it is nought or more"),
    ],
)
def test_wrong_wishes(changes, words):
    with pytest.raises(ValueError, match=words):
        SheetChoices(**{"length": 2440, "width": 1220, "skins": (9,), **changes})


def test_a_plan_out_of_order_is_refused():
    with pytest.raises(ValueError, match="a plan of 3 stations"):
        DeckPlan([0, 500, 400], [1, 1, 1], [1, 1, 1])
    with pytest.raises(ValueError, match="port given as negative"):
        DeckPlan([0, 500], [-1, 1], [1, 1])


def test_sheets_that_cannot_cover_at_all():
    with pytest.raises(ValueError, match="96 by 48 mm: this deck would take 868 of them.*another unit"):
        plan_sheets(rectangle(4000), [1000, 2000], SheetChoices(96, 48, (9,)))


def test_an_oversize_as_broad_as_the_sheet_is_given_up():
    found = plan_sheets(rectangle(4000), [1000, 2000], SheetChoices(400, 200, (9,), margin=200, wanted=1))
    (line,) = found.complaints
    assert "An oversize of 200 mm takes up the sheet of 400 by 200 mm. Is it in another unit? This plan has no" in line
    assert found.best.choices.margin == 0
    assert sum(piece.area for piece in found.best.pieces) == pytest.approx(found.best.plan.area)


def test_scarfs_that_take_up_the_sheet_are_butts_instead():
    found = plan_sheets(rectangle(4000), [1000, 2000], SheetChoices(400, 200, (9,), ratio=40, margin=20, wanted=1))
    (line,) = found.complaints
    assert line.startswith("A scarf of 40:1 in 9 mm is 360 mm long, and the sheet 200 mm on its short side")
    assert "This plan has butts on straps." in line and found.best.choices.ratio == 0


def test_words_in_inches_and_the_cautions():
    found = plan_sheets(rectangle(4000), [1000, 2000, 3000], SheetChoices(2438.4, 1219.2, (9.525,), wanted=1))
    words = found.best.words("in")
    assert words[0] == "2 sheets of 96 in by 48 in: 2 in 3/8 in."
    assert any("4 ft of scarf 8:1" in line for line in words)
    assert "licensed designer" in words[-2] and "sensitises" in words[-1]


def test_no_nest_takes_fewer_sheets_than_its_area_does():
    piece = np.array([[0, 0], [900, 0], [900, 500], [0, 500]], float)
    found = nest([piece, piece, piece], 1000, 1000)
    assert (found.at_least, found.sheets) == (2, 3)  # 1.35 sheets by area; with the saw cut one piece goes on each
