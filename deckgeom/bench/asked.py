"""What the benches of fairing share: the job's fairing, its beams by name, and the same asked again with wishes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from deckgeom.bench.controls import Slider
from deckgeom.fairing.again import refair
from deckgeom.fairing.work import Fairing
from deckgeom.job import Job
from deckgeom.units import format_length, parse_length

__all__ = ["again", "beam_number", "fairing_of", "length_slider", "tolerance_slider"]

STEP = {"mm": 0.5, "in": parse_length("1/16in"), "ft-in-8": parse_length("1/16in")}
MOST_STEPS = {"mm": 24, "in": 8, "ft-in-8": 8}


def fairing_of(job: Job) -> Fairing:
    """
    Return the job's fairing, or say what is wanting.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Fairing
        With verdicts and a plan.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing, example_job
    >>> fairing_of(example_fairing()).tops.count
    45
    >>> fairing_of(example_job())
    Traceback (most recent call last):
    ...
    ValueError: There is nothing to fair yet: readings.csv is not there, or not one reading can be used. Print the blank
    form, walk round the boat with a rule, and type the heights in.
    """
    if job.fairing is None or job.fairing.verdicts is None:
        raise ValueError(
            "There is nothing to fair yet: readings.csv is not there, or not one reading can be used. Print the blank "
            "form, walk round the boat with a rule, and type the heights in."
        )
    return job.fairing


def beam_number(done: Fairing, name: str) -> int:
    """
    Return which beam has a name.

    Parameters
    ----------
    done : Fairing
        Its beams.
    name : str
        The beam.

    Returns
    -------
    int
        From 0.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> beam_number(example_fairing().fairing, "5")
    4
    """
    if name not in done.tops.beam_names:
        named = ", ".join(done.tops.beam_names[:30])
        raise KeyError(f"no beam is called {str(name)[:40]!r} among the readings; there are {named}")
    return done.tops.beam_names.index(name)


def again(job: Job, last: Fairing | None = None, **wishes: Any) -> Fairing:
    """
    Ask the job's readings again with other wishes, within the boat's least depth.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    last : Fairing, optional
        The last answer, from which all is kept that still holds; the job's own if not given.
    **wishes
        Fields of :class:`~deckgeom.boat.settings.FairingSettings`. [mm]

    Returns
    -------
    Fairing
        The answer.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> again(example_fairing(), tolerance=6.0).plan.totals.words()
    'No beam needs touching.'
    """
    settings = job.boat.settings
    return refair(last or fairing_of(job), job.beams, replace(settings.fairing, **wishes), settings.beams.least_depth)


def length_slider(job: Job, key: str, label: str, most: float, start: float, beyond: str = "") -> Slider:
    """
    Make a slider for a small length that steps on the tape.

    Parameters
    ----------
    job : Job
        Its units.
    key, label : str
        As of :class:`~deckgeom.bench.controls.Slider`.
    most : float
        Its upper end. [mm]
    start : float
        Where it stands; infinite stands on the step beyond the end. [mm]
    beyond : str
        Words for one step more than the upper end; without them there is no such step.

    Returns
    -------
    Slider
        In mm.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> slider = length_slider(example_job(), "off", "Off", 1.0, float("inf"), "no limit")
    >>> slider.spec()["says"], slider.value, slider.accept("no limit")
    (['0 mm', '0.5 mm', '1 mm', 'no limit'], 1.5, 1.5)
    """
    units = job.boat.units
    step = STEP[units]
    steps = round(most / step) + bool(beyond)
    high = steps * step

    def say(length: float) -> str:
        if beyond and length > high - step / 2:
            return beyond
        return f"{length:g} mm" if units == "mm" else format_length(length, units)

    def read(text: str) -> float:
        return high if beyond and text.strip() == beyond else parse_length(text, units)

    return Slider(key, label, 0.0, high, step, min(start, high), say, read)


def tolerance_slider(job: Job) -> Slider:
    """
    Make the slider for what may stay.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Slider
        In mm.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> tolerance_slider(example_fairing()).value
    2.0
    """
    step, own = STEP[job.boat.units], job.boat.settings.fairing.tolerance
    start = step * round((own if own is not None else fairing_of(job).verdicts.tolerance) / step)
    return length_slider(job, "tolerance", "Leave what is within", MOST_STEPS[job.boat.units] * step, start)
