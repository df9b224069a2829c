"""
A real batten lying on the beam tops, and a plank or strip of ply fastened at each of them.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from deckgeom.fairing.beam_tops import FairingError
from deckgeom.fairing.contact import settle
from deckgeom.fairing.strip import LaidStrip, Strip

__all__ = ["LaidStrip", "Strip", "fasten_strip", "lay_batten", "off_fair", "print_through"]


def lay_batten(
    x,
    z,
    strip: Strip,
    pressed: Sequence[int] = (),
    presses: Sequence[tuple[float, float]] = (),
    start: float | None = None,
    end: float | None = None,
    names=None,
) -> LaidStrip:
    """
    Lay a loose batten on the beam tops: they can push it up but not hold it down.

    Parameters
    ----------
    x, z : array_like, shape (n,)
        Place and height of each beam top, in any order of x. [mm]
    strip : Strip
        The batten, with its density: its own weight is what lays it down.
    pressed : sequence of int
        Beams, counted from 0 as given, where it is held down to the top by hand, clamp or awl.
    presses : sequence of (float, float)
        Place [mm] and force [N] of each hand or weight that presses it.
    start, end : float, optional
        Its ends; at the first and last beam unless given. [mm]
    names : sequence of str, optional
        The beams' names.

    Returns
    -------
    LaidStrip
        In the order of x.

    Raises
    ------
    FairingError
        Fewer than two beams, two at one place, a batten too short for them, one with nothing that lays it down, or one
        that tips off.

    Notes
    -----
    Small slopes. The least energy over all shapes that pass through no beam; see `settle`.

    Examples
    --------
    >>> laid = lay_batten([0, 400, 800], [0, -3, 0], Strip(20, 20, 10000, 500), presses=[(400, 20.0)])
    >>> laid.gap.round(2).tolist()
    [0.0, 1.32, 0.0]
    """
    x = np.asarray(x, float)
    hold = np.zeros(x.shape)
    for beam in pressed:
        if not 0 <= beam < x.size:
            raise FairingError(
                f"pressed on beam number {beam}",
                f"there are {x.size} beams, counted from 0",
                "counting from 1",
                "use the place of the beam in the list",
            )
        hold[beam] = np.inf
    if strip.weight == 0 and not len(presses) and len(set(pressed)) < 2:
        raise FairingError(
            "a batten without weight",
            "something must lay it down",
            "its density is missing",
            "give its density, or press it in two places",
        )
    return _lay(x, z, strip, hold, presses, start, end, names)


def fasten_strip(
    x, z, strip: Strip, hold=None, start: float | None = None, end: float | None = None, names=None
) -> LaidStrip:
    """
    Fasten a plank or a strip of ply at every beam.

    Parameters
    ----------
    x, z : array_like, shape (n,)
        Place and height of each beam top, in any order of x. [mm]
    strip : Strip
        The plank: the breadth that one row of fastenings holds.
    hold : float or array_like, shape (n,), optional
        The most that the fastenings at each beam can hold. Left out, it is drawn down to every beam and `pull` tells
        what each must hold. [N]
    start, end : float, optional
        Its ends; at the first and last beam unless given. [mm]
    names : sequence of str, optional
        The beams' names.

    Returns
    -------
    LaidStrip
        In the order of x. Where a fastening cannot hold the strip down, it stands off and the fastening pulls with
        all that it has.

    Notes
    -----
    Held everywhere it is a natural cubic spline [1]_, and the forces are the jumps of its third derivative times EI.

    References
    ----------
    .. [1] J. C. Holladay, A smoothest curve approximation, *Mathematical Tables and Other Aids to Computation* 11
       (1957) 233-243.

    Examples
    --------
    >>> fasten_strip([0, 400, 800], [0, 3, 0], Strip(100, 20, 13400)).pull.round(1).tolist()
    [125.6, 0.0, 125.6]
    """
    x = np.asarray(x, float)
    if hold is not None and not np.all(np.asarray(hold, float) >= 0):
        raise FairingError(f"hold {hold}", "what a fastening holds is nought or more", "a sign or a blank cell")
    hold = np.broadcast_to(np.inf if hold is None else np.asarray(hold, float), x.shape)
    return _lay(x, z, strip, hold, (), start, end, names)


def print_through(x, error, parts: int = 2) -> tuple[np.ndarray, np.ndarray]:
    """
    Return what errors of the beam tops show on a strip that is fastened to them, between the beams too.

    Parameters
    ----------
    x, error : array_like, shape (n,)
        Place of each beam and how far it stands above the fair line. [mm]
    parts : int
        How many parts to look at in each bay.

    Returns
    -------
    x, shown : ndarray, shape ((n - 1) * parts + 1,)
        Places and what shows there. [mm]

    Notes
    -----
    Whatever the strip, as long as it is held down everywhere: the shape is the natural cubic spline through the
    errors. One beam in a long row that stands off by 1 shows 0.60 in the middle of the bays beside it, -0.13 in the
    next and 0.03 in the third.

    Examples
    --------
    >>> print_through([0, 400, 800], [0, 1, 0])[1].round(3)[:4].tolist()
    [0.0, 0.688, 1.0, 0.688]
    """
    laid = fasten_strip(x, error, Strip(1.0, 1.0, 1.0))
    places = _in_parts(laid.x, parts)
    return places, laid.height(places)


def off_fair(laid: LaidStrip, fair, parts: int = 2) -> tuple[np.ndarray, np.ndarray]:
    """
    Return how far a laid strip stands off the fair line, at the beams and between them.

    Parameters
    ----------
    laid : LaidStrip
        As it lies.
    fair : array_like, shape (n,)
        Fair height at each beam, in the order of x; between them the line is a weightless batten through these. [mm]
    parts : int
        How many parts to look at in each bay.

    Returns
    -------
    x, off : ndarray, shape ((n - 1) * parts + 1,)
        Places, and strip less fair line. [mm]

    Examples
    --------
    >>> laid = fasten_strip([0, 400, 800, 1200, 1600], [0, 0, 2, 0, 0], Strip(100, 22, 12000))
    >>> off_fair(laid, np.zeros(5))[1].round(2)[1:6].tolist()
    [-0.32, 0.0, 1.21, 2.0, 1.21]
    """
    x, line = print_through(laid.x, fair, parts)
    return x, laid.height(x) - line


def _lay(x, z, strip, hold, presses, start, end, names) -> LaidStrip:
    x, z, hold = (np.asarray(a, float).reshape(-1) for a in (x, z, hold))
    _check(x, z)
    order = np.argsort(x, kind="stable")
    x, z, hold = x[order], z[order], hold[order]
    names = tuple(str(names[i]) for i in order) if names is not None else tuple(str(i + 1) for i in order)
    if np.diff(x).min() < 1.0:
        i = int(np.argmin(np.diff(x)))
        raise FairingError(
            f"beams {names[i]} and {names[i + 1]}",
            f"both stand at x = {x[i]:.0f} mm",
            "a beam entered twice",
            "leave one of them out",
        )
    start, end = (float(x[0]) if start is None else float(start)), (float(x[-1]) if end is None else float(end))
    if start > x[0] or end < x[-1]:
        reach = f"the beams stand from {x[0]:.0f} to {x[-1]:.0f} mm"
        raise FairingError(
            f"a strip from {start:.0f} to {end:.0f} mm",
            reach,
            "",
            "take the beams beyond its ends away, or a longer strip",
        )
    nodes, load = _nodes(x, start, end, presses)
    at = np.searchsorted(nodes, x)
    tops, holds = np.full(nodes.size, -np.inf), np.zeros(nodes.size)
    tops[at], holds[at] = z, hold
    settled = settle(nodes, tops, strip.stiffness, strip.weight, load, holds)
    touching, stress = settled.touching[at], strip.stress_mpa(settled.moment[at])
    gap = np.where(touching, 0.0, settled.height[at] - z)
    return LaidStrip(strip, names, x, z, gap, touching, settled.force[at], stress, hold, nodes, settled)


def _check(x, z) -> None:
    if x.size != z.size or x.size < 2:
        raise FairingError(
            f"{x.size} places and {z.size} heights",
            "a strip lies on two beams or more, each with a place and a height",
            "a beam without a reading on this line",
            "take a line that more beams reach",
        )
    if not (np.isfinite(x).all() and np.isfinite(z).all()):
        raise FairingError(
            "a blank or NaN", "each beam needs a place and a height", "a reading not taken", "leave the beam out"
        )


def _nodes(x, start, end, presses):
    """Beams, ends and pressed places in order, and the load at each."""
    places = np.array([p for p, _ in presses], float)
    forces = np.array([f for _, f in presses], float)
    if places.size and (places.min() < start or places.max() > end or not np.isfinite(forces).all()):
        raise FairingError(
            f"pressed at {places.tolist()} with {forces.tolist()} N",
            f"a hand presses the strip itself, between {start:.0f} and {end:.0f} mm",
            "a place beyond its end",
        )
    extra = np.array([p for p in {start, end, *places.tolist()} if np.abs(x - p).min() > 0.5], float)
    nodes = np.sort(np.concatenate([x, extra]))
    nodes = nodes[np.concatenate([[True], np.diff(nodes) > 0.5])]
    load = np.zeros(nodes.size)
    for place, force in zip(places, forces, strict=True):
        load[np.argmin(np.abs(nodes - place))] += force
    return nodes, load


def _in_parts(x, parts: int):
    if parts < 1:
        raise FairingError(f"{parts} parts", "a bay is looked at in one part or more")
    return np.interp(np.arange((x.size - 1) * parts + 1) / parts, np.arange(x.size), x)
