"""
The wood of one way of laying a deck, layer by layer: every sheet or plank with its place.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from deckgeom.laying.dry_fit import Piece
from deckgeom.laying.lie_down import LieDown, Panel, lie_down
from deckgeom.laying.planks import PlankChoices, Planking, inside_edge, lay_planks
from deckgeom.laying.planks_butts import ButtChoices, ButtPlan, plan_butts
from deckgeom.laying.sheets import SheetChoices, SheetPlans, plan_sheets
from deckgeom.laying.ways import DeckLayer, Way

__all__ = ["PlankLayer", "SkinPanel", "beam_middles", "plank_layer", "skin_panels", "skins_of"]  # fmt: skip

SIDES = ("port", "starboard")
POINTS = 81
NEAR = 0.2
"""How far the outline of a plank as drawn may stand off its edge. [mm]"""


@dataclass(frozen=True, eq=False)
class PlankLayer:
    """
    The planks of a way. Made by `plank_layer`.

    Parameters
    ----------
    layer : DeckLayer
    under : float
        Thickness of what lies below. [mm]
    planking : Planking
    pieces : tuple of Piece
        Each plank with its two edges; the halves of the king plank and the covering boards among them.
    butts : dict of str to ButtPlan
        By side, planks in the order of `pieces`; king plank and covering boards are joined as the user likes.

    Examples
    --------
    >>> PlankLayer(DeckLayer("planks", 20.0, 60.0), 0.0, None, (), {}).layer.width
    60.0
    """

    layer: DeckLayer
    under: float
    planking: Planking
    pieces: tuple[Piece, ...]
    butts: dict[str, ButtPlan]

    @property
    def butt_places(self) -> tuple[tuple[str, float], ...]:
        """Piece and place along the boat of every butt. [mm]"""
        found = []
        for side, butts in self.butts.items():
            mine = [piece.name for piece in self.pieces if piece.name.startswith(f"{side} plank")]
            found += [(mine[number], x) for number, x in butts.butts]
        return tuple(found)


@dataclass(frozen=True, eq=False)
class SkinPanel:
    """
    One sheet of plywood on the deck. Made by `skin_panels`.

    Parameters
    ----------
    panel : Panel
    verdict : LieDown
    skin : int
        From 0, the lowest.
    skin_layer : int
        Which layer of the way that is, from 0.

    Examples
    --------
    >>> SkinPanel(Panel.rectangle("A1", (0, 1000), (0, 500)), None, 0).piece.name
    'A1'
    """

    panel: Panel
    verdict: LieDown
    skin: int
    skin_layer: int = 0

    @property
    def piece(self) -> Piece:
        """The sheet by its long edges, port and starboard."""
        x, low, high = self.panel.x, self.panel.low, self.panel.high
        edges = ("port edge", "starboard edge")
        return Piece(self.panel.name, np.column_stack([x, low]), np.column_stack([x, high]), edges)


def beam_middles(beams) -> list[tuple[str, float]]:
    """
    Name and middle of every beam, fore and aft.

    Parameters
    ----------
    beams : BeamSet

    Returns
    -------
    list of (str, float)
        [mm]

    Examples
    --------
    >>> beam_middles([])
    []
    """
    return [(beam.name, sum(beam.faces_x) / 2) for beam in beams]


def skins_of(plan, beams, way: Way, wishes) -> SheetPlans | None:
    """
    Sheets for all plywood of a way.

    Parameters
    ----------
    plan : DeckPlan
    beams : BeamSet
    way : Way
    wishes : LayingSettings

    Returns
    -------
    SheetPlans or None
        None where there is no plywood.

    Examples
    --------
    >>> skins_of(None, None, Way("laid", (DeckLayer("planks", 20.0, 60.0),)), None) is None
    True
    """
    skins = tuple(layer.thickness for layer in way.layers if layer.kind == "ply")
    if not skins:
        return None
    choices = SheetChoices(*wishes.sheet, skins, ratio=wishes.scarf, joints=wishes.joints, stagger=wishes.stagger,
                           margin=wishes.oversize)  # fmt: skip
    return plan_sheets(plan, sorted({x for _, x in beam_middles(beams)}), choices)


def skin_panels(deck, sheets: SheetPlans, way: Way, spacing: float) -> tuple[tuple[SkinPanel, ...], tuple[str, ...]]:
    """
    Every sheet of the best plan as a panel on the deck, and whether it goes down.

    Parameters
    ----------
    deck : Deck
    sheets : SheetPlans
    way : Way
    spacing : float
        Of the fastenings along an edge. [mm]

    Returns
    -------
    tuple of SkinPanel
    tuple of str
        One line for each sheet that cannot be judged.

    Examples
    --------
    >>> skin_panels(None, SheetPlans((), (), 0.0, 0.0), Way("bare", ()), 150.0)
    ((), ())
    """
    from deckgeom.laying.lie_down import LieDownChoices

    found, lines = [], []
    below = _under(way)
    for piece in sheets.best.pieces if sheets.plans else ():
        number, thickness, under = below[piece.skin]
        grain = 0.0 if piece.way == "fore-and-aft" else 90.0
        try:
            panel = Panel.from_outline(piece.name, piece.outline, thickness=thickness, grain_deg=grain,
                                       lift=under + thickness / 2)  # fmt: skip
            verdict = lie_down(deck, panel, LieDownChoices(edge_spacing=spacing))
            found.append(SkinPanel(panel, verdict, piece.skin, number))
        except ValueError as problem:
            lines.append(str(problem))
    return tuple(found), tuple(lines)


def _under(way: Way) -> list[tuple[int, float, float]]:
    """Number of the layer, thickness of each plywood skin, and of what lies under it."""
    found, under = [], 0.0
    for number, layer in enumerate(way.layers):
        if layer.kind == "ply":
            found.append((number, layer.thickness, under))
        under += layer.thickness
    return found


def plank_layer(deck, beams, way: Way, wishes) -> PlankLayer | None:
    """
    The planks of a way with their butts.

    Parameters
    ----------
    deck : Deck
    beams : BeamSet
    way : Way
    wishes : LayingSettings

    Returns
    -------
    PlankLayer or None
        None where there are no planks.

    Examples
    --------
    >>> plank_layer(None, None, Way("skins", (DeckLayer("ply", 9.0),)), None) is None
    True
    """
    number = next((k for k, layer in enumerate(way.layers) if layer.kind == "planks"), None)
    if number is None:
        return None
    layer = way.layers[number]
    planking = lay_planks(deck, PlankChoices(layer.width, layer.lay, layer.king, layer.covering_board))
    pieces = tuple(_pieces(deck, planking))
    whole = {beam.name for beam in beams if beam.mark.whole}  # a half beam carries no butt in the opening beside it
    middles = tuple(sorted({x for name, x in beam_middles(beams) if name in whole}))
    butts = {}
    for side in SIDES:
        mine = (piece.first for piece in pieces if piece.name.startswith(f"{side} plank"))
        runs = tuple((float(edge[0, 0]), float(edge[-1, 0])) for edge in mine)
        butts[side] = _butts(runs, middles, ButtChoices(wishes.stock, seconds=3.0))
    return PlankLayer(layer, sum(one.thickness for one in way.layers[:number]), planking, pieces, butts)


@lru_cache(maxsize=16)
def _butts(runs, middles, choices: ButtChoices) -> ButtPlan:
    """The same question has the same answer, and the answer takes a second or two."""
    return plan_butts(runs, middles, choices)


def _pieces(deck, planking: Planking) -> list[Piece]:
    """Planks, the strips that are left over, the king plank and the covering boards: together the whole deck."""
    choices, found = planking.choices, []
    low = 0.0 if choices.lay == "straight" else choices.king / 2
    for side in SIDES:
        board = _run_on(deck, *inside_edge(deck, side, choices.covering_board), 0.0)
        if choices.covering_board:
            found.append(_covering_board(deck, side, *board))
        edges = [(edge.number, *_run_on(deck, edge.x, edge.y, low)) for edge in planking.of(side)]
        for (number, *edge), beyond in zip(edges, [*edges[1:], None], strict=True):
            x = np.linspace(edge[0][0], edge[0][-1], POINTS)
            near = np.interp(x, *edge)
            if choices.lay == "straight":
                far = np.minimum(np.interp(x, *board), _or(x, beyond, np.inf))
            else:
                far = np.minimum(near, np.maximum(_or(x, beyond, 0.0), choices.king / 2))
            found += _strip(f"{side} plank {number + 1}", side, x, near, far)
        if choices.king:
            x = np.linspace(board[0][0], board[0][-1], POINTS)
            half = np.minimum(choices.king / 2, np.interp(x, *board))
            found += _strip(f"{side} half of the king plank", side, x, np.zeros(POINTS), half)
    return found


def _run_on(deck, x: np.ndarray, y: np.ndarray, low: float) -> tuple[np.ndarray, np.ndarray]:
    """A line run on straight to the ends of the deck, where it ends short of them and not against the centreline."""
    x, y = np.asarray(x, float), np.maximum(y, 0.0)
    near = 0.03 * (deck.sheer.end - deck.sheer.start)
    if y[-1] > low + 1 and deck.sheer.end - near < x[-1] < deck.sheer.end:
        last = y[-1] + (y[-1] - y[-2]) / (x[-1] - x[-2]) * (deck.sheer.end - x[-1])
        x, y = np.r_[x, deck.sheer.end], np.r_[y, max(last, low)]
    if y[0] > low + 1 and deck.sheer.start < x[0] < deck.sheer.start + near:
        first = y[0] + (y[1] - y[0]) / (x[1] - x[0]) * (deck.sheer.start - x[0])
        x, y = np.r_[deck.sheer.start, x], np.r_[max(first, low), y]
    return x, y


def _or(x: np.ndarray, line, otherwise: float) -> np.ndarray:
    """An edge's distance from the centreline where it runs, and another value where it does not."""
    return np.full(len(x), otherwise) if line is None else np.interp(x, *line[1:], left=otherwise, right=otherwise)


def _covering_board(deck, side: str, board_x, board_y) -> Piece:
    x = np.linspace(deck.sheer.start, deck.sheer.end, 2 * POINTS)
    outer = np.maximum(deck.sheer.half_breadth(side, x), 0.0)
    inner = np.minimum(np.interp(x, board_x, board_y), outer)
    return _strip(f"{side} covering board", side, x, inner, outer)[0]


def _strip(name: str, side: str, x, one, two) -> list[Piece]:
    """The strip between two lines as it lies, nothing where it has no breadth."""
    sign = -1.0 if side == "port" else 1.0
    keep = np.flatnonzero(np.abs(two - one) > 0.5)
    if len(keep) < 2:
        return []
    run = slice(max(keep[0] - 1, 0), keep[-1] + 2)
    inner, outer = np.minimum(one, two)[run], np.maximum(one, two)[run]
    return [Piece(name, *(_few(np.column_stack([x[run], sign * line])) for line in (inner, outer)))]


def _few(points: np.ndarray) -> np.ndarray:
    """A line by as few of its points as stay within `NEAR` of it (Douglas and Peucker's rule)."""
    keep, parts = {0, len(points) - 1}, [(0, len(points) - 1)]
    while parts:
        a, b = parts.pop()
        run = points[b] - points[a]
        between = points[a + 1 : b] - points[a]
        off = np.abs(run[0] * between[:, 1] - run[1] * between[:, 0]) / np.hypot(*run)
        if len(off) and off.max() > NEAR:
            middle = a + 1 + int(np.argmax(off))
            keep.add(middle)
            parts += [(a, middle), (middle, b)]
    return points[sorted(keep)]
