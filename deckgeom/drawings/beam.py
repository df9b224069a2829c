"""One beam as it is to be cut: both faces, the mould, its ordinates, and its bevels along the top."""

from __future__ import annotations

from typing import Any

import numpy as np

from deckgeom.drawings.board import Board
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.style import clean
from deckgeom.drawings.ticks import mark_axis, unit_words
from deckgeom.drawings.words import gap_words, heights_unit, off_words
from deckgeom.units import format_length

FACES = ("forward", "after")
MOST_LABELS = 18


def draw_beam(beam: Any, units: str = "mm", board: Board | None = None, place: float | None = None) -> Picture:
    """
    Draw the top of a beam at both faces with its ordinates, and under it the bevels.

    Parameters
    ----------
    beam : Beam
        As laid out. [mm]
    units : str
        Of the axes and the words.
    board : Board, optional
        One of :func:`beam_board`, to draw on again.
    place : float, optional
        Where a reader's line crosses both panes, off the centreline. [mm]

    Returns
    -------
    Picture
        Two panes: the beam seen from aft, and the rise over its siding.

    Examples
    --------
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.hull.sheer import Sheer
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> deck = Deck(Sheer.from_curves(level(1500), level(800), start=0, end=6000), SameProportion("circle", "1:30"))
    >>> print(draw_beam(lay_out_beams(deck, [BeamMark("4", 2000)])["4"]).alt)
    Beam 4 seen from aft: camber 100 mm, crown 900 mm above base, from 1500 mm port to 1500 mm starboard. The mould is
    cut to either face. No bevel to speak of.
    """
    board = board or beam_board()
    board.start()
    _top(board, beam, units)
    _bevels(board, beam, units)
    board.reader(place)
    return board.finish(_describe(beam, units))


def beam_board() -> Board:
    """
    Make a board for :func:`draw_beam`.

    Examples
    --------
    >>> len(beam_board().panes)
    2
    """
    return Board((2.5, 1.25), legend_rows=(1, 0), foot=(0.35, 0.62))


def _top(board: Board, beam: Any, units: str) -> None:
    table = beam.ordinates
    y, mould = table.y, -table.mould_drop
    line = np.interp(y, y[[0, -1]], mould[[0, -1]])
    low = min(float(np.min(mould)), float(np.min(line)))
    board.line("base", y[[0, -1]], mould[[0, -1]], "base", label="straight line joining its ends")
    for k, face in enumerate(FACES):
        on = y[table.on_face[:, k]]
        across = np.linspace(on[0], on[-1], 121)
        role = "designed" if k == 0 else "other face"
        board.line(face, across, -beam.below_crown_at(across, face), role, label=f"{face} face")
    board.dots("ordinates", y, mould, "ordinate", label="mould: the higher face")
    title = f"Beam {clean(beam.name, 20)}, seen from aft; the numbers are drops below the crown"
    board.titles(title, "", f"below the crown ({heights_unit(units)})")
    board.frame((float(y[0]), float(y[-1])), (1.22 * low, 0.0), most=20)
    foot, top = board.panes[0].get_ylim()
    board.stems("ordinates", y[chosen := _spread(y)], foot + 0.1 * (top - foot), mould[chosen])
    for k in chosen:
        said = format_length(-mould[k], units)
        board.words(f"drop {k}", y[k], foot, said, shift=(0, 9), ha="center", fontsize=9)
    mark_axis(board.panes[0].xaxis, units, 14, unsigned=True)
    mark_axis(board.panes[0].yaxis, units, 6, unsigned=True, highest=1e-6)


def _spread(y: np.ndarray) -> list[int]:
    """Ordinates that have room for their number beside the last one's; both ends always have theirs."""
    room = (y[-1] - y[0]) / MOST_LABELS
    chosen = [0]
    for k in range(1, len(y) - 1):
        if y[k] - y[chosen[-1]] >= room and y[-1] - y[k] >= room:
            chosen.append(k)
    return [*chosen, len(y) - 1]


def _bevels(board: Board, beam: Any, units: str) -> None:
    table = beam.ordinates
    both = table.on_both
    y, rise = table.y[both], table.rise[both]
    most = max(float(np.max(np.abs(rise), initial=0.0)), 0.5)
    board.line("zero", [table.y[0], table.y[-1]], [0, 0], "base", at=1)
    board.line("rise", y, rise, "designed", at=1)
    board.dots("rise", y, rise, "ordinate", at=1)
    for k in np.unique([0, len(y) // 4, len(y) // 2, 3 * len(y) // 4, len(y) - 1]) if len(y) else ():
        said = f"{table.bevel_deg[both][k]:.1f}°"
        board.words(
            f"degrees {k}", y[k], rise[k], said, at=1, shift=(0, 9 if rise[k] >= 0 else -9), ha="center", fontsize=8.5
        )
    for said, where in (("after edge high", 1.7), ("forward edge high", -1.7)):
        board.words(
            said,
            table.y[0] + 0.04 * (table.y[-1] - table.y[0]),
            where * most,
            said,
            at=1,
            color="#444444",
            fontstyle="italic",
        )
    across = f"port   ←   off the centreline ({unit_words(units)})   →   starboard"
    title = f"Bevel: rise over the siding of {format_length(beam.mark.siding, units)}"
    board.titles(title, across, f"rise ({heights_unit(units)})", at=1)
    board.limits(board.panes[0].get_xlim(), (-2.1 * most, 2.1 * most), at=1, words="rise drawn large")
    mark_axis(board.panes[1].xaxis, units, 14, unsigned=True)
    mark_axis(board.panes[1].yaxis, units, 6, unsigned=True)


def _describe(beam: Any, units: str) -> str:
    def mm(length: float) -> str:
        return format_length(length, units)

    table = beam.ordinates
    ends = [max(abs(beam.end(side, face).top) for face in FACES) for side in ("port", "starboard")]
    if beam.mark.whole:
        reach = f"from {mm(ends[0])} port to {mm(ends[1])} starboard"
    else:
        reach = f"a half beam from {off_words(table.y[0], units)} to {off_words(table.y[-1], units)}"
    said = (
        f"Beam {clean(beam.name, 20)} seen from aft: camber {mm(beam.camber)}, "
        f"crown {mm(beam.crown_height)} above base, {reach}. The mould is cut to {_face(beam.mould_face)}."
    )
    real = np.flatnonzero(table.on_both)
    if not real.size or np.max(table.bevel_deg[real]) < 0.05:
        return f"{said} No bevel to speak of."
    k = real[np.argmax(table.bevel_deg[real])]
    return (
        f"{said} The greatest bevel is {table.bevel_deg[k]:.1f} degrees at {off_words(table.y[k], units)}, "
        f"{gap_words(table.rise_over_siding[k], units)} over the siding, {table.high_edge[k]}."
    )


def _face(said: str) -> str:
    return said if said.startswith("either") else f"the {said}"
