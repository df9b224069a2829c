"""
Laying a deck as a whole: the framing that must be ready, and every way of laying worked out side by side.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import zip_longest

from deckgeom.deck.framing import ClampLine, clamp_line
from deckgeom.deck.framing_bores import tilts
from deckgeom.deck.framing_carlins import carlin, king_plank
from deckgeom.deck.framing_list import LastChance, kind_of, last_chance
from deckgeom.deck.framing_pads import pad
from deckgeom.deck.framing_partners import MastPartner, Packer, mast_partner, packer
from deckgeom.deck.framing_places import place_of
from deckgeom.laying.bearers import bearers_of, carlin_bearers, ended_at_carlins
from deckgeom.laying.lie_down_map import CurvatureMap, curvature_map
from deckgeom.laying.plan_pieces import SIDES
from deckgeom.laying.plan_way import WayPlan, _try, plan_way
from deckgeom.laying.sheets_outline import deck_plan
from deckgeom.laying.ways import DeckLayer, Way
from deckgeom.laying.wishes import layers_that_fit, standing, times_that_go
from deckgeom.laying.wishes_words import alike_once, in_units
from deckgeom.units import format_length

__all__ = ["Framing", "LayingPlan", "frame", "plan_laying"]


@dataclass(frozen=True, eq=False)
class Framing:
    """
    What is under the deck. Made by `frame`.

    Parameters
    ----------
    clamps : tuple of ClampLine
        Port and starboard.
    timbers : tuple
        Carlins, king plank, pads, partners and packers, each with ``words(units)``.
    last : LastChance or None
    complaints : tuple of str

    Examples
    --------
    >>> Framing((), (), None).complaints
    ()
    """

    clamps: tuple[ClampLine, ...]
    timbers: tuple
    last: LastChance | None
    complaints: tuple[str, ...] = ()

    @property
    def holes(self) -> tuple[MastPartner | Packer, ...]:
        """What goes through the deck at an angle: masts and chainplates, from forward."""
        found = (one for one in self.timbers if isinstance(one, MastPartner | Packer))
        return tuple(sorted(found, key=lambda one: one.bore.x))

    def hole_rows(self, units: str) -> list[tuple[str, ...]]:
        """What; rake and lean; the same against the deck, along and across; its hole, its middle on top and below."""
        return [(one.what, *tilts(one.rake_deg, one.lean_deg, "plumb"),
                 *tilts(one.bore.aft_deg, one.bore.starboard_deg, "square"), one.shape(units),
                 *one.bore.middles(units)) for one in self.holes]  # fmt: skip


@dataclass(frozen=True, eq=False)
class LayingPlan:
    """
    A deck's laying. Made by `plan_laying`.

    Parameters
    ----------
    curvature : CurvatureMap
    framing : Framing
    ways : tuple of WayPlan
    complaints : tuple of str
        That concern all ways.
    units : str

    Examples
    --------
    >>> LayingPlan(None, Framing((), (), None), ()).units
    'mm'
    """

    curvature: CurvatureMap
    framing: Framing
    ways: tuple[WayPlan, ...]
    complaints: tuple[str, ...] = ()
    units: str = "mm"

    def way(self, name: str = "") -> WayPlan:
        """
        One way by its name; the first where none is given.

        Parameters
        ----------
        name : str
        """
        if not self.ways:
            raise ValueError('no way of laying is known: write one under [laying] in boat.toml, such as '
                             'ways = [["two skins", "ply 9 mm", "ply 6 mm", "cloth"]].')  # fmt: skip
        found = [way for way in self.ways if way.way.name == name] if name else self.ways
        if not found:
            raise ValueError(f"there is no way {name!r}; there are {', '.join(way.way.name for way in self.ways)}.")
        return found[0]

    def cannot_be(self) -> tuple[str, ...]:
        """All that cannot be had as wished, a line each in the folder's units; what holds for several ways once."""
        lines: dict[str, list[str]] = {in_units(line, self.units): [] for line in self.complaints}
        lines |= {in_units(line, self.units): [] for line in self.framing.complaints}
        for way in self.ways:
            for line in alike_once(way.complaints):
                lines.setdefault(in_units(line, self.units), []).append(way.way.name)
        return tuple(f"{'; '.join(names)}: {line}" if names else line for line, names in lines.items())

    def quantities(self) -> list[tuple[str, ...]]:
        """What is bought and done, one row a quantity and one column a way."""
        rows = [_quantities(way, self.units) for way in self.ways]
        names = list(dict.fromkeys(name for row in rows for name in row))
        return [(name, *(row.get(name, "none") for row in rows)) for name in names]


def plan_laying(deck, beams, wishes, fittings=(), units: str = "mm", own=()) -> LayingPlan:
    """
    Work out the laying of a deck.

    Parameters
    ----------
    deck : Deck
    beams : BeamSet
    wishes : LayingSettings
        With ``ways``; where there are none the deck's thickness is taken as one plywood skin, and a line says so.
    fittings : sequence of Fitting
    units : {"mm", "ft-in-8", "in"}
    own : sequence of mapping
        The user's own figures for glue, resin and paint, as in `figures`.

    Returns
    -------
    LayingPlan
        Never an error for what a person typed: what cannot be has its line.

    Examples
    --------
    >>> from deckgeom.boat import default_settings
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> deck = Deck(even_hull(), SameProportion("circle", "1:30"), thickness=9)
    >>> beams = lay_out_beams(deck, [BeamMark(str(k), -2500 + 500.0 * k) for k in range(11)])
    >>> plan_laying(deck, beams, default_settings().laying).way().sheet_count > 4
    True
    """
    stood = standing(deck, fittings, units, 2 * max(beam.mark.siding for beam in beams))
    every, fittings = fittings, stood.fittings
    plan = deck_plan(deck, fittings)
    bearers, lines = bearers_of(beams, fittings)
    told: list[str] = []
    wishes = times_that_go(told, wishes)
    fitted = [layers_that_fit(deck, way, units) for way in wishes.ways]
    ways, complaints = tuple(way for way, _ in fitted), [*stood.lines, *told, *plan.complaints, *lines]
    if not ways and deck.thickness:
        ways = (Way("plywood", (DeckLayer("ply", deck.thickness),)),)
        complaints.append(
            f"No way of laying is written in boat.toml: {format_length(deck.thickness, units)} of deck is taken as one "
            "plywood skin. Write yours under [laying] in ways."
        )
    elif not ways:
        complaints.append("Neither a way of laying nor the deck's thickness is written in boat.toml: write deck, or "
                          "ways under [laying].")  # fmt: skip
    king = max((layer.king for way in ways for layer in way.layers), default=0.0)
    framing = replace(frame(beams, fittings, king), last=last_chance(beams, every))
    carlins = carlin_bearers(framing.timbers)
    bearers = (*ended_at_carlins(bearers, carlins), *carlins)
    made = tuple(plan_way(deck, beams, plan, way, wishes, bearers, units, own) for way in ways)
    made = tuple(replace(one, complaints=(*fit[1], *one.complaints))
                 for one, fit in zip_longest(made, fitted, fillvalue=(None, ())))  # fmt: skip
    return LayingPlan(curvature_map(deck), framing, made, tuple(complaints), units)


def frame(beams, fittings=(), king: float = 0.0) -> Framing:
    """
    The framing under a deck with these fittings.

    Parameters
    ----------
    beams : BeamSet
    fittings : sequence of Fitting
        Carlins are put beside each opening, between the whole beams before and abaft it; a mast or a chainplate
        without rake and lean is taken as plumb.
    king : float
        Breadth of the king plank; 0 for none. [mm]

    Returns
    -------
    Framing

    Examples
    --------
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> beams = lay_out_beams(Deck(even_hull(), SameProportion("circle", "1:30")), [BeamMark("4", 0)])
    >>> [clamp.side for clamp in frame(beams).clamps]
    ['port', 'starboard']
    """
    lines: list[str] = []
    clamps = [_try(lines, lambda s=side: clamp_line(beams, s)) for side in SIDES]
    timbers = [_try(lines, lambda f=fitting: _timbers(beams, f)) or () for fitting in fittings]
    timbers = [timber for made in timbers for timber in made]
    if king:
        sheer = beams.deck.sheer
        made = _try(lines, lambda: king_plank(beams.deck, (sheer.start + king, sheer.end), king))
        timbers += [made] if made else []
    last = _try(lines, lambda: last_chance(beams, fittings))
    return Framing(tuple(clamp for clamp in clamps if clamp is not None), tuple(timbers), last, tuple(lines))


def _timbers(beams, fitting) -> tuple:
    kind = kind_of(fitting.what)
    depth = beams.deck.thickness + max(beam.mark.moulding for beam in beams)
    if kind == "opening" and fitting.length and fitting.breadth:
        return _beside(beams, fitting)
    if kind == "pad":
        return (pad(beams, fitting),)
    rake, lean = getattr(fitting, "rake_deg", 0.0), getattr(fitting, "lean_deg", 0.0)
    if kind == "mast":
        rounded = getattr(fitting, "shape", "") == "round"
        return (mast_partner(beams, fitting, rake, depth, lean_deg=lean, round_=rounded),)
    return (packer(beams, fitting, depth, rake_deg=rake, lean_deg=lean),) if kind == "chainplate" else ()


def _beside(beams, fitting) -> tuple:
    """A carlin on each side of an opening."""
    at = place_of(beams.deck, fitting)
    whole = [beam for beam in beams if beam.mark.whole]
    before = [beam for beam in whole if beam.faces_x[1] <= at.x - at.length / 2 + 1]
    after = [beam for beam in whole if beam.faces_x[0] >= at.x + at.length / 2 - 1]
    if not before or not after:
        end = "before" if not before else "abaft"
        raise ValueError(
            f"{fitting.what}: no whole beam stands {end} it, and its carlins run from a beam to a beam. Is a beam left "
            "out of beams.csv, or marked as a half beam? No carlin is drawn."
        )
    first, last, siding = before[-1], after[0], before[-1].mark.siding
    out = at.breadth / 2 + siding / 2
    return tuple(carlin(beams, f"{side} of the {fitting.what}", first.name, last.name, at.y + sign * out, siding)
                 for side, sign in (("port", -1), ("starboard", 1)))  # fmt: skip


def _quantities(way: WayPlan, units: str) -> dict[str, str]:
    rows: dict[str, str] = {}
    if way.sheet_count:
        best = way.sheets.best
        rows["sheets of ply"] = " and ".join(f"{n.sheets} of {format_length(t, units)}" for t, n in best.nests)
        rows["joints between sheets"] = format_length(best.joint_length, units)
    if way.planks is not None:
        counts: dict[float, int] = {}
        for butts in way.planks.butts.values():
            counts = {length: counts.get(length, 0) + n for length, n in butts.counts.items()}
        for length, count in counts.items():
            rows[f"plank lengths of {format_length(length, units)}"] = str(count)
        rows["butts in planks"] = str(sum(len(butts.butts) for butts in way.planks.butts.values()))
        if way.planks.boards:
            rows["boards for covering boards and king plank"] = str(sum(len(each.pieces) for each in way.planks.boards))
    if way.bedding is not None:
        rows["temporary screws with washers, used again"] = str(way.bedding.to_buy)
    rows["fastenings into the framing, without spares"] = str(sum(plan.count() for _, plan, _ in way.fastenings))
    if way.sheathing is not None:
        rows["cloth off the roll"] = format_length(way.sheathing.roll_length, units)
    if way.epoxy is not None:
        band = way.epoxy.band
        rows["epoxy, litres: low, likely, high"] = f"{band.low:.1f}, {band.likely:.1f}, {band.high:.1f}"
    for job in way.paint:
        likely = sum(band.likely for band in job.litres)
        rows[f"paint {job.side}, litres, likely"] = f"{likely:.1f}"
    rows["glue-ups"] = str(sum(len(cards) for _, cards in way.cards))
    if way.cloth:
        rows["sessions of sheathing"] = str(len(way.cloth))
    return rows
