"""
Reading a camber figure as a person writes it.
"""

from __future__ import annotations

import re

from ..units import LengthError, format_length, parse_length, parse_slope
from ..units.text import tidy
from .camber import CamberError
from .figure import CamberFigure

#: Two statements of one figure may differ by this part of the greater before a question is raised ("about 3/8 in").
AGREE = 0.03

#: A crown below this is no crown at all, so a bare number so small is a ratio. [mm]
LEAST_CROWN = 3.0

#: Camber over whole breadth that no deck passes (1:4).
MOST_RATIO = 0.25

_PARTS = re.compile(
    r"(?:;|,(?=\s)|\bor\b|\bi\.?e\.?\b|\bthat is\b)\s*(?:,\s*)?(?:(?:that is|or|i\.e\.|say)[, ]*)?", re.I
)
_ABOUT = re.compile(r"^(?:about|say|some|nearly|approx(?:imately|\.)?|~)\s*")
_OF = re.compile(
    r"\s*(?:\b(?:of|on|to)\s+)?(?:the\s+)?\b(?P<of>half[- ]?(?:beam|breadth)|(?:whole |full )?(?:beam|breadth))$"
)
_CROWN = re.compile(
    r"^(?:crown|camber|rise|round)(?: of)?[ :=]+|\s+(?:crown|camber|rise|at (?:the )?widest(?: beam| place)?)$"
)
_RADIUS = re.compile(r"(?:r|radius)(?: of)?\s*[=:]?\s*(?P<r>[0-9.].*)")
_ON = re.compile(r"(?P<rise>.+?)\s+(?:on|over)\s+(?:an?\s+)?(?P<half>half[- ]?beam of\s+)?(?P<breadth>[0-9.].*)")
_FRACTION = re.compile(r"(?P<over>[0-9]+) ?/ ?(?P<under>[0-9]+)")
_SLOPE = re.compile(r":|/|%| per |[0-9] in [0-9]|per ?cent")
_MIXED = re.compile(r"[0-9]+[ -][0-9]+ ?/ ?[0-9]+")
_NUMBER = re.compile(r"[0-9]*[.,]?[0-9]+")


class FigureError(CamberError, LengthError):
    """
    A camber figure that cannot be read, or can be read in more than one way.

    Attributes
    ----------
    text, rule, slip, advice : str
        As `LengthError` has them.
    readings : tuple of (str, CamberFigure)
        For a doubtful text each way to read it, in words, and the figure.

    Examples
    --------
    >>> try:
    ...     parse_figure("3/8")
    ... except FigureError as doubt:
    ...     print([words for words, figure in doubt.readings])
    ['3/8 in per foot of the whole beam (1:32)', '3/8 in per foot of the half-beam (1:64 of the whole)']
    """


def parse_figure(text: str, units: str = "mm") -> CamberFigure:
    """
    Read a camber figure in any form.

    Parameters
    ----------
    text : str
        `1:32`, `1/16 of half-beam`, `3/8"/ft`, `31 mm/m`, `R=4.2m`, `94 on 3.0 m`, `94` (crown at the widest beam).
    units : str
        Units of bare lengths.

    Returns
    -------
    CamberFigure

    Raises
    ------
    FigureError
        Where it cannot be read, or a question where it can be read in more ways than one.

    Examples
    --------
    >>> parse_figure("1 1/2 in on 5 ft").ratio(762) == parse_figure("1:40").value
    True
    """
    parts = [part.strip() for part in _PARTS.split(text) if part and part.strip()]
    if not parts:
        raise FigureError(text, "there is no camber figure", advice='Write it like 1:32, 3/8"/ft, 31 mm/m or 94.')
    try:
        figures = [_one(part, _ABOUT.sub("", tidy(part)), units) for part in parts]
        for other in figures[1:]:
            _must_agree(text, figures[0], other, units)
    except FigureError:
        raise
    except LengthError as wrong:
        raise FigureError(text, wrong.rule, wrong.slip, wrong.advice, _crowns(wrong)) from None
    except CamberError as wrong:
        raise FigureError(text, str(wrong)) from None
    return figures[0]


def _one(text: str, plain: str, units: str) -> CamberFigure:
    plain = _CROWN.sub("", plain)
    radius = _RADIUS.fullmatch(plain)
    if radius:
        return CamberFigure("radius", parse_length(radius["r"], units), text=text)
    tail = _OF.search(plain)
    of = "half-beam" if tail and tail["of"].startswith("half") else "beam"
    plain = plain[: tail.start()] if tail else plain
    on = _ON.fullmatch(plain)
    if on:
        wide = parse_length(on["breadth"], units) * (2 if on["half"] or of == "half-beam" else 1)
        return CamberFigure("on breadth", parse_length(on["rise"], units), breadth=wide, text=text)
    fraction = _FRACTION.fullmatch(plain)
    over, under = (int(fraction["over"]), int(fraction["under"])) if fraction and not tail else (0, 0)
    if over and under and (over != 1 or under in (2, 4, 8)):
        raise _inches_per_foot(text, plain, over / under)
    if _SLOPE.search(plain) and not _MIXED.fullmatch(plain) and not _is_length(plain, units):
        return CamberFigure("ratio", _slope(text, plain, of), of, said=bool(tail), text=text)
    return _bare(text, plain, of, tail, units)


def _slope(text: str, plain: str, of: str) -> float:
    try:
        return parse_slope(plain)
    except LengthError as wrong:
        ratios = tuple((w, CamberFigure("ratio", v, of)) for w, v in wrong.readings if 0 < v <= MOST_RATIO)
        raise FigureError(text, wrong.rule, wrong.slip, wrong.advice, ratios) from None


def _crowns(doubt: LengthError) -> tuple:
    """Readings of a doubtful length, as crowns at the widest beam."""
    return tuple((words, CamberFigure("crown", mm)) for words, mm in doubt.readings if mm >= LEAST_CROWN)


def _is_length(plain: str, units: str) -> bool:
    """A length with a fraction in it, such as 3 11/16 in."""
    if _FRACTION.fullmatch(plain) or "per" in plain or re.search(r"[:%]|/ ?(?:ft|foot|m|')", plain):
        return False
    try:
        parse_length(plain, units)
    except LengthError:
        return False
    return True


def _bare(text: str, plain: str, of: str, tail, units: str) -> CamberFigure:
    """A number alone: a crown at the widest beam, or, where it is too small for one, a ratio."""
    rise = parse_length(plain, units)
    value = float(plain.replace(",", ".")) if _NUMBER.fullmatch(plain) else None
    if value is None or value > MOST_RATIO:
        return CamberFigure("crown", rise, text=text)
    ratio = CamberFigure("ratio", value, of, said=bool(tail), text=text)
    if tail or rise < LEAST_CROWN or not value:
        return ratio
    crown = CamberFigure("crown", rise, text=text)
    readings = ((ratio.short(units), ratio), (crown.short(units), crown))
    raise FigureError(
        text, _asked(readings), advice="Write 1:5 for a ratio, or the unit after a crown.", readings=readings
    )


def _inches_per_foot(text: str, plain: str, inches: float) -> FigureError:
    """The question that a bare fraction raises."""
    per_foot = inches / 12
    readings = (
        (f"{plain} in per foot of the whole beam (1:{1 / per_foot:.4g})", CamberFigure("ratio", per_foot, said=True)),
        (
            f"{plain} in per foot of the half-beam (1:{2 / per_foot:.4g} of the whole)",
            CamberFigure("ratio", per_foot, "half-beam", said=True),
        ),
    )
    if inches <= MOST_RATIO:
        readings += ((f"a ratio of 1:{1 / inches:.4g} of the whole beam", CamberFigure("ratio", inches, said=True)),)
    return FigureError(
        text, _asked(readings), advice=f"Write {plain} in per foot, or 1:32 with a colon.", readings=readings
    )


def _must_agree(text: str, first: CamberFigure, other: CamberFigure, units: str) -> None:
    """Raise a question where two statements of one figure differ."""
    half = next((f.breadth / 2 for f in (first, other) if f.breadth), None)
    if half is None and {first.kind, other.kind} != {"ratio"}:
        rule = f"{first.short(units)} and {other.short(units)} cannot be compared without the beam"
        raise FigureError(text, rule, advice="Write one of them.", readings=_named((first, other), units, None))
    half = half or 500.0
    here, there = first.ratio(half), other.ratio(half)
    if abs(here - there) <= AGREE * max(here, there):
        return
    slip = ""
    if 0.4 < min(here, there) / max(here, there) < 0.6:
        slip = "one of the half-beam and one of the whole beam"
    readings = _named((first, other), units, half)
    raise FigureError(text, _asked(readings), slip, "Write the one that the pattern was made to.", readings)


def _named(figures, units: str, half: float | None) -> tuple:
    named = []
    for figure in figures:
        words = figure.short(units)
        if half:
            r = figure.ratio(half)
            per_foot = f"{12 * r:.3g} in per foot of the whole beam, {24 * r:.3g} of the half-beam"
            words += f" ({per_foot}: {format_length(2 * half * r, units)} on {format_length(2 * half, units)})"
        named.append((words, figure))
    return tuple(named)


def _asked(readings) -> str:
    return f"is it {', or '.join(words for words, _ in readings)}?"
