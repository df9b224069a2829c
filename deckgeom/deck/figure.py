"""
The camber figure: how much camber, in any of the forms in which a builder meets it.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..units import echo
from .camber import CamberError, check_mould, shape_named


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
            check_mould(1.0 if self.of == "half-beam" else 0.5, self.value)
        if self.kind == "on breadth":
            check_mould((self.breadth or 0.0) / 2, self.value)

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
        return widest, self.camber_at(widest)

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

    def short(self, units: str = "mm") -> str:
        """
        The figure alone, in words.

        Examples
        --------
        >>> CamberFigure("ratio", 1 / 32).short()
        '1:32 of the whole beam'
        """
        if self.kind == "ratio":
            return (
                f"1:{1 / self.value:.6g} of the {'whole beam' if self.of == 'beam' else 'half-beam'}"
                if self.value
                else "no camber"
            )
        if self.kind == "radius":
            return f"a radius of {echo(self.value, units)}"
        if self.kind == "crown":
            return f"{echo(self.value, units)} at the widest beam"
        return f"{echo(self.value, units)} on {echo(self.breadth, units)}"


def as_figure(figure, units: str = "mm") -> CamberFigure:
    """
    A camber figure from whatever was given: a figure, a text, or a bare ratio of the whole beam.

    Parameters
    ----------
    figure : CamberFigure, str or float
    units : str
        Units of bare numbers in a text.

    Examples
    --------
    >>> as_figure(0.03125).camber_at(1500)
    93.75
    """
    if isinstance(figure, CamberFigure):
        return figure
    if isinstance(figure, str):
        return CamberFigure.parse(figure, units)
    return CamberFigure("ratio", float(figure))
