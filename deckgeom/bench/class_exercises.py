"""The exercises of the class on screen: the task, boxes to type answers into, and what is said of each answer."""

from __future__ import annotations

import html
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from deckgeom.bench.class_kept import Kept
from deckgeom.bench.controls import Choice, Entry
from deckgeom.bench.panel import Answer, Panel
from deckgeom.bench.tables import Table, Words
from deckgeom.lessons import exercise as made
from deckgeom.lessons.check import NOT_TRIED, RIGHT, Reply, check
from deckgeom.lessons.class_work import PairWork, pair_work
from deckgeom.units import format_length

__all__ = ["KEPT", "ClassPart", "Task", "hull", "must_be_right", "panel", "parts", "replies", "reply_table", "task"]

#: Where what is typed is kept, beside the page.
KEPT = Path("out", "class_answers")


@dataclass(frozen=True, eq=False)
class ClassPart:
    """
    One part of the class for one pair.

    Parameters
    ----------
    work : PairWork
        The pair's hull and exercises.
    exercise : Exercise
        Of this part.

    Examples
    --------
    >>> parts(17, 1)[3].exercise.part
    4
    """

    work: PairWork
    exercise: made.Exercise


def parts(seed: int, pair: int, level: str = "normal", units: str = "mm") -> tuple[ClassPart, ...]:
    """
    Make the eight parts for one pair.

    Parameters
    ----------
    seed : int
        Of the class: the teacher says which. [-]
    pair : int
        From 1. [-]
    level : {"easy", "normal", "hard"}
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    tuple of ClassPart, length 8

    Examples
    --------
    >>> len(parts(17, 1))
    8
    """
    work = pair_work(seed, pair, level, units)
    return tuple(ClassPart(work, exercise) for exercise in work.exercises)


def hull(part: ClassPart) -> Words:
    """
    Say whose hull it is.

    Parameters
    ----------
    part : ClassPart
        Of :func:`parts`.

    Returns
    -------
    Words

    Examples
    --------
    >>> hull(parts(17, 1)[0])
    Hull of pair 1, seed 17, normal. The class works in mm.
    Handouts with the same seed, pair, level and units have the same figures.
    """
    one = part.work.hull
    units = {"mm": "mm", "in": "inches and sixteenths", "ft-in-8": "feet, inches and sixteenths"}[one.units]
    return Words.of(f"Hull of pair {one.pair}, seed {one.seed}, {one.level}. The class works in {units}.",
                    "Handouts with the same seed, pair, level and units have the same figures.")  # fmt: skip


@dataclass(frozen=True, eq=False)
class Task:
    """
    What is to be done, and what is given for it.

    Parameters
    ----------
    paragraphs : tuple of str
        In order.
    given : tuple of Table
        What is handed out.
    paper : str
        How to draw on squared paper; empty where nothing is drawn.

    Examples
    --------
    >>> Task(("Look along both.",), ())
    Look along both.
    """

    paragraphs: tuple[str, ...]
    given: tuple[Table, ...]
    paper: str = ""

    def _repr_html_(self) -> str:
        lines = [*self.paragraphs, *([self.paper] if self.paper else [])]
        words = "".join(f'<p style="margin:0.5em 0;max-width:72em">{html.escape(line)}</p>' for line in lines)
        tables = "".join(f'<div style="margin-right:2em">{one.html()}</div>' for one in self.given)
        return f'{words}<div style="display:flex;flex-wrap:wrap;align-items:flex-start">{tables}</div>'

    def __repr__(self) -> str:
        return "\n".join([*self.paragraphs, *([self.paper] if self.paper else []), *map(repr, self.given)])


def task(part: ClassPart) -> Task:
    """
    Give the task of a part, and the tables for it.

    Parameters
    ----------
    part : ClassPart
        Of :func:`parts`.

    Returns
    -------
    Task

    Examples
    --------
    >>> task(parts(17, 1, "easy")[2]).paper.startswith("On squared paper, across: from the centreline out")
    True
    """
    one, units = part.exercise, part.work.hull.units
    words = (0,) if all(len(table.head) > 2 for table in one.given) else ()
    given = tuple(Table(table.title, table.head, table.rows, words=words) for table in one.given)
    if one.grid is None:
        return Task(one.task, given)
    grid = one.grid
    low = f" The bottom line stands for {format_length(grid.low, units)}." if grid.low else ""
    paper = (
        f"On squared paper, {grid.caption}. Scale: across 1 to {grid.across:g}, up 1 to {grid.up:g}.{low} The handout "
        "has a grid ready."
    )
    return Task(one.task, given, paper)


def replies(part: ClassPart, answers: Mapping[str, object], tries: int = 0) -> dict[str, Reply]:
    """
    Check the answers of a part.

    Parameters
    ----------
    part : ClassPart
        Of :func:`parts`.
    answers : mapping of str to str
        What was typed, by the name of the box; blank if not tried. Boxes that are not named are not tried either.
    tries : int
        How many hints each box has given already. [-]

    Returns
    -------
    dict of str to Reply

    Raises
    ------
    ValueError
        If something was typed into a box that this part does not have.

    Examples
    --------
    >>> replies(parts(17, 1)[0], {"1A": ""})["1A"].state
    'not tried yet'
    """
    boxes = {box.key: box for box in part.exercise.answers}
    strange = [key for key, typed in answers.items() if key not in boxes and str(typed).strip()]
    if strange:
        raise ValueError(
            f"'{strange[0]}' is no box of part {part.exercise.part} at this level: it has {', '.join(boxes)}. What was "
            "typed there stands in your cell still."
        )
    return {key: check(box, answers.get(key, ""), tries) for key, box in boxes.items()}


def reply_table(part: ClassPart, answers: Mapping[str, object], tries: int = 0) -> Table:
    """
    Show each box of a part with the answer typed and what is said of it.

    Parameters
    ----------
    part : ClassPart
        Of :func:`parts`.
    answers : mapping of str to str
        As of :func:`replies`.
    tries : int
        How many hints each box has given already. [-]

    Returns
    -------
    Table
        Below it, what the part means on the boat.

    Examples
    --------
    >>> reply_table(parts(17, 1)[0], {"1A": "", "1D": "sand"}).rows[3][2:]
    ('sand', 'not yet', "'sand' is none of the choices: plane, pack, leave.")
    """
    said = replies(part, answers, tries)
    rows = [
        (box.key, _asks(box), answers.get(box.key, ""), said[box.key].state, said[box.key].says)
        for box in part.exercise.answers
    ]
    heads = ("box", "what is asked", "your answer", "how it stands", "what is said")
    return Table(f"Part {part.exercise.part}: your answers", heads, rows, words=(0, 1, 2, 3, 4), wrap=(1, 4),
                 note=f"What this means on the boat: {part.exercise.on_the_boat}")  # fmt: skip


def must_be_right(part: ClassPart, answers: Mapping[str, object]) -> Table:
    """
    Show the answers of a part, and stop where one is not right.

    Parameters
    ----------
    part : ClassPart
        Of :func:`parts`.
    answers : mapping of str to str
        As of :func:`replies`.

    Returns
    -------
    Table
        Of :func:`reply_table`.

    Raises
    ------
    ValueError
        If a box is not right, or not tried.

    Examples
    --------
    >>> must_be_right(parts(17, 1)[0], {})
    Traceback (most recent call last):
    ...
    ValueError: Part 1: box 1A is not tried yet, box 1B is not tried yet, box 1C is not tried yet, box 1D is not tried yet.
    """  # noqa: E501
    own = {key: typed for key, typed in answers.items() if key.startswith(str(part.exercise.part))}
    wrong = [f"box {key} is {reply.state}" for key, reply in replies(part, own).items() if reply.state != RIGHT]
    if wrong:
        raise ValueError(f"Part {part.exercise.part}: {', '.join(wrong)}.")
    return reply_table(part, own)


def panel(part: ClassPart, folder: str | Path | None = KEPT) -> Panel:
    """
    Make the live boxes of a part: what is typed is answered on Enter, or when the box is left.

    Parameters
    ----------
    part : ClassPart
        Of :func:`parts`.
    folder : str or Path, optional
        Where what is typed is kept, so that nothing is lost when the page is run again; None keeps nothing.

    Returns
    -------
    Panel

    Examples
    --------
    >>> live = panel(parts(17, 1)[0], None)
    >>> live.words
    'Part 1: 0 of 4 boxes right, 4 not tried yet.'
    >>> live.set(**{"1D": "leave"}).beside["1D"][0]
    'not yet'
    """
    exercise, kept = part.exercise, Kept(part.work.hull, folder)

    def respond(**typed: str) -> Answer:
        said = {}
        for box in exercise.answers:
            text = "" if typed[box.key] == NOT_TRIED else typed[box.key]
            said[box.key] = kept.reply(box, text)
        words = "\n".join(filter(None, (_count(exercise.part, said), kept.save())))
        return Answer(words=words, beside={key: (reply.state, _beside(reply)) for key, reply in said.items()})

    controls = [_control(box, kept.typed(box.key)) for box in exercise.answers]
    return Panel(f"Part {exercise.part}: your answers", controls, respond)


def _control(box: made.Answer, typed: str) -> Entry | Choice:
    label = f"{box.key}. {_asks(box)}"
    if box.kind == "choice":
        options = (NOT_TRIED, *box.choices)
        return Choice(box.key, label, options, typed if typed in options else NOT_TRIED)
    return Entry(box.key, label, typed)


def _asks(box: made.Answer) -> str:
    """What goes into a box, and in what it is counted where that is no length."""
    unit = "degrees" if box.kind == "degrees" else box.unit
    return f"{box.asks} ({unit})" if unit and unit.casefold() not in box.asks.casefold() else box.asks


def _beside(reply: Reply) -> str:
    """What stands beside a box."""
    if reply.state == NOT_TRIED:
        return "Not tried yet."
    return reply.says if reply.state == RIGHT else f"Not yet. {reply.says}"


def _count(part: int, said: Mapping[str, Reply]) -> str:
    """How the boxes of a part stand, in one line."""
    states = [reply.state for reply in said.values()]
    right = states.count(RIGHT)
    rest = [f"{states.count(state)} {state}" for state in dict.fromkeys(states) if state != RIGHT]
    return f"Part {part}: {', '.join([f'{right} of {len(states)} boxes right', *rest])}."
