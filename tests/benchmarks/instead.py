"""What somebody would write with general-purpose libraries instead: the same work, done plainly."""

from __future__ import annotations

import io
import math

import numpy as np
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicSpline, RectBivariateSpline
from scipy.optimize import minimize


def splined(table) -> tuple:
    """Half-breadth and height, port and starboard, through every offset."""
    lines = (table.lines[f"{what}_{side}"] for what in ("half_breadth", "height") for side in ("port", "starboard"))
    return tuple(CubicSpline(line.x, line.value) for line in lines)


def beams_in_a_loop(curves, marks, ratio: float, thickness: float, spacing: float) -> list[tuple]:
    """
    Height of each beam's top at both faces and its bevel, ordinate by ordinate.

    The deck is an arc of a circle in the same proportion on every beam; the thickness is taken off along the slopes,
    found by differences. No ends, stock, grain or words.
    """
    port, starboard, high_port, high_starboard = curves

    def height(x, y):
        p, s, zp, zs = float(port(x)), float(starboard(x)), float(high_port(x)), float(high_starboard(x))
        half, camber = (p if y < 0 else s), ratio * (p + s)
        radius = (half**2 + camber**2) / (2 * camber)
        edge = zp + (zs - zp) * (y + p) / (p + s)
        return edge + camber - y * y / (radius + math.sqrt(radius**2 - y * y))

    def top(x, y):
        z_x, z_y = height(x + 0.5, y) - height(x - 0.5, y), height(x, y + 0.5) - height(x, y - 0.5)
        return height(x, y) - thickness * math.sqrt(1 + z_x * z_x + z_y * z_y)

    rows = []
    for mark in marks:
        forward = mark.x + mark.off_forward
        low, high = -float(port(forward)), float(starboard(forward))
        for step in range(math.ceil(low / spacing), math.floor(high / spacing) + 1):
            y = step * spacing
            fore, aft = top(forward, y), top(forward + mark.siding, y)
            rows.append((mark.name, y, fore, aft, math.degrees(math.atan2(abs(aft - fore), mark.siding))))
    return rows


def edge_by_ode(curves, side: str, ratio: float, start: float, end: float) -> np.ndarray:
    """The deck edge laid flat: its turning within the deck, by differences, followed by a general integrator."""
    port, starboard, high_port, high_starboard = curves
    own, sign = (port, -1.0) if side == "port" else (starboard, 1.0)
    high = high_port if side == "port" else high_starboard

    def turning(x, state):
        b, z = sign * own(x, 1), high(x, 1)
        whole = float(port(x) + starboard(x))
        # at the edge the deck slopes across by the arc's own angle there, and by the edges' difference in height
        half = float(own(x))
        slope = -sign * math.tan(2 * math.atan(ratio * whole / half))
        across = slope + (float(high_starboard(x)) - float(high_port(x))) / whole
        along = z - across * b
        w = math.sqrt(1 + along**2 + across**2)
        speed = math.sqrt(1 + b * b + z * z)
        turn = (sign * own(x, 2) * (1 + along * z) + high(x, 2) * (across - along * b)) / (w * speed**2)
        return [speed * math.cos(state[2]), speed * math.sin(state[2]), float(turn)]

    places = np.linspace(start, end, 25)
    return solve_ivp(turning, (start, end), [0.0, 0.0, 0.0], t_eval=places, rtol=1e-8, atol=1e-6).y


def surface_spline(x, y, heights, at_x, at_y) -> tuple:
    """Height, slopes and bends at many points of a spline through a grid of heights."""
    spline = RectBivariateSpline(x, y, heights)
    orders = ((0, 0), (1, 0), (0, 1), (2, 0), (1, 1), (0, 2))
    return tuple(spline.ev(at_x, at_y, dx=a, dy=b) for a, b in orders)


def flat_by_minimize(triangles, gradient, area, start) -> np.ndarray:
    """The flat shape of least strain by a general minimiser (L-BFGS) with the exact slope of the same energy."""
    size = start.shape

    def energy(flat):
        move = np.einsum("tia,tib->tab", flat.reshape(size)[triangles], gradient)
        strain = (np.einsum("tca,tcb->tab", move, move) - np.eye(2)) / 2
        pull = np.einsum("t,tcb,tab,tia->tic", area, move, strain, gradient)
        down = np.zeros(size)
        np.add.at(down, triangles, pull)
        return 0.5 * float(area @ np.sum(strain**2, axis=(1, 2))), down.ravel()

    options = {"maxiter": 100_000, "maxfun": 200_000, "ftol": 1e-15, "gtol": 1e-9, "maxcor": 20}
    return minimize(energy, start.ravel(), jac=True, method="L-BFGS-B", options=options).x.reshape(size)


def pages_by_matplotlib(curves, width: float, height: float, sheets: int) -> bytes:
    """As many sheets with a full-size curve, its underside, ordinates with figures, and two check bars, as a PDF."""
    from matplotlib.backends.backend_pdf import PdfPages
    from matplotlib.figure import Figure

    file = io.BytesIO()
    with PdfPages(file) as pdf:
        for number in range(sheets):
            y, up = curves[number % len(curves)]
            figure = Figure(figsize=(width / 25.4, height / 25.4))
            axes = figure.add_axes((0, 0, 1, 1), xlim=(0, width), ylim=(0, height))
            axes.set_axis_off()
            across = y - y[0] - (number % 7) * width
            axes.plot(across, up - up.min() + height / 2, "k-", across, up - up.min() + height / 3, "k-", lw=0.5)
            for place, high in zip(across[::20], up[::20], strict=True):
                axes.plot([place, place], [20, height / 2], "k:", lw=0.3)
                axes.text(place, 15, f"{high:.0f} mm", fontsize=8, clip_on=True)
            axes.plot([20, 120], [10, 10], "k-", [10, 10], [20, 120], "k-", lw=0.5)
            axes.text(20, height - 10, f"beam, page {number + 1}", fontsize=10)
            pdf.savefig(figure)
    return file.getvalue()
