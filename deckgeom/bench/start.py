"""The bench of the first notebook: where each step stands, how lengths are read, conventions, symbols, glossary."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from deckgeom.bench.actions import Action, Actions
from deckgeom.bench.boat import complaints, files, understood
from deckgeom.bench.choosing import SHED, boats, choose, chosen_boat, copy, list_boats, make
from deckgeom.bench.controls import Choice, Entry
from deckgeom.bench.panel import Answer, Panel
from deckgeom.bench.steps import steps
from deckgeom.bench.tables import Table
from deckgeom.job import Job
from deckgeom.lessons.trade_words import TRADE_WORDS
from deckgeom.units import UNITS, LengthError, echo, parse_length

__all__ = [
    "boat_panel", "boats", "choose", "complaints", "conventions", "copy", "files", "glossary", "length_panel",
    "lengths", "list_boats", "make", "steps", "symbols", "understood",
]  # fmt: skip


def lengths(texts: Sequence[str], units: str = "mm") -> Table:
    """
    Show how lengths are read, or why one is not.

    Parameters
    ----------
    texts : sequence of str
        Lengths in any notation.
    units : str
        What a bare number means.

    Returns
    -------
    Table
        One row a length.

    Examples
    --------
    >>> lengths(["1-7-4+", "1,234"]).rows[0]
    ('1-7-4+', '497 mm (19 9/16 in)')
    """
    rows = [(text, _read(text, units)) for text in texts]
    return Table("How lengths are read", ("as written", "taken as"), rows, words=(0, 1), wrap=(1,))


def _read(text: str, units: str) -> str:
    try:
        return echo(parse_length(text, units), units)
    except LengthError as error:
        return str(error)


def length_panel(units: str = "mm") -> Panel:
    """
    Make a panel to try any length in.

    Parameters
    ----------
    units : str
        What a bare number means at first.

    Returns
    -------
    Panel
        A cell to type in, and the folder's units.

    Examples
    --------
    >>> length_panel("in").set(text="1' 7 9/16\\"").words
    '1\\' 7 9/16" is 19 9/16 in (497 mm).'
    """

    def respond(text: str, units: str) -> Answer:
        return Answer(words=f"{text} is {echo(parse_length(text, units), units)}.")

    controls = [Entry("text", "A length", "1-7-4+"), Choice("units", "A bare number is", UNITS, units)]
    return Panel("Type a length in any notation", controls, respond)


def boat_panel(shed: str | Path = SHED) -> Actions:
    """
    Make the panel that chooses a boat, copies one under a new name, or makes an empty one.

    Parameters
    ----------
    shed : str or Path
        The folder that boats stand in.

    Returns
    -------
    Actions
        ``choose``, ``copy`` and ``make``; nothing happens until a button is pressed.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as shed:
    ...     boat_panel(shed).do("make", name="wherry", units="in").words.splitlines()[1]
    'Chosen: wherry. Every notebook opens it now; run this page again from the top.'
    """

    def offer() -> list[Action]:
        there = boats(shed)
        units = Choice("units", "A bare number in it is", UNITS, UNITS[0])
        new = Entry("name", "Name of the new boat", "", "such as wherry")
        made = Action("make", "Make an empty boat", lambda name, units: make(name, units, shed), [new, units])
        if not there:
            return [made]
        now = _opened(shed, there)
        old = Choice("source", "Copy the boat", there, now)
        twin = Entry("name", "Name of the copy", "", "such as wherry")
        return [
            Action("choose", "Open this boat", lambda boat: choose(boat, shed), [Choice("boat", "Boat", there, now)]),
            Action("copy", "Copy it", lambda source, name: copy(source, name, shed), [old, twin]),
            made,
        ]

    return Actions("The boat that every notebook opens", offer)


def _opened(shed: str | Path, there: Sequence[str]) -> str:
    try:
        name = chosen_boat(shed).name
    except FileNotFoundError:
        return there[0]
    return name if name in there else there[0]


def conventions(job: Job) -> Table:
    """
    Say what every number is taken to.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Table
        One row a convention.

    Examples
    --------
    >>> from deckgeom.boat import Boat, default_settings
    >>> from deckgeom.job import do_job
    >>> conventions(do_job(Boat(Path("punt"), default_settings()))).rows[0][0]
    'along the boat'
    """
    settings = job.boat.settings
    rows = [
        ("along the boat", "x, aft of the boat's zero; drawings have the bow to the left"),
        ("across the boat", "off the centreline, to port or to starboard, without a sign"),
        ("heights", f"up from the base line, to the {settings.heights_to}"),
        ("half-breadths", f"centreline to the {settings.half_breadths_to}"),
        ("breadth", "is always the whole, half-breadth always the half"),
        ("camber", "rise at the centreline above the line that joins that beam's deck edges"),
        ("siding, moulding", "siding is fore-and-aft, moulding is up-and-down"),
        ("a beam's mark", f"x in beams.csv is its {settings.beams.mark}, unless its row says otherwise"),
        ("a beam", "stands plumb and square to the centreline, unless it has a rake"),
        ("a bevel", "degrees, and rise over the siding, with the edge that is high"),
        ("measured against fair", "two columns, plane off and pack up: never a sign"),
        ("how fine", "1 mm or 1/16 in, no finer; a reason (why) shows more"),
    ]
    return Table(f"Conventions, as {job.boat.name} keeps them", ("of", "taken to"), rows, words=(0, 1), wrap=(1,))


def symbols() -> Table:
    """
    List the symbols that the drawings and the reference use.

    Examples
    --------
    >>> symbols().rows[0]
    ('x', 'along the boat, aft')
    """
    rows = [
        ("x", "along the boat, aft"),
        ("y", "off the centreline"),
        ("z", "height above the base line"),
        ("b", "half-breadth: centreline to deck edge"),
        ("B", "breadth, the whole of it"),
        ("c", "camber"),
        ("R", "radius of a circular camber"),
        ("u", "y as a part of b: 0 at the centreline, 1 at the deck edge"),
    ]
    return Table("Symbols", ("symbol", "meaning"), rows, words=(0, 1))


def glossary() -> Table:
    """
    List the trade words, with what else they are called.

    Examples
    --------
    >>> glossary().rows[0][0]
    'batten'
    """
    return Table("Words of the trade", ("word", "also", "meaning"), TRADE_WORDS, words=(0, 1, 2), wrap=(2,))
