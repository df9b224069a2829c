"""
The house style of the drawings.

Black is the boat as designed, blue and dashed is a batten, vermilion with markers is what was measured. Plane and pack
differ by hatch and word as well as by colour, so that a grey photocopy says the same.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager

import matplotlib as mpl

BLACK = "#000000"
GREY = "#6b6b6b"
PALE = "#d9d9d9"
BLUE = "#0072B2"
VERMILION = "#D55E00"

LINES = {
    "designed": {"color": BLACK, "linewidth": 1.7, "zorder": 3},
    "designed starboard": {"color": BLACK, "linewidth": 1.3, "linestyle": (0, (9, 2, 1.5, 2)), "zorder": 3},
    "other face": {"color": GREY, "linewidth": 1.2, "linestyle": (0, (1, 1.6)), "zorder": 2.9},
    "batten": {"color": BLUE, "linewidth": 1.7, "linestyle": (0, (6, 2.5)), "zorder": 3.1},
    "base": {"color": GREY, "linewidth": 0.8, "zorder": 1.5},
    "bridge": {"color": GREY, "linewidth": 1.0, "linestyle": (0, (2, 2)), "zorder": 2},
    "pointer": {"color": GREY, "linewidth": 0.7, "zorder": 1.6},
    "reader": {"color": GREY, "linewidth": 1.0, "linestyle": (0, (1, 1)), "zorder": 1.4},
}
DOTS = {
    "measured": {"color": VERMILION, "marker": "o", "markersize": 5.5, "linestyle": "none", "zorder": 4},
    "measured starboard": {
        "color": VERMILION,
        "marker": "s",
        "markersize": 7.5,
        "markerfacecolor": "none",
        "markeredgewidth": 1.3,
        "linestyle": "none",
        "zorder": 4,
    },
    "suspect": {
        "color": VERMILION,
        "marker": "o",
        "markersize": 14,
        "markerfacecolor": "none",
        "markeredgewidth": 1.6,
        "linestyle": "none",
        "zorder": 4.5,
    },
    "doubtful": {
        "color": BLACK,
        "marker": "x",
        "markersize": 9,
        "markeredgewidth": 2,
        "linestyle": "none",
        "zorder": 4.6,
    },
    "station": {"color": BLACK, "marker": "|", "markersize": 7, "linestyle": "none", "zorder": 3.2},
    "ordinate": {"color": BLACK, "marker": "o", "markersize": 3, "linestyle": "none", "zorder": 3.3},
    "inflection": {
        "color": BLACK,
        "marker": "D",
        "markersize": 6,
        "markerfacecolor": "white",
        "markeredgewidth": 1.3,
        "linestyle": "none",
        "zorder": 4,
    },
}
DOTS |= {
    "touching": {
        "color": BLACK,
        "marker": "v",
        "markersize": 7,
        "markerfacecolor": "white",
        "markeredgewidth": 1.3,
        "linestyle": "none",
        "zorder": 4,
    },
    "plane": {"color": VERMILION, "marker": "^", "markersize": 9, "linestyle": "none", "zorder": 4},
    "pack": {
        "color": BLUE,
        "marker": "v",
        "markersize": 9,
        "markerfacecolor": "white",
        "markeredgewidth": 1.8,
        "linestyle": "none",
        "zorder": 4,
    },
    "stays": {
        "color": BLACK,
        "marker": "s",
        "markersize": 9,
        "markerfacecolor": "none",
        "markeredgewidth": 1.5,
        "linestyle": "none",
        "zorder": 4,
    },
    "again": {
        "color": BLACK,
        "marker": "$?$",
        "markersize": 9,
        "markeredgewidth": 0.4,
        "linestyle": "none",
        "zorder": 4,
    },
    "leave": {
        "color": GREY,
        "marker": "o",
        "markersize": 3.5,
        "markerfacecolor": "white",
        "markeredgewidth": 1,
        "linestyle": "none",
        "zorder": 3.5,
    },
    "chosen": {
        "color": BLACK,
        "marker": "o",
        "markersize": 17,
        "markerfacecolor": "none",
        "markeredgewidth": 1.2,
        "linestyle": "none",
        "zorder": 5,
    },
    "cannot": {"color": GREY, "marker": "s", "markersize": 4, "linestyle": "none", "zorder": 3.5},
}
BANDS = {
    "plane": {"facecolor": "#f6cfb4", "edgecolor": VERMILION, "hatch": "////", "linewidth": 0.8, "zorder": 2},
    "pack": {"facecolor": "#cfe4f2", "edgecolor": BLUE, "hatch": "||||", "linewidth": 0.8, "zorder": 2},
    "hump": {"facecolor": "#f6cfb4", "edgecolor": VERMILION, "hatch": "////", "linewidth": 0, "zorder": 1.8},
    "hollow": {"facecolor": "#cfe4f2", "edgecolor": BLUE, "hatch": "||||", "linewidth": 0, "zorder": 1.8},
    "timber": {"facecolor": "#efe6d5", "edgecolor": GREY, "linewidth": 0.8, "zorder": 1.2},
    "shade": {"facecolor": "#ededed", "edgecolor": "none", "linewidth": 0, "zorder": 1},
    "opening": {"facecolor": "white", "edgecolor": GREY, "linewidth": 1, "linestyle": (0, (4, 2)), "zorder": 2.4},
}

_OURS = {
    "font.family": ["sans-serif"],
    "font.sans-serif": ["DejaVu Sans", "Verdana", "Arial", "sans-serif"],
    "font.size": 10,
    "axes.titlesize": 11,
    "axes.titlelocation": "left",
    "axes.titleweight": "bold",
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.edgecolor": GREY,
    "axes.grid": True,
    "axes.axisbelow": True,
    "axes.formatter.useoffset": False,
    "axes.xmargin": 0.02,
    "grid.color": "#e2e2e2",
    "grid.linewidth": 0.7,
    "hatch.linewidth": 0.7,
    "legend.frameon": False,
    "legend.fontsize": 9.5,
    "legend.handlelength": 3.4,
    "text.parse_math": False,
    "text.usetex": False,
    "svg.fonttype": "none",
    "svg.hashsalt": "deckgeom",
    "svg.id": None,
    "path.simplify": True,
    "figure.dpi": 100,
    "savefig.dpi": 100,
}
# What a builder's own matplotlib settings may hold is set back first, so that a drawing is the same everywhere.
_FAMILIES = {
    "axes",
    "figure",
    "font",
    "grid",
    "hatch",
    "legend",
    "lines",
    "patch",
    "path",
    "savefig",
    "svg",
    "text",
    "xtick",
    "ytick",
}


def _settings() -> dict:
    plain = {k: v for k, v in mpl.rcParamsDefault.items() if k.partition(".")[0] in _FAMILIES and "max_open" not in k}
    return plain | {k: v for k, v in _OURS.items() if k in mpl.rcParamsDefault}


_SETTINGS = _settings()


@contextmanager
def house_style() -> Iterator[None]:
    """
    Draw in the house style while inside, whatever matplotlib has been set to elsewhere.

    Examples
    --------
    >>> import matplotlib as mpl
    >>> with house_style():
    ...     mpl.rcParams["svg.fonttype"]
    'none'
    """
    with mpl.rc_context(_SETTINGS):
        yield


def clean(words: object, most: int = 48) -> str:
    """
    Make words that a person typed fit to stand in a drawing: no control characters, and not endless.

    Parameters
    ----------
    words : object
        A name, a note; anything else is turned into words first.
    most : int
        The most characters kept; more are cut and end in a mark that says so.

    Returns
    -------
    str
        The words, safe to draw.

    Examples
    --------
    >>> clean("beam\\x00 7")
    'beam 7'
    >>> clean("a" * 60, most=5)
    'aaaa…'
    """
    kept = "".join(c for c in str(words) if unicodedata.category(c)[0] != "C" or c.isspace())
    kept = " ".join(kept.split())
    return kept if len(kept) <= most else kept[: most - 1] + "…"
