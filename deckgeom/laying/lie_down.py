"""
Will a sheet go down on this deck, how hard, and where to split it if not?

A sheet rolls onto a surface that bends one way as far as its thickness lets it. On one that bends both ways (its
*Gaussian curvature*, the product of both bends, is not nought) it must stretch in one place and squeeze in another.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.laying.lie_down_panel import Panel
from deckgeom.laying.lie_down_plywood import plate_stiffness, smallest_radius, thickest
from deckgeom.laying.lie_down_strain import ACROSS, ROWS, MembraneStrain, membrane_strain, pucker_spacing, pucker_strain

__all__ = ["VERDICTS", "LieDown", "LieDownChoices", "Panel", "lie_down", "panel_strain"]

#: Rows along a panel where it is looked for how far a bend is too sharp.
FINE = 96
VERDICTS = ("goes down", "goes down with force", "split it", "will not go down")


@dataclass(frozen=True)
class LieDownChoices:
    """
    What the verdict is held against; every default is common practice without a source.

    Parameters
    ----------
    strain_limit : float
        Greatest range of strain across a sheet, most squeezed to most stretched. [1]
    easy : float
        Part of what is allowed up to which a sheet goes down without force. [1]
    edge_spacing : float
        Of the fastenings along an edge. [mm]
    row_spacing : float
        From the edge's row of fastenings to the next. [mm]
    most_parts : int
        Splits into more are not looked for.
    most_skins : int
        More thin skins are not looked for.
    kind : {"construction", "aircraft"}
        Rows of the table "plywood".
    plies : int
        Of the sheet.
    modulus_gpa : float, optional
        Of its wood along the grain. [GPa]

    Examples
    --------
    >>> LieDownChoices().strain_limit
    0.001
    """

    strain_limit: float = 0.001
    easy: float = 0.5
    edge_spacing: float = 150.0
    row_spacing: float = 400.0
    most_parts: int = 8
    most_skins: int = 4
    kind: str = "construction"
    plies: int = 5
    modulus_gpa: float | None = None

    def __post_init__(self) -> None:
        for name in ("strain_limit", "edge_spacing", "row_spacing", "easy"):
            if not 0 < getattr(self, name) < np.inf:
                raise ValueError(f"{name} {getattr(self, name):g}: it is above 0. Is it left blank?")
        if self.strain_limit > 0.02:
            raise ValueError(
                f"strain_limit {self.strain_limit:g}: wood breaks before 0.02. Is it in per cent? 0.1 % is 0.001."
            )


@dataclass(frozen=True)
class LieDown:
    """
    Whether one panel goes down, and what it takes. Made by `lie_down`.

    Parameters
    ----------
    panel : Panel
    choices : LieDownChoices
    verdict : str
        One of `VERDICTS`.
    bend_use : float
        Sharpest bend as a part of what the sheet takes in that direction: above 1 it is too sharp; infinite where
        the table has no radius for this thickness. [1]
    bend_x, bend_y : float
        Where that is. [mm]
    radius, least_radius : float
        Of that bend, and the smallest allowed in its direction. [mm]
    off_grain_deg : float
        Between that bend and the face grain: 0 curves the face grain, 90 rolls the sheet about it. [deg]
    surface_strain_along, surface_strain_across : float
        Greatest t/2R in the face grain and across it. [1]
    strain : MembraneStrain
    pucker : float
        Squeeze at which an edge springs up between fastenings. [1]
    hold_down : float
        Pull on one fastening of the edge's row. [N]
    split : (str, int) or None
        Way of the seams and number of equal parts: the fewest that bring the strain under the limit.
    skins : int or None
        Fewest equal skins that take the bend, where one does not.
    sharp_share : float
        Part of its area in plan that bends more sharply than the sheet takes. [1]
    good_run : (float, float) or None
        The longest stretch along the boat over which it takes the bend, where it does not all over. [mm]

    Examples
    --------
    See `lie_down`.

    >>> VERDICTS[0]
    'goes down'
    """

    panel: Panel
    choices: LieDownChoices
    verdict: str
    bend_use: float
    bend_x: float
    bend_y: float
    radius: float
    least_radius: float
    off_grain_deg: float
    surface_strain_along: float
    surface_strain_across: float
    strain: MembraneStrain
    pucker: float
    hold_down: float
    split: tuple[str, int] | None = None
    skins: int | None = None
    sharp_share: float = 0.0
    good_run: tuple[float, float] | None = None

    @property
    def puckers(self) -> bool:
        """Whether the squeezed edge (or middle) springs up between fastenings at their spacing."""
        return self.strain.squeeze > self.pucker

    @property
    def closest_spacing(self) -> float:
        """Widest spacing of the edge's fastenings that keeps it down. [mm]"""
        return pucker_spacing(self.panel.thickness, self.strain.squeeze)

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """The verdict and what it rests on, in sentences."""
        from deckgeom.laying.lie_down_words import lie_down_words

        return lie_down_words(self, units)


def _grid(deck, panel: Panel, rows: int, columns: int):
    """Gauss points over the panel: x (rows, 1), y (rows, columns) and the curvature of the sheet's middle there."""
    along, across = np.polynomial.legendre.leggauss(rows)[0], np.polynomial.legendre.leggauss(columns)[0]
    x = (panel.x[0] + panel.length * (1 + along) / 2)[:, None]
    low, high = panel.edges(x)
    y = low + (high - low) * (1 + across) / 2
    bend = deck.curvature(x, y, panel.which)
    most, least = (k / (1 + panel.lift * k) for k in (bend.most, bend.least))
    return x, y, most, least, bend.direction_deg


def _strain(panel: Panel, gaussian_by_rows, gaussian_by_columns) -> MembraneStrain:
    """The lesser of both ways to see the panel: as strips across it, or as strips along it."""
    node = np.polynomial.legendre.leggauss(ROWS)[0]
    low, high = panel.edges(panel.x[0] + panel.length * (1 + node) / 2)
    athwart = membrane_strain(gaussian_by_rows, high - low)
    fore_and_aft = membrane_strain(gaussian_by_columns.T, np.full(gaussian_by_columns.shape[1], panel.length))
    return min(athwart, fore_and_aft, key=lambda strain: strain.range)


def panel_strain(deck, panel: Panel) -> MembraneStrain:
    """
    Membrane strain of a whole panel forced onto the deck.

    Parameters
    ----------
    deck : Deck
        Anything with ``curvature(x, y, which)``.
    panel : Panel

    Returns
    -------
    MembraneStrain

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> deck = Deck(even_hull(rise=300), SameProportion("circle", "1:30"))
    >>> panel_strain(deck, Panel.rectangle("1", (-500, 500), (0, 600))).range < 0.001
    True
    """
    _, _, most, least, _ = _grid(deck, panel, ROWS, ACROSS)
    _, _, most_2, least_2, _ = _grid(deck, panel, ACROSS, ROWS)
    return _strain(panel, most * least, most_2 * least_2)


def _radii(panel: Panel, choices: LieDownChoices, thickness: float) -> tuple[float, float] | None:
    """Smallest radius along and across the face grain; None where the table has none."""
    if thickness > thickest(choices.kind):
        return None
    return tuple(smallest_radius(thickness, bend, choices.kind) for bend in ("along", "across"))


def _bend(panel: Panel, grid, choices: LieDownChoices, thickness: float) -> dict:
    """Where it bends most against what it takes: in the grain, across it, and both ways of the principal bends."""
    x, y, most, least, direction = grid
    turn = np.radians(panel.grain_deg - direction)
    part = np.cos(turn) ** 2
    along, across = (np.abs(most * p + least * (1 - p)) for p in (part, 1 - part))
    bend = np.stack([along, across, np.abs(most), np.abs(least)], axis=-1)
    in_grain = np.stack([np.ones_like(part), np.zeros_like(part), part, 1 - part], axis=-1)
    radii = _radii(panel, choices, thickness)
    allowed = np.full(bend.shape, np.inf) if radii is None else radii[1] + (radii[0] - radii[1]) * in_grain
    use = bend if radii is None else bend * allowed
    i, j, k = np.unravel_index(int(np.argmax(use)), use.shape)
    sharpest = float(bend[i, j, k])
    return {
        "bend_use": float(use[i, j, k]) if radii else (np.inf if sharpest else 0.0),
        "bend_x": float(x[i, 0]),
        "bend_y": float(y[i, j]),
        "radius": 1 / sharpest if sharpest else np.inf,
        "least_radius": float(allowed[i, j, k]),
        "off_grain_deg": float(np.degrees(np.arccos(np.sqrt(in_grain[i, j, k])))),
        "surface_strain_along": float(thickness / 2 * along.max()),
        "surface_strain_across": float(thickness / 2 * across.max()),
        **_too_sharp(panel, x[:, 0], use.max(axis=-1) > 1 if radii else np.ones(part.shape, bool)),
    }


def _too_sharp(panel: Panel, x, sharp) -> dict:
    """How much of the panel bends too sharply, and the longest run of rows that has no such place."""
    weight = np.polynomial.legendre.leggauss(sharp.shape[1])[1]
    low, high = panel.edges(x)
    area = (np.polynomial.legendre.leggauss(len(x))[1] * (high - low))[:, None] * weight
    good = ~sharp.any(axis=1)
    edge = np.flatnonzero(np.diff(np.concatenate([[0], good.astype(int), [0]])))
    runs = [
        (panel.x[0] if a == 0 else x[a], panel.x[-1] if b == len(x) else x[b - 1])
        for a, b in zip(edge[::2], edge[1::2], strict=True)
    ]
    best = max(runs, key=lambda run: run[1] - run[0], default=None)
    whole = bool(good.all()) or best is None
    return {
        "sharp_share": float(area[sharp].sum() / area.sum()),
        "good_run": None if whole else (float(best[0]), float(best[1])),
    }


def _hold_down(panel: Panel, bend: dict, choices: LieDownChoices) -> float:
    """Pull on one fastening of the edge's row: the couple that bends the edge, over the distance to the next row."""
    moments = []
    for way in ("along", "across"):
        stiffness = plate_stiffness(panel.thickness, way, choices.plies, choices.modulus_gpa)
        moments.append(stiffness * bend[f"surface_strain_{way}"] * 2 / panel.thickness)
    return max(moments) / choices.row_spacing * choices.edge_spacing


def _split(deck, panel: Panel, choices: LieDownChoices) -> tuple[str, int] | None:
    """Fewest equal parts whose strain is under the limit; seams fore-and-aft where both ways need as many."""
    for count in range(2, choices.most_parts + 1):
        for seams in ("fore-and-aft", "athwart"):
            parts = panel.parts(count, seams)
            if all(panel_strain(deck, part).range <= choices.strain_limit for part in parts):
                return seams, count
    return None


def _skins(panel: Panel, grid, choices: LieDownChoices) -> int | None:
    for count in range(2, choices.most_skins + 1):
        if _bend(panel, grid, choices, panel.thickness / count)["bend_use"] <= 1:
            return count
    return None


def lie_down(deck, panel: Panel, choices: LieDownChoices | None = None) -> LieDown:
    r"""
    Whether a sheet goes down on the deck.

    Parameters
    ----------
    deck : Deck
        Anything with ``curvature(x, y, which)``.
    panel : Panel
    choices : LieDownChoices, optional

    Returns
    -------
    LieDown

    Notes
    -----
    The bend in a direction a off the greatest is :math:`k_1 \cos^2 a + k_2 \sin^2 a` (Euler), with a in plan. It is
    looked at in the face grain, across it, and in the directions of the greatest and the least bend. The radius allowed
    in a direction b off the face grain is taken as :math:`R_{along} \cos^2 b + R_{across} \sin^2 b`: the published
    radii in the grain and across it, an own rule in between. The pull on a fastening is :math:`D k\, p / s`: the moment
    that bends the sheet, as a couple between the edge's row and the next, s off it, for fastenings p apart.

    References
    ----------
    The tables' own (see `smallest_radius`, `membrane_strain`, `pucker_strain`, `plate_stiffness`); L. Euler on the
    curvature of surfaces, in M. do Carmo, *Differential Geometry of Curves and Surfaces*, 3-2.

    Examples
    --------
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.hull.sheer import Sheer
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> deck = Deck(Sheer.from_curves(level(1500), level(800), start=0, end=6000), OneMould("circle", "1:30"))
    >>> found = lie_down(deck, Panel.rectangle("1", (0, 2440), (0, 1220), thickness=9))
    >>> found.verdict, round(found.surface_strain_across, 6), round(found.strain.range, 9)
    ('goes down', 0.000398, 0.0)
    """
    choices = choices or LieDownChoices()
    grid = _grid(deck, panel, ROWS, ROWS)
    bend = _bend(panel, grid, choices, panel.thickness)
    strain = panel_strain(deck, panel)
    pucker = pucker_strain(panel.thickness, choices.edge_spacing)
    split = skins = None
    if bend["bend_use"] > 1:
        bend = _bend(panel, _grid(deck, panel, FINE, ROWS), choices, panel.thickness)
        verdict, skins = VERDICTS[3], _skins(panel, grid, choices)
    elif strain.range > choices.strain_limit:
        split = _split(deck, panel, choices)
        verdict = VERDICTS[2] if split else VERDICTS[3]
    else:
        use = max(bend["bend_use"], strain.range / choices.strain_limit)
        verdict = VERDICTS[0] if use <= choices.easy and strain.squeeze <= pucker else VERDICTS[1]
    pull = _hold_down(panel, bend, choices)
    rest = {"strain": strain, "pucker": pucker, "hold_down": pull, "split": split, "skins": skins}
    return LieDown(panel, choices, verdict, **bend, **rest)
