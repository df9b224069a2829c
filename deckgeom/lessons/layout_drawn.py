"""The steps of each way of laying out a camber, with what each step draws."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.deck.camber import Circle
from deckgeom.lessons.layout_curves import layout_curve, layout_gaps
from deckgeom.lessons.strokes import Step, Stroke
from deckgeom.units import format_length

__all__ = ["DRAWN", "Beam"]


@dataclass(frozen=True)
class Beam:
    """
    What is laid out.

    Parameters
    ----------
    half, camber : float
        Centreline to the end of the beam, and the rise between. [mm]
    divisions : int
        Into how many parts the half-breadth is divided. [-]
    units : {"mm", "ft-in-8", "in"}
        That the words speak in.

    Examples
    --------
    >>> Beam(1200, 100, 4, "mm").y.tolist()
    [0.0, 300.0, 600.0, 900.0, 1200.0]
    """

    half: float
    camber: float
    divisions: int
    units: str

    def say(self, length: float) -> str:
        """A length in words. [mm]"""
        return format_length(length, self.units)

    @property
    def u(self) -> np.ndarray:
        """Parts of the half-breadth, shape (n,). [-]"""
        return np.arange(self.divisions + 1) / self.divisions

    @property
    def y(self) -> np.ndarray:
        """Places of the divisions, shape (n,). [mm]"""
        return self.half * self.u

    def start(self, whole: bool = False) -> tuple[Stroke, ...]:
        """Base line and centreline."""
        left = -self.half if whole else 0.0
        return (
            Stroke("line", (left, self.half), (0, 0), "base"),
            Stroke("line", (0, 0), (0, self.camber), "base"),
            Stroke("label", (0,), (self.camber,), "base", self.say(self.camber)),
            Stroke("label", (self.half,), (0,), "base", self.say(self.half)),
        )

    def uprights(self) -> tuple[Stroke, ...]:
        """An upright at each division, with its number."""
        lines = [Stroke("line", (y, y), (0, self.camber), "construction") for y in self.y[1:]]
        names = [Stroke("label", (y,), (0,), "construction", f"{k}") for k, y in enumerate(self.y[1:-1], 1)]
        return (*lines, *names)

    def nails(self) -> Stroke:
        """A nail at each end and one at the crown."""
        return Stroke("points", (-self.half, 0, self.half), (0, self.camber, 0), "tool")

    def through(self, name: str, whole: bool = False) -> Stroke:
        """The finished curve."""
        y = np.linspace(-self.half if whole else 0.0, self.half, 121)
        return Stroke("line", y, layout_curve(name, self.half, self.camber, y), "result")


def _quarter_circle(beam: Beam) -> tuple:
    c, n = beam.camber, beam.divisions
    turn = np.linspace(0, np.pi / 2, 61)
    base = np.array([c * beam.u, np.zeros(n + 1)])
    arc = c * np.array([np.sin(np.pi / 2 * beam.u), np.cos(np.pi / 2 * beam.u)])
    slant = np.hypot(*(arc - base))
    joins = [Stroke("line", (base[0, k], arc[0, k]), (base[1, k], arc[1, k]), "result", on="aside") for k in range(n)]
    numbers = [
        Stroke("label", (place[0, k],), (place[1, k],), "construction", f"{k}", "aside")
        for place in (base, arc)
        for k in range(1, n)
    ]
    lifted = [Stroke("line", (y, y), (0, z), "result") for y, z in zip(beam.y, slant, strict=True)]
    steps = (
        Step(
            f"Strike a base line {beam.say(beam.half)} long, the half-breadth of the beam, and square up the camber, "
            f"{beam.say(c)}, at the centreline.",
            beam.start(),
        ),
        Step(
            f"To one side, strike a quarter circle with the camber, {beam.say(c)}, as its radius.",
            (Stroke("line", (0, c), (0, 0), "base", on="aside"), Stroke("line", (0, 0), (0, c), "base", on="aside"),
             Stroke("arc", c * np.sin(turn), c * np.cos(turn), "construction", on="aside")),
        ),
        Step(
            f"Divide its arc and its base line into {n} equal parts each, and number both from the upright side. "
            f"Divide the half-breadth into {n} equal parts too, from the centreline.",
            (Stroke("points", *base, "construction", on="aside"), Stroke("points", *arc, "construction", on="aside"),
             *numbers, *beam.uprights()),
        ),
        Step(
            "Join each mark on the base line to the mark of the same number on the arc. The lines slant. It is their "
            "slanting length that is wanted, not how high they reach.",
            tuple(joins),
        ),
        Step(
            f"Take each slanting length with the dividers and set it up at its own number on the beam: "
            f"{', '.join(beam.say(z) for z in slant[1:-1])} at numbers 1 to {n - 1}.",
            (*lifted, Stroke("points", beam.y, slant, "result")),
        ),
        Step(
            "Bend a batten through the points and draw the curve. Turn the pattern over for the other half.",
            (beam.through("quarter-circle"),),
        ),
    )  # fmt: skip
    return steps, beam.y, slant


def _under_a_level_line(beam: Beam) -> tuple[Step, Step]:
    """The first two steps of a layout that is measured down from a level line through the crown."""
    b, c, n = beam.half, beam.camber, beam.divisions
    return (
        Step(
            f"Strike a base line {beam.say(b)} long, the half-breadth of the beam, and square up the camber, "
            f"{beam.say(c)}, at the centreline. Draw a level line through the crown.",
            (*beam.start(), Stroke("line", (0, b), (c, c), "base")),
        ),
        Step(f"Divide the base line into {n} equal parts and square up a line at each.", beam.uprights()),
    )


def _equal_divisions(beam: Beam) -> tuple:
    b, c, n = beam.half, beam.camber, beam.divisions
    down = c * (1 - beam.u)
    # where the ray from the crown to each mark crosses the upright of the same number
    z = c + (down - c) * beam.y / b
    rays = [Stroke("line", (0, b), (c, end), "construction") for end in down[1:]]
    marks = [Stroke("label", (b,), (end,), "construction", f"{k}") for k, end in enumerate(down[1:-1], 1)]
    steps = (
        *_under_a_level_line(beam),
        Step(
            f"Divide the upright at the beam's end into {n} equal parts, numbered from the top down.",
            (Stroke("points", np.full(n + 1, b), down, "construction"), *marks),
        ),
        Step(
            "Draw a line from the crown to each mark on the end. Where it crosses the upright of the same number is a "
            f"point of the curve: {', '.join(beam.say(one) for one in z[1:-1])} up at numbers 1 to {n - 1}.",
            (*rays, Stroke("points", beam.y, z, "result")),
        ),
        Step(
            "Bend a batten through the points and draw the curve. Turn the pattern over for the other half.",
            (beam.through("equal divisions"),),
        ),
    )
    return steps, beam.y, z


def _sticks(beam: Beam) -> tuple:
    b, c, n = beam.half, beam.camber, beam.divisions
    turned = 2 * np.arctan2(c, b)  # what the two sticks lack of a straight line
    left = turned / 2 * (1 - beam.u[:-1])
    t_left, t_right = np.tan(left), np.tan(turned - left)
    y = np.append(b * (t_right - t_left) / (t_left + t_right), b)
    z = np.append((y[:-1] + b) * t_left, 0.0)

    def pair(k: int) -> tuple[Stroke, ...]:
        reach = 2.1 * b
        return tuple(
            Stroke("line", (y[k], y[k] - way * reach * np.cos(lean)), (z[k], z[k] - reach * np.sin(lean)), "tool")
            for way, lean in ((1, left[k]), (-1, turned - left[k]))
        )

    half = n // 2
    out = slice(1, half + 1)
    steps = (
        Step(
            f"Strike a base line as long as the whole beam, {beam.say(2 * b)}. Drive a nail at each end and one at the "
            f"crown, {beam.say(c)} up at the middle.",
            (*beam.start(whole=True), beam.nails()),
        ),
        Step(
            "Take two straight sticks, each a little longer than the whole beam. Lay each against the crown nail and "
            "one end nail, and fasten them to each other there, with a brace across so that the angle "
            f"cannot change. It is {180 - np.degrees(turned):.1f} degrees.",
            pair(0),
        ),
        Step(
            "Pull out the crown nail and hold a pencil in its place, in the corner of the sticks. Slide both to one "
            "side, both sticks always touching their end nails: the pencil marks the curve.",
            (*pair(half), Stroke("points", y[out], z[out], "result")),
        ),
        Step(
            "Slide on until the pencil comes to the end nail.",
            (*pair(n - 1), Stroke("points", y[half:], z[half:], "result")),
        ),
        Step(
            "Begin at the crown again and slide to the other side. The curve is one arc of a circle of "
            f"{beam.say(Circle(b, c).radius)} radius, and nobody had to find its centre.",
            (Stroke("points", -y[1:], z[1:], "result"), beam.through("three nails and two sticks", whole=True)),
        ),
    )
    return steps, y, z


def _ordinates(beam: Beam) -> tuple:
    b, c, n = beam.half, beam.camber, beam.divisions
    radius = (b * b + c * c) / (2 * c)
    drop = beam.y**2 / (radius + np.sqrt(radius**2 - beam.y**2))
    z = c - drop
    listed = ", ".join(beam.say(one) for one in drop[1:-1])
    steps = (
        *_under_a_level_line(beam),
        Step(
            "Take the drops below the crown from a table of ordinates, or work them out: the distance off the "
            f"centreline, squared, over twice the radius of {beam.say(radius)}, very nearly. They are {listed} at "
            f"numbers 1 to {n - 1}. Measure each down from the level line.",
            (*(Stroke("line", (y, y), (c, one), "result") for y, one in zip(beam.y[1:], z[1:], strict=True)),
             Stroke("points", beam.y, z, "result")),
        ),
        Step(
            "Bend a batten through the points, look along it, and draw the curve. A point that stands out was measured "
            "wrong: measure it again. Turn the pattern over for the other half.",
            (beam.through("ordinates"),),
        ),
    )  # fmt: skip
    return steps, beam.y, z


def _sprung_batten(beam: Beam) -> tuple:
    b, c = beam.half, beam.camber
    z = layout_curve("sprung batten", b, c, beam.y)
    gap, place = layout_gaps(b, c, 201).between("ordinates", "sprung batten")
    y = np.linspace(-b, b, 121)
    steps = (
        Step(
            f"Strike a base line as long as the whole beam, {beam.say(2 * b)}. Drive a nail at each end and one at the "
            f"crown, {beam.say(c)} up at the middle.",
            (*beam.start(whole=True), beam.nails()),
        ),
        Step(
            "Lay an even batten, without knots, over the crown nail. It is still straight.",
            (Stroke("line", (-1.05 * b, 1.05 * b), (c, c), "tool"),),
        ),
        Step(
            "Spring its ends down to the end nails and hold them there, free to turn.",
            (Stroke("line", y, layout_curve("sprung batten", b, c, y), "tool"),),
        ),
        Step(
            "Draw along it. It is roundest at the crown and straight at the ends, so it lies below a circle: by "
            f"{beam.say(gap)} here, {beam.say(place)} off the centreline.",
            (beam.through("sprung batten", whole=True), Stroke("points", beam.y, z, "result")),
        ),
        Step(
            "Hold it against a circle, which lies outside it. A batten alone makes no circle. It wants a nail at every "
            "division, set by one of the other methods.",
            (Stroke("line", y, layout_curve("ordinates", b, c, y), "construction"),),
        ),
    )
    return steps, beam.y, z


#: What draws each of `LAYOUTS`: called with a `Beam`, gives steps and the points that they find.
DRAWN = {
    "quarter-circle": _quarter_circle,
    "equal divisions": _equal_divisions,
    "three nails and two sticks": _sticks,
    "ordinates": _ordinates,
    "sprung batten": _sprung_batten,
}
