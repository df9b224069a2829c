"""Reasons for verdicts, in words with numbers: what an old hand would answer to "why?"."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from deckgeom.fairing.words import fine_length
from deckgeom.units import format_length

if TYPE_CHECKING:
    from deckgeom.fairing.verdict import Verdicts


def _stands(length: float, units: str) -> str:
    """How a place stands, without a sign."""
    return f"{format_length(abs(length), units)} {'high' if length > 0 else 'low'}"


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def why_reading(verdicts: Verdicts, i: int, units: str = "mm") -> str:
    """
    Reason for a reading's verdict.

    Parameters
    ----------
    verdicts : Verdicts
        Stage B.
    i : int
        Which reading, from 0.
    units : {"mm", "ft-in-8", "in"}
        For lengths.

    Returns
    -------
    str

    Examples
    --------
    >>> import numpy as np
    >>> from deckgeom.fairing.beam_tops import BeamTops
    >>> from deckgeom.fairing.fair import estimate
    >>> from deckgeom.fairing.verdict import judge
    >>> y, x = np.tile([-900.0, -450, 0, 450, 900], 9), np.repeat(np.arange(9) * 400.0, 5)
    >>> z = 1000 + 20 * np.sin(x / 4000) - y**2 / 16200
    >>> z[17] += 12
    >>> tops = BeamTops(np.repeat(np.arange(9), 5), tuple("123456789"), x, y, np.full(45, 900.0), z)
    >>> print(why_reading(judge(tops, estimate(tops, reading_error=0.7)), 17))
    Beam 4, on the centreline: doubtful reading. It stands 12 mm high against all the readings around it, its own beam's
    too; a beam top does not step so far between two readings. Measure it again before anything is planed there. One
    reading is good to 0.7 mm, this difference to 0.8 mm.
    """
    word, deviation, sd = verdicts.word[i], verdicts.deviation[i], verdicts.uncertainty[i]
    sigma = verdicts.estimate.reading_error
    place = verdicts.tops.where(i, units=units)
    head = f"{place[0].upper()}{place[1:]}: {word}"
    beam = int(verdicts.tops.beam[i])
    good = f"One reading is good to {fine_length(sigma, units)}, this difference to {fine_length(sd, units)}."
    if verdicts.estimate.fixed[i]:
        return f"{head}. It is a fixed point: the fair line was made to pass through it."
    if word == "doubtful reading":
        return (
            f"{head}. It stands {_stands(deviation, units)} against all the readings around it, its own "
            "beam's too; a beam top does not step so far between two readings. Measure it again before anything is "
            f"planed there. {good}"
        )
    if word == "measure again":
        return (
            f"{head} ({_times(int(verdicts.again[i]))}). It stands {_stands(deviation, units)}, but no reading beside "
            f"it says so. {good} Do not plane on one reading."
        )
    if word == "cannot tell from here":
        return (
            f"{head}. Here the fair line rests on this beam's own readings: there is too little beyond it to hold it "
            f"against. A fixed point or a beam farther on would tell. Best guess {_stands(deviation, units)}."
        )
    if word == "leave":
        return f"{head}. {_leave_reason(verdicts, deviation, sd, units)} {good}"
    whole = np.abs(verdicts.whole[beam]).max() > 0
    by = "with its beam as a whole" if whole else "and the reading beside it, or a second reading of it, says the same"
    return f"{head}. It stands {_stands(deviation, units)}, {by}. {good}"


def _leave_reason(verdicts: Verdicts, deviation: float, sd: float, units: str) -> str:
    """Why a reading may be left."""
    if abs(deviation) <= verdicts.tolerance:
        return (
            f"It stands {_stands(deviation, units)}, within the tolerance of {fine_length(verdicts.tolerance, units)}."
        )
    return f"It seems to stand {_stands(deviation, units)}; among so many readings that much comes by chance."


def why_beam(verdicts: Verdicts, beam: int, units: str = "mm") -> str:
    """
    Reason for a beam's verdict.

    Parameters
    ----------
    verdicts : Verdicts
        Stage B.
    beam : int
        Which beam, from 0.
    units : {"mm", "ft-in-8", "in"}
        For lengths.

    Returns
    -------
    str

    Examples
    --------
    See `verdict.Verdicts`.

    >>> why_beam.__name__
    'why_beam'
    """
    word, rows = verdicts.beam_word[beam], np.flatnonzero(verdicts.tops.beam == beam)
    head = f"Beam {verdicts.tops.beam_names[beam]}: {word}."
    if not rows.size:
        return f"{head} It was not measured."
    parts = [head]
    slips = rows[verdicts.word[rows] == "doubtful reading"]
    if slips.size:
        places = "; ".join(verdicts.tops.where(int(i), units=units).split(", ", 1)[1] for i in slips)
        parts.append(f"First measure again, {places}: that reading is doubtful and was left out of what follows.")
    whole = _whole_words(verdicts, beam, units)
    if word == "cannot tell from here":
        parts.append(
            "The fair line here rests on this beam itself: nothing beyond it, or too little, to hold it against."
        )
        if whole:
            parts.append(f"For what it is worth, {whole}.")
    elif whole:
        worst = verdicts.whole_sd[beam].max()
        parts.append(f"As a whole {whole}; that is known to {fine_length(worst, units)}.")
        if word == "leave":
            parts.append(f"That is within the tolerance of {fine_length(verdicts.tolerance, units)}.")
    elif word == "leave":
        parts.append(
            "Nothing on it stands out more than chance and the tolerance of "
            f"{fine_length(verdicts.tolerance, units)} allow."
        )
    else:
        many = int((verdicts.word[rows] == word).sum())
        parts.append(
            f"As a whole it is fair; {many} of its {len(rows)} readings {'says' if many == 1 else 'say'} {word}."
        )
    return " ".join(parts)


def _whole_words(verdicts: Verdicts, beam: int, units: str) -> str:
    """How a beam as a whole is out: height, tilt and crown, only what was found."""
    height, tilt, crown = verdicts.whole[beam]
    said = []
    if height:
        said.append(f"it stands {_stands(height, units)}")
    if tilt:
        side = "starboard" if tilt > 0 else "port"
        said.append(f"its {side} end stands {format_length(abs(tilt), units)} high and the other as much low")
    if crown:
        said.append(
            f"its middle stands {_stands(crown, units)} of its ends"
            if not height
            else f"its crown is {format_length(abs(crown), units)} too {'full' if crown > 0 else 'flat'}"
        )
    return " and ".join(said)
