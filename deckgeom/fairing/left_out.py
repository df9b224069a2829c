"""What the deck says if one beam is not believed at all."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import BeamTops, FairingError, closed
from deckgeom.fairing.fair import estimate
from deckgeom.fairing.verdict import Verdicts, judge
from deckgeom.units import format_length


@dataclass(frozen=True, eq=False)
class LeftOut:
    """
    What changes if one beam is not believed at all.

    Parameters
    ----------
    beam : int
        Which beam, from 0.
    fair : (n,) array
        Fair height at every reading without it. [mm]
    moved : (n,) array
        How far the fair line rises. [mm]
    beams_changed : tuple of (int, str, str)
        Beams whose word changes: which, from what, to what.

    Examples
    --------
    See `leave_beam_out`.

    >>> LeftOut(0, np.zeros(1), np.zeros(1), ()).beams_changed
    ()
    """

    beam: int
    fair: np.ndarray
    moved: np.ndarray
    beams_changed: tuple[tuple[int, str, str], ...]

    def words(self, tops: BeamTops, units: str = "mm") -> tuple[str, ...]:
        """
        What changes, in sentences.

        Parameters
        ----------
        tops : BeamTops
            The readings with the beam.
        units : {"mm", "ft-in-8", "in"}
            For lengths.

        Returns
        -------
        tuple of str
            How the beam stands by the others alone, how far the fair line moves, and which verdicts change.

        Examples
        --------
        >>> tops = BeamTops([0, 1], ("1", "2"), [0, 400], [0, 0], [900, 900], [1004, 1000])
        >>> left = LeftOut(0, np.array([1000.0, 1000]), np.array([-4.0, -2]), ((1, "pack", "leave"),))
        >>> print("  ".join(left.words(tops)))
        By the other beams alone, beam 1 stands 4 mm high in the middle of its readings.  Without it the fair line moves
        most at beam 2: 2 mm down.  Beam 2: leave, where it said pack.
        """
        own, names = tops.beam == self.beam, tops.beam_names
        stands = float(np.median((tops.z - self.fair)[own]))
        name = names[self.beam]
        said = [f"By the other beams alone, beam {name} {_stands(stands, units)} in the middle of its readings."]
        moved = np.where(own, 0.0, self.moved)
        most = int(np.abs(moved).argmax())
        if _nought(moved[most], units):
            said.append("Without it the fair line stays where it is at all the other beams.")
        else:
            way = f"{format_length(abs(moved[most]), units)} {'up' if moved[most] > 0 else 'down'}"
            said.append(f"Without it the fair line moves most at beam {names[tops.beam[most]]}: {way}.")
        said += [f"Beam {names[b]}: {now}, where it said {then}." for b, then, now in self.beams_changed]
        return tuple(said) if self.beams_changed else (*said, "No other beam's verdict changes.")


def _nought(length: float, units: str) -> bool:
    """Whether a rule reads it as nothing."""
    return format_length(abs(length), units) == format_length(0.0, units)


def _stands(high: float, units: str) -> str:
    if _nought(high, units):
        return "stands where it should"
    return f"stands {format_length(abs(high), units)} {'high' if high > 0 else 'low'}"


def leave_beam_out(verdicts: Verdicts, beam: int) -> LeftOut:
    """
    Ask what the deck says if one beam is left out.

    Parameters
    ----------
    verdicts : Verdicts
        Stage B with all beams.
    beam : int
        Which beam to leave out, from 0.

    Returns
    -------
    LeftOut

    Examples
    --------
    >>> y, x = np.tile([-900.0, 0, 900], 9), np.repeat(np.arange(9) * 400.0, 3)
    >>> tops = BeamTops(np.repeat(np.arange(9), 3), tuple("123456789"), x, y, np.full(27, 900.0), 1000 - y**2 / 16200)
    >>> without = leave_beam_out(judge(tops, estimate(tops, reading_error=0.7)), 4)
    >>> float(np.abs(without.moved).max().round(6)), without.beams_changed
    (0.0, ())
    """
    tops, before = verdicts.tops, verdicts.estimate
    keep = tops.beam != beam
    if not 0 <= beam < len(tops.beam_names) or keep.all():
        raise FairingError(f"beam number {beam}", "must be a measured beam, counted from 0")
    if not keep.any():
        raise FairingError(f"beam {tops.beam_names[beam]}", "it is the only one measured", "", "measure others first")
    rest = BeamTops(tops.beam[keep], tops.beam_names, tops.x[keep], tops.y[keep], tops.half_breadth[keep], tops.z[keep])
    after = estimate(
        rest,
        before.cutoff,
        before.reading_error,
        before.design[keep],
        fixed=before.fixed[keep],
        cutoff_across=before.cutoff_across,
    )
    judged = judge(rest, after, verdicts.tolerance)
    fair = after.surface.height(tops.x, tops.y, tops.half_breadth) + before.design
    changed = tuple(
        (b, verdicts.beam_word[b], judged.beam_word[b])
        for b in range(len(tops.beam_names))
        if b != beam and verdicts.beam_word[b] != judged.beam_word[b]
    )
    return LeftOut(beam, closed(fair), closed(fair - before.fair), changed)
