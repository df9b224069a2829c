"""The bench of wishes: the work within the builder's limits and prices, the fewest beams, one beam left out, rounds."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from deckgeom.bench.asked import STEP, again, beam_number, fairing_of, length_slider, tolerance_slider
from deckgeom.bench.controls import Choice, Slider
from deckgeom.bench.panel import Answer, Panel
from deckgeom.bench.tables import Table, Words
from deckgeom.drawings.plan import draw_plan, plan_board
from deckgeom.drawings.words import gap_words, off_words
from deckgeom.fairing.again import fewest_again
from deckgeom.fairing.fair import SHORTEST
from deckgeom.fairing.fewest import FewestBeams
from deckgeom.fairing.field import SPACINGS
from deckgeom.fairing.left_out import leave_beam_out
from deckgeom.fairing.work import Fairing
from deckgeom.job import Job
from deckgeom.units import echo, format_length

__all__ = ["fewest", "plan_panel", "rounds", "without", "work"]

LONGEST = 12.0
#: The work that may be done, in words, and as settings.
WAYS = {
    "plane and pack": (False, False),
    "plane only": (True, False),
    "pack only": (False, True),
}
NO_LIMIT = "no limit"
LIMIT_STEPS = {"mm": 30, "in": 12, "ft-in-8": 12}
CHEAPEST, DEAREST = 0.5, 8.0
HEADS = ("beam", "plane off, most", "pack up, most", "what to do")


def plan_panel(job: Job) -> Panel:
    """
    Make the live plan: what may stay, what is shape and what unfairness, and the builder's limits and prices.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Panel
        Tolerance, cut-off length, plane or pack, the most to plane and to pack, what packing costs. The boat's least
        depth is kept whatever is asked.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> live = plan_panel(example_fairing())
    >>> print(live.words)
    Leave what is within 2 mm.
    Beam 5: plane 4 mm off its whole top.
    In all: 1 beam touched: 1 planed, 0 packed. About 0.30 litres of wood come off.
    In the ring: Beam 1, 900 mm to port: cannot tell from here. Here the fair line rests on this beam's own readings:
    there is too little beyond it to hold it against.
    >>> live.set(tolerance=6).words.splitlines()[1]
    'In all: No beam needs touching.'
    >>> live.set(tolerance=1, ways="plane only", most_off=1).words.splitlines()[2].partition(", ")[0]
    'Cannot be had: beam 5'
    """
    units, board = job.boat.units, plan_board()
    last, controls = fairing_of(job), _controls(job)
    order = np.lexsort((last.tops.y, last.tops.beam))

    def respond(reading: float, **asked: Any) -> Answer:
        nonlocal last
        last = _work(job, last, controls, asked)
        drawn = draw_plan(last.verdicts, job.sheer, units, last, job.boat.fittings, board, chosen(reading))
        said = (f"Leave what is within {gap_words(asked['tolerance'], units)}.", *_said(last, units))
        why = last.verdicts.why(chosen(reading), units).split(". ")
        said += (f"In the ring: {'. '.join(why[:2]).rstrip('.')}.",)
        return Answer(drawn, "\n".join(said), _table(last, units))

    def chosen(reading: float) -> int:
        return int(order[round(reading) - 1])

    def say(reading: float) -> str:
        return f"{round(reading)} of {len(order)}: {last.tops.where(chosen(reading), units=units)}"

    worst = [k + 1 for k, i in enumerate(order) if i in last.verdicts.first]
    step = Slider("reading", "Step through the readings", 1, len(order), 1, (worst or [1])[0], say)
    return Panel("Plan of the deck", [*controls, step], respond)


def work(job: Job, **asked: Any) -> Table:
    """
    List the work under the same wishes as in :func:`plan_panel`, beam by beam.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    **asked
        Any of ``tolerance``, ``cutoff`` in beam spaces, ``ways``, ``most_off``, ``most_up``, ``price``; lengths in any
        notation. What is not given is as in the boat's folder.

    Returns
    -------
    Table
        One row a touched beam; below it the totals and what cannot be had.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> work(example_fairing(), tolerance="0.5 mm", ways="plane only", most_off="1 mm").note.partition(". ")[0]
    'Cannot be had: beam 5, on the centreline: no more than its limit should come off, but then it stays 1 mm high past
    what is let pass'
    """
    controls = _controls(job)
    unknown = sorted(set(asked) - {control.key for control in controls})
    if unknown:
        raise KeyError(f"no wish {unknown[0]!r}; there are: {', '.join(control.key for control in controls)}")
    wanted = {control.key: control.accept(asked.get(control.key, control.value)) for control in controls}
    return _table(_work(job, fairing_of(job), controls, wanted), job.boat.units)


def fewest(job: Job, seconds: float = 10.0) -> Words:
    """
    Ask for the fewest beams that must be touched; it may take some seconds.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    seconds : float
        The most time to give it. [s]

    Returns
    -------
    Words
        The number, how far it is proved, and the work on those beams.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> fewest(example_fairing()).lines[0]
    'No beam need be touched: one fair surface passes all of them within what is let pass.'
    """
    settings = job.boat.settings
    found = fewest_again(fairing_of(job), job.beams, settings.fairing, settings.beams.least_depth, seconds)
    return fewest_words(job, found, seconds)


def fewest_words(job: Job, found: FewestBeams, seconds: float) -> Words:
    """
    Say which beams are the fewest, how far that is proved, and what is to be done to them.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    found : FewestBeams
        What was found.
    seconds : float
        The time that it was given. [s]

    Returns
    -------
    Words
        One line each.

    Examples
    --------
    >>> from deckgeom.bench.beside import fewest_of
    >>> from deckgeom.bench.example import example_fairing
    >>> job = example_fairing()
    >>> fewest_words(job, fewest_of(job.boat, 10.0), 10.0).lines[1]
    'In all: No beam needs touching.'
    """
    units = job.boat.units
    took = f"It took {max(found.seconds, 0.1):.1f} s of the {seconds:g} s that it was given."
    return Words.of(found.said(units), *_said(replace(fairing_of(job), plan=found.plan), units), took)


def without(job: Job, beam: str) -> Words:
    """
    Say what changes if one beam is not believed at all.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    beam : str
        The beam.

    Returns
    -------
    Words
        How it stands by the others alone, how far the fair line moves, and which verdicts change.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> without(example_fairing(), "5").lines[0]
    'By the other beams alone, beam 5 stands 4 mm high in the middle of its readings.'
    """
    done = fairing_of(job)
    left = leave_beam_out(done.verdicts, beam_number(done, beam))
    return Words.of(*left.words(done.tops, job.boat.units))


def rounds(job: Job) -> Table | Words:
    """
    Set what was planned beside what came out; with one round, say how to enter the next.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Table or Words
        One row a reading of the last round.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> rounds(example_fairing()).lines[0]
    'There is one round of readings, so there is nothing yet to set beside the plan.'
    """
    done, units = fairing_of(job), job.boat.units
    found, numbers = done.came_out, done.true.rounds
    if found is None:
        return _next_round(done, numbers[-1])
    rows = []
    for i in np.lexsort((found.tops.y, found.tops.beam)):
        heights = (format_length(float(z), units) for z in (found.predicted[i], found.tops.z[i]))
        name, said = found.tops.beam_names[found.tops.beam[i]], found.words(int(i), units)
        rows.append((name, off_words(float(found.tops.y[i]), units), *heights, said.partition(": ")[2]))
    heads = ("beam", "off the centreline", "planned", "came out", "what it says")
    bold = [k for k, i in enumerate(np.lexsort((found.tops.y, found.tops.beam))) if not found.as_planned[i]]
    title = f"Round {numbers[-1]} against what was planned after round {numbers[-2]}"
    return Table(title, heads, rows, words=(0, 1, 4), wrap=(4,), strong=bold, note=found.shift_words(units))


def _next_round(done: Fairing, number: int) -> Words:
    touched = ", ".join(done.tops.beam_names[b] for b in done.plan.touched)
    first = "There is one round of readings, so there is nothing yet to set beside the plan."
    if len(done.true.rounds) > 1:
        first = f"No beam of round {number} was measured before it, so there is nothing to set beside the plan."
    which = f"the touched beams ({touched})" if touched else "any beam that you touch"
    return Words.of(
        first,
        f"When the work is done, measure {which} again, every place on them. Add those readings as new rows below the "
        f"old ones in readings.csv with {number + 1} in the column 'round', and run this page again.",
        f"The rows of round {number} stay: a beam that was measured again is taken from its newest round, all others "
        "from the round before.",
    )


def _controls(job: Job) -> list:
    units, done, own = job.boat.units, fairing_of(job), job.boat.settings.fairing
    spacing = done.tops.spacing
    ways = next(words for words, pair in WAYS.items() if pair == (own.plane_only, own.pack_only))

    def say_cutoff(cutoff: float) -> str:
        return f"{cutoff:g} beam spaces, {echo(cutoff * spacing, units)}"

    def say_price(price: float) -> str:
        return "the same as planing" if price == 1 else f"{price:g} times planing"

    half = 2 * done.estimate.cutoff / spacing
    start = round(half) / 2 or SPACINGS
    cutoff = Slider("cutoff", "Humps shorter than this are unfair", SHORTEST, LONGEST, 0.5, start, say_cutoff)
    return [
        tolerance_slider(job),
        cutoff,
        Choice("ways", "Work that may be done", tuple(WAYS), ways),
        _limit(job, "most_off", "Plane off no more than", own.most_off),
        _limit(job, "most_up", "Pack up no more than", own.most_up),
        Slider("price", "Packing costs", CHEAPEST, DEAREST, 0.5, own.price_up / own.price_off, say_price),
    ]


def _limit(job: Job, key: str, label: str, own: float | None) -> Slider:
    step = STEP[job.boat.units]
    most = step * max(LIMIT_STEPS[job.boat.units], int(np.ceil((own or 0.0) / step)))
    start = np.inf if own is None else step * np.floor(own / step + 1e-6)
    return length_slider(job, key, label, most, float(start), NO_LIMIT)


def _work(job: Job, last: Fairing, controls: list, asked: dict[str, Any]) -> Fairing:
    """The work under wishes as the controls give them."""
    own, done = job.boat.settings.fairing, fairing_of(job)
    by_key = {control.key: control for control in controls}
    first, cutoff = by_key["cutoff"].accept(by_key["cutoff"].value), asked["cutoff"]
    # on the step nearest to the boat's own cut-off length, that length itself is meant
    length = done.estimate.cutoff if cutoff == first else cutoff * done.tops.spacing
    plane_only, pack_only = WAYS[asked["ways"]]
    most = {key: None if asked[key] >= by_key[key].high else asked[key] for key in ("most_off", "most_up")}
    return again(
        job, last, tolerance=asked["tolerance"], cutoff=length, plane_only=plane_only, pack_only=pack_only,
        price_up=asked["price"] * own.price_off, **most,
    )  # fmt: skip


def _said(done: Fairing, units: str) -> list[str]:
    """What to measure again first, what to do on each touched beam, what cannot be had, and the totals."""
    plan, names = done.plan, done.tops.beam_names
    doubted = dict.fromkeys(names[done.tops.beam[i]] for i in done.verdicts.first if done.verdicts.doubtful[i])
    said = [f"Measure again first: beam{'s' if len(doubted) > 1 else ''} {', '.join(doubted)}."] if doubted else []
    said += [plan.beam_words(b, units) for b in plan.touched]
    said += [f"Cannot be had: {words}" for words in plan.breach_words(units)]
    return [*said, f"In all: {plan.total_words(units)}"]


def _table(done: Fairing, units: str) -> Table:
    plan, rows = done.plan, []
    for b in plan.touched:
        here = done.tops.beam == b
        most = (float(amount[here].max()) for amount in (plan.plane_off, plan.pack_up))
        cells = (gap_words(amount, units) if amount > 0 else "" for amount in most)
        rows.append((done.tops.beam_names[b], *cells, plan.beam_words(b, units).partition(": ")[2]))
    rows = rows or [("none", "", "", "no work within these wishes")]
    cannot = [f"Cannot be had: {words}" for words in plan.breach_words(units)]
    note = " ".join([*cannot, f"In all: {plan.total_words(units)}"])
    return Table("Work on the beams", HEADS, rows, words=(0, 3), wrap=(3,), note=note)
