"""Hulls and decks for the tests of crown and surface: uneven, unsymmetric, one of them coming to a point."""

from __future__ import annotations

import numpy as np

from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.drawn import DrawnSection
from deckgeom.deck.lines import BeamByBeam, CrownLine
from deckgeom.deck.no_hump import NoHump
from deckgeom.hull.fair_curve import FairCurve
from deckgeom.hull.sheer import Sheer

STATIONS = np.array([0.0, 750, 1700, 2600, 3900, 5000, 6150, 7000])
PLAN_PORT = np.array([0.0, 480, 820, 1060, 1200, 1180, 1090, 960])
PLAN_STARBOARD = np.array([0.0, 495, 800, 1075, 1220, 1170, 1080, 975])
SHEER_PORT = np.array([1250.0, 1120, 1020, 960, 920, 935, 985, 1050])
SHEER_STARBOARD = np.array([1250.0, 1118, 1026, 965, 928, 931, 980, 1060])
DROPS = DrawnSection([220, 610, 900, 1210], [3, 20, 44, 85])
SHAPES = ["circle", "parabola", "quarter-circle", DROPS]


def curve(value):
    return FairCurve(STATIONS, value)


def powers(*coefficients):
    """A polynomial in x with its derivatives."""
    p = np.polynomial.Polynomial(coefficients)
    return lambda x, order=0: (p.deriv(order) if order else p)(np.asarray(x, float))


def uneven(factor: float = 1.0, sheer: float = 1.0) -> Sheer:
    """A 7 m deck edge, sides apart by up to 20 mm, a pointed stem, a broad transom; its sheer flattened."""
    port, starboard = (900 + sheer * (z - 900) for z in (SHEER_PORT, SHEER_STARBOARD))
    columns = (PLAN_PORT, port, PLAN_STARBOARD, starboard)
    made = [FairCurve(factor * STATIONS, factor * column) for column in columns]
    return Sheer.from_curves(*made, start=0, end=factor * 7000)


def swapped(sheer: Sheer) -> Sheer:
    """The same with port for starboard."""
    c = sheer.curves
    return Sheer.from_curves(
        c["half_breadth_starboard"], c["height_starboard"], c["half_breadth_port"], c["height_port"],
        start=sheer.start, end=sheer.end,
    )  # fmt: skip


def rules(shape, factor: float = 1.0) -> list:
    """Every rule, with and without a least camber."""
    figure = "1:28 of beam" if not isinstance(shape, DrawnSection) else 1 / 28
    return [
        SameProportion(shape, figure),
        SameProportion(shape, figure, least="1:20 of beam"),
        OneMould(shape, figure),
        OneMould(shape, figure, least="1:60 of beam"),
        CrownLine(shape, factor * np.array([900.0, 3000, 6500]), factor * np.array([1150.0, 1035, 1080])),
        CrownLine(
            shape, factor * np.array([900.0, 3000, 6500]), factor * np.array([1150.0, 1035, 1080]), least="1:30 of beam"
        ),
        BeamByBeam(shape, factor * np.array([800.0, 2000, 4100, 6300]), factor * np.array([22.0, 66, 90, 74])),
        NoHump(shape, figure, start_from="one mould"),
    ]


def every_rule() -> list:
    """(name, rule): all rules with the circle, whose shape changes with the camber, and both laws with the others."""
    made = []
    for shape in SHAPES:
        for i, rule in enumerate(rules(shape)[: 8 if shape == "circle" else 4]):
            made.append((f"{shape if isinstance(shape, str) else 'drawn'} {rule.name} {i}", rule))
    return made
