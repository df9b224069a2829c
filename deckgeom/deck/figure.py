"""
The camber figure: how much camber, in any of the forms in which a builder meets it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from ..units import echo, echo_slope, format_length
from .camber import MOST_CAMBER, CamberError, check_mould, shape_named


@dataclass(frozen=True)
class CamberFigure:
    """
    How much camber, and what it is measured on.

    Parameters
    ----------
    kind : str
        "ratio" (rise over breadth), "crown" (rise at the widest beam), "radius" (of the arc) or "on breadth" (rise on a
        stated breadth).
    value : float
        The ratio [1], the rise [mm] or the radius [mm].
    of : str
        For a ratio: "beam" (the whole of it) or "half-beam".
    breadth : float, optional
        For "on breadth": the whole breadth that the rise is stated on. [mm]
    said : bool
        Whether the text itself said of what the ratio is.
    text : str
        What was written.

    Examples
    --------
    >>> CamberFigure("ratio", 1 / 32).camber_at(1500)
    93.75
    >>> CamberFigure("ratio", 1 / 32, of="half-beam").camber_at(1500)
    46.875
    """

    kind: str
    value: float
    of: str = "beam"
    breadth: float | None = None
    said: bool = False
    text: str = ""

    def __post_init__(self):
        if self.kind not in ("ratio", "crown", "radius", "on breadth"):
            raise CamberError(f"kind of figure {self.kind!r}: it is ratio, crown, radius or on breadth.")
        if self.of not in ("beam", "half-beam"):
            raise CamberError(f"a ratio of {self.of!r}: it is of the beam or of the half-beam.")
        if not self.value >= 0:
            raise CamberError(f"camber figure {self.value:g}: it must be nought or more.")
        if self.kind == "ratio":
            self._check_ratio()
        if self.kind == "on breadth":
            check_mould((self.breadth or 0.0) / 2, self.value)

    def _check_ratio(self):
        of_beam = self.value / (2 if self.of == "half-beam" else 1)
        if of_beam > MOST_CAMBER / 2:
            raise CamberError(
                f"a camber of {of_beam:.4g} times the whole beam is more than 1:4. Likely slip: the ratio upside down, "
                "or inches read as feet. Write the rise first, as in 1:32"
            )

    def mould_size(self, widest: float) -> tuple[float, float]:
        """
        Half-breadth and rise of the mould that the figure describes.

        Parameters
        ----------
        widest : float
            Half of the breadth at the widest beam. [mm]

        Returns
        -------
        half_breadth, rise : float
            The stated breadth where there is one, else the widest beam. [mm]

        Examples
        --------
        >>> CamberFigure("on breadth", 94, breadth=3000).mould_size(1600)
        (1500.0, 94)
        """
        if self.kind == "on breadth":
            return self.breadth / 2, self.value
        rise = self.camber_at(widest)
        check_mould(widest, rise)
        return widest, rise

    def camber_at(self, half_breadth: float, shape="circle") -> float:
        """
        Camber of a beam that the figure is applied to.

        Parameters
        ----------
        half_breadth : float
            Half of the beam. [mm]
        shape : str or curve
            Matters for a rise on a stated breadth only: the mould is carried on to this beam.

        Returns
        -------
        float
            [mm]

        Examples
        --------
        >>> CamberFigure("radius", 11300).camber_at(1500)
        100.0
        """
        if self.kind == "ratio":
            return self.value * half_breadth * (2 if self.of == "beam" else 1)
        if self.kind == "crown":
            return self.value
        if self.kind == "radius":
            if self.value < half_breadth:
                raise CamberError(
                    f"radius {self.value:.6g} mm is less than the half-breadth {half_breadth:.6g} mm. "
                    "Is it in other units?"
                )
            return half_breadth**2 / (self.value + (self.value**2 - half_breadth**2) ** 0.5)
        mould = shape_named(shape)(self.breadth / 2, self.value)
        return float(mould.drop(half_breadth))

    def ratio(self, widest: float) -> float:
        """
        Camber over whole breadth, as the rule of the same proportion uses it.

        Parameters
        ----------
        widest : float
            Half of the breadth at the widest beam. [mm]

        Examples
        --------
        >>> CamberFigure("crown", 94).ratio(1504)
        0.03125
        """
        half, rise = self.mould_size(widest)
        return rise / (2 * half)

    @classmethod
    def parse(cls, text: str, units: str = "mm") -> CamberFigure:
        """
        Read a figure in any form that a builder meets.

        Parameters
        ----------
        text : str
            `1:32`, `1:16 of half-beam`, `3/8"/ft`, `31 mm/m`, `R=4.2m`, `94 on 3.0 m`, or a crown at the widest beam.
        units : str
            "mm", "in" or "ft-in-8": the units of bare lengths.

        Raises
        ------
        FigureError
            Where it cannot be read; with `readings` where it can be read in more ways than one.

        Examples
        --------
        >>> CamberFigure.parse("94 on 3.0 m").ratio(1500) == 94 / 3000
        True
        """
        from .figure_text import parse_figure

        return parse_figure(text, units)

    def short(self, units: str = "mm") -> str:
        """
        The figure alone, in words.

        Examples
        --------
        >>> CamberFigure("ratio", 1 / 32).short(), CamberFigure.parse('3/8"/ft').short()
        ('1:32 of the whole beam', '3/8"/ft (1:32) of the whole beam')
        """
        if self.kind == "radius":
            return f"a radius of {echo(self.value, units)}"
        if self.kind == "crown":
            return f"{echo(self.value, units)} at the widest beam"
        if self.kind == "on breadth":
            return f"{echo(self.value, units)} on {echo(self.breadth, units)}"
        if not self.value:
            return "no camber"
        ratio = f"1:{1 / self.value:.4g}"
        form = _per_form(self.text, self.value)
        return f"{f'{form} ({ratio})' if form else ratio} of the {'whole beam' if self.of == 'beam' else 'half-beam'}"

    def words(self, units: str = "mm", half_breadth: float | None = None, shape="circle") -> str:
        """
        The echo: what the figure was taken to be, and the camber that it gives at the widest beam.

        Parameters
        ----------
        units : str
            The folder's units, named first.
        half_breadth : float, optional
            Half of the widest beam. [mm]
        shape : str or curve
            For a rise on a stated breadth.

        Examples
        --------
        >>> print(CamberFigure.parse("1:32 of beam").words("mm", 1500))
        1:32 of the whole beam: at your widest beam of 3000 mm that is 94 mm (3 11/16 in).
        >>> print(CamberFigure.parse("1:32").words("mm", 1500).split(". ")[1])
        Were half-beam meant, it would be 47 mm (1 7/8 in): then write "of half-beam".
        """
        if half_breadth is None:
            return f"{self.short(units)}."
        wide = format_length(2 * half_breadth, units)
        camber = self.camber_at(half_breadth, shape)
        said = f"{self.short(units)}: at your widest beam of {wide} that is {echo(camber, units)}"
        if self.kind == "crown":
            ratio = echo_slope(camber / (2 * half_breadth), units)
            return f"{self.short(units)}, which is {wide} broad: {ratio} of the whole beam."
        if self.kind == "on breadth" and abs(2 * half_breadth - self.breadth) > 0.5:
            same = echo(self.ratio(half_breadth) * 2 * half_breadth, units)
            return f"{said} from one mould, {same} in the same proportion."
        if self.kind == "ratio" and not self.said and self.value:
            half = CamberFigure("ratio", self.value, "half-beam").camber_at(half_breadth)
            return f'{said}. Were half-beam meant, it would be {echo(half, units)}: then write "of half-beam".'
        return f"{said}."


def _per_form(text: str, value: float) -> str:
    """The figure as it was written, where that was per foot or per metre."""
    from ..units.text import tidy

    plain = tidy(text[:60])
    found = re.match(r".*?(?:/ ?(?:ft|foot|'|m\b)|per (?:ft|foot|m|metre|meter)\b|%)", plain)
    return found[0] if found and value else ""


def as_figure(figure, units: str = "mm") -> CamberFigure:
    """
    A camber figure from whatever was given.

    Parameters
    ----------
    figure : CamberFigure, str or float
        A number up to .25 is a ratio of the whole beam, a greater one the crown at the widest beam.
    units : str
        Units of bare numbers.

    Examples
    --------
    >>> as_figure(0.03125).camber_at(1500), as_figure(94).kind
    (93.75, 'crown')
    """
    if isinstance(figure, CamberFigure):
        return figure
    if isinstance(figure, str):
        return CamberFigure.parse(figure, units)
    if 0 <= figure <= 0.25:
        return CamberFigure("ratio", float(figure))
    return CamberFigure.parse(repr(float(figure)), units)
