"""
The deck as a surface: height, slopes, normal and curvature anywhere, of the deck's top and of the beams' tops.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from .blocks import in_blocks
from .crown import Crown
from .edges import edge_line
from .parallel import NEAR_FOR_HEIGHT, foot_of, offset_height, offset_second
from .why import why_height

#: u beyond which the deck runs on straight, so that a point far outside a narrow stem stays finite. [1]
RUN_ON = 1.1

DECK_TOP, BEAM_TOP = "top of deck", "top of beams"


class Curvature(NamedTuple):
    """
    Curvature of a surface, positive where it is rounded upward as a cambered deck is.

    Attributes
    ----------
    most, least : ndarray
        Principal curvatures, the greater first. [1/mm]
    gaussian : ndarray
        Their product: nought where a sheet goes down without strain. [1/mm^2]
    mean : ndarray
        Half of their sum. [1/mm]
    direction_deg : ndarray
        Angle in plan of the line of `most`, from aft towards starboard, in (-90, 90]. [deg]

    Examples
    --------
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.even_hull import even_hull
    >>> bend = Deck(even_hull(), OneMould("circle", 100), 12.0).curvature(0.0, 0.0, "beam")
    >>> round(float(1 / bend.most)), float(bend.direction_deg)
    (11288, 90.0)
    """

    most: np.ndarray
    least: np.ndarray
    gaussian: np.ndarray
    mean: np.ndarray
    direction_deg: np.ndarray


@dataclass(frozen=True, eq=False)
class Deck:
    """
    The deck of a boat: its edges, its crown and its thickness.

    Parameters
    ----------
    sheer : Sheer
        Fair deck edges, port and starboard.
    rule : crown rule
        How the camber changes along the boat.
    thickness : float
        Of the deck, square to its surface. [mm]
    heights_to : str
        What the sheer heights are taken to: "top of deck" or "top of beams".

    Attributes
    ----------
    law : Crown
        The rule laid on this hull.

    Notes
    -----
    .. math:: z(x, y) = l(x, y) + r(|y|/b(x), x)

    with l the straight line that joins the edges, b the half-breadth of that side and r the rise of the rule.
    Derivatives are exact. The other surface is parallel, the thickness away square to the surface: heights by the
    foot of the normal, slopes shared, curvature k/(1 - t k) at the depth t [1]_.

    The deck runs on past its edges; past 1.1 half-breadths it runs on straight.

    References
    ----------
    .. [1] M. P. do Carmo, *Differential Geometry of Curves and Surfaces*, section 3-5, exercise 11 (parallel surfaces).

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> deck = Deck(even_hull(rise=200), SameProportion("circle", "1:32"), thickness=12)
    >>> float(deck.height(0.0, 0.0)), float(deck.crown(0.0, "beam"))
    (993.75, 981.75)
    >>> [round(float(slope), 4) for slope in deck.slopes(1000.0, 500.0)]
    [0.0207, -0.0467]
    """

    sheer: object
    rule: object
    thickness: float = 0.0
    heights_to: str = DECK_TOP
    law: Crown = field(init=False, repr=False)

    def __post_init__(self):
        if self.heights_to not in (DECK_TOP, BEAM_TOP):
            raise ValueError(f'heights_to {self.heights_to!r}: it is "{DECK_TOP}" or "{BEAM_TOP}".')
        if not 0 <= self.thickness < np.inf:
            raise ValueError(
                f"deck thickness {self.thickness:g} mm: it must be nought or more. Is it added where it is taken off?"
            )
        object.__setattr__(self, "law", self.rule.on(self.sheer))

    def depth(self, which: str = "deck") -> float:
        """How far the surface lies below the one that the sheer heights give, square to it. [mm]"""
        if which not in ("deck", "beam"):
            raise ValueError(f'surface {which!r}: it is "deck" (its top) or "beam" (the tops of the beams).')
        if self.heights_to == DECK_TOP:
            return self.thickness if which == "beam" else 0.0
        return -self.thickness if which == "deck" else 0.0

    def height(self, x, y, which: str = "deck"):
        """
        Height above the base.

        Parameters
        ----------
        x, y : array_like, broadcast against each other
            Aft, and to starboard. [mm]
        which : str
            "deck" (its top) or "beam" (the tops of the beams).

        Returns
        -------
        ndarray
            [mm]
        """
        depth = self.depth(which)
        return in_blocks(lambda x, y: self._height(x, y, depth), x, y)[0]

    def slopes(self, x, y, which: str = "deck") -> tuple:
        """
        Slope aft and slope to starboard, rise over run. [1]
        """
        depth = self.depth(which)
        return in_blocks(lambda x, y: self._at_foot(x, y, depth, 1)[1:3], x, y)

    def second(self, x, y, which: str = "deck") -> tuple:
        """
        Second derivatives of the height: z_xx, z_xy, z_yy. [1/mm]
        """
        depth = self.depth(which)
        return in_blocks(lambda x, y: offset_second(self._at_foot(x, y, depth, 2), depth), x, y)

    def partials(self, x, y, order: int = 2, which: str = "deck") -> tuple:
        """
        Height with its derivatives from one search of the foot: (z, z_x, z_y) and, at order 2, z_xx, z_xy, z_yy.
        """
        depth = self.depth(which)
        return in_blocks(lambda x, y: self._partials(x, y, depth, order), x, y)

    def normal(self, x, y, which: str = "deck"):
        """
        Unit normal, upward; the last axis is x, y, z. [1]
        """
        p, q = self.slopes(x, y, which)
        n = np.stack(np.broadcast_arrays(-p, -q, 1.0), axis=-1)
        return n / np.sqrt(1 + p * p + q * q)[..., None]

    def curvature(self, x, y, which: str = "deck") -> Curvature:
        """
        Principal, Gaussian and mean curvature.

        Returns
        -------
        Curvature
        """
        depth = self.depth(which)
        return Curvature(*in_blocks(lambda x, y: _curvature(self._at_foot(x, y, depth, 2), depth), x, y))

    def camber(self, x, order: int = 0):
        """Camber at x of the surface that the sheer heights give, or a derivative of it. [mm], [1], [1/mm]"""
        return self.law.camber(x, order)

    def crown(self, x, which: str = "deck"):
        """Height of the crown, on the centreline. [mm]"""
        return self.height(x, 0.0, which)

    def edge(self, side: str, x, which: str = "deck") -> tuple:
        """
        Deck edge of one side: y (starboard positive) and height of the surface there. [mm]
        """
        x = np.asarray(x, dtype=float)
        y = np.maximum(self.sheer.half_breadth(side, x, 0), 0.0) * (-1.0 if side == "port" else 1.0)
        return y, self.height(x, y, which)

    def edge_line(self, x, y):
        """Height, at y, of the straight line that joins the two edges at x. [mm]"""
        x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
        return edge_line(self.law.edges(x, 0), y)[0]

    @property
    def notes(self) -> tuple[str, ...]:
        """What to know about the crown of this deck, in words."""
        return _two_heights(self.sheer, self.law) + self.law.notes

    def why(self, x: float, y: float = 0.0, units: str = "mm") -> str:
        """
        Why the deck stands as high as it does at (x, y): the numbers that the height comes from, in words.
        """
        return why_height(self, x, y, units)

    def _given(self, x, y, order: int) -> tuple:
        """Height and derivatives of the surface that the sheer heights give."""
        law = self.law
        edges = law.edges(x, order)
        line = edge_line(edges, y)
        half, sign = _own_side(edges, y)
        u, beyond = _held_in(np.abs(y) / half[0])
        if beyond is not None and order == 0:
            return self._given(x, y, 1)[:1]
        r = law.rises(u, half, edges, x, order)
        if beyond is None:
            return _in_plan(line, r, u, half, sign, order)
        values = _in_plan(line, _run_on(r, beyond), u + beyond, half, sign, order)
        return self._slopes_out_there(values, x, y, beyond > 0) if order == 1 else values

    def _slopes_out_there(self, values: tuple, x, y, out) -> tuple:
        """What is carried on beyond the last u takes one derivative more, and only there."""
        z, z_x, z_y = (np.array(np.broadcast_to(v, out.shape)) for v in values)
        x, y = np.broadcast_to(x, out.shape)[out], np.broadcast_to(y, out.shape)[out]
        _, z_x[out], z_y[out] = self._given(x, y, 2)[:3]
        return z, z_x, z_y

    def _at_foot(self, x, y, depth: float, order: int) -> tuple:
        if not depth:
            return self._given(x, y, order)
        return foot_of(self._given, x, y, depth, order)[0]

    def _partials(self, x, y, depth: float, order: int) -> tuple:
        if not depth:
            return self._given(x, y, order)
        values, miss = foot_of(self._given, x, y, depth, order)
        z = offset_height(values, miss, depth)
        return (z, *values[1:3], *(offset_second(values, depth) if order == 2 else ()))

    def _height(self, x, y, depth: float) -> tuple:
        if not depth:
            return self._given(x, y, 0)
        return (offset_height(*foot_of(self._given, x, y, depth, 1, NEAR_FOR_HEIGHT), depth),)


def _two_heights(sheer, law) -> tuple[str, ...]:
    """A note for each end that has next to no breadth and two heights."""
    x = np.array([sheer.start, sheer.end])
    edges = law.edges(x)
    if edges.across is None:
        return ()
    apart, wide = np.abs(edges.across[0]), edges.breadth[0]
    return tuple(
        f"At x = {x[i]:.0f} mm the deck is {wide[i]:.0f} mm broad, yet its edges stand {apart[i]:.0f} mm apart in "
        "height: it is steep across there. Is one of the two heights wrong?"
        for i in np.flatnonzero((wide < 0.04 * law.widest_half) & (apart > 2.0) & (apart > wide / 10))
    )


def _own_side(edges, y):
    """Half-breadth of the side on which y lies, to divide by, and the sign of that side."""
    sign = np.where(y < 0, -1.0, 1.0)
    if edges.port is edges.starboard:
        return edges.divide_port, sign
    port = y < 0
    return [np.where(port, p, s) for p, s in zip(edges.divide_port, edges.divide_starboard, strict=True)], sign


def _held_in(u):
    """u no further out than RUN_ON, and how far beyond it lies (None where nothing does)."""
    if u.size == 0 or np.max(u) <= RUN_ON:
        return u, None
    held = np.minimum(u, RUN_ON)
    return held, u - held


def _run_on(r: tuple, beyond) -> tuple:
    """Rise carried on straight beyond the last u."""
    if len(r) == 3:
        return r[0] + r[1] * beyond, r[1], r[2]
    return r[0] + r[1] * beyond, r[1], r[2] + r[4] * beyond, np.where(beyond > 0, 0.0, r[3]), r[4], r[5]


def _in_plan(line, r, u, half, sign, order: int) -> tuple:
    """From derivatives in u and x to derivatives in x and y."""
    z = line[0] + r[0]
    if order == 0:
        return (z,)
    u_x, u_y = -u * half[1] / half[0], sign / half[0]
    z_x, z_y = line[1] + r[2] + r[1] * u_x, line[2] + r[1] * u_y
    if order == 1:
        return z, z_x, z_y
    u_xx, u_xy = -(2 * u_x * half[1] + u * half[2]) / half[0], -sign * half[1] / half[0] ** 2
    z_xx = line[3] + r[5] + 2 * r[4] * u_x + r[3] * u_x * u_x + r[1] * u_xx
    z_xy = line[4] + r[4] * u_y + r[3] * u_x * u_y + r[1] * u_xy
    return z, z_x, z_y, z_xx, z_xy, line[5] + r[3] * u_y * u_y


def _curvature(values: tuple, depth: float) -> tuple:
    """Principal, Gaussian and mean curvature and direction, at a depth below the foot."""
    _, p, q, z_xx, z_xy, z_yy = values
    w = np.sqrt(1 + p * p + q * q)
    pp, pq, qq = 1 + p * p, p * q, 1 + q * q
    mean = -(qq * z_xx - 2 * pq * z_xy + pp * z_yy) / (2 * w**3)
    gaussian = (z_xx * z_yy - z_xy * z_xy) / w**4
    half_range = np.sqrt(np.maximum(mean * mean - gaussian, 0.0))
    most, least = mean + half_range, mean - half_range
    # the line of `most`: (second form + most * w * first form) has it as its null direction
    a, b, d = -z_xx / w - most * pp, -z_xy / w - most * pq, -z_yy / w - most * qq
    along = np.abs(a) > np.abs(d)
    angle = np.degrees(np.arctan2(np.where(along, -a, b), np.where(along, b, -d)))
    angle = 90 - (90 - angle) % 180
    if depth:
        most, least = most / (1 - depth * most), least / (1 - depth * least)
        gaussian, mean = most * least, (most + least) / 2
    return most, least, gaussian, mean, angle
