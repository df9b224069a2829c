"""What the deck says if one beam is not believed at all."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import BeamTops, FairingError, closed
from deckgeom.fairing.fair import estimate
from deckgeom.fairing.verdict import Verdicts, judge


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
