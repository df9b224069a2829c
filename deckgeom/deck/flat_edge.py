"""
The true flat shape of the deck edge, or of a line at a constant inset from it.

Laid flat without being forced, a narrow strip keeps two things of its edge on the deck: its length, and how sharply it
turns *within* the deck (its geodesic curvature). So the turning is read off the real surface along the edge and summed
up in the flat. On a deck that bends one way only the answer is exact at any width; on one that bends both ways a strip
must stretch or squeeze a little, and `SpiledEdge.misfit` says how much.
"""

from __future__ import annotations

import numpy as np

from deckgeom.deck._panels import GAUSS, Panels
from deckgeom.deck.spiling import SpiledEdge

__all__ = ["edge_line", "flat_edge", "geodesic_curvature", "walk_inwards"]

#: An inset line is walked to in steps no longer than this, in mm for a deck of any size: bends are in metres.
INWARD_STEP = 75.0


def geodesic_curvature(slopes, first, second) -> np.ndarray:
    r"""
    How sharply a line on the deck turns within the deck, to starboard positive when going aft.

    Parameters
    ----------
    slopes : (z_x, z_y)
        Slopes of the surface at the line, (n,) each.
    first, second : ((n,), (n,))
        First and second derivatives of the line's y and z by x. [-], [1/mm]

    Returns
    -------
    (n,) array
        [1/mm]

    Notes
    -----
    .. math:: k_g = \frac{y''(1 + z_x z') + z''(z_y - z_x y')}{W (1 + y'^2 + z'^2)^{3/2}}, \quad W^2 = 1 + z_x^2 + z_y^2

    References
    ----------
    M. do Carmo, *Differential Geometry of Curves and Surfaces*, 4-4, with the line written over x.

    Examples
    --------
    A circle of radius 5 on a flat deck, where it lies square across:

    >>> float(geodesic_curvature((0.0, 0.0), (0.0, 0.0), (-0.2, 0.0)))
    -0.2
    """
    zx, zy = slopes
    y1, z1 = first
    y2, z2 = second
    w = np.sqrt(1 + zx * zx + zy * zy)
    return (y2 * (1 + zx * z1) + z2 * (zy - zx * y1)) / (w * (1 + y1 * y1 + z1 * z1) ** 1.5)


def flat_edge(deck, side: str, inset: float = 0.0, width: float | None = None, *, x=None) -> SpiledEdge:
    """
    Lay the deck edge flat, or a line inside it.

    Parameters
    ----------
    deck : Deck
        With ``sheer`` and ``partials(x, y, order, which)``.
    side : {"port", "starboard"}
    inset : float
        How far inside the deck edge the line runs, along the deck and square to the edge. [mm]
    width : float, optional
        Width of the strip inside that line; gives its other edge too. [mm]
    x : (n,) array, optional
        Where the marks stand on the deck edge, along the boat; 25 even steps unless given. [mm]

    Returns
    -------
    SpiledEdge
        With an inset the marks lie square off those on the deck edge. Where the inset line has crossed the centreline,
        as it does at a pointed stem, it has no marks.

    Examples
    --------
    Edges that are straight in plan and level lie straight in the flat:

    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.hull.sheer import Sheer
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> deck = Deck(Sheer.from_curves(level(1200), level(800), start=0, end=6000), OneMould("circle", "1:24"))
    >>> edge = flat_edge(deck, "port", x=[0, 3000, 6000])
    >>> edge.along.round(6).tolist(), abs(edge.offset).round(9).tolist()
    ([0.0, 3000.0, 6000.0], [0.0, 0.0, 0.0])
    """
    if side not in ("port", "starboard"):
        raise ValueError(f"side {side!r} is not known. A side is 'port' or 'starboard'.")
    if inset < 0 or (width is not None and not width > 0):
        raise ValueError(
            f"inset {inset:g} and width {width}: an inset is 0 or more and a width more than 0, in mm, both measured "
            "inwards from the deck edge."
        )
    sheer = deck.sheer
    marks = np.linspace(sheer.start, sheer.end, 25) if x is None else np.unique(np.asarray(x, float))
    if len(marks) < 2 or marks[0] < sheer.start - 1e-6 or marks[-1] > sheer.end + 1e-6:
        raise ValueError(
            f"Marks from {marks[0]:g} to {marks[-1]:g} mm: give 2 or more, between the ends of the deck edge at "
            f"{sheer.start:g} and {sheer.end:g} mm."
        )
    panels = Panels(marks)
    line = edge_line(deck, side, panels.x)
    if inset:
        panels, marks, line = _inset_line(deck, side, panels, marks, line, inset)
    return _laid_flat(side, panels, marks, line, inset, width, deck)


def edge_line(deck, side: str, x: np.ndarray):
    """
    A deck edge as it is laid flat or walked from.

    Parameters
    ----------
    deck : Deck
    side : {"port", "starboard"}
    x : (n,) array
        Along the boat. [mm]

    Returns
    -------
    x, y : (n,) array
        Its points, starboard positive. [mm]
    speed : (n,) array
        Its true length for each mm of x. [1]
    turn : (n,) array
        How sharply it turns within the deck. [1/mm]
    slopes : tuple of (n,) array
        Of the deck along and across, and of the edge's y and z by x. [1]

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> _, y, speed, *_ = edge_line(Deck(even_hull(), SameProportion("circle", 0)), "port", np.array([0.0]))
    >>> y.tolist(), speed.tolist()
    ([-1500.0], [1.0])
    """
    sheer, sign = deck.sheer, 1.0 if side == "starboard" else -1.0
    b, b1, b2 = (sign * sheer.half_breadth(side, x, n) for n in range(3))
    h1, h2 = sheer.height(side, x, 1), sheer.height(side, x, 2)
    _, zx, zy = deck.partials(x, b, 1, "deck")[:3]
    speed = np.sqrt(1 + b1 * b1 + h1 * h1)
    turn = geodesic_curvature((zx, zy), (b1, h1), (b2, h2))
    return x, b, speed, turn, (zx, zy, b1, h1)


def _inset_line(deck, side, panels, marks, line, inset):
    """
    Walk inwards from the edge along the deck, square to it, and read length and turning of the line arrived at.

    Neighbouring walks spread as J'' = -K J (Jacobi's equation), J = 1 and J' = turning at the edge; the line arrived at
    has the length J and the turning J'/J.
    """
    x, b, speed, turn, (zx, zy, b1, h1) = line
    sign = 1.0 if side == "starboard" else -1.0
    w = np.sqrt(1 + zx * zx + zy * zy)
    # normal x tangent, the way to starboard in the deck and square to the edge; only its plan part is needed.
    to_starboard = np.array([(-zy * h1 - b1) / (w * speed), (1 + zx * h1) / (w * speed)])
    state = np.array([x, b, *(-sign * to_starboard), np.ones_like(x), sign * turn])
    state = walk_inwards(deck, state, inset)
    along, rate = state[4], state[5]
    if np.any(along <= 0):
        raise ValueError(
            f"An inset of {inset:g} mm is more than the bend of the deck edge at {x[np.argmin(along)]:g} mm along the "
            "boat: lines square off the edge cross there. Take a smaller inset."
        )
    own = (state[1] * sign > 0).reshape(-1, GAUSS).all(axis=1)
    keep = _longest_run(np.logical_and.reduceat(own, panels.mark_at[:-1]))
    if keep is None:
        raise ValueError(
            f"An inset of {inset:g} mm on the {side} side lies beyond the centreline all along. Is it the whole "
            "breadth?"
        )
    cut, inside = panels.between(*keep)
    new = (state[0, inside], state[1, inside], (speed * along)[inside], (sign * rate / along)[inside], None)
    return cut, marks[keep[0] : keep[1] + 1], new


def _longest_run(true: np.ndarray) -> tuple[int, int] | None:
    """First and one past the last of the longest run of True."""
    edge = np.flatnonzero(np.diff(np.concatenate([[0], true.astype(int), [0]])))
    if len(edge) == 0:
        return None
    best = int(np.argmax(edge[1::2] - edge[::2]))
    return int(edge[2 * best]), int(edge[2 * best + 1])


def walk_inwards(deck, state: np.ndarray, distance: float) -> np.ndarray:
    """
    Go straight on within the deck from many points at once, along geodesics.

    Parameters
    ----------
    deck : Deck
    state : (6, n) array
        x and y, their rates by length, how far neighbours lie apart for each mm at the start, and the rate of that.
        [mm], [1], [1], [1/mm]
    distance : float
        [mm]

    Returns
    -------
    (6, n) array
        The same where it arrives, by Runge and Kutta's fourth-order steps.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> start = np.array([[0.0], [500.0], [0.6], [-0.8], [1.0], [0.0]])
    >>> walk_inwards(Deck(even_hull(), SameProportion("circle", 0)), start, 100.0)[:2].round(6).tolist()
    [[60.0], [420.0]]
    """
    steps = max(2, int(np.ceil(distance / INWARD_STEP)))
    h = distance / steps
    for _ in range(steps):
        k1 = _rates(deck, state)
        k2 = _rates(deck, state + 0.5 * h * k1)
        k3 = _rates(deck, state + 0.5 * h * k2)
        k4 = _rates(deck, state + h * k3)
        state = state + (h / 6) * (k1 + 2 * k2 + 2 * k3 + k4)
    return state


def _rates(deck, state: np.ndarray) -> np.ndarray:
    """Right-hand side of the geodesic and of Jacobi's equation, by length."""
    x, y, p, q, along, rate = state
    _, zx, zy, zxx, zxy, zyy = deck.partials(x, y, 2, "deck")
    w2 = 1 + zx * zx + zy * zy
    bend = (zxx * p * p + 2 * zxy * p * q + zyy * q * q) / w2
    gauss = (zxx * zyy - zxy * zxy) / (w2 * w2)
    return np.array([p, q, -zx * bend, -zy * bend, rate, -gauss * along])


def _laid_flat(side, panels, marks, line, inset, width, deck) -> SpiledEdge:
    """Sum the turning into a heading, the heading into a shape, and turn the shape onto the line joining its ends."""
    sign = 1.0 if side == "starboard" else -1.0
    speed, turn = line[2], line[3]
    heading, heading_at_marks = panels.sums(turn * speed)
    _, flat_x = panels.sums(np.cos(heading) * speed)
    _, flat_y = panels.sums(np.sin(heading) * speed)
    chord = float(np.hypot(flat_x[-1], flat_y[-1]))
    c, s = flat_x[-1] / chord, flat_y[-1] / chord
    along, offset = c * flat_x + s * flat_y, sign * (c * flat_y - s * flat_x)
    length = float(panels.sums(speed)[1][-1])
    name = "deck edge" if not inset else f"{inset:g} mm inside the deck edge"
    if width is None:
        return SpiledEdge(name, side, marks, along, offset, length, chord)
    lean = heading_at_marks - np.arctan2(s, c)
    far_along, far_offset = along + sign * width * np.sin(lean), offset - width * np.cos(lean)
    flat_far = float(panels.sums(speed * (1 + sign * width * turn))[1][-1])
    misfit = _far_length(deck, side, panels, line, inset + width, marks) - flat_far
    return SpiledEdge(name, side, marks, along, offset, length, chord, far_along, far_offset, misfit)


def _far_length(deck, side, panels, line, inset, marks) -> float:
    """True length of the strip's other edge on the deck, between the same marks."""
    far = Panels(marks)
    edge = edge_line(deck, side, far.x)
    _, _, speed, turn, (zx, zy, b1, h1) = edge
    sign = 1.0 if side == "starboard" else -1.0
    w = np.sqrt(1 + zx * zx + zy * zy)
    inward = -sign * np.array([(-zy * h1 - b1) / (w * speed), (1 + zx * h1) / (w * speed)])
    state = walk_inwards(deck, np.array([far.x, edge[1], *inward, np.ones_like(speed), sign * turn]), inset)
    return float(far.sums(speed * state[4])[1][-1])
