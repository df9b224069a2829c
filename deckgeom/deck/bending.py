"""
Bending and sawing a beam to its camber: spring-back, slope of grain, strain.

A beam is either *laminated* (thin layers bent over a form, the *jig*, and glued) or *sawn* from straight stock. A
laminated beam opens a little when it leaves the jig: that is *spring-back*, so the jig is given more camber than is
wanted. A sawn beam has grain that runs out at its ends: that is *slope of grain*, and it costs strength.

The strength figures compare one piece of timber with another. Whether a beam is strong enough is a matter for the
local rules and for a licensed designer or surveyor.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.units import format_length

__all__ = [
    "GRAIN_TABLE",
    "SpringBack",
    "TrialBeam",
    "curvature_factor",
    "grain_slope",
    "one_in",
    "spring_back",
    "spring_back_factor",
    "strength_left",
    "surface_strain",
]

#: Slope of grain (rise per run) and bending strength left [%]. The first row is straight grain; the others are as
#: printed in USDA Wood Handbook FPL-GTR-190, table 5-12 (modulus of rupture).
GRAIN_TABLE = ((0.0, 100.0), (1 / 25, 96.0), (1 / 20, 93.0), (1 / 15, 89.0), (1 / 10, 81.0), (1 / 5, 55.0))
GRAIN_SOURCE = "USDA Wood Handbook FPL-GTR-190, table 5-12"


def spring_back_factor(layers: int) -> float:
    r"""
    Camber of the jig over the camber wanted, for equal layers glued together.

    Parameters
    ----------
    layers : int
        Number of equal layers, 2 or more.

    Returns
    -------
    float
        Jig camber / finished camber, above 1.

    Notes
    -----
    .. math:: f = n^2 / (n^2 - 1)

    Bent dry, n loose layers hold n small bending stiffnesses; glued, the beam is n squared times as stiff as they
    were, so it gives back one part in n squared. Steam, wet timber and creep of the glue change that: a trial beam
    tells (`TrialBeam`).

    References
    ----------
    Energy of n loose layers against the glued section (derived); measured spring-back of glued curved timber:
    *Forests* 2020, 11(7), 725.

    Examples
    --------
    >>> round(100 * spring_back_factor(4), 2), round(100 * spring_back_factor(3), 2)
    (106.67, 112.5)
    """
    if isinstance(layers, bool) or int(layers) != layers or layers < 2:
        raise ValueError(
            f"{layers!r} layers cannot hold a bend: a laminated beam has 2 or more whole layers. "
            'Is it one sawn piece? Then write made = "sawn".'
        )
    n2 = int(layers) ** 2
    return n2 / (n2 - 1)


@dataclass(frozen=True)
class TrialBeam:
    """
    One beam made over the jig and measured after release.

    Parameters
    ----------
    jig : float
        Camber of the jig that it was bent on, over the beam's breadth. [mm]
    released : float
        Camber of the beam over the same breadth, off the jig and at rest. [mm]

    Examples
    --------
    >>> TrialBeam(jig=110, released=100).factor
    1.1
    """

    jig: float
    released: float

    def __post_init__(self) -> None:
        """Refuse pairs that no bent beam can give."""
        if not (np.isfinite(self.jig) and np.isfinite(self.released) and self.jig > 0 and self.released > 0):
            raise ValueError(
                f"A trial beam of jig {self.jig} and released {self.released} mm: both cambers must be above 0. "
                "Measure each at the centreline, up from the line joining the beam's ends."
            )
        if self.released > self.jig:
            raise ValueError(
                f"The trial beam came off with {self.released:g} mm of camber from a jig of {self.jig:g} mm: a "
                "beam opens when it is released, it does not close. Are the two figures swapped?"
            )

    @property
    def factor(self) -> float:
        """Jig camber over camber kept, 1 or more."""
        return self.jig / self.released


@dataclass(frozen=True)
class SpringBack:
    """
    The one allowance for spring-back that a job uses, and where it comes from.

    Parameters
    ----------
    factor : float
        Jig camber / finished camber; a finished camber is multiplied by it once, in `jig_camber`. [-]
    source : str
        Where the factor comes from, in words.

    Examples
    --------
    >>> spring_back(layers=4).jig_camber(94.0)
    100.26666666666667
    """

    factor: float
    source: str

    def jig_camber(self, camber: float) -> float:
        """Camber of the jig for a *finished* camber, over the same breadth. [mm]"""
        return camber * self.factor


def spring_back(layers: int | None = None, trial: TrialBeam | None = None, units: str = "mm") -> SpringBack:
    """
    Choose the allowance: a trial beam's measurement if there is one, else the rule for glued layers; never both.

    Parameters
    ----------
    layers : int, optional
        Number of equal layers.
    trial : TrialBeam, optional
        A measured beam; it takes over from the rule.
    units : {"mm", "ft-in-8", "in"}
        That the words speak in.

    Returns
    -------
    SpringBack

    Examples
    --------
    >>> spring_back(layers=4, trial=TrialBeam(jig=110, released=100)).factor
    1.1
    """
    if trial is not None:
        jig, released = (
            f"{rise:g} mm" if units == "mm" else format_length(rise, units) for rise in (trial.jig, trial.released)
        )
        words = f"measured on a trial beam: jig {jig}, {released} after release"
        if layers is not None:
            rule = spring_back_factor(layers)
            words += f" (the rule for {layers} layers, {rule:.4f}, is set aside)"
        return SpringBack(trial.factor, words)
    if layers is None:
        raise ValueError(
            "Spring-back needs the number of layers or a trial beam, and neither is given. "
            "Add `layers` to [beams], or trial_jig and trial_released."
        )
    n2 = int(layers) ** 2
    return SpringBack(spring_back_factor(layers), f"{layers} equal layers: {n2}/({n2} - 1); no trial beam measured yet")


def grain_slope(breadth: float, camber: float) -> float:
    r"""
    Slope of grain at the end of a beam sawn from straight stock.

    Parameters
    ----------
    breadth : float
        Length of the line joining the beam's ends, the whole beam. [mm]
    camber : float
        Rise at the middle of that line. [mm]

    Returns
    -------
    float
        Rise per run, a positive number; `one_in` turns it into words.

    Notes
    -----
    .. math:: 4 c / B

    the end slope of a parabola; a circle's is larger by the part :math:`(2c/B)^2`, nothing that a rule can show.

    Examples
    --------
    >>> one_in(grain_slope(3000, 100))
    '1:7.5'
    """
    if not breadth > 0:
        raise ValueError(f"A beam's breadth must be above 0; {breadth:g} mm is not.")
    return abs(4.0 * camber / breadth)


def one_in(slope: float) -> str:
    """
    A slope as one in so many, to two figures.

    Parameters
    ----------
    slope : float
        Rise per run. [-]

    Returns
    -------
    str

    Examples
    --------
    >>> one_in(0.125), one_in(0.0401), one_in(0.0)
    ('1:8', '1:25', 'straight')
    """
    if abs(slope) < 1e-3:
        return "straight"
    run = 1.0 / abs(slope)
    return f"1:{run:.0f}" if run >= 10 else f"1:{run:.1f}".removesuffix(".0")


def strength_left(slope: float | np.ndarray) -> np.ndarray | float:
    """
    Bending strength left by a slope of grain, as a part of straight-grained timber's.

    Parameters
    ----------
    slope : float or (n,) array
        Rise per run; between printed rows the figure is taken on the straight line between them. [-]

    Returns
    -------
    float or (n,) array
        In per cent; ``nan`` where the slope is steeper than 1:5, for which the table prints nothing.

    References
    ----------
    USDA Wood Handbook FPL-GTR-190, table 5-12, bending: 1:25 96 %, 1:20 93 %, 1:15 89 %, 1:10 81 %, 1:5 55 %.

    Examples
    --------
    >>> strength_left(1 / 15)
    89.0
    >>> round(strength_left(2 / 15), 1)
    72.3
    """
    table = np.array(GRAIN_TABLE)
    left = np.interp(np.abs(slope), table[:, 0], table[:, 1], right=np.nan)
    return float(left) if np.ndim(slope) == 0 else left


def surface_strain(thickness: float, radius: float) -> float:
    r"""
    Strain at the face of a layer bent to a radius.

    Parameters
    ----------
    thickness, radius : float
        Of one layer, and of its bend. [mm]

    Returns
    -------
    float
        :math:`t / 2R`, a plain ratio.

    Examples
    --------
    >>> round(surface_strain(9, 11300), 7)
    0.0003982
    """
    return thickness / (2.0 * radius)


def curvature_factor(thickness: float, radius: float) -> float:
    r"""
    Part of the bending strength left in a beam glued from layers bent to a radius.

    Parameters
    ----------
    thickness, radius : float
        Of one layer, and of its bend. [mm]

    Returns
    -------
    float
        :math:`1 - 2000 (t/R)^2`, and 0 where that is negative: such a layer breaks before it bends.

    References
    ----------
    USDA Wood Handbook 1974, p. 10-8.

    Examples
    --------
    >>> round(curvature_factor(25.4 / 8, 24 * 25.4), 3)
    0.946
    """
    return max(0.0, 1.0 - 2000.0 * (thickness / radius) ** 2)
