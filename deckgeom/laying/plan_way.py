"""
One way of laying a deck, worked out from sheets and planks to the shopping list.

What cannot be worked out has a line that says why, and the rest goes on.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from deckgeom.laying.bedding import Bedding, bedding_of
from deckgeom.laying.dry_fit import DryFit, Piece, dry_fit
from deckgeom.laying.dry_fit_order import HalfAtATime, Sealing, half_at_a_time, sealing
from deckgeom.laying.dry_fit_screws import ScarfHold, along_scarf, relief_holes, temporary_screws
from deckgeom.laying.fastenings import FasteningPlan
from deckgeom.laying.fastenings_sizes import RowSizes
from deckgeom.laying.glue import Layer
from deckgeom.laying.glue_sessions import GlueCard
from deckgeom.laying.glue_shopping import Purchase
from deckgeom.laying.glue_time import Crew, Tin, working_time
from deckgeom.laying.paint import Coating, PaintJob, paint, paint_area
from deckgeom.laying.plan_fastenings import fastenings_of
from deckgeom.laying.plan_glue import buy, cards_of, resin_layers
from deckgeom.laying.plan_pieces import PlankLayer, SkinPanel, plank_layer, skin_panels, skins_of
from deckgeom.laying.scarfs import Scarf
from deckgeom.laying.sheathing import Cloth, Sheathing, sheathe
from deckgeom.laying.sheathing_sessions import ClothSession, cloth_sessions
from deckgeom.laying.sheets import SheetPlans
from deckgeom.laying.true_shape import FlatPanel, true_shape
from deckgeom.laying.true_shape_marking import Marking, mark_out
from deckgeom.laying.true_shape_pair import OWN, MirroredPair, pairs_of
from deckgeom.laying.ways import Way
from deckgeom.laying.wishes import butt_lines, cards_line, cloth_that_laps
from deckgeom.units import format_length

__all__ = ["WayPlan", "plan_way"]

TEMPORARY = 600.0
"""Between temporary screws at most: common practice, no source. [mm]"""
RELIEF = 300.0
"""Between relief holes: common practice, no source. [mm]"""
CLOTH_SLOWER = 3.0
"""So much longer than spreading glue does laying and wetting out cloth take: an own rule, no source. [1]"""


@dataclass(frozen=True, eq=False)
class WayPlan:
    """
    Everything for one way of laying. Made by `plan_way`.

    Parameters
    ----------
    way : Way
    deck, bearers : Deck, tuple of Bearer
        What it is laid on.
    units : str
    oversize : float
        Left over at the deck edge. [mm]
    complaints : tuple of str
        One line for each thing that cannot be, or not as wished.
    sheets : SheetPlans or None
    panels : tuple of SkinPanel
        Of the best plan.
    planks : PlankLayer or None
    fastenings : tuple of (int, FasteningPlan, RowSizes)
        By layer of the way, from 0: along beams, carlins, the deck edge and butts.
    sheathing : Sheathing or None
    cloth : tuple of ClothSession
    cards : tuple of (str, tuple of GlueCard)
        By layer.
    resin : tuple of Layer
        Beside the cards: scarfs, sealing, cloth.
    sealing : tuple of Sealing
        Edges and openings.
    paint : tuple of PaintJob
    shopping : tuple of Purchase
        What comes in tins and boxes.
    own : tuple of dict
        The user's own figures for glue, resin and paint.

    Examples
    --------
    >>> WayPlan(Way("bare", ()), None, (), "mm", 20.0).sheet_count
    0
    """

    way: Way
    deck: object
    bearers: tuple
    units: str
    oversize: float
    complaints: tuple[str, ...] = ()
    sheets: SheetPlans | None = None
    panels: tuple[SkinPanel, ...] = ()
    planks: PlankLayer | None = None
    fastenings: tuple[tuple[int, FasteningPlan, RowSizes], ...] = ()
    sheathing: Sheathing | None = None
    cloth: tuple[ClothSession, ...] = ()
    cards: tuple[tuple[str, tuple[GlueCard, ...]], ...] = ()
    resin: tuple[Layer, ...] = ()
    sealing: tuple[Sealing, ...] = ()
    paint: tuple[PaintJob, ...] = ()
    shopping: tuple[Purchase, ...] = ()
    own: tuple = ()

    @property
    def sheet_count(self) -> int:
        """Whole sheets to buy."""
        return self.sheets.best.sheets if self.sheets is not None and self.sheets.plans else 0

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """The pieces of the lowest layer, which lie on the beams."""
        if not self.way.layers:
            return ()
        if self.way.layers[0].kind == "planks":
            return self.planks.pieces if self.planks is not None else ()
        return tuple(panel.piece for panel in self.panels if panel.skin == 0)

    def landing(self, name: str) -> DryFit:
        """
        Where beams and pads land under one piece of the lowest layer.

        Parameters
        ----------
        name : str
        """
        return dry_fit(next(piece for piece in self.pieces if piece.name == name), self.bearers, self.deck)

    @cached_property
    def landings(self) -> tuple[DryFit, ...]:
        """Where beams and pads land under each piece of the lowest layer."""
        return tuple(dry_fit(piece, self.bearers, self.deck) for piece in self.pieces)

    @cached_property
    def halves(self) -> HalfAtATime | None:
        """Half the deck at a time: which half, and what lies on what."""
        return half_at_a_time(self.pieces) if self.pieces else None

    @cached_property
    def scarf_holds(self) -> tuple[ScarfHold, ...]:
        """What holds each scarf while it sets."""
        if self.sheets is None or not self.sheets.plans or not self.sheets.best.choices.ratio:
            return ()
        best = self.sheets.best
        return tuple(along_scarf(joint.length, best.choices.taper(joint.skin)) for joint in best.joints)

    @cached_property
    def temporary(self) -> int:
        """Screws for the dry fit, all in holes that the permanent ones take."""
        rows = [row for layer, plan, _ in self.fastenings if layer == 0 for row in plan.rows if row.kind == "beam"]
        return sum(len(temporary_screws(np.column_stack([row.x, row.y]), TEMPORARY)) for row in rows if row.count)

    @cached_property
    def bedding(self) -> Bedding | None:
        """What holds bedded planks while the bedding sets."""
        if self.planks is None or self.way.layers[0].kind == "planks":
            return None
        cards = [card for _, made in self.cards for card in made if card.temporary]
        return bedding_of(cards, self.planks.layer.thickness, self.planks.under)

    @cached_property
    def relief(self) -> int:
        """Relief holes in all sheets that lie on other wood."""
        count = 0
        for panel in self.panels:
            points = [np.column_stack([row.x, row.y]) for layer, plan, _ in self.fastenings
                      if layer == panel.skin_layer for row in plan.rows]  # fmt: skip
            if panel.skin_layer and points:
                count += len(relief_holes(panel.panel.outline(), np.concatenate(points), RELIEF))
        return count

    def flat(self, name: str) -> tuple[FlatPanel, Marking]:
        """
        True shape of one sheet to the middle of its joints, with offsets for marking out; left on all round is the
        oversize, or half a scarf where that is more.

        Parameters
        ----------
        name : str
            Of a panel.
        """
        found = next((one for one in self.panels if one.panel.name == name), None)
        if found is None:
            known = ", ".join(one.panel.name for one in self.panels) or "none"
            raise ValueError(f"there is no sheet {name!r} in this way of laying; there are {known}.")
        flat, choices = true_shape(self.deck, found.panel), self.sheets.best.choices
        ends = found.panel.low[[0, -1]], found.panel.high[[0, -1]]
        line = "centreline" if np.all(ends[0] < -OWN) and np.all(ends[1] > OWN) else "inner"
        return flat, mark_out(flat, line, margin=max(self.oversize, choices.taper(found.skin) / 2))

    @cached_property
    def pairs(self) -> tuple[MirroredPair, ...]:
        """Sheets of both sides that lie opposite each other, skin by skin, compared."""
        skins = dict.fromkeys(one.skin for one in self.panels)
        return tuple(pair for skin in skins for pair in pairs_of(
            self.deck, [one.panel for one in self.panels if one.skin == skin]))  # fmt: skip

    @property
    def epoxy(self):
        """Epoxy to buy, as a `Purchase`; None where there is none."""
        return next((one for one in self.shopping if one.product.startswith("epoxy")), None)


def plan_way(deck, beams, plan, way: Way, wishes, bearers=(), units: str = "mm", own=()) -> WayPlan:
    """
    Work out one way of laying.

    Parameters
    ----------
    deck : Deck
    beams : BeamSet
    plan : DeckPlan
        Its outline with the openings.
    way : Way
    wishes : LayingSettings
    bearers : sequence of Bearer
    units : {"mm", "ft-in-8", "in"}
    own : sequence of mapping
        The user's own figures, as in `figures`.

    Returns
    -------
    WayPlan

    Examples
    --------
    >>> from deckgeom.boat import default_settings
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.laying.sheets_outline import deck_plan
    >>> deck = Deck(even_hull(), SameProportion("circle", "1:30"), thickness=9)
    >>> beams = lay_out_beams(deck, [BeamMark(str(k), -2500 + 500.0 * k) for k in range(11)])
    >>> from deckgeom.laying.ways import DeckLayer, Way
    >>> way = Way("cloth alone", (DeckLayer("cloth"),))
    >>> len(plan_way(deck, beams, deck_plan(deck), way, default_settings().laying).sheathing.pieces)
    3
    """
    lines: list[str] = []
    if deck.thickness and way.thickness and abs(way.thickness - deck.thickness) > 0.5:
        lines.append(
            f"Its layers come to {format_length(way.thickness, units)} and the deck in boat.toml to "
            f"{format_length(deck.thickness, units)}: the beam tops are worked out for the deck. Which is right?"
        )
    found = WayPlan(way, deck, tuple(bearers), units, wishes.oversize, own=tuple(own))
    sheets = _try(lines, lambda: skins_of(plan, beams, way, wishes, deck))
    panels = _try(lines, lambda: skin_panels(deck, sheets, way, wishes.edge_spacing)) if sheets is not None else None
    if panels is not None:
        lines += [line for line in (*sheets.complaints, *panels[1]) if line not in plan.complaints]
    planks = _try(lines, lambda: plank_layer(deck, beams, way, wishes, plan.openings, bearers))
    if planks is not None:
        lines += [*butt_lines(planks.butts), *planks.lines]
    found = replace(found, sheets=sheets, panels=panels[0] if panels else (), planks=planks)
    found = replace(found, fastenings=fastenings_of(lines, found, beams, plan, wishes))
    if any(layer.kind == "cloth" for layer in way.layers):
        wishes = cloth_that_laps(lines, wishes)
        cloth = _try(lines, lambda: _cloth(deck, plan, way, wishes))
        found = replace(found, sheathing=cloth[0], cloth=cloth[1]) if cloth else found
    found = replace(found, cards=_try(lines, lambda: cards_of(found, wishes, bearers, deck)) or ())
    lines += filter(None, [cards_line(found.cards)])
    found = replace(found, resin=resin_layers(found, wishes), sealing=_sealing(lines, found, plan),
                    paint=_try(lines, lambda: _paint(deck, plan, way, bearers, wishes, own)) or ())  # fmt: skip
    found = replace(found, shopping=_try(lines, lambda: buy(found, wishes)) or ())
    return replace(found, complaints=tuple(dict.fromkeys(lines)))


def _try(lines: list[str], work: Callable):
    try:
        return work()
    except ValueError as problem:
        lines.append(str(problem))
        return None


def _cloth(deck, plan, way: Way, wishes) -> tuple[Sheathing, tuple[ClothSession, ...]]:
    thick = next(layer.thickness for layer in way.layers if layer.kind == "cloth")
    cloth = Cloth(wishes.cloth_width, lap=wishes.cloth_lap, drop=wishes.cloth_drop, thickness=thick or 1.0)
    made = sheathe(deck, cloth, plan.openings)
    time, crew = working_time(Tin(wishes.pot_minutes, wishes.pot_degc, wishes.film_minutes), wishes.degc), \
        Crew(wishes.people)  # fmt: skip
    most = crew.spread * crew.workers * time.film[0] / CLOTH_SLOWER
    return made, tuple(cloth_sessions(deck, made, most, plan.openings))


def _sealing(lines: list[str], found: WayPlan, plan) -> tuple[Sealing, ...]:
    kinds = [layer for layer in found.way.layers if layer.kind != "cloth"]
    made, skin = [], 0
    for layer in kinds:
        if layer.kind == "ply":
            pieces, skin = [panel.piece for panel in found.panels if panel.skin == skin], skin + 1
        else:
            pieces = list(found.planks.pieces) if found.planks is not None else []
        if pieces:
            ply = layer.kind == "ply"
            made += [_try(lines, lambda p=pieces, t=layer, y=ply: sealing(p, t.thickness, plan.openings, y))]
    return tuple(one for one in made if one is not None)


def _paint(deck, plan, way: Way, bearers, wishes, own) -> tuple[PaintJob, ...]:
    """Laid planks on top are left bare."""
    below = [Coating("paint", wishes.coats_below)] if wishes.coats_below else []
    bare = bool(way.layers) and way.layers[-1].kind == "planks"
    above = [Coating("paint", wishes.coats_above)] if wishes.coats_above and not bare else []
    return paint(paint_area(deck, plan.openings, bearers), below, above, own)


def scarf_of(found: WayPlan) -> tuple[Scarf, ...]:
    """
    The scarf of each skin.

    Parameters
    ----------
    found : WayPlan

    Returns
    -------
    tuple of Scarf
        None where sheets are butted, or there are none.

    Examples
    --------
    >>> scarf_of(WayPlan(Way("bare", ()), None, (), "mm", 20.0))
    ()
    """
    if found.sheets is None or not found.sheets.plans or not found.sheets.best.choices.ratio:
        return ()
    choices = found.sheets.best.choices
    return tuple(Scarf(thickness, choices.ratio) for thickness in choices.skins)
