"""Areas to paint against shapely in plan and an integral over the surface."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import dblquad
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from deckgeom.deck.crown import SameProportion
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from deckgeom.laying.dry_fit import Bearer
from deckgeom.laying.paint import Coating, PaintArea, covered_area, paint, paint_area
from deckgeom.laying.quantities import deck_area
from deckgeom.laying.sheets_outline import Box


def curve(a, b=0.0, c=0.0):
    return lambda x, order=0: [a + b * np.asarray(x) + c * np.asarray(x) ** 2, b + 2 * c * np.asarray(x),
                               2 * c + 0 * np.asarray(x)][order]  # fmt: skip


def uneven(figure, port_height=(900, -0.09, 1.2e-5), starboard_height=(895, -0.085, 1.2e-5)):
    sheer = Sheer.from_curves(
        curve(100, 0.62, -7e-5), curve(*port_height), curve(120, 0.58, -6.4e-5), curve(*starboard_height),
        start=0, end=6300,
    )  # fmt: skip
    return Deck(sheer, SameProportion("circle", figure))


HATCH = Box("hatch", 2100, 2900, -420, 300)
BEARERS = (
    *(Bearer.across(f"beam {x}", x, x + 45) for x in (600, 1400, 2055, 2900, 3800, 5000)),
    Bearer("raked", [(4300, 3000), (4360, 3000), (4500, -3000), (4440, -3000)]),
    Bearer.rectangle("carlin port", (2055, 2945), (-465, -420)),
    Bearer.rectangle("carlin starboard", (2055, 2945), (300, 345)),
    Bearer.rectangle("pad under the hatch's corner", (2000, 2200), (200, 500)),
)


def test_a_flat_deck_agrees_with_shapely():
    deck = uneven(0, (900,), (900,))
    x = np.linspace(0, 6300, 2001)
    port, starboard = (deck.sheer.half_breadth(side, x) for side in ("port", "starboard"))
    outline = Polygon(np.r_[np.c_[x, -port], np.c_[x, starboard][::-1]])
    hole = box(HATCH.x0, HATCH.y0, HATCH.x1, HATCH.y1)
    landings = unary_union([Polygon(b.outline) for b in BEARERS])
    area = paint_area(deck, [HATCH], BEARERS)
    assert area.above == pytest.approx(outline.difference(hole).area / 1e6, rel=1e-6)
    assert area.below == pytest.approx(outline.difference(hole).difference(landings).area / 1e6, rel=2e-5)
    assert area.landings == pytest.approx(outline.intersection(landings).difference(hole).area / 1e6, rel=2e-4)


def test_a_cambered_deck_agrees_with_an_integral_and_adds_up():
    deck = uneven("1:12")
    area = paint_area(deck, [HATCH], BEARERS)
    element = lambda y, x: math.hypot(1, *map(float, deck.slopes(x, y)))  # noqa: E731
    hole = dblquad(element, 2100, 2900, -420, 300, epsabs=10)[0] / 1e6
    assert area.above == pytest.approx(deck_area(deck).true - hole, rel=1e-5)
    assert area.below + area.landings == pytest.approx(area.above, rel=1e-12)
    pad = [(3000, -700), (3200, -700), (3200, -300), (3000, -300)]
    assert covered_area(deck, [pad]) == pytest.approx(
        dblquad(element, 3000, 3200, -700, -300, epsabs=1)[0] / 1e6, rel=1e-4
    )


def test_nothing_in_the_way_and_what_lies_beyond_the_deck():
    deck = uneven("1:24")
    area = paint_area(deck)
    assert area.above == area.below == deck_area(deck).true and area.landings == 0
    assert covered_area(deck, [[(7000, 0), (7100, 0), (7100, 50), (7000, 50)]]) == 0
    overhang = covered_area(deck, [[(-500, -9000), (9000, -9000), (9000, 9000), (-500, 9000)]])
    assert overhang == pytest.approx(area.above, rel=1e-3)


def test_litres_and_words():
    area = PaintArea(15.7, 14.13, 1.57)
    below, above = paint(area, [Coating("primer", 2)], [Coating("primer"), Coating("top coat", 3, own=10)])
    assert below.litres[0].likely == pytest.approx(2 * 14.13 / 7.85, abs=0.005)
    assert above.litres[1].low == above.litres[1].high == pytest.approx(4.71)
    assert "every landing masked" in " ".join(below.words()) and "ISO 15085" in " ".join(above.words("in"))
    assert above.words("in")[0] == "Paint above: 169 sq ft, openings off."
    own = {"what": "deck paint", "low": 5, "likely": 5, "high": 5, "unit": "m2/L", "source": "tin", "seen": "source"}
    assert paint(area, above=[Coating("coat", 1, "deck paint")], own=[own])[0].litres[0].likely == pytest.approx(3.14)
    assert paint(area) == ()
