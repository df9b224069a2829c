"""
The keys that boat.toml may have: how each is read, and what is taken where it is left out.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from deckgeom.deck.beam_marks import MARKS
from deckgeom.units import UNITS, LengthError

from .key_readers import (
    choice,
    figure,
    flag,
    length,
    lengths,
    number,
    numbers,
    pairs,
    set_aside,
    size,
    text,
    two_lengths,
)
from .settings import COMMON
from .ways_reader import ways

NOT_TAKEN = "not stated, so not allowed for"
"""Label of a default of nothing."""


@dataclass(frozen=True)
class Key:
    """
    One key of boat.toml.

    Parameters
    ----------
    name : str
        With its section: "beams.siding".
    read : callable
        Makes the value as typed, and the folder's units, into the value as used.
    default : object
        As it might have been typed; or one for folders in mm and one for the others.
    label : str
        Where the default comes from.

    Examples
    --------
    >>> Key("planking", length, "0").used(None, "mm")
    0.0
    """

    name: str
    read: Callable
    default: object = None
    label: str = COMMON

    def used(self, typed, units: str):
        """The value as used; the default where nothing is typed."""
        if typed is not None:
            return self.read(typed, units)
        default = self.default[units != "mm"] if isinstance(self.default, tuple) else self.default
        return None if default is None else self.read(default, units)


def size_from(least: float) -> Callable:
    """
    Make a reader of a length that is no smaller than the program can use.

    Parameters
    ----------
    least : float
        [mm]

    Returns
    -------
    callable

    Examples
    --------
    >>> size_from(5)("1/2 in", "mm")
    12.7
    """

    def read(typed, units: str) -> float:
        value = size(typed, units)
        if value < least:
            raise LengthError(str(typed), f"this length is {least:g} mm or more", "a unit left out, or another unit")
        return value

    return read


UNITS_ALSO = {
    **dict.fromkeys(("millimetres", "millimeters", "millimetre", "metric"), "mm"),
    **dict.fromkeys(("inches", "inch", '"', "decimal inches"), "in"),
    **dict.fromkeys(("feet", "ft", "ft-in", "feet-inches-eighths", "feet and inches", "imperial"), "ft-in-8"),
}
"""Other words for the units, read with a complaint."""

KEYS = (
    Key("name", text, "", "the folder's name"),
    Key("place", text, "", NOT_TAKEN),
    Key("units", choice(*UNITS), "mm"),
    Key("heights_to", choice("top of deck", "top of beams"), "top of deck"),
    Key("half_breadths_to", choice("outside of planking", "inside of planking"), "outside of planking"),
    Key("planking", length, "0", NOT_TAKEN),
    Key("deck", lengths, [], NOT_TAKEN),
    Key("offsets.accuracy", length, None, "half of the rounding"),
    Key("offsets.rounding", length, None, "1 mm, 1/8 in or 1/16 in by the folder's units"),
    Key("offsets.set_aside", set_aside, "beyond doubt"),
    Key("camber.curve", choice("circle", "parabola", "quarter-circle", "drawn", also={
        "quarter circle": "quarter-circle", "drawn section": "drawn", "arc": "circle"}), "circle"),
    Key("camber.rule", choice("one mould", "same proportion", "crown line", "beam by beam", "no hump", also={
        "one mold": "one mould", "humpless": "no hump"}), "same proportion"),
    Key("camber.figure", figure, "1:32"),
    Key("camber.section", pairs, [], NOT_TAKEN),
    Key("camber.crown_line", pairs, [], NOT_TAKEN),
    Key("camber.least", figure, None, NOT_TAKEN),
    Key("beams.siding", size, ("44 mm", "1 3/4 in")),
    Key("beams.moulding", size, ("60 mm", "2 3/8 in")),
    Key("beams.least_depth", size, None, NOT_TAKEN),
    Key("beams.mark", choice(*MARKS), "forward face"),
    Key("beams.made", choice("sawn", "laminated"), "sawn"),
    Key("beams.layers", number(2, 200, whole=True), None, NOT_TAKEN),
    Key("beams.trial_jig", size, None, NOT_TAKEN),
    Key("beams.trial_released", size, None, NOT_TAKEN),
    Key("beams.ordinates", size_from(5), ("150 mm", "6 in")),
    Key("beams.flare_deg", number(-80, 80), 0.0, NOT_TAKEN),
    Key("fairing.tolerance", length, ("1.5 mm", "1/16 in")),
    Key("fairing.reading_error", size, None, "found from the readings"),
    Key("fairing.cutoff", size_from(50), None, "six beam spacings"),
    Key("fairing.plane_only", flag, False, NOT_TAKEN),
    Key("fairing.pack_only", flag, False, NOT_TAKEN),
    Key("fairing.most_off", length, None, NOT_TAKEN),
    Key("fairing.most_up", length, None, NOT_TAKEN),
    Key("fairing.price_off", number(0.001, 1000), 1.0, NOT_TAKEN),
    Key("fairing.price_up", number(0.001, 1000), 1.0, NOT_TAKEN),
    Key("fairing.no_hollow", flag, False, NOT_TAKEN),
    Key("fairing.fewest", flag, False, NOT_TAKEN),
    Key("laying.sheet", two_lengths, (["2440 mm", "1220 mm"], ["8 ft", "4 ft"])),
    Key("laying.ways", ways, [], NOT_TAKEN),
    Key("laying.joints", choice("on beams", "between beams", "either", "anywhere"), "on beams"),
    Key("laying.scarf", number(0, 40), 8),
    Key("laying.stagger", length, ("300 mm", "12 in")),
    Key("laying.oversize", length, ("20 mm", "3/4 in")),
    Key("laying.edge_strip", length, ("150 mm", "6 in")),
    Key("laying.stock", lengths, (["3000 mm", "3600 mm", "4200 mm"], ["10 ft", "12 ft", "14 ft"])),
    Key("laying.fastening", choice("wood screw", "ring nail", "smooth nail", also={
        "screw": "wood screw"}), "ring nail"),
    Key("laying.fastening_diameter", size, ("3 mm", "1/8 in")),
    Key("laying.fastening_lengths", lengths, (["30 mm", "40 mm", "50 mm", "65 mm"], ["1 1/4 in", "1 1/2 in", "2 in",
        "2 1/2 in"])),
    Key("laying.spacing", size, ("150 mm", "6 in")),
    Key("laying.edge_spacing", size, ("100 mm", "4 in")),
    Key("laying.timber", text, "", NOT_TAKEN),
    Key("laying.gravity", number(0.2, 1.3), 0.5),
    Key("laying.cloth_width", size, ("1270 mm", "50 in")),
    Key("laying.cloth_lap", length, ("50 mm", "2 in")),
    Key("laying.cloth_drop", length, ("40 mm", "1 1/2 in")),
    Key("laying.cloth", choice("glass", "polyester", also={"acrylic": "polyester"}), "glass"),
    Key("laying.cloth_mass", number(20, 2000), 200),
    Key("laying.pot_minutes", number(1, 600), 20),
    Key("laying.pot_degc", number(0, 50), 25),
    Key("laying.film_minutes", number(1, 2000), None, "4 to 5 times the time in the pot, as makers' data sheets say"),
    Key("laying.glue_covers", number(0.1, 50), None, "the band of the table of coverage"),
    Key("laying.degc", number(-5, 45), 18),
    Key("laying.people", number(1, 30, whole=True), 2),
    Key("laying.batch", number(0.02, 20), 0.5),
    Key("laying.tins", numbers(0.05, 200), [1, 5]),
    Key("laying.coats_below", number(0, 20, whole=True), 2),
    Key("laying.coats_above", number(0, 20, whole=True), 4),
)  # fmt: skip
"""Every key, in the order of the file."""
