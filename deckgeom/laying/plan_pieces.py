"""
The wood of one way of laying a deck, layer by layer: every sheet or plank with its place.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from deckgeom.laying.bearers import bearers_of
from deckgeom.laying.boards import BoardPlan, covering_board, king_plank_boards
from deckgeom.laying.dry_fit import Piece
from deckgeom.laying.fastenings_lines import supports_of
from deckgeom.laying.lie_down import LieDown, Panel, lie_down
from deckgeom.laying.planks import PlankChoices, Planking, lay_planks
from deckgeom.laying.planks_butts import ButtChoices, ButtPlan, PlankPiece, carried_at, plan_butts
from deckgeom.laying.planks_pieces import SIDES, ends_without_beam, lane_of, plank_pieces
from deckgeom.laying.scarfs import Scarf
from deckgeom.laying.sheets import SheetChoices, SheetPlans, plan_sheets
from deckgeom.laying.sheets_true import cuts_as_laid
from deckgeom.laying.ways import DeckLayer, Way

__all__ = ["PlankLayer", "SkinPanel", "beam_middles", "plank_layer", "skin_panels", "skins_of"]  # fmt: skip



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
        By side, planks in the order of `pieces`.
    openings : tuple of Box
        At which the planks are cut.
    lines : tuple of str
        One line for each opening within one plank, and for each board that cannot be had.
    boards : tuple of BoardPlan
        What covering boards and king plank are sawn from.
    notes : tuple of str
        One line for each side of an opening where planks end and no beam is.

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
    openings: tuple = ()
    lines: tuple[str, ...] = ()
    boards: tuple[BoardPlan, ...] = ()
    notes: tuple[str, ...] = ()

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


def skins_of(plan, beams, way: Way, wishes, deck=None) -> SheetPlans | None:
    """
    Sheets for all plywood of a way.

    Parameters
    ----------
    plan : DeckPlan
    beams : BeamSet
    way : Way
    wishes : LayingSettings
    deck : Deck, optional
        Pieces are then held against their sheets as they are laid flat.

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
    laid = None if deck is None else cuts_as_laid(deck, [(t, under) for _, t, under in _under(way)])
    return plan_sheets(plan, sorted({x for _, x in beam_middles(beams)}), choices, laid)


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


def plank_layer(deck, beams, way: Way, wishes, openings=(), bearers=()) -> PlankLayer | None:
    """
    The planks of a way with their butts.

    Parameters
    ----------
    deck : Deck
    beams : BeamSet
    way : Way
    wishes : LayingSettings
    openings : sequence of Box
        Through the deck: planks are cut there.
    bearers : sequence of Bearer
        Beams, half beams and carlins that may carry a butt; whole beams alone where none are given.

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
    pieces, bored = plank_pieces(deck, planking, openings)
    supports = supports_of(bearers or bearers_of([beam for beam in beams if beam.mark.whole])[0])
    middles = tuple(sorted({round(one.middle, 6) for one in supports if one.kind == "beam"}))
    butts = {}
    for side in SIDES:
        mine = [piece for piece in pieces if piece.name.startswith(f"{side} plank")]
        runs = tuple((round(float(piece.first[0, 0]), 3), round(float(piece.first[-1, 0]), 3)) for piece in mine)
        lanes = tuple(lane_of(piece.name) for piece in mine)
        carried = tuple(carried_at(piece, supports, middles) for piece in mine)
        butts[side] = _butts_or_none(runs, middles, wishes.stock, lanes, carried)
    under = sum(one.thickness for one in way.layers[:number])
    boards, lines = _boards(deck, layer, pieces, supports, wishes)
    return PlankLayer(layer, under, planking, pieces, butts, tuple(openings), (*bored, *lines), boards,
                      ends_without_beam(pieces, openings, supports))  # fmt: skip


def _boards(deck, layer: DeckLayer, pieces, supports, wishes) -> tuple[tuple[BoardPlan, ...], tuple[str, ...]]:
    """Covering boards and king plank from stock, and one line for each that cannot be had."""
    found, lines = [], []
    joint, scarf = "butt", 0.0
    if wishes.scarf:
        made = Scarf(layer.thickness, wishes.scarf)
        joint, scarf = f"scarf {wishes.scarf:g}:1", made.length
    beams = [one for one in supports if one.kind == "beam"]
    try:
        for side, sign in (("port", -1), ("starboard", 1)) if layer.covering_board else ():
            at = [(one.name, one.middle) for one in beams if max(sign * one.y0, sign * one.y1) >= float(
                deck.sheer.half_breadth(side, one.middle)) - 1]  # fmt: skip
            found.append(covering_board(deck, side, layer.covering_board, at, wishes.stock, scarf, joint=joint))
        if layer.king:
            halves = [p for p in pieces if "half of the king plank" in p.name]
            runs = _together([(float(p.first[0, 0]), float(p.first[-1, 0])) for p in halves])
            at = [(one.name, one.middle) for one in beams if one.y0 <= -layer.king / 2 and one.y1 >= layer.king / 2]
            found += king_plank_boards(deck, layer.king, runs, at, wishes.stock, scarf, joint=joint)
    except ValueError as problem:
        lines.append(f"{str(problem)[:1].upper()}{str(problem)[1:]}")
    return tuple(found), tuple(lines)


def _together(runs) -> list[tuple[float, float]]:
    """Runs that lie over each other, as one."""
    found: list[tuple[float, float]] = []
    for a, b in sorted(runs):
        if found and a < found[-1][1] - 1:
            found[-1] = (found[-1][0], max(b, found[-1][1]))
        else:
            found.append((a, b))
    return found


def _butts_or_none(runs, middles, stock, lanes, carried) -> ButtPlan:
    """Butts; where the stock cannot give any, whole planks of the lengths that are wanted, and a line that says why."""
    try:
        return _butts(runs, middles, ButtChoices(stock, seconds=3.0), lanes, carried)
    except ValueError as problem:
        line = f"{str(problem)[:1].upper()}{str(problem)[1:]} This plan lists each plank in one length instead."
        whole = ButtChoices(tuple(np.ceil((b - a + 20.0) / 100.0) * 100.0 for a, b in runs) or stock)
        fits = [min(one for one in whole.stock if one >= b - a + whole.trim) for a, b in runs]
        pieces = tuple(PlankPiece(k, a, b, fits[k]) for k, (a, b) in enumerate(runs))
        return ButtPlan(pieces, whole, sum(fits), (line,))


@lru_cache(maxsize=16)
def _butts(runs, middles, choices: ButtChoices, lanes, carried) -> ButtPlan:
    """The same question has the same answer, and the answer takes a second or two."""
    return plan_butts(runs, middles, choices, lanes, carried)
