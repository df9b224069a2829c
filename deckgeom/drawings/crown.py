"""The crown line along the boat, with its humps and hollows against a straight batten."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from deckgeom.drawings.board import Board
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.style import clean
from deckgeom.drawings.ticks import along_the_boat, mark_axis, unit_words
from deckgeom.drawings.words import heights_unit
from deckgeom.units import format_length

LOOKS = (
    {"linestyle": (0, (7, 2)), "marker": "s", "color": "#3a3a3a"},
    {"linestyle": (0, (1.5, 1.5)), "marker": "^", "color": "#3a3a3a"},
    {"linestyle": (0, (7, 2, 1.5, 2)), "marker": "D", "color": "#707070"},
    {"linestyle": (0, (3, 1.5)), "marker": "v", "color": "#707070"},
    {"linestyle": (0, (10, 3)), "marker": "o", "color": "#707070"},
)
MOST_TIMES = 10


def draw_crown_lines(
    profiles: Mapping[str, Any], units: str = "mm", chosen: str = "", board: Board | None = None
) -> Picture:
    """
    Draw the crown lines of several rules over each other, humps marked, and the camber that each rule leaves.

    Parameters
    ----------
    profiles : mapping of str to CrownProfile
        By the name of the rule. [mm]
    units : str
        Of the axes and the words.
    chosen : str
        The rule that the boat goes by, drawn in full black.
    board : Board, optional
        One of :func:`crown_board`, to draw on again.

    Returns
    -------
    Picture
        Two panes: crown lines, cambers.

    Examples
    --------
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.humps import crown_line
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.hull.sheer import Sheer
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> deck = Deck(Sheer.from_curves(level(1500), level(800), start=0, end=6000), OneMould("circle", "1:30"))
    >>> print(draw_crown_lines({"one mould": crown_line(deck)}).alt)
    The crown line and the camber under each rule. One mould: camber from 100 mm to 100 mm. The crown line is hollow or
    straight throughout: no hump, no hollow.
    """
    board = board or crown_board()
    board.start()
    looks = _looks(profiles, chosen)
    first = next(iter(profiles.values()))
    _line(board, "edges", first.x, first.edge_height, "other face", 0, "line joining the deck edges")
    said, row = ["The crown line and the camber under each rule."], 0
    for name, profile in profiles.items():
        label = f"{clean(name, 24)} (chosen)" if name == chosen else clean(name, 24)
        _line(board, name, profile.x, profile.height, "designed", 0, label, **looks[name])
        _line(board, name, profile.x, profile.camber, "designed", 1, None, **looks[name])
        _humps(board, profile, 0, units, f"{clean(name, 24)}: ", row)
        row += bool(profile.humps)
        said.append(_describe(name, profile, units))
    _frame(board, [first.edge_height, *(p.height for p in profiles.values())], first, units)
    _camber_pane(board, list(profiles.values()), units)
    return board.finish(" ".join(said))


def crown_board() -> Board:
    """
    Make a board for :func:`draw_crown_lines` and :func:`draw_crown_line`.

    Examples
    --------
    >>> len(crown_board().panes)
    2
    """
    return Board((3.1, 1.5), legend_rows=(2, 0), foot=(0.35, 0.62))


def draw_crown_line(
    profile: Any,
    name: str,
    others: Mapping[str, Any] | None = None,
    units: str = "mm",
    board: Board | None = None,
    place: float | None = None,
) -> Picture:
    """
    Draw the crown line of one rule large, other rules faintly behind it.

    Parameters
    ----------
    profile : CrownProfile
        Of the rule in hand. [mm]
    name : str
        What it is called.
    others : mapping of str to CrownProfile, optional
        Rules to hold it against.
    units : str
        Of the axes and the words.
    board : Board, optional
        One of :func:`crown_board`, to draw on again.
    place : float, optional
        Where a reader's line crosses both panes. [mm]

    Returns
    -------
    Picture
        Two panes: crown line, camber.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.humps import crown_line
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.hull.sheer import Sheer
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> deck = Deck(Sheer.from_curves(level(1500), level(800), start=0, end=6000), SameProportion("circle", "1:30"))
    >>> print(draw_crown_line(crown_line(deck), "same proportion").alt)
    The crown line under one rule, and the camber that it leaves. Same proportion: camber from 100 mm to 100 mm. The
    crown line is hollow or straight throughout: no hump, no hollow.
    """
    board = board or crown_board()
    board.start()
    others = {other: line for other, line in (others or {}).items() if other != name}
    for other, line in others.items():
        _line(board, f"other {other}", line.x, line.height, "base", 0, "other rules")
        _line(board, f"other {other}", line.x, line.camber, "base", 1, None)
    _line(board, "edges", profile.x, profile.edge_height, "other face", 0, "line joining the deck edges")
    _line(board, "crown", profile.x, profile.height, "designed", 0, f"crown line, {clean(name, 30)}")
    _line(board, "camber", profile.x, profile.camber, "designed", 1, None)
    _humps(board, profile, 0, units, "")
    _frame(board, [profile.edge_height, profile.height, *(line.height for line in others.values())], profile, units)
    _camber_pane(board, [profile, *others.values()], units)
    board.reader(place)
    return board.finish(
        f"The crown line under one rule, and the camber that it leaves. {_describe(name, profile, units)}"
    )


def _looks(profiles: Mapping[str, Any], chosen: str) -> dict[str, dict]:
    """Full black for the chosen rule; dashes and a marker of its own for each other."""
    looks, k = {}, 0
    for name in profiles:
        if name == chosen:
            looks[name] = {}
        else:
            looks[name] = LOOKS[k % len(LOOKS)] | {"linewidth": 1.2, "markersize": 4.5, "markevery": (17 + 11 * k, 57)}
            k += 1
    return looks


def _line(board: Board, name: str, x: Any, y: Any, role: str, at: int, label: str | None, **look: Any) -> None:
    board.line(name, x, y, role, at=at, label=label, **look)


def _humps(board: Board, profile: Any, at: int, units: str, who: str, row: int = 0) -> None:
    """Mark where the bend changes over, and each hump or hollow with its batten; words a row higher for each row."""
    if profile.inflections:
        where = np.interp(profile.inflections, profile.x, profile.height)
        board.dots(f"{who}inflections", profile.inflections, where, "inflection", at=at, label="bend changes over")
    for k, hump in enumerate(profile.humps):
        inside = (profile.x >= hump.start) & (profile.x <= hump.end)
        x, z = profile.x[inside], profile.height[inside]
        chord = np.interp(x, [x[0], x[-1]], [z[0], z[-1]])
        board.band(f"{who}{hump.kind} {k}", x, chord, z, hump.kind, at=at, label=hump.kind)
        board.line(f"{who}straight-edge {k}", x, chord, "batten", at=at, label="straight batten")
        top, lift = float(np.interp(hump.x, x, z)), (26 + 16 * row) * (1 if hump.kind == "hump" else -1)
        said = f"{who}{hump.kind} {format_length(hump.gap, units)}"
        board.words(
            f"{who}gap {k}", hump.x, top, said, at=at, shift=(0, lift), leader=True, ha="center", fontweight="bold"
        )


def _frame(board: Board, parts: list, profile: Any, units: str) -> None:
    z = np.concatenate(parts)
    board.titles("Crown line, seen from the side, bow to the left", "", f"height above base ({unit_words(units)})")
    ends = (float(profile.x[0]), float(profile.x[-1]))
    board.frame(ends, (float(np.min(z)), float(np.max(z))), most=MOST_TIMES)
    mark_axis(board.panes[0].xaxis, units, 14, unsigned=True)
    mark_axis(board.panes[0].yaxis, units, 8)


def _camber_pane(board: Board, profiles: list, units: str) -> None:
    most = max(float(np.max(profile.camber)) for profile in profiles)
    title = "Camber: crown above the line that joins the deck edges"
    board.titles(title, along_the_boat(units), f"camber ({heights_unit(units)})", at=1)
    board.limits(board.panes[0].get_xlim(), (0.0, 1.12 * most), at=1, words="cambers drawn large")
    mark_axis(board.panes[1].xaxis, units, 14, unsigned=True)
    mark_axis(board.panes[1].yaxis, units, 6)


def _describe(name: str, profile: Any, units: str) -> str:
    least, most = (format_length(float(f(profile.camber)), units) for f in (np.min, np.max))
    return f"{clean(name, 30).capitalize()}: camber from {least} to {most}. {profile.words(units)}"
