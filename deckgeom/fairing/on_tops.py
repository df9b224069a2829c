"""
A plank or a batten along one line of the beam tops, as they were measured and as they will be when the work is done.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from deckgeom.fairing.batten import fasten_strip, lay_batten, off_fair
from deckgeom.fairing.beam_tops import BeamTops, FairingError, closed
from deckgeom.fairing.fore_and_aft import lines_of_readings
from deckgeom.fairing.strip import LaidStrip, Strip
from deckgeom.fairing.verdict import Verdicts
from deckgeom.fairing.work_plan import WorkPlan

__all__ = ["OnTops", "believed_readings", "lay_on_tops"]

#: Parts that a bay is looked at in.
PARTS = 8


@dataclass(frozen=True, eq=False)
class OnTops:
    """
    One strip on the tops as measured and as planned; made by `lay_on_tops`.

    Parameters
    ----------
    measured, planned : LaidStrip
        As it lies before the work and after it.
    fair : (n,) array
        Height of the planned surface at each beam. [mm]
    x : (m,) array
        Places at the beams and between them. [mm]
    shown_measured, shown_planned : (m,) array
        How far the strip stands above the fair line there: what prints through. [mm]
    fastened : bool
        Whether it is fastened at every beam; else it is loose but for its ends.

    Examples
    --------
    See `lay_on_tops`.

    >>> OnTops.__name__
    'OnTops'
    """

    measured: LaidStrip
    planned: LaidStrip
    fair: np.ndarray
    x: np.ndarray
    shown_measured: np.ndarray
    shown_planned: np.ndarray
    fastened: bool

    def __post_init__(self) -> None:
        for name in ("fair", "x", "shown_measured", "shown_planned"):
            object.__setattr__(self, name, closed(getattr(self, name)))

    def most_between(self, shown: np.ndarray) -> np.ndarray:
        """
        What shows most in the bay abaft each beam, with its sign.

        Parameters
        ----------
        shown : (m,) array
            `shown_measured` or `shown_planned`. [mm]

        Returns
        -------
        (n - 1,) array
            Above the fair line positive. [mm]

        Examples
        --------
        >>> laid = fasten_strip([0, 400, 800], [0, 2, 0], Strip(100, 22, 12000))
        >>> x, shown = off_fair(laid, np.zeros(3), PARTS)
        >>> OnTops(laid, laid, np.zeros(3), x, shown, shown, True).most_between(shown).round(1).tolist()
        [2.0, 2.0]
        """
        bays = np.stack([shown[k : k + len(self.fair) * PARTS - PARTS : PARTS] for k in range(PARTS)])
        bays = np.vstack([bays, shown[PARTS::PARTS]])
        return np.take_along_axis(bays, np.abs(bays).argmax(axis=0)[None], axis=0)[0]

    @property
    def worst(self) -> tuple[float, float]:
        """What shows most before the work and after it, without sign. [mm]"""
        return float(np.abs(self.shown_measured).max()), float(np.abs(self.shown_planned).max())


def lay_on_tops(
    verdicts: Verdicts, plan: WorkPlan, at: float, strip: Strip, hold=None, fastened: bool = True
) -> OnTops:
    """
    Lay one strip along a line of beam tops, before the work and after it.

    Parameters
    ----------
    verdicts : Verdicts
        With the readings; those that are doubtful are left out.
    plan : WorkPlan
        The work, made from the same readings.
    at : float
        Line: fraction of the half-breadth, starboard positive. [1]
    strip : Strip
        Timber and section.
    hold : float, optional
        The most that the fastenings at one beam hold; left out, it is drawn down everywhere. [N]
    fastened : bool
        Fastened at every beam; else loose, held down at both ends.

    Returns
    -------
    OnTops

    Examples
    --------
    >>> from deckgeom.fairing.fair import estimate
    >>> from deckgeom.fairing.plan import plan_work
    >>> from deckgeom.fairing.verdict import judge
    >>> y, x = np.tile([-900.0, -450, 0, 450, 900], 9), np.repeat(np.arange(9) * 400.0, 5)
    >>> beam = np.repeat(np.arange(9), 5)
    >>> tops = BeamTops(beam, tuple("123456789"), x, y, np.full(45, 900.0), 1000 - y**2 / 16200 + 4.0 * (beam == 4))
    >>> found = estimate(tops, reading_error=0.7)
    >>> told = judge(tops, found, tolerance=1.5)
    >>> plank = Strip(100, 20, 10000, name="plank")
    >>> laid = lay_on_tops(told, plan_work(tops, found, told), 0.0, plank)
    >>> [round(most, 1) for most in laid.worst], bool(laid.planned.touching.all())
    ([3.8, 0.2], True)
    """
    if len(plan.after) != verdicts.tops.count:
        raise FairingError("the plan", "it was made from other readings", "", "plan again from these readings")
    kept = ~verdicts.doubtful
    tops = believed_readings(verdicts)
    measured, planned, fair = (
        lines_of_readings(replace(tops, z=z), at=[at])[0] for z in (tops.z, plan.after[kept], plan.planned[kept])
    )
    names = [tops.beam_names[b] for b in measured.beam]

    def laid(z: np.ndarray) -> LaidStrip:
        if fastened:
            return fasten_strip(measured.x, z, strip, hold, names=names)
        return lay_batten(measured.x, z, strip, pressed=(0, len(z) - 1), names=names)

    before, after = laid(measured.z), laid(planned.z)
    places, shown = off_fair(before, fair.z, PARTS)
    return OnTops(before, after, fair.z, places, shown, off_fair(after, fair.z, PARTS)[1], fastened)


def believed_readings(verdicts: Verdicts) -> BeamTops:
    """
    The readings without those that are doubtful.

    Parameters
    ----------
    verdicts : Verdicts
        What was said of each.

    Returns
    -------
    BeamTops
        The same beams.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> tops = BeamTops([0, 0], ("1",), [0, 0], [-300, 300], [900, 900], [40, 90])
    >>> believed_readings(SimpleNamespace(tops=tops, doubtful=np.array([False, True]))).z.tolist()
    [40.0]
    """
    tops, kept = verdicts.tops, ~verdicts.doubtful
    if np.all(kept):
        return tops
    columns = (column[kept] for column in (tops.x, tops.y, tops.half_breadth, tops.z))
    return BeamTops(tops.beam[kept], tops.beam_names, *columns)
