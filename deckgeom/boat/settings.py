"""
What boat.toml says, with every default labelled.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from deckgeom.deck.figure import CamberFigure

from .laying_settings import LayingSettings

COMMON = "common practice, no source"
"""Label of a default that builders use and nobody publishes."""

TYPED = "typed in boat.toml"
"""Label of what a person stated."""


@dataclass(frozen=True)
class OffsetSettings:
    """
    How good the offsets are.

    Parameters
    ----------
    accuracy : float
        The fair curve stays this near to every offset; 0 goes through each. [mm]
    rounding : float
        Step that the offsets are rounded to. [mm]
    set_aside : str or tuple of (str, str)
        "beyond doubt", "none", or the column and station of each offset that must not pull the curve.

    Examples
    --------
    >>> OffsetSettings(accuracy=1.5875, rounding=3.175).set_aside
    'beyond doubt'
    """

    accuracy: float
    rounding: float
    set_aside: str | tuple[tuple[str, str], ...] = "beyond doubt"


@dataclass(frozen=True)
class CamberSettings:
    """
    The curve of the beams and how it changes along the boat.

    Parameters
    ----------
    curve : str
        "circle", "parabola", "quarter-circle" or "drawn".
    rule : str
        "one mould", "same proportion", "crown line", "beam by beam" or "no hump".
    figure : CamberFigure
        How much camber, and of what.
    section : tuple of (float, float)
        For "drawn": off the centreline and drop below the crown. [mm]
    crown_line : tuple of (float, float)
        For "crown line": place along the boat and height of the crown. [mm]
    least : CamberFigure or None
        Camber that must be left everywhere to drain.

    Examples
    --------
    >>> CamberSettings("circle", "one mould", CamberFigure.parse("1:32")).least is None
    True
    """

    curve: str
    rule: str
    figure: CamberFigure
    section: tuple[tuple[float, float], ...] = ()
    crown_line: tuple[tuple[float, float], ...] = ()
    least: CamberFigure | None = None


@dataclass(frozen=True)
class BeamSettings:
    """
    What holds for every beam unless beams.csv says otherwise.

    Parameters
    ----------
    siding, moulding : float
        Fore-and-aft and up-and-down size. [mm]
    least_depth : float or None
        No beam may be left with less up-and-down. [mm]
    mark : str
        What x in beams.csv is taken to: "forward face", "after face" or "middle".
    made : str
        "sawn" or "laminated".
    layers : int or None
        Layers of a laminated beam. [-]
    trial_jig, trial_released : float or None
        Camber of a trial beam on the jig and after release. [mm]
    ordinates : float
        Spacing of the ordinates across a beam. [mm]
    flare_deg : float
        Lean of the topsides outward from plumb at the deck edge. [deg]

    Examples
    --------
    >>> BeamSettings(44, 60, None, "middle").made
    'sawn'
    """

    siding: float
    moulding: float
    least_depth: float | None
    mark: str
    made: str = "sawn"
    layers: int | None = None
    trial_jig: float | None = None
    trial_released: float | None = None
    ordinates: float = 150.0
    flare_deg: float = 0.0


@dataclass(frozen=True)
class FairingSettings:
    """
    How fair is fair enough, and what may be done to get there.

    Parameters
    ----------
    tolerance : float
        A gap smaller than this is left. [mm]
    reading_error : float or None
        Standard deviation of one reading; None finds it from the readings. [mm]
    cutoff : float or None
        A hump this long is half kept; None takes six beam spacings. [mm]
    plane_only, pack_only : bool
        Nothing is packed up; nothing is planed off.
    most_off, most_up : float or None
        No more is planed off or packed up anywhere. [mm]
    price_off, price_up : float
        What a millimetre planed off or packed up costs against the other. [-]
    no_hollow : bool
        No hollow is left fore and aft.
    fewest : bool
        Touch as few beams as can be.

    Examples
    --------
    >>> FairingSettings(tolerance=1.5).plane_only
    False
    """

    tolerance: float
    reading_error: float | None = None
    cutoff: float | None = None
    plane_only: bool = False
    pack_only: bool = False
    most_off: float | None = None
    most_up: float | None = None
    price_off: float = 1.0
    price_up: float = 1.0
    no_hollow: bool = False
    fewest: bool = False


@dataclass(frozen=True)
class Settings:
    """
    Everything that boat.toml says or leaves to a default.

    Parameters
    ----------
    name, place : str
        What the boat is called and where she stands.
    units : str
        "mm", "ft-in-8" or "in": the units of bare numbers and of what is shown.
    heights_to : str
        "top of deck" or "top of beams".
    half_breadths_to : str
        "outside of planking" or "inside of planking".
    planking : float
        Its thickness. [mm]
    deck : tuple of float
        Thickness of each layer as measured, bottom first. [mm]
    offsets : OffsetSettings
        Section [offsets].
    camber : CamberSettings
        Section [camber].
    beams : BeamSettings
        Section [beams].
    fairing : FairingSettings
        Section [fairing].
    laying : LayingSettings
        Section [laying].
    sources : dict of str to str
        Where each value comes from, by key: typed, or the label of the default.

    Examples
    --------
    >>> from deckgeom.boat import default_settings
    >>> settings = default_settings("mm")
    >>> settings.source("camber.rule")
    'common practice, no source'
    """

    name: str
    place: str
    units: str
    heights_to: str
    half_breadths_to: str
    planking: float
    deck: tuple[float, ...]
    offsets: OffsetSettings
    camber: CamberSettings
    beams: BeamSettings
    fairing: FairingSettings
    laying: LayingSettings
    sources: dict[str, str] = field(default_factory=dict, repr=False, compare=False)

    @property
    def deck_thickness(self) -> float:
        """All layers together. [mm]"""
        return float(sum(self.deck))

    def source(self, key: str) -> str:
        """Where the value of a key ("beams.siding") comes from: "typed in boat.toml", or the label of its default."""
        return self.sources.get(key, COMMON)

    def typed(self, key: str) -> bool:
        """Whether a person stated the key."""
        return self.sources.get(key) == TYPED
