"""
From a table of offsets to deck beams, bevels, spilings and fairing work for wooden boats.

Lengths inside are millimetres; x runs aft, y to starboard, z up from the base line. The names below are loaded when
they are first asked for, so that `import deckgeom` costs next to nothing.

Examples
--------
>>> import deckgeom
>>> deckgeom.echo(deckgeom.parse_length("1-7-4+"))
'497 mm (19 9/16 in)'
"""

from __future__ import annotations

from importlib import import_module

__version__ = "0.1.0"

_ROOM_OF = {
    "units": ("LengthError", "echo", "format_length", "parse_length", "parse_offcentre", "parse_slope"),
    "complaint": ("Complaint",),
    "hull.offsets": ("OffsetTable",),
    "hull.suspects": ("find_suspects",),
    "hull.fair_curve": ("FairCurve",),
    "hull.sheer": ("Sheer",),
    "deck.figure": ("CamberFigure",),
    "deck.camber": ("Circle", "Parabola"),
    "deck.quarter_circle": ("QuarterCircle",),
    "deck.drawn": ("DrawnSection",),
    "deck.crown": ("OneMould", "SameProportion"),
    "deck.lines": ("BeamByBeam", "CrownLine"),
    "deck.no_hump": ("NoHump",),
    "deck.humps": ("crown_line", "find_humps"),
    "deck.surface": ("Deck",),
    "deck.beams": ("BeamMark", "lay_out_beams"),
    "deck.spiling": ("spile", "unspile"),
    "deck.geodesic": ("geodesic",),
    "deck.flat_edge": ("flat_edge",),
    "boat": ("read_boat",),
    "job": ("do_job",),
    "results": ("summary", "write_results"),
}
_HOME = {name: f"deckgeom.{room}" for room, names in _ROOM_OF.items() for name in names}

__all__ = [*_HOME]  # noqa: PLE0604


def __getattr__(name: str):
    """Load a name from its room the first time that it is asked for."""
    if name not in _HOME:
        raise AttributeError(f"deckgeom has no name {name!r}: it has {', '.join(sorted(_HOME))}, and its rooms.")
    value = getattr(import_module(_HOME[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    """The names that can be asked for."""
    return sorted({*globals(), *_HOME})
