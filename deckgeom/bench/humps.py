"""Where humps come from: the boat's breadth and camber on a plain hull whose sheer can be raised and lowered."""

from __future__ import annotations

from functools import lru_cache

from deckgeom.bench.camber import deck_of
from deckgeom.bench.controls import Choice, Slider
from deckgeom.bench.panel import Answer, Panel
from deckgeom.bench.tables import Table
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.humps import CrownProfile, crown_line
from deckgeom.deck.surface import Deck
from deckgeom.drawings import Picture
from deckgeom.drawings.board import Board
from deckgeom.drawings.crown import crown_board, draw_crown_line, draw_crown_lines
from deckgeom.drawings.words import gap_words
from deckgeom.job import Job, crown_rule
from deckgeom.units import echo, parse_length

__all__ = ["panel", "picture", "table"]

RULES = ("one mould", "same proportion", "no hump")
STEP = {"mm": 10.0, "in": parse_length("1/2in"), "ft-in-8": parse_length("1/2in")}
LITTLE = {"mm": "60 mm", "in": "2 1/2 in", "ft-in-8": "2 1/2 in"}


def picture(job: Job, rise: str | float = "") -> Picture:
    """
    Draw the crown line under three rules on a plain hull of the boat's length, breadth and camber.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    rise : str or float
        How much higher the sheer is at the ends, in any notation; little if not given.

    Returns
    -------
    Picture
        Humps are marked.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> picture(example_job(), "60 mm").alt.count("hump of")
    1
    """
    return draw_crown_lines(_profiles(job, _rise(job, rise)), job.boat.units, "no hump")


def table(job: Job, rises: tuple[str | float, ...]) -> Table:
    """
    List the hump under each rule for several sheers.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    rises : tuple of str or float
        How much higher the sheer is at the ends, in any notation.

    Returns
    -------
    Table
        One row a sheer.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> table(example_job(), ("0 mm", "120 mm")).rows[1]
    ('120 mm (4 3/4 in)', 'none', 'none', 'none')
    """
    units, rows = job.boat.units, []
    for rise in (_rise(job, one) for one in rises):
        profiles = _profiles(job, rise)
        rows.append((echo(rise, units), *(_most(profiles.get(rule), units) for rule in RULES)))
    return Table("Hump or hollow on a plain hull", ("ends higher by", *RULES), rows, words=(0, 1, 2, 3))


def panel(job: Job) -> Panel:
    """
    Make the live lesson: raise the sheer, and see the hump go.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Panel
        A choice and a slider.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> live = panel(example_job())
    >>> "hump of" in live.set(rise="60 mm").words, "no hump" in live.set(rise="120 mm").words
    (True, True)
    """
    units, step, board = job.boat.units, STEP[job.boat.units], crown_board()
    most = step * round(2.6 * float(deck_of(job).camber(deck_of(job).law.widest_at)) / step)

    def respond(rule: str, rise: float) -> Answer:
        return _answer(job, rule, rise, board)

    def say(rise: float) -> str:
        return echo(rise, units)

    def read(text: str) -> float:
        return parse_length(text, units)

    start = parse_length(LITTLE[units], units)
    controls = [
        Choice("rule", "Rule", RULES, "one mould"),
        Slider("rise", "The sheer is higher at the ends by", 0.0, most, step, start, say, read),
    ]
    return Panel("Where humps come from", controls, respond)


def _answer(job: Job, rule: str, rise: float, board: Board) -> Answer:
    units, profiles = job.boat.units, _profiles(job, rise)
    profiles[rule] = _profile(job, rule, rise)
    drawn = draw_crown_line(profiles[rule], rule, profiles, units, board)
    return Answer(drawn, f"Ends higher by {echo(rise, units)}, {rule}: {profiles[rule].words(units)}")


def _profiles(job: Job, rise: float) -> dict[str, CrownProfile]:
    """The crown line under each rule that this sheer allows."""
    deck_of(job)
    found = {}
    for rule in RULES:
        try:
            found[rule] = _profile(job, rule, rise)
        except ValueError:
            continue
    return found


@lru_cache(maxsize=256)
def _profile(job: Job, rule: str, rise: float) -> CrownProfile:
    deck = deck_of(job)
    start, end = deck.sheer.start, deck.sheer.end
    hull = even_hull(end - start, deck.law.widest_half, rise=rise, middle=(start + end) / 2)
    return crown_line(Deck(hull, crown_rule(job.boat, rule)))


def _most(profile: CrownProfile | None, units: str) -> str:
    if profile is None:
        return "cannot be had with the least camber"
    if not profile.humps:
        return "none"
    most = max(profile.humps, key=lambda hump: hump.gap)
    return f"{most.kind} of {gap_words(most.gap, units)}"


def _rise(job: Job, rise: str | float) -> float:
    return parse_length(rise if rise != "" else LITTLE[job.boat.units], job.boat.units)
