"""
Marking a flat shape out on the sheet: offsets from a straight line, and a line outside it to cut to first.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.deck._closed import closed
from deckgeom.units import format_length

__all__ = ["Marking", "mark_out", "outset"]

#: A corner of a line set outside is cut off where it would stand out farther than this many margins.
MITRE = 3.0
#: Ends that bow less are cut straight. Own default. [mm]
BOW = 1.0


@dataclass(frozen=True, eq=False)
class Marking:
    """
    Offsets from a straight line to both long edges of a flat shape. Made by `mark_out`.

    Parameters
    ----------
    line : str
        Which line it is, in words.
    edge_names : (str, str)
        "inner" and "outer"; "port" and "starboard" where it is marked from the centreline.
    along, offset : ((n,), (m,)) float
        For each edge: along the line from its forward end, and square off it, positive on the side of the outer edge.
        [mm]
    corners : (k, 2) float
        Along and offset of the outline's corners: inner forward, inner after, outer after, outer forward. [mm]
    cut : (j, 2) float
        Along and offset of the line to cut to first, outside the outline by the margin. [mm]
    margin : float
        [mm]
    grain_deg : float
        From the line to the face grain, turning towards the outer edge, in (-90, 90]. [deg]
    bows : (float, float)
        How far its forward and its after end bow off straight. [mm]

    Examples
    --------
    See `mark_out`.

    >>> Marking.__name__
    'Marking'
    """

    line: str
    edge_names: tuple[str, str]
    along: tuple[np.ndarray, np.ndarray]
    offset: tuple[np.ndarray, np.ndarray]
    corners: np.ndarray
    cut: np.ndarray
    margin: float
    grain_deg: float
    bows: tuple[float, float] = (0.0, 0.0)

    def __post_init__(self) -> None:
        """Copy and close the arrays."""
        for name in ("along", "offset"):
            object.__setattr__(self, name, tuple(closed(values) for values in getattr(self, name)))
        for name in ("corners", "cut"):
            object.__setattr__(self, name, closed(getattr(self, name)))

    @property
    def stock(self) -> tuple[float, float]:
        """Length and breadth of the sheet, along the line and square to it, that holds the line to cut to. [mm]"""
        return tuple(np.ptp(self.cut, axis=0).tolist())

    @property
    def from_centreline(self) -> bool:
        """Whether each edge is marked to its own side of the centreline."""
        return self.edge_names[0] == "port"

    def rows(self) -> list[tuple[str, float, float]]:
        """Edge, along, offset of every mark, from the centreline each to its own side. [mm]"""
        signs = (-1.0 if self.from_centreline else 1.0, 1.0)
        return [
            (name, a, sign * o)
            for name, sign, along, offset in zip(self.edge_names, signs, self.along, self.offset, strict=True)
            for a, o in zip(along.tolist(), offset.tolist(), strict=True)
        ]

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """How to mark it out, in sentences."""
        length, breadth = self.stock
        turn = abs(self.grain_deg)
        way = "towards" if self.grain_deg >= 0 else "away from"
        outer = "starboard" if self.from_centreline else "the outer edge"
        grain = f"{turn:.0f} degrees off the line, its after end {way} {outer}"
        grain = "along the line" if turn < 0.5 else grain
        bows = [f"Its {end} end bows {format_length(bow, units)} off straight: bend a batten there."
                for end, bow in zip(("forward", "after"), self.bows, strict=True) if bow > BOW]  # fmt: skip
        return (
            f"Strike a straight line: {self.line}. Measure along it from its forward end, and square off it.",
            f"The face grain runs {grain}." if turn < 89.5 else "The face grain runs square to the line.",
            f"Cut first {format_length(self.margin, units)} outside the marks all round: that takes a piece of "
            f"{format_length(length, units)} by {format_length(breadth, units)}.",
            *bows,
        )


def outset(outline, margin: float) -> np.ndarray:
    """
    A closed line outside another.

    Parameters
    ----------
    outline : (n, 2) array
        Corners in order, either way round, the first not repeated. [mm]
    margin : float
        How far outside. [mm]

    Returns
    -------
    (m, 2) array
        Corners; a sharp one that would stand out more than 3 margins is cut off square. [mm]

    Examples
    --------
    >>> outset([[0, 0], [100, 0], [100, 50], [0, 50]], 10).round(6).tolist()
    [[-10.0, -10.0], [110.0, -10.0], [110.0, 60.0], [-10.0, 60.0]]
    """
    points = np.asarray(outline, float)
    if not (np.isfinite(margin) and margin >= 0):
        raise ValueError(f"a margin of {margin:g} mm: it is nought or more, outside the marks. Is it left blank?")
    u, v = points.T
    turn = 1.0 if u @ np.roll(v, -1) - v @ np.roll(u, -1) >= 0 else -1.0
    way = np.roll(points, -1, axis=0) - points
    way /= np.linalg.norm(way, axis=1)[:, None]
    after = turn * np.column_stack([way[:, 1], -way[:, 0]])
    before = np.roll(after, 1, axis=0)
    half = 1 + np.sum(before * after, axis=1)
    found = []
    for i, (point, a, b, share) in enumerate(zip(points, before, after, half, strict=True)):
        if share >= 2 / MITRE**2:
            found.append(point + margin * (a + b) / share)
            continue
        # a point: square off at MITRE margins along the line that halves it
        out = way[i - 1] - way[i]
        out /= np.linalg.norm(out)
        for normal in (a, b):
            side = np.array([-out[1], out[0]])
            slide = margin * (1 - MITRE * (normal @ out)) / (normal @ side)
            found.append(point + margin * MITRE * out + slide * side)
    return np.array(found)


def _line_of(flat, line) -> tuple[np.ndarray, np.ndarray, str]:
    """Both ends of the line in the flat, and what it is called."""
    if line == "centreline":
        ends = flat.place([flat.panel.x[0], flat.panel.x[-1]], [0.0, 0.0])
        return ends[0], ends[1], "the boat's centreline"
    if isinstance(line, str):
        edge = flat.edge(line)
        return edge[0], edge[-1], f"the one that joins the ends of the {line} edge"
    (x0, y0), (x1, y1) = line
    ends = flat.place([x0, x1], [y0, y1])
    return ends[0], ends[1], f"from x {x0:g}, y {y0:g} to x {x1:g}, y {y1:g} on the deck (mm, starboard positive)"


def mark_out(flat, line="inner", spacing: float = 200.0, margin: float = 0.0) -> Marking:
    """
    Offsets from a straight line for marking out a flat shape.

    Parameters
    ----------
    flat : FlatPanel
    line : {"inner", "outer", "centreline"} or ((x, y), (x, y))
        Through the ends of a long edge, such as a sheet's factory edge laid on the centreline; the centreline of a
        sheet that lies across it; or through two places of the deck within the panel. [mm]
    spacing : float
        Of the marks. [mm]
    margin : float
        To leave on all round. [mm]

    Returns
    -------
    Marking

    Examples
    --------
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.hull.sheer import Sheer
    >>> from deckgeom.laying.true_shape import Panel, true_shape
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> deck = Deck(Sheer.from_curves(level(1500), level(800), start=0, end=6000), OneMould("circle", "1:30"))
    >>> marks = mark_out(true_shape(deck, Panel.rectangle("1", (0, 2000), (0, 1200))), spacing=1000, margin=10)
    >>> [(edge, round(along), round(offset)) for edge, along, offset in marks.rows()][3:]
    [('outer', 0, 1203), ('outer', 1000, 1203), ('outer', 2000, 1203)]
    """
    if not (np.isfinite(spacing) and spacing > 0):
        raise ValueError(f"marks {spacing:g} mm apart: their spacing is above 0. Is it left blank?")
    first, last, name = _line_of(flat, line)
    run = float(np.hypot(*(last - first)))
    if run < 1e-6:
        raise ValueError(f"the line {name} starts and ends at one place: give two places apart.")
    way = (last - first) / run
    square = np.column_stack([way, [-way[1], way[0]]])
    names = ("port", "starboard") if line == "centreline" else ("inner", "outer")
    grid = flat.mesh.grid
    edges = [flat.flat[grid[:, k]] for k in (0, -1)] if line == "centreline" else [flat.edge(name) for name in names]
    inner, outer = ((edge - first) @ square for edge in edges)
    sign = 1.0 if np.mean(outer[:, 1]) >= np.mean(inner[:, 1]) else -1.0
    turn = np.column_stack([way, sign * np.array([-way[1], way[0]])])
    inner, outer = (edge * [1.0, sign] for edge in (inner, outer))
    marks = [_marks(edge, spacing) for edge in (inner, outer)]
    grain = np.radians(flat.grain_deg)
    own = np.array([np.cos(grain), np.sin(grain)]) @ turn
    return Marking(
        line=name,
        edge_names=names,
        along=tuple(m[:, 0] for m in marks),
        offset=tuple(m[:, 1] for m in marks),
        corners=np.array([inner[0], inner[-1], outer[-1], outer[0]]),
        cut=outset((flat.outline() - first) @ turn, margin),
        margin=float(margin),
        grain_deg=float(90 - (90 - np.degrees(np.arctan2(own[1], own[0]))) % 180),
        bows=tuple(_bow(flat.flat[grid[k]]) for k in (0, -1)),
    )


def _bow(line: np.ndarray) -> float:
    """How far a line stands off the straight one joining its ends."""
    way = line[-1] - line[0]
    long = float(np.hypot(*way))
    return float(np.abs((line - line[0]) @ np.array([-way[1], way[0]])).max()) / long if long > 1e-6 else 0.0


def _marks(edge: np.ndarray, spacing: float) -> np.ndarray:
    """An edge at even marks along the line, with both its ends; its own nodes where it turns back over the line."""
    from scipy.interpolate import Akima1DInterpolator

    keep = np.append(True, np.any(np.diff(edge, axis=0) != 0, axis=1))
    edge = edge[keep]
    if len(edge) < 2 or np.any(np.diff(edge[:, 0]) <= 0):
        return edge
    along = spacing * np.arange(np.ceil(edge[0, 0] / spacing), np.floor(edge[-1, 0] / spacing) + 1)
    along = np.unique(np.concatenate([edge[[0, -1], 0], along]).round(9))
    along = along[np.append(True, np.diff(along) > 1e-6)].clip(*edge[[0, -1], 0])
    return np.column_stack([along, Akima1DInterpolator(edge[:, 0], edge[:, 1])(along)])
