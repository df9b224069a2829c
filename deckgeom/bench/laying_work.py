"""The bench of the work of laying: planks, fastenings, cloth, glue-ups, dry fit, paint, framing, what to buy."""

from __future__ import annotations

from deckgeom.bench.laying import plan_of
from deckgeom.bench.tables import Table, Words
from deckgeom.drawings import Picture
from deckgeom.drawings.laying import draw_planks
from deckgeom.job import Job
from deckgeom.laying.boards import BOARD_HEADS, board_rows
from deckgeom.laying.fastenings import KINDS, driving_words
from deckgeom.laying.paint_area import area_words
from deckgeom.laying.plan_pieces import beam_middles
from deckgeom.laying.plan_way import WayPlan
from deckgeom.laying.plan_words import dry_fit_words, scarf_hold_words, to_buy
from deckgeom.laying.timber import timber_words
from deckgeom.units import format_length

__all__ = [
    "boards", "butts", "card", "cards", "clamp", "cloth", "dry_fit", "fastenings", "framing", "holes", "last_chance",
    "paint", "plank_edges", "planks", "shopping",
]  # fmt: skip

NO_BOARDS = "There is neither covering board nor king plank in this way of laying."
NO_PLANKS = "There are no planks in this way of laying."


def planks(job: Job, way: str = "") -> Picture | Words:
    """
    Draw the planks with their butts.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> planks(example_laying(), "laid").alt.partition(":")[0]
    'Planks from above'
    """
    found = _with_planks(job, way)
    if found is None:
        return Words.of(NO_PLANKS)
    return draw_planks(found.planks, job.sheer, found.planks.openings, job.boat.units)


def butts(job: Job, way: str = "") -> Words:
    """
    Say what planks there are, what is left over, and how they are butted from stock.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> butts(example_laying(), "laid").lines[0]
    'Planks 60 mm as laid, straight.'
    """
    found, units = _with_planks(job, way), job.boat.units
    if found is None:
        return Words.of(NO_PLANKS)
    lines = [*found.planks.planking.words(units), *found.planks.notes]
    for side, plan in found.planks.butts.items():
        lines += [f"{side.capitalize()}: {line}" for line in plan.words(units)]
    return Words.each(lines)


def boards(job: Job, way: str = "") -> Table | Words:
    """
    List the boards that covering boards and king plank are sawn from.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> boards(example_laying(), "laid")
    There is neither covering board nor king plank in this way of laying.
    """
    found, units = _with_planks(job, way), job.boat.units
    plans = found.planks.boards if found is not None else ()
    if not plans:
        return Words.of(NO_BOARDS)
    heads = tuple(head.replace("\n", " ") for head in BOARD_HEADS)
    note = " ".join(dict.fromkeys(line for plan in plans for line in plan.words(units)))
    return Table(f"{found.way.name}: boards for covering boards and king plank", heads, board_rows(plans, units),
                 words=(0, 1, 2), note=note)  # fmt: skip


def plank_edges(job: Job, beam: str = "", way: str = "") -> Table | Words:
    """
    List where the edges of the planks lie on one beam.

    Parameters
    ----------
    job : Job
    beam : str
        Its name; one amidships if not given.
    way : str
        The last that has planks if not given.

    Returns
    -------
    Table
        Distances from the centreline, over the camber and in plan.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> plank_edges(example_laying(), "2", "laid").rows[1]
    ('port', '1', '60 mm', '60 mm')
    """
    found, units = _with_planks(job, way), job.boat.units
    if found is None:
        return Words.of(NO_PLANKS)
    beam = beam or _amidships(job)
    x = dict(beam_middles(job.beams)).get(beam)
    if x is None:
        raise ValueError(f"no beam is called {beam[:40]!r}; there are {', '.join(job.beams.names)}.")
    rows = [(side, number, format_length(over, units), format_length(plan, units))
            for _, side, number, plan, over in found.planks.planking.rows([x])]  # fmt: skip
    heads = ("side", "edge", "from the centreline, over the camber", "the same level, in plan")
    return Table(f"Edges of the planks at the middle of beam {beam}", heads, rows, words=(0,))


def fastenings(job: Job, way: str = "") -> Table:
    """
    Count the fastenings by layer and kind of row, with spares and lengths.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> fastenings(example_laying()).rows[0][1]
    'beams'
    """
    found, units = plan_of(job).way(way), job.boat.units
    rows, below = [], []
    for layer, plan, sizes in found.fastenings:
        name = found.way.layers[layer].words(units)
        for kind, called in KINDS.items():
            counts = sizes.counts_of(row for row in plan.rows if row.kind == kind)
            sized = " and ".join(f"{n} of {format_length(length, units)}" for length, n in counts.items())
            if plan.count(kind):
                rows.append((name, called, plan.count(kind), plan.to_buy(kind), sized or "none in stock"))
        below += sizes.below_words(units)
    heads = ("layer", "along", "count", "with spares", "lengths that hold and do not show below")
    wishes = job.boat.settings.laying
    driven = driving_words(wishes.fastening, wishes.fastening_diameter, wishes.gravity, units, wishes.timber)
    driven = " ".join(filter(None, [timber_words(wishes), *driven]))
    more = " ".join(dict.fromkeys([*scarf_hold_words(found), *below]))
    note = (
        f"{driven} {more} Spacings: common practice, no source; lengths by the depth that "
        "holds and the bevel of each beam. "
        "Whether this holds a deck is for the local rules and a licensed designer or surveyor."
    )
    return Table(f"{found.way.name}: fastenings", heads, rows, words=(0, 1, 4), wrap=(4,), note=note)


def cloth(job: Job, way: str = "") -> Words:
    """
    Say how the cloth is cut and laid, and in which sessions.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> cloth(example_laying(), "laid")
    No cloth in this way of laying.
    """
    found, units = plan_of(job).way(way), job.boat.units
    if found.sheathing is None:
        return Words.of("No cloth in this way of laying.")
    lines = list(found.sheathing.words(units))
    return Words.each(lines + [f"Session {k}: {one.words(units)}" for k, one in enumerate(found.cloth, 1)])


def cards(job: Job, way: str = "") -> Table:
    """
    List the glue-ups, one row a card.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> cards(example_laying()).heads[0]
    'layer'
    """
    found = plan_of(job).way(way)
    rows = [
        (name, card.number, f"{card.parts[0].name} to {card.parts[-1].name}" if len(card.parts) > 1 else
         card.parts[0].name, area_words(card.area, job.boat.units),
         f"{card.glue.low:.2f}, {card.glue.likely:.2f}, {card.glue.high:.2f}",
         f"{card.batches.count} of {card.batches.litres:.2f}", card.fastenings or "",
         card.temporary or "",
         f"{card.minutes:.0f} of {card.time.film[0]:.0f}", card.remedy)
        for name, made in found.cards for card in made
    ]  # fmt: skip
    heads = ("layer", "no.", "pieces", "area", "litres: low, likely, high", "batches (L)", "fastenings",
             "temporary screws", "minutes, of at most", "what makes it fit")  # fmt: skip
    return Table(f"{found.way.name}: glue-ups, in order", heads, rows, words=(0, 2, 9), wrap=(0, 9))


def card(job: Job, number: int = 1, way: str = "") -> Words:
    """
    Say one card in full: amounts, times, order of work, cautions.

    Parameters
    ----------
    job : Job
    number : int
        Row of :func:`cards`, from 1.
    way : str

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> card(example_laying()).lines[0].partition(":")[0]
    'Glue-up 1'
    """
    made = [one for _, each in plan_of(job).way(way).cards for one in each]
    if not 1 <= number <= len(made):
        raise ValueError(f"glue-up {number}: this way of laying has {len(made)}.")
    return Words.each(made[number - 1].words(job.boat.units))


def shopping(job: Job, way: str = "") -> Table:
    """
    List what to buy, with spares.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> shopping(example_laying()).rows[0][0]
    'ply 6 mm'
    """
    found = plan_of(job).way(way)
    return Table(f"{found.way.name}: what to buy", ("what", "how much", "low, likely, high"),
                 to_buy(found), words=(0, 1, 2), wrap=(1,))  # fmt: skip


def dry_fit(job: Job, piece: str = "", way: str = "") -> Words:
    """
    Say where the beams land under one piece of the lowest layer, and how the dry fit is held.

    Parameters
    ----------
    job : Job
    piece : str
        A sheet, such as "A3", or "port plank 4"; one of them if not given.
    way : str

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> dry_fit(example_laying(), "A1").lines[0].partition(",")[0]
    'A1'
    """
    found, units = plan_of(job).way(way), job.boat.units
    names = [each.name for each in found.pieces]
    if not names:
        return Words.of("No piece of this way of laying is known.")
    piece = piece or names[len(names) // 4]
    if piece not in names:
        raise ValueError(f"no piece {piece[:40]!r} lies on the beams in this way of laying; there are "
                         f"{', '.join(names[:40])}.")  # fmt: skip
    return Words.each([*found.landing(piece).words(units), *dry_fit_words(found)])


def paint(job: Job, way: str = "") -> Words:
    """
    Say what is sealed and painted, below and above.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> any(line.startswith("Paint below") for line in paint(example_laying()).lines)
    True
    """
    found, units = plan_of(job).way(way), job.boat.units
    return Words.each([*(one.words(units) for one in found.sealing), *(w for j in found.paint for w in j.words(units))])


def framing(job: Job) -> Words:
    """
    Say what framing the deck needs under it: carlins, pads, partners, packers, king plank.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> framing(example_laying()).lines[0].partition(",")[0]
    'Carlin port of the hatch'
    """
    units = job.boat.units
    lines = [line for timber in plan_of(job).framing.timbers for line in timber.words(units)]
    return Words.each(lines) if lines else Words.of("No openings, pads, mast or chainplates are in fittings.csv.")


def holes(job: Job) -> Table | Words:
    """
    List what goes through the deck at an angle, and how to bore for it.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> holes(example_laying())
    No mast and no chainplate is in fittings.csv.
    """
    rows = plan_of(job).framing.hole_rows(job.boat.units)
    if not rows:
        return Words.of("No mast and no chainplate is in fittings.csv.")
    heads = ("what", "raked", "leaning", "against the deck, along it", "against the deck, across it",
             "hole, on top and below", "its middle on top", "its middle below")  # fmt: skip
    note = "Rake and lean are the way the top lies; the underside runs with the deck. Try the hole on an offcut first."
    return Table("Holes for mast and chainplates", heads, rows, words=tuple(range(8)), wrap=(1, 2, 3, 4, 5), note=note)


def clamp(job: Job) -> Table:
    """
    List how far the clamp's top stands below the sheer, and its bevel, at every beam.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> clamp(example_laying()).rows[0][:2]
    ('1', 'port')
    """
    units, rows = job.boat.units, []
    for line in plan_of(job).framing.clamps:
        for name, below, down, bevel in zip(line.names, line.below_sheer, line.down_side, line.bevel_deg, strict=True):
            if not _reaches(job, name, line.side):
                continue
            way = "standing" if bevel > 0 else "under"
            rows.append((name, line.side, format_length(below, units), format_length(down, units),
                         f"{abs(bevel):.1f} {way}"))  # fmt: skip
    heads = ("beam", "side", "below the sheer, plumb", "down the side", "bevel off square (degrees)")
    return Table("Top outer corner of the clamp", heads, rows, words=(0, 1))


def last_chance(job: Job) -> Words:
    """
    List what must be done before the deck closes.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> len(last_chance(example_laying()).lines) > 4
    True
    """
    last = plan_of(job).framing.last
    return Words.each(last.words(job.boat.units) if last is not None else ())


def _with_planks(job: Job, way: str) -> WayPlan | None:
    """The way asked for, or the last that has planks; None where there are none."""
    plan = plan_of(job)
    ways = [plan.way(way)] if way else list(plan.ways)
    return next((one for one in reversed(ways) if one.planks is not None), None)


def _amidships(job: Job) -> str:
    """A whole beam amidships."""
    whole = [beam.name for beam in job.beams if beam.mark.whole] or list(job.beams.names)
    return whole[len(whole) // 2]


def _reaches(job: Job, name: str, side: str) -> bool:
    """Whether a beam, or a half beam, has an end on this side."""
    low, high = job.beams[name].mark.limits()
    return low == float("-inf") if side == "port" else high == float("inf")
