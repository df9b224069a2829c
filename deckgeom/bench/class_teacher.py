"""What the teacher's page shows: hulls, keys, known slips, an answer looked up in five seconds."""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import dataclass

from deckgeom.bench.controls import Choice, Entry
from deckgeom.bench.panel import Answer, Panel
from deckgeom.bench.tables import Table
from deckgeom.lessons.check import NOT_TRIED, RIGHT, check
from deckgeom.lessons.class_work import PairWork, class_work
from deckgeom.lessons.packet_words import BREAK, BRING, MARKING

__all__ = ["Folded", "TaughtClass", "ask_panel", "ask_table", "bring", "hulls", "keys", "marking", "plan", "slips",
           "taught"]  # fmt: skip

SHEETS = ("A4", "Letter")
HUMPS = {"one mould only": ("a hump", "none"), "both": ("a hump", "a hump"), "neither": ("none", "none")}


@dataclass(frozen=True, eq=False)
class TaughtClass:
    """
    A class: what each pair works on, and on which paper.

    Parameters
    ----------
    works : tuple of PairWork
        One a pair.
    paper : {"A4", "Letter"}
        The packet's.

    Examples
    --------
    >>> len(taught(17, 2, "easy").works)
    2
    """

    works: tuple[PairWork, ...]
    paper: str

    @property
    def settings(self) -> tuple[int, int, str, str, str]:
        """Seed, pairs, level, units and paper."""
        hull = self.works[0].hull
        return hull.seed, len(self.works), hull.level, hull.units, self.paper


def taught(seed: int, pairs: int, level: str = "normal", units: str = "mm", paper: str = "A4") -> TaughtClass:
    """
    Set up a class.

    Parameters
    ----------
    seed : int
        The same seed gives the same hulls and figures. [-]
    pairs : int
        From 1 to 41. [-]
    level : {"easy", "normal", "hard"}
    units : {"mm", "ft-in-8", "in"}
    paper : {"A4", "Letter"}

    Returns
    -------
    TaughtClass

    Raises
    ------
    ValueError
        If there is no such paper, level, units or number of pairs.

    Examples
    --------
    >>> taught(17, 2, paper="A3")
    Traceback (most recent call last):
    ...
    ValueError: paper is 'A3'; packets are printed on A4 or Letter.
    """
    if paper not in SHEETS:
        raise ValueError(f"paper is {paper!r}; packets are printed on {' or '.join(SHEETS)}.")
    return TaughtClass(class_work(seed, pairs, level, units), paper)


def bring(taught: TaughtClass) -> Table:
    """
    List what to bring.

    Parameters
    ----------
    taught : TaughtClass
        Of :func:`taught`.

    Returns
    -------
    Table

    Examples
    --------
    >>> bring(taught(17, 1)).heads
    ('where', 'what')
    """
    return Table(f"What to bring for {len(taught.works)} pairs", ("where", "what"), BRING, words=(0, 1), wrap=(1,))


def plan(taught: TaughtClass) -> Table:
    """
    List the parts of the class by the clock.

    Parameters
    ----------
    taught : TaughtClass
        Of :func:`taught`.

    Returns
    -------
    Table

    Examples
    --------
    >>> plan(taught(17, 1)).rows[0]
    ('0-10', '1', 'Two beams on the bench', '4')
    """
    parts = taught.works[0].exercises
    rows = [(one.minutes, one.part, one.title, len(one.answers)) for one in parts]
    return Table("150 minutes", ("minutes", "part", "what is done", "boxes"), rows, words=(0, 2), note=BREAK)


def marking(taught: TaughtClass) -> Table:
    """
    Say how near counts as right.

    Parameters
    ----------
    taught : TaughtClass
        Of :func:`taught`.

    Returns
    -------
    Table

    Examples
    --------
    >>> marking(taught(17, 1)).heads
    ('what is marked', 'counts as right')
    """
    return Table("Marking", ("what is marked", "counts as right"), MARKING, words=(0, 1))


def hulls(taught: TaughtClass) -> Table:
    """
    List the hulls: one a pair, and under which rule its crown line humps.

    Parameters
    ----------
    taught : TaughtClass
        Of :func:`taught`.

    Returns
    -------
    Table

    Examples
    --------
    >>> len(hulls(taught(17, 2)).rows)
    2
    """
    rows = []
    for work in taught.works:
        hull = work.hull
        rows.append((hull.pair, hull.seed, hull.say(2 * hull.widest), hull.figure.text, hull.say(hull.camber),
                     *HUMPS[hull.humps]))  # fmt: skip
    heads = ("pair", "seed", "widest beam", "camber figure", "camber there", "one mould", "same proportion")
    return Table("The hulls", heads, rows, words=(0, 3, 5, 6))


@dataclass(frozen=True, eq=False)
class Folded:
    """
    Tables that are unfolded one by one, so that a key does not lie open on the screen.

    Parameters
    ----------
    tables : sequence of Table
        Each under its caption.

    Examples
    --------
    >>> Folded([Table("Key", ("box",), [("1A",)])])._repr_html_().count("<summary")
    1
    """

    tables: Sequence[Table]

    def _repr_html_(self) -> str:
        return "".join(
            f'<details style="margin:0.3em 0"><summary style="cursor:pointer;font-weight:bold">'
            f"{html.escape(one.caption)}</summary>{one.html()}</details>"
            for one in self.tables
        )

    def __repr__(self) -> str:
        return "Folded: " + "; ".join(one.caption for one in self.tables)


def keys(taught: TaughtClass) -> Folded:
    """
    Give the right answers of each pair, folded.

    Parameters
    ----------
    taught : TaughtClass
        Of :func:`taught`.

    Returns
    -------
    Folded
        One table a pair.

    Examples
    --------
    >>> keys(taught(17, 2))
    Folded: Key of pair 1; Key of pair 2
    """
    heads = ("box", "what is asked", "right answer", "counts as right")
    return Folded([
        Table(f"Key of pair {work.hull.pair}", heads,
              [(box.key, box.asks, box.shown, box.tolerance_shown) for box in work.answers],
              words=(0, 1, 2, 3), wrap=(1, 2))
        for work in taught.works
    ])  # fmt: skip


def slips(taught: TaughtClass) -> Folded:
    """
    Give the wrong answers that are known to happen, what went wrong, and what to say; folded.

    Parameters
    ----------
    taught : TaughtClass
        Of :func:`taught`.

    Returns
    -------
    Folded
        One table a pair.

    Examples
    --------
    >>> slips(taught(17, 1)).tables[0].heads
    ('box', 'wrong answer', 'what went wrong', 'what to say')
    """
    heads = ("box", "wrong answer", "what went wrong", "what to say")
    return Folded([
        Table(f"Wrong answers of pair {work.hull.pair}", heads,
              [(box.key, box.written(slip.value), slip.happened, slip.says) for box in work.answers
               for slip in box.slips],
              words=(0, 1, 2, 3), wrap=(2, 3))
        for work in taught.works
    ])  # fmt: skip


def ask_table(taught: TaughtClass, pair: int, box: str, *typed: str) -> Table:
    """
    Look up answers that a pair gives, without showing the right one.

    Parameters
    ----------
    taught : TaughtClass
        Of :func:`taught`.
    pair : int
        Whose. [-]
    box : str
        Which: "4A", say.
    *typed : str
        What they wrote.

    Returns
    -------
    Table
        How each stands, which slip it looks like, and what to say.

    Examples
    --------
    >>> ask_table(taught(17, 1), 1, "1D", "sand").rows
    (('sand', 'not yet', 'no known slip', "'sand' is none of the choices: plane, pack, leave."),)
    """
    found = _box(taught, pair, box)
    rows = []
    for one in typed:
        reply = check(found, one)
        known = reply.slip.happened if reply.slip else "" if reply.state in (RIGHT, NOT_TRIED) else "no known slip"
        rows.append((one, reply.state, known, reply.says))
    heads = ("their answer", "how it stands", "what went wrong", "what to say")
    return Table(f"Pair {pair}, box {box}: {found.asks}", heads, rows, words=(0, 1, 2, 3), wrap=(2, 3))


def ask_panel(taught: TaughtClass) -> Panel:
    """
    Look up an answer as it is called out: pair, box, and what they wrote.

    Parameters
    ----------
    taught : TaughtClass
        Of :func:`taught`.

    Returns
    -------
    Panel

    Examples
    --------
    >>> ask_panel(taught(17, 1)).set(box="1D", typed="sand").words.partition(":")[0]
    'Pair 1, box 1D'
    """
    pairs = [str(work.hull.pair) for work in taught.works]
    boxes = [box.key for box in taught.works[0].answers]

    def respond(pair: str, box: str, typed: str) -> Answer:
        if not typed.strip():
            return Answer(words=f"Pair {pair}, box {box}: {_box(taught, int(pair), box).asks}\nType what they wrote.")
        ((_, state, known, says),) = ask_table(taught, int(pair), box, typed).rows
        said = [f"What went wrong: {known}" if known else "", f"Say: {says}" if state != RIGHT else ""]
        return Answer(words="\n".join(filter(None, [f"Pair {pair}, box {box}: {typed}: {state}.", *said])))

    controls = [Choice("pair", "Pair", pairs, pairs[0]), Choice("box", "Box", boxes, boxes[0]),
                Entry("typed", "They wrote", "")]  # fmt: skip
    return Panel("Look up an answer", controls, respond)


def _box(taught: TaughtClass, pair: int, key: str):
    """A box of a pair, or which there are."""
    if not 1 <= pair <= len(taught.works):
        raise ValueError(f"there is no pair {pair}: the class has {len(taught.works)}.")
    boxes = {box.key: box for box in taught.works[pair - 1].answers}
    if key not in boxes:
        raise ValueError(f"there is no box {key!r}: there are {', '.join(boxes)}.")
    return boxes[key]
