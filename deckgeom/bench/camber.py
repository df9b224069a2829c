"""The bench of the camber: the figure echoed, the curves compared, and the crown line under each rule."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from deckgeom.bench.controls import STRIDE, Choice, Slider
from deckgeom.bench.panel import Answer, Panel
from deckgeom.bench.tables import Table, Words
from deckgeom.boat.settings import CamberSettings
from deckgeom.deck.camber import Circle, Parabola, shape_named
from deckgeom.deck.drainage import drainage
from deckgeom.deck.figure import CamberFigure
from deckgeom.deck.humps import CrownProfile, crown_line
from deckgeom.deck.quarter_circle import QuarterCircle
from deckgeom.deck.surface import Deck
from deckgeom.deck.why import why_camber
from deckgeom.drawings import Picture
from deckgeom.drawings.camber import draw_camber_curves
from deckgeom.drawings.crown import crown_board, draw_crown_line, draw_crown_lines
from deckgeom.drawings.words import gap_words
from deckgeom.job import Job, crown_rule
from deckgeom.units import echo, format_length, parse_length

__all__ = [
    "crown_lines", "curves", "curves_table", "drains", "figure", "panel", "rules_table", "why",
]  # fmt: skip

RULES = ("one mould", "same proportion", "crown line", "beam by beam", "no hump")
CURVES = {"circle": Circle, "parabola": Parabola, "quarter-circle": QuarterCircle}
STEP = {"mm": 1.0, "in": parse_length("1/16in"), "ft-in-8": parse_length("1/16in")}
SHOWN = 6


def figure(job: Job, text: str = "") -> Words:
    """
    Say what the camber figure was taken to be, at the widest beam.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    text : str
        Another figure to try, in any form; the boat's own if empty.

    Returns
    -------
    Words
        The figure, and the camber that it gives.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> figure(example_job(), "1:32 of beam").lines[0]
    '1:32 of the whole beam: at your widest beam of 1708 mm that is 53 mm (2 1/8 in).'
    """
    asked = CamberFigure.parse(text, job.boat.units) if text else job.boat.settings.camber.figure
    return Words.of(asked.words(job.boat.units, deck_of(job).law.widest_half, _curve(job)))


def curves(job: Job) -> Picture:
    """
    Lay circle, parabola and quarter-circle of one crown over each other, at the widest beam.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Picture
        Half of the beam, and the differences drawn large.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> curves(example_job()).alt[:37]
    'Half of a beam of 854 mm half-breadth'
    """
    half, laid = _laid(job)
    chosen = job.boat.settings.camber.curve
    return draw_camber_curves(half, laid, chosen if chosen in laid else "circle", job.boat.units)


def curves_table(job: Job) -> Table:
    """
    Give the height of the three curves at the quarter points of the widest beam.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Table
        One row a curve.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> curves_table(example_job()).rows[1]
    ('parabola', '53 mm', '50 mm', '40 mm', '23 mm', '0 mm')
    """
    units = job.boat.units
    half, laid = _laid(job)
    places = [0, half / 4, half / 2, 3 * half / 4, half]
    rows = [(name, *(format_length(float(curve.height(y)), units) for y in places)) for name, curve in laid.items()]
    heads = ("curve", "centreline", "a quarter out", "half way out", "three quarters out", "beam end")
    return Table(f"Height above the ends of the widest beam, {echo(2 * half, units)} broad", heads, rows)


def crown_lines(job: Job) -> Picture:
    """
    Draw the crown line under each rule, and the camber that each leaves.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Picture
        Humps and hollows are marked.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> crown_lines(example_job()).alt[:48]
    'The crown line and the camber under each rule. O'
    """
    own = job.boat.settings.camber.rule
    return draw_crown_lines(_profiles(job), job.boat.units, own)


def rules_table(job: Job) -> Table:
    """
    Give the camber of some beams under each rule, and the hump that a straight batten shows.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Table
        One row a rule; the boat's own is in bold.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> rules_table(example_job()).rows[1]
    ('same proportion', '46 mm', '53 mm', '53 mm', 'none')
    """
    deck_of(job)
    units, beams = job.boat.units, _some_beams(job)
    decks = {name: _tried(job, name) for name in possible_rules(job)}
    rows = [
        (name, *(format_length(float(deck.camber(x)), units) for _, x in beams), _hump(crown_line(deck), units))
        for name, deck in decks.items()
    ]
    own = [k for k, row in enumerate(rows) if row[0] == job.boat.settings.camber.rule]
    heads = ("rule", *(f"beam {name}" for name, _ in beams), "hump or hollow")
    return Table("Camber under each rule", heads, rows, words=(0, len(heads) - 1), strong=own)


def drains(job: Job) -> Words:
    """
    Say where the deck is flattest, and whether it keeps the least camber.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Words
        One sentence or two.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> drains(example_job()).lines[0][:12]
    'Flattest at '
    """
    return Words.of(drainage(deck_of(job)).words(job.boat.units))


def why(job: Job, beam: str) -> Words:
    """
    Say where the camber of a beam comes from.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    beam : str
        Its name.

    Returns
    -------
    Words
        With the numbers that it came from.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> why(example_job(), "2").lines[0][:35]
    '53 mm (2 1/16 in) of camber because'
    """
    if job.beams is None:
        raise ValueError("There are no beams: beams.csv is not there, or could not be laid out.")
    return Words.of(why_camber(deck_of(job), job.beams[beam].x, job.boat.units))


def panel(job: Job) -> Panel:
    """
    Make the live panel: rule, curve and the camber at the widest beam.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Panel
        Two choices, a slider for the camber and one for the place to read at.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> panel(example_job()).set(rule="same proportion", camber=60).words.partition(":")[0]
    '60 mm (2 3/8 in) at the widest beam, 1'
    """
    units, own, deck = job.boat.units, job.boat.settings.camber, deck_of(job)
    step, half, board = STEP[units], deck.law.widest_half, crown_board()
    now = step * round(own.figure.camber_at(half, _curve(job)) / step)
    beams, sheer = _some_beams(job), deck.sheer
    stride = STRIDE[units]
    middle = sheer.start + stride * round((sheer.end - sheer.start) / stride / 2)

    def respond(rule: str, curve: str, camber: float, place: float) -> Answer:
        asked = own.figure if camber == now else CamberFigure("crown", camber)
        tried = {name: _tried(job, name, curve, asked) for name in possible_rules(job)}
        profiles = {name: crown_line(deck, points=201) for name, deck in tried.items()}
        drawn = draw_crown_line(profiles[rule], rule, profiles, units, board, place)
        ratio = CamberFigure("crown", camber).ratio(half)
        words = (
            f"{echo(camber, units)} at the widest beam, 1:{1 / ratio:.0f} of it, by the rule {rule}: "
            f"{_beam_words(tried[rule], beams, units)}. {profiles[rule].words(units)} "
            f"{drainage(tried[rule]).words(units)}\n{_at_place(profiles, place, units)}"
        )
        return Answer(drawn, words)

    def say(camber: float) -> str:
        return echo(camber, units)

    def read(text: str) -> float:
        return parse_length(text, units)

    controls = [
        Choice("rule", "Rule", possible_rules(job), own.rule),
        Choice("curve", "Curve of the beams", _possible_curves(own), own.curve),
        Slider("camber", "Camber at the widest beam", step * round(0.3 * now / step), 2.5 * now, step, now, say, read),
        Slider("place", "Read it at", sheer.start, sheer.end, stride, middle, say, read),
    ]
    return Panel("Choose the camber, look at the crown line", controls, respond)


def _at_place(profiles: dict[str, CrownProfile], place: float, units: str) -> str:
    """Crown height and camber of every rule at one place along her."""
    said = []
    for rule, line in profiles.items():
        crown, camber = (format_length(float(np.interp(place, line.x, z)), units) for z in (line.height, line.camber))
        said.append(f"{rule}: crown at {crown}, camber {camber}")
    return f"At {format_length(place, units)} aft: {'; '.join(said)}."


def possible_rules(job: Job) -> tuple[str, ...]:
    """
    Name the rules that the boat's folder says enough for.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    tuple of str
        In a fixed order.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> possible_rules(example_job())
    ('one mould', 'same proportion', 'no hump')
    """
    deck_of(job)
    found = []
    for name in RULES:
        try:
            _tried(job, name)
        except ValueError:
            continue
        found.append(name)
    return tuple(found)


def _possible_curves(own: CamberSettings) -> tuple[str, ...]:
    return (*CURVES, *(["drawn"] if own.section else []))


def deck_of(job: Job) -> Deck:
    """
    Return the deck of a job, or say why there is none.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Deck
        As the folder has it.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> deck_of(example_job()).heights_to
    'top of deck'
    """
    if job.deck is None:
        raise ValueError("There is no deck yet: the deck edge comes first. The table of what wants mending says why.")
    return job.deck


@lru_cache(maxsize=64)
def _tried(job: Job, rule: str, curve: str | None = None, figure: CamberFigure | None = None) -> Deck:
    """The job's deck under another rule, curve or figure."""
    settings = job.boat.settings
    return Deck(
        deck_of(job).sheer, crown_rule(job.boat, rule, curve, figure), settings.deck_thickness, settings.heights_to
    )


def _profiles(job: Job) -> dict[str, CrownProfile]:
    return {name: crown_line(_tried(job, name)) for name in possible_rules(job)}


def _curve(job: Job):
    return shape_named(deck_of(job).law.rule.shape)


def _laid(job: Job) -> tuple[float, dict]:
    law = deck_of(job).law
    rise = job.boat.settings.camber.figure.camber_at(law.widest_half, _curve(job))
    return law.widest_half, {name: curve(law.widest_half, rise) for name, curve in CURVES.items()}


def _some_beams(job: Job) -> list[tuple[str, float]]:
    """A handful of beams from forward to aft, or stations where there is no list of beams."""
    if job.beams is not None and len(job.beams):
        places = [(beam.name, beam.x) for beam in job.beams if beam.mark.whole]
    else:
        table = job.boat.offsets
        places = list(zip(table.stations, table.x.tolist(), strict=True))
    step = max((len(places) - 1) / (SHOWN - 1), 1)
    chosen = sorted({round(k * step) for k in range(SHOWN) if round(k * step) < len(places)})
    return [places[k] for k in chosen]


def _beam_words(deck: Deck, beams: list, units: str) -> str:
    said = (f"beam {name}: {format_length(float(deck.camber(x)), units)}" for name, x in beams)
    return "camber of " + "; ".join(said)


def _hump(profile: CrownProfile, units: str) -> str:
    if not profile.humps:
        return "none"
    most = max(profile.humps, key=lambda hump: hump.gap)
    return f"{most.kind} of {gap_words(most.gap, units)} at {format_length(most.x, units)}"
