"""Hulls with exact curves for the tests of beams, and the likes of a boat for the doubter's."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st

from deckgeom.deck.beams import BeamMark
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.surface import Deck
from deckgeom.hull.offsets import OffsetTable
from deckgeom.hull.sheer import Sheer

LENGTH = 6000.0


def powers(*coefficients):
    """A curve c0 + c1 s + c2 s^2 ..., s from -1 at the forward end to 1 at the after end, with its derivatives."""
    p = np.polynomial.Polynomial(coefficients, domain=[0, LENGTH], window=[-1, 1])

    def curve(x, order=0):
        return (p if order == 0 else p.deriv(order))(np.asarray(x, float))

    return curve


def level_deck(half_breadth=1500.0, rule=None, height=800.0, **more) -> Deck:
    """The same section from end to end."""
    sheer = Sheer.from_curves(powers(half_breadth), powers(height), start=0, end=LENGTH)
    return Deck(sheer, rule or SameProportion("circle", 1 / 30), **more)


def round_deck(rule=None, twist=0.0, **more) -> Deck:
    """A boat with rounded plan and sheer, port and starboard apart by some mm, fuller aft."""
    sheer = Sheer.from_curves(
        powers(1200, 60, -420, -40), powers(900 - twist, -40 - twist, 120, 10),
        powers(1212, 64, -424, -38), powers(905 + twist, -38 + twist, 118, 12), start=0, end=LENGTH,
    )  # fmt: skip
    return Deck(sheer, rule or SameProportion("circle", 1 / 30), **more)


def marks(n=8, first=400.0, last=5500.0, **more) -> list[BeamMark]:
    """Evenly spaced beams called 1, 2, 3 ..."""
    return [BeamMark(str(i + 1), float(x), **more) for i, x in enumerate(np.linspace(first, last, n))]


small = st.floats(-30, 30)
RULES = st.sampled_from([lambda s, f=f, r=r: r(s, f) for f in (1 / 40, 1 / 24) for r in (OneMould, SameProportion)])
SHAPES = st.sampled_from(["circle", "parabola", "quarter-circle"])


@st.composite
def hulls(draw):
    """Curves of both sides (half-breadth and height, port then starboard) and a crown rule."""
    b = [1200, 60, -420, -40]
    h = [900, -40, 120, 10]
    sides = [powers(*(c + draw(small) for c in base)) for base in (b, h, b, h)]
    return sides, draw(RULES)(draw(SHAPES))


def table_of_boat(read=float) -> OffsetTable:
    """Offsets of a 7 m boat in eighths of an inch, each read by `read` from (feet, inches, eighths)."""
    half = [(0, 6, 2), (1, 9, 5), (2, 9, 0), (3, 5, 2), (3, 10, 1), (3, 11, 4), (3, 10, 5), (3, 7, 7), (3, 3, 0)]
    height = [(3, 7, 4), (3, 3, 4), (3, 0, 3), (2, 10, 2), (2, 8, 7), (2, 8, 3), (2, 8, 5), (2, 9, 4), (2, 11, 2)]
    other = [(f, i, e + 1 if e < 7 else e - 1) for f, i, e in half]
    stations = [(3 * k, 0, 0) for k in range(9)]
    return OffsetTable.from_rows(
        {
            "x": [read(v) for v in stations],
            "height": [read(v) for v in height],
            "half_breadth_port": [read(v) for v in half],
            "half_breadth_starboard": [read(v) for v in other],
        }
    )
