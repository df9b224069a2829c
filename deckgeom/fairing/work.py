"""
From readings as written down to the verdict and the work on the beams: the fairing engine's parts in their order.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.complaint import Complaint
from deckgeom.fairing.beam_tops import BeamTops, FairingError
from deckgeom.fairing.choices import PlanChoices
from deckgeom.fairing.fair import estimate
from deckgeom.fairing.fewest import fewest_beams
from deckgeom.fairing.found import Estimate
from deckgeom.fairing.places import BeamPlaces
from deckgeom.fairing.plan import plan_work
from deckgeom.fairing.readings import true_readings
from deckgeom.fairing.rounds import RoundComparison, compare_rounds
from deckgeom.fairing.true_readings import TrueReadings
from deckgeom.fairing.verdict import AGAIN, CANNOT, LEAVE, PACK, PLANE, Verdicts, judge
from deckgeom.fairing.work_plan import WorkPlan

__all__ = ["COLUMNS", "Fairing", "choices_for", "fair_the_tops"]

#: Columns of the table of readings, in mm, y signed with starboard positive.
COLUMNS = ("beam", "y", "measured", "fair", "plane_off", "pack_up", "uncertainty", "verdict", "reason")


@dataclass(frozen=True, eq=False)
class Fairing:
    """
    Measured tops and what they say; made by `fair_the_tops`.

    Parameters
    ----------
    readings : tuple of Reading
        As they were written down.
    true : TrueReadings
        Every reading as a true height, and how the hull stood.
    tops : BeamTops or None
        The beams as they are now; None where not one reading can be used.
    estimate : Estimate or None
        The fair surface.
    verdicts : Verdicts or None
        What to do about every reading and every beam.
    plan : WorkPlan or None
        The work within the builder's limits.
    came_out : RoundComparison or None
        What the round before the last planned against what the last one measured; None with one round.
    complaints : tuple of Complaint
        About readings and lines.

    Examples
    --------
    See `fair_the_tops`.

    >>> COLUMNS[:2]
    ('beam', 'y')
    """

    readings: tuple
    true: TrueReadings
    tops: BeamTops | None
    estimate: Estimate | None
    verdicts: Verdicts | None
    plan: WorkPlan | None
    came_out: RoundComparison | None
    complaints: tuple[Complaint, ...]

    @property
    def plane_off(self) -> np.ndarray:
        """Planed off at each reading by the plan, (n,). [mm]"""
        return np.zeros(0) if self.plan is None else self.plan.plane_off

    @property
    def pack_up(self) -> np.ndarray:
        """Packed up at each reading by the plan, (n,). [mm]"""
        return np.zeros(0) if self.plan is None else self.plan.pack_up

    def rows(self) -> list[tuple]:
        """
        Rows of the table of readings, see `COLUMNS`. [mm]

        Returns
        -------
        list of tuple
            One a reading that stands, in the order of the file's beams.
        """
        if self.verdicts is None:
            return []
        tops, verdicts = self.tops, self.verdicts
        numbers = zip(
            tops.beam.tolist(), tops.y.tolist(), tops.z.tolist(), self.estimate.fair.tolist(), self.plane_off.tolist(),
            self.pack_up.tolist(), verdicts.uncertainty.tolist(), strict=True,
        )  # fmt: skip
        return [
            (tops.beam_names[beam], *rest, _word(verdicts, i), verdicts.why(i))
            for i, (beam, *rest) in enumerate(numbers)
        ]

    def doubtful_rows(self) -> list[tuple]:
        """
        Readings to take again before anything is planed: file, row, column, value, expected, reason.

        Returns
        -------
        list of tuple
            Slips first, the farthest out first; values are the true heights. [mm]
        """
        if self.verdicts is None:
            return []
        verdicts, source = self.verdicts, self.true.tops_source
        found = []
        for i in verdicts.first:
            reading = self.readings[source[i]]
            column = "height" if reading.height is not None else "below"
            reason = verdicts.why(i)
            found.append(
                ("readings.csv", reading.row, column, float(self.tops.z[i]), float(verdicts.expected[i]), reason)
            )
        return found

    def words(self, units: str = "mm") -> list[str]:
        """
        The verdict in a few lines: what to measure again, what to plane, what to pack, what to leave.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}
            For lengths.

        Returns
        -------
        list of str
        """
        if self.verdicts is None:
            return ["Beam tops: not one reading can be used."]
        tops, verdicts = self.tops, self.verdicts
        many, error = len(np.unique(tops.beam)), self.estimate.error_words(units)
        lines = [f"Beam tops: {tops.count} readings on {many} beams. {error}"]
        slips = [verdicts.why(i, units) for i in verdicts.first if verdicts.doubtful[i]]
        again = [tops.where(i, units=units) for i in verdicts.first if not verdicts.doubtful[i]]
        lines += [f"Measure again first: {slip}" for slip in slips]
        lines += [f"Measure once more: {'; '.join(again[:6])}{' ...' if len(again) > 6 else ''}."] if again else []
        beams = {
            word: [b for b, w in enumerate(verdicts.beam_word) if w == word] for word in (PLANE, PACK, LEAVE, CANNOT)
        }
        lines += [verdicts.why_beam(b, units) for word in (PLANE, PACK) for b in beams[word]]
        lines += [self.plan.beam_words(b, units) for b in self.plan.touched]
        lines += [f"Cannot be had: {words}" for words in self.plan.breach_words(units)]
        lines += [f"In all: {self.plan.total_words(units)}"]
        if self.came_out is not None:
            odd = np.flatnonzero(~self.came_out.as_planned)
            lines += [self.came_out.words(i, units) for i in odd] or ["The last round came out as planned."]
        left = [tops.beam_names[b] for b in beams[LEAVE]]
        lines += [f"Leave, within your reading error: {_names(left)}."] if left else []
        blind = [tops.beam_names[b] for b in beams[CANNOT]]
        lines += [f"Cannot be told from here: {_names(blind)}."] if blind else []
        return lines


def _names(names: list[str]) -> str:
    shown = ", ".join(names)
    return f"{'beam' if len(names) == 1 else 'beams'} {shown}"


def _word(verdicts: Verdicts, i: int) -> str:
    word = verdicts.word[i]
    return f"{word} ({verdicts.again[i]} times)" if word == AGAIN and verdicts.again[i] > 1 else word


def fair_the_tops(readings, lines, beams, settings, least_depth: float | None = None, units: str = "mm") -> Fairing:
    """
    Bring readings to true heights and judge the beam tops.

    Parameters
    ----------
    readings : sequence of Reading
        Of all rounds.
    lines : sequence of MeasuringLine
        What they were taken from.
    beams : BeamSet
        Beams as laid out. [mm]
    settings : FairingSettings
        Tolerance, reading error, cut-off, limits and prices. [mm]
    least_depth : float, optional
        Least moulding that a beam may be left with. [mm]
    units : {"mm", "ft-in-8", "in"}
        For lengths in words.

    Returns
    -------
    Fairing

    Raises
    ------
    FairingError
        Where there are no beams to place the readings on.

    Examples
    --------
    >>> from deckgeom.boat import default_settings
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.fairing.readings import Reading
    >>> marks = [BeamMark(str(n), 400.0 * n) for n in range(-4, 5)]
    >>> beams = lay_out_beams(Deck(even_hull(), SameProportion("circle", "1:32")), marks)
    >>> taken = [Reading(beam.name, "", y, float(beam.height_at(y, "forward")[0]) + 4 * (beam.name == "1"))
    ...          for beam in beams for y in (-900.0, -450.0, 0.0, 450.0, 900.0)]
    >>> print(fair_the_tops(taken, (), beams, default_settings().fairing).words()[1])
    Beam 1: plane. As a whole it stands 4 mm high; that is known to 0.2 mm.
    """
    if beams is None or not len(beams):
        rule = "readings of beam tops are placed by the list of beams and the deck edge, and one of them is wanting"
        raise FairingError(f"{len(readings)} readings", rule)
    true = true_readings(readings, lines, BeamPlaces.of(beams), units=units)
    readings = tuple(readings)
    if true.tops is None:
        return Fairing(readings, true, None, None, None, None, None, true.complaints)
    found, verdicts, plan = _worked(true.tops, beams, settings, least_depth)
    came_out = _came_out(true, found.reading_error, beams, settings, least_depth)
    return Fairing(readings, true, true.tops, found, verdicts, plan, came_out, true.complaints)


def _came_out(true: TrueReadings, reading_error: float, beams, settings, least_depth) -> RoundComparison | None:
    """What was planned after the round before the last against what the last one measured."""
    if len(true.rounds) < 2:
        return None
    before, after = true.until_round(true.rounds[-2]), true.of_round(true.rounds[-1])
    if not np.intersect1d(before.beam, after.beam).size:
        return None
    _, _, planned = _worked(before, beams, settings, least_depth)
    return compare_rounds(before, after, planned.plane_off, planned.pack_up, reading_error)


def _worked(tops: BeamTops, beams, settings, least_depth) -> tuple[Estimate, Verdicts, WorkPlan]:
    """Estimate, verdict and plan of one set of tops."""
    found = estimate(tops, settings.cutoff, settings.reading_error)
    verdicts = judge(tops, found, settings.tolerance)
    choices = choices_for(beams, settings, found.reading_error, least_depth)
    if settings.fewest:
        return found, verdicts, fewest_beams(tops, found, verdicts, choices).plan
    return found, verdicts, plan_work(tops, found, verdicts, choices)


def choices_for(beams, settings, reading_error: float, least_depth: float | None = None) -> PlanChoices:
    """
    What the builder's settings and the beam list allow to be done.

    Parameters
    ----------
    beams : BeamSet
        With moulding, siding and which are fixed. [mm]
    settings : FairingSettings
        Limits, prices and tolerance. [mm]
    reading_error : float
        Standard deviation of one reading: nothing smaller than two of it is worked. [mm]
    least_depth : float, optional
        Least moulding that a beam may be left with. [mm]

    Returns
    -------
    PlanChoices

    Examples
    --------
    >>> from deckgeom.boat import default_settings
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> beams = lay_out_beams(Deck(even_hull(), SameProportion("circle", "1:32")), [BeamMark("1", 0.0, moulding=60.0)])
    >>> choices_for(beams, default_settings().fairing, 0.7, least_depth=56.0).most_off
    {'1': 4.0}
    """
    marks = beams.marks
    deepest = np.inf if settings.most_off is None else settings.most_off
    spare = {m.name: min(deepest, m.moulding - (least_depth or 0.0)) for m in marks}
    return PlanChoices(
        plane_only=settings.plane_only,
        pack_only=settings.pack_only,
        most_off=spare,
        most_up=settings.most_up,
        price_off=settings.price_off,
        price_up=settings.price_up,
        fixed_beams=tuple(m.name for m in marks if m.fixed),
        dead_band=max(settings.tolerance, 2 * reading_error),
        no_hollow=settings.no_hollow,
        siding={m.name: m.siding for m in marks},
    )
