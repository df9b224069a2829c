"""The lesson on the crown line: why a hump appears, with one slider that moves the sheer."""

from __future__ import annotations

from functools import lru_cache

from deckgeom.bench.controls import Choice, Slider
from deckgeom.bench.lessons import STEP, LessonBeam
from deckgeom.bench.panel import Answer, Panel
from deckgeom.bench.tables import Table
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.humps import CrownProfile, crown_line
from deckgeom.deck.surface import Deck
from deckgeom.drawings import Picture
from deckgeom.drawings.crown import crown_board, draw_crown_line
from deckgeom.drawings.words import gap_words
from deckgeom.units import echo, parse_length

__all__ = ["crown_panel", "crown_picture", "crown_table", "profile"]

RULES = {"one mould": OneMould, "same proportion": SameProportion}
#: The lesson's hull is so many times as long as broad.
LENGTH_OVER_BREADTH = 2.0
#: The most that the sheer is raised, in cambers.
MOST = 2.6
#: Sheers that the table shows, in cambers.
CAMBERS = (0.0, 0.5, 1.0, 1.5, 2.0)
#: Where it stands at first: too little sheer for one mould.
START = 0.6


def profile(beam: LessonBeam, rule: str, rise: float) -> CrownProfile:
    """
    Work out the crown line of the lesson's hull.

    Parameters
    ----------
    beam : LessonBeam
        The widest beam.
    rule : {"one mould", "same proportion"}
        How the camber changes along the boat.
    rise : float
        How much higher the sheer is at both ends. [mm]

    Returns
    -------
    CrownProfile
        Of a hull that is a parabola in plan and in profile.

    Examples
    --------
    >>> from deckgeom.bench.lessons import beam
    >>> [len(profile(beam(1500, 100), "one mould", rise).humps) for rise in (100.0, 200.0)]
    [1, 0]
    """
    if rule not in RULES:
        raise ValueError(f"{rule!r} is none of the rules of this lesson: {', '.join(RULES)}.")
    return _profile(beam.half_breadth, beam.camber, rule, float(rise))


@lru_cache(maxsize=256)
def _profile(half_breadth: float, camber: float, rule: str, rise: float) -> CrownProfile:
    length = 2 * LENGTH_OVER_BREADTH * half_breadth
    hull = even_hull(length, half_breadth, height=half_breadth / 2, rise=rise, middle=length / 2)
    return crown_line(Deck(hull, RULES[rule]("parabola", camber)))


def crown_picture(beam: LessonBeam, rule: str = "one mould", rise: str | float = 0.0) -> Picture:
    """
    Draw the crown line of the lesson's hull.

    Parameters
    ----------
    beam : LessonBeam
        The widest beam.
    rule : {"one mould", "same proportion"}
        How the camber changes along the boat.
    rise : str or float
        How much higher the sheer is at both ends, in any notation.

    Returns
    -------
    Picture
        The other rule is drawn faintly behind.

    Examples
    --------
    >>> from deckgeom.bench.lessons import beam
    >>> "hump of" in crown_picture(beam(1500, 100), "one mould", "60 mm").alt
    True
    """
    lines = {name: profile(beam, name, parse_length(rise, beam.units)) for name in RULES}
    return draw_crown_line(lines[rule], rule, lines, beam.units)


def crown_table(beam: LessonBeam, rises: tuple[str | float, ...] = ()) -> Table:
    """
    List for several sheers what a straight batten shows under each rule.

    Parameters
    ----------
    beam : LessonBeam
        The widest beam.
    rises : tuple of str or float
        How much higher the sheer is at both ends, in any notation; from nought to two cambers if not given.

    Returns
    -------
    Table
        One row a sheer.

    Examples
    --------
    >>> from deckgeom.bench.lessons import beam
    >>> crown_table(beam(1500, 100), ("0", "100 mm", "200 mm")).rows[2]
    ('200 mm (7 7/8 in)', '2.0 cambers', 'none', 'none')
    """
    rows = []
    for rise in [parse_length(one, beam.units) for one in rises] or [part * beam.camber for part in CAMBERS]:
        shown = (_most(profile(beam, rule, rise), beam.units) for rule in RULES)
        rows.append((echo(rise, beam.units), f"{rise / beam.camber:.1f} cambers", *shown))
    heads = ("ends higher by", "that is", *(f"hump or hollow, {rule}" for rule in RULES))
    return Table("What a straight batten shows along the crown", heads, rows, words=(0, 1, 2, 3))


def crown_panel(beam: LessonBeam) -> Panel:
    """
    Make the live lesson: move the sheer, and see the hump come and go.

    Parameters
    ----------
    beam : LessonBeam
        The widest beam.

    Returns
    -------
    Panel
        A choice of the rule and a slider for the sheer.

    Examples
    --------
    >>> from deckgeom.bench.lessons import beam
    >>> live = crown_panel(beam(1500, 100))
    >>> "hump of" in live.set(sheer=100).words, "hump of" in live.set(sheer=200).words
    (True, False)
    """
    units, step, board = beam.units, STEP[beam.units], crown_board()

    def respond(rule: str, sheer: float) -> Answer:
        lines = {name: profile(beam, name, sheer) for name in RULES}
        drawn = draw_crown_line(lines[rule], rule, lines, units, board)
        share = f"{sheer / beam.camber:.1f} times the camber"
        return Answer(drawn, f"Ends higher by {echo(sheer, units)}, {share}; {rule}: {lines[rule].words(units)}")

    most = step * max(4, round(MOST * beam.camber / step))
    controls = [
        Choice("rule", "Rule", tuple(RULES), "one mould"),
        Slider("sheer", "The sheer is higher at the ends by", 0.0, most, step, step * round(START * beam.camber / step),
               lambda rise: echo(rise, units), lambda text: parse_length(text, units)),
    ]  # fmt: skip
    return Panel("Why a hump appears", controls, respond)


def _most(line: CrownProfile, units: str) -> str:
    if not line.humps:
        return "none"
    most = max(line.humps, key=lambda hump: hump.gap)
    return f"{most.kind} of {gap_words(most.gap, units)}"
