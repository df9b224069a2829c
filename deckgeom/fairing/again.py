"""
The work asked for once more with other wishes: what still holds of the last answer is kept.
"""

from __future__ import annotations

from dataclasses import replace

from deckgeom.fairing.fair import estimate
from deckgeom.fairing.fewest import FewestBeams, fewest_beams
from deckgeom.fairing.found import Estimate
from deckgeom.fairing.plan import plan_work
from deckgeom.fairing.verdict import judge
from deckgeom.fairing.work import Fairing, choices_for
from deckgeom.fairing.work_plan import WorkPlan

__all__ = ["fewest_again", "plan_again", "refair"]


def refair(last: Fairing, beams, settings, least_depth: float | None = None) -> Fairing:
    """
    Ask the same readings again with other wishes.

    Parameters
    ----------
    last : Fairing
        The last answer; its fair surface is kept unless the cut-off length or the reading error is another, and its
        verdicts unless the tolerance is another as well.
    beams : BeamSet
        Beams as laid out. [mm]
    settings : FairingSettings
        Tolerance, cut-off, limits and prices. [mm]
    least_depth : float, optional
        Least moulding that a beam may be left with. [mm]

    Returns
    -------
    Fairing
        With the same readings and rounds.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from deckgeom.boat import default_settings
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.fairing.readings import Reading
    >>> from deckgeom.fairing.work import fair_the_tops
    >>> marks = [BeamMark(str(n), 400.0 * n) for n in range(-4, 5)]
    >>> beams = lay_out_beams(Deck(even_hull(), SameProportion("circle", "1:32")), marks)
    >>> taken = [Reading(beam.name, "", y, float(beam.height_at(y, "forward")[0]) + 4 * (beam.name == "1"))
    ...          for beam in beams for y in (-900.0, -450.0, 0.0, 450.0, 900.0)]
    >>> settings = default_settings().fairing
    >>> done = fair_the_tops(taken, (), beams, settings)
    >>> now = refair(done, beams, replace(settings, cutoff=done.estimate.cutoff, most_off=2.0))
    >>> now.estimate is done.estimate, float(now.plane_off.max())
    (True, 2.0)
    """
    if last.verdicts is None:
        return last
    tops, found, verdicts = last.tops, last.estimate, last.verdicts
    cutoff = settings.cutoff
    if not _same(cutoff, found.cutoff) or not _same_error(settings.reading_error, found):
        found = estimate(tops, cutoff, settings.reading_error)
    if found is not last.estimate or settings.tolerance != verdicts.tolerance:
        verdicts = judge(tops, found, settings.tolerance)
    now = replace(last, estimate=found, verdicts=verdicts)
    return replace(now, plan=plan_again(now, beams, settings, least_depth))


def plan_again(done: Fairing, beams, settings, least_depth: float | None = None) -> WorkPlan:
    """
    Plan the work once more under other limits and prices; verdicts stay.

    Parameters
    ----------
    done : Fairing
        Verdicts that stand.
    beams : BeamSet
        Beams as laid out. [mm]
    settings : FairingSettings
        Limits and prices. [mm]
    least_depth : float, optional
        Least moulding that a beam may be left with. [mm]

    Returns
    -------
    WorkPlan
        Of the fewest beams if the settings ask for that.

    Examples
    --------
    See `refair`, which uses it.

    >>> plan_again.__name__
    'plan_again'
    """
    if settings.fewest:
        return fewest_again(done, beams, settings, least_depth).plan
    choices = choices_for(beams, settings, done.estimate.reading_error, least_depth)
    return plan_work(done.tops, done.estimate, done.verdicts, choices)


def fewest_again(
    done: Fairing, beams, settings, least_depth: float | None = None, seconds: float = 10.0
) -> FewestBeams:
    """
    Ask for the fewest beams to touch.

    Parameters
    ----------
    done : Fairing
        Verdicts that stand.
    beams : BeamSet
        Beams as laid out. [mm]
    settings : FairingSettings
        Limits and prices. [mm]
    least_depth : float, optional
        Least moulding that a beam may be left with. [mm]
    seconds : float
        Time to give it. [s]

    Returns
    -------
    FewestBeams

    Examples
    --------
    See `fewest.fewest_beams`, which it asks.

    >>> fewest_again.__name__
    'fewest_again'
    """
    choices = choices_for(beams, settings, done.estimate.reading_error, least_depth)
    return fewest_beams(done.tops, done.estimate, done.verdicts, choices, seconds)


def _same(asked: float | None, had: float) -> bool:
    """A cut-off that was not given is found anew, as it may have been given before."""
    return asked is not None and abs(asked - had) <= 1e-9 * had


def _same_error(asked: float | None, found: Estimate) -> bool:
    return asked == found.reading_error or (asked is None and found.reading_error_source != "given")
