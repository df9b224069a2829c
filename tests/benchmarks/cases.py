"""The jobs of the table: ours, what one would take instead, and the size at n, 2n and 4n."""

from __future__ import annotations

import io
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache, partial
from pathlib import Path

import numpy as np
from scipy.interpolate import RBFInterpolator

from deckgeom.boat import read_boat
from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.fairing import field
from deckgeom.fairing.choices import PlanChoices
from deckgeom.fairing.fair import estimate
from deckgeom.fairing.plan import plan_work
from deckgeom.fairing.verdict import judge
from deckgeom.job import do_job
from tests.benchmarks import fairing, instead, lessons
from tests.fairing.simulated import Faults, simulate

TOP = Path(__file__).parents[2]
DEMO = TOP / "notebooks" / "boats" / "thimblewick"
#: Camber over breadth where the rival's deck must be ours.
RATIO = 1 / 32
LIMITS = PlanChoices(most_off=8.0)


@dataclass(frozen=True)
class Case:
    """
    One row: `ours(k)` and `theirs(k)` make ready what is to be timed at k times the first size.

    `target` is in the words of the one who set it; `others` names what is taken instead, and what it leaves out.
    """

    job: str
    target: str
    ours: Callable[[int], Callable]
    others: str = ""
    theirs: Callable[[int], Callable] | None = None
    sizes: tuple[int, ...] = (1,)


GROWING = (1, 2, 4)


# ------------------------------------------------------------ the main job


@cache
def proportional_boat(beams: int):
    """The demo boat without readings, with so many beams on arcs in the same proportion."""
    boat = read_boat(DEMO)
    camber = replace(boat.settings.camber, rule="same proportion", figure="1:32", least=None)
    marks = boat.beams
    if beams != len(marks):
        sheer = do_job(boat).deck.sheer
        x = np.linspace(sheer.start + 400, sheer.end - 100, beams)
        marks = tuple(BeamMark(str(i), float(place), siding=20.0, moulding=60.0) for i, place in enumerate(x))
    return replace(boat, readings=(), beams=marks, settings=replace(boat.settings, camber=camber))


def main_job(k: int) -> Callable:
    """Offsets, suspects, fair sheer, deck, beams with bevels, flat edges."""
    boat = proportional_boat(24 * k)
    return lambda: do_job(boat)


def main_job_instead(k: int) -> Callable:
    """Splines, a loop, an integrator."""
    boat = proportional_boat(24 * k)
    spacing, thickness = boat.settings.beams.ordinates, boat.settings.deck_thickness

    def work():
        curves = instead.splined(boat.offsets)
        rows = instead.beams_in_a_loop(curves, boat.beams, RATIO, thickness, spacing)
        start, end = (float(x) for x in boat.offsets.x[[0, -1]])
        return rows, [instead.edge_by_ode(curves, side, RATIO, start + 50, end) for side in ("port", "starboard")]

    return work


def beams_only(k: int) -> Callable:
    """The beams of a deck that is there."""
    boat = proportional_boat(250 * k)
    deck = do_job(replace(boat, beams=())).deck
    return lambda: lay_out_beams(deck, boat.beams, boat.settings.beams.ordinates)


def beams_instead(k: int) -> Callable:
    """The same in a loop."""
    boat = proportional_boat(250 * k)
    curves = instead.splined(boat.offsets)
    own = boat.settings
    return lambda: instead.beams_in_a_loop(curves, boat.beams, RATIO, own.deck_thickness, own.beams.ordinates)


# ------------------------------------------------------------ the surface


@cache
def dome() -> Deck:
    """An uneven deck 18 mm thick."""
    return Deck(even_hull(length=8000, half_breadth=1200, rise=250), OneMould("circle", "1:30"), thickness=18.0)


def places(k: int) -> tuple[np.ndarray, np.ndarray]:
    """Points spread over it. [mm]"""
    random = np.random.default_rng(7)
    return random.uniform(-3000, 3000, 250_000 * k), random.uniform(-500, 500, 250_000 * k)


def surface(k: int) -> Callable:
    """Height, slopes and bends of the beam tops."""
    x, y = places(k)
    return lambda: dome().partials(x, y, 2, "beam")


def surface_instead(k: int) -> Callable:
    """The same of a spline through heights that somebody else has worked out."""
    x, y = places(k)
    along, across = np.linspace(-3100, 3100, 125), np.linspace(-520, 520, 41)
    heights = dome().height(along[:, None], across[None, :], "beam")
    return lambda: instead.surface_spline(along, across, heights, x, y)


# ------------------------------------------------------------ fairing


def solver(problem, beams: int, points: int, code: Callable, k: int) -> Callable:
    """The convex program of one fairing, matrices ready made."""
    return code(*problem(beams * k, points, 400.0))


def deck_of(beams: int, points: int):
    """Simulated readings."""
    return simulate(1, beams=beams, points=points, missing=0).tops


def first(tops):
    """The fair surface with nothing remembered from before."""
    field._KEPT.clear()
    return estimate(tops, reading_error=0.7)


def first_answer(k: int) -> Callable:
    """The fair surface of 20 beams by 9 readings."""
    return partial(first, deck_of(20 * k, 9))


def smooth_instead(k: int) -> Callable:
    """A thin plate, in units of the beam spacing; one wrong reading pulls it."""
    tops = deck_of(20 * k, 9)
    at = np.column_stack([tops.x, tops.y]) / 400
    return lambda: RBFInterpolator(at, tops.z, smoothing=1.0, kernel="thin_plate_spline")(at)


def change(k: int) -> Callable:
    """Another wish: surface and work plan again."""
    tops = deck_of(20 * k, 9)
    found = first(tops)
    verdicts, wishes = judge(tops, found), PlanChoices(plane_only=True, most_off=8.0)
    return lambda: plan_work(tops, estimate(tops, reading_error=0.7), verdicts, wishes)


def verdict(k: int) -> Callable:
    """Words for every reading and beam."""
    tops = deck_of(20 * k, 9)
    return partial(judge, tops, first(tops))


def refit_instead(k: int) -> Callable:
    """The surface again without each reading in turn."""
    tops = deck_of(20 * k, 9)
    columns = (tops.beam, tops.x, tops.y, tops.half_breadth, tops.z)

    def without(i: int):
        beam, x, y, half, z = (np.delete(column, i) for column in columns)
        return estimate(type(tops)(beam, tops.beam_names, x, y, half, z), reading_error=0.7)

    return lambda: [without(i) for i in range(tops.count)]


def everything(tops) -> object:
    """Surface, verdict and plan."""
    found = first(tops)
    return plan_work(tops, found, judge(tops, found), LIMITS)


def scan():
    """100,000 readings on 20 m."""
    faults = Faults(2, slips=0.001, bumps=0.0)
    return simulate(1, beams=2000, points=50, spacing=10.0, missing=0, faults=faults).tops


# ------------------------------------------------------------ papers


@cache
def paper_job():
    """The demo boat, worked out."""
    return do_job(read_boat(DEMO))


def patterns(k: int) -> Callable:
    """Full-size patterns of 6k beams over A4 sheets."""
    from deckgeom.papers.page import imprint_of
    from deckgeom.papers.pattern import beam_pattern
    from deckgeom.papers.pattern_pdf import pattern_pdf

    job = paper_job()
    drawn, imprint = [beam_pattern(beam, "mm") for beam in list(job.beams)[: 6 * k]], imprint_of(job)
    return lambda: [pattern_pdf(pattern, "A4", imprint, "mm") for pattern in drawn]


def patterns_instead(k: int) -> Callable:
    """As many pages with as much on them."""
    from pypdf import PdfReader

    sheets = sum(len(PdfReader(io.BytesIO(book)).pages) for book in patterns(k)())
    curves = [(o.y, o.mould_height) for o in (beam.ordinates for beam in list(paper_job().beams)[: 6 * k])]
    fine = [(y, np.interp(y, *curve)) for curve in curves for y in [np.linspace(curve[0][0], curve[0][-1], 200)]]
    return lambda: instead.pages_by_matplotlib(fine, 210.0, 297.0, sheets)


def every_paper(_k: int) -> Callable:
    """Sheets, forms and patterns of the demo in every format."""
    from deckgeom.papers.blank_forms import write_forms
    from deckgeom.papers.pattern_set import KINDS, write_patterns
    from deckgeom.papers.shop import write_papers

    job = paper_job()

    def work():
        with tempfile.TemporaryDirectory() as folder:
            out = Path(folder)
            write_papers(job, out), write_forms(job, out), write_patterns(job, out, KINDS)

    return work


# ------------------------------------------------------------ laying


@cache
def mesh(k: int):
    """Triangles of a covering sheet near the bow of a deck that bends both ways, about 600 k of them."""
    from deckgeom.laying.lie_down_panel import Panel
    from deckgeom.laying.true_shape_mesh import panel_mesh

    panel = Panel.rectangle("1", (500, 2940), (0, 900), thickness=9)
    return panel_mesh(dome(), panel, 92 / np.sqrt(k))


def flat(k: int) -> Callable:
    """The flat shape of least strain."""
    from deckgeom.laying.true_shape_flat import flatten

    m = mesh(k)
    start = np.column_stack([m.x, m.y])
    return lambda: flatten(m.triangles, m.sides, start, (0, len(m.x) - 1))


def flat_instead(k: int) -> Callable:
    """The same energy in a general minimiser."""
    from deckgeom.laying.true_shape_flat import _gradients

    m = mesh(k)
    gradient, area = _gradients(m.sides)
    return lambda: instead.flat_by_minimize(m.triangles, gradient, area, np.column_stack([m.x, m.y]))


def two_skins(_k: int) -> Callable:
    """Sheets of a 12 m deck in two skins, joints where they like."""
    from deckgeom.boat.fittings_file import Fitting
    from deckgeom.laying.sheets import SheetChoices, plan_sheets
    from deckgeom.laying.sheets_outline import deck_plan

    deck = Deck(even_hull(length=12000, half_breadth=1800), OneMould("circle", 120))
    fittings = [Fitting("hatch", -2000.0, 0.0, 600.0, 600.0), Fitting("cockpit", 3500.0, 0.0, 2000.0, 1400.0)]
    choices = SheetChoices(2440, 1220, (6, 6), joints="either")
    return lambda: plan_sheets(deck_plan(deck, fittings), np.linspace(-5600, 5600, 24), choices)


def twelve_metres_laid(_k: int) -> Callable:
    """A 12 m deck in two skins and cloth, from sheets and fastenings to the cards and the shopping list."""
    from deckgeom.boat import default_settings
    from deckgeom.boat.fittings_file import Fitting
    from deckgeom.laying.plan import plan_laying
    from deckgeom.laying.ways import DeckLayer, Way

    deck = Deck(even_hull(length=12000, half_breadth=1800), OneMould("circle", 120), thickness=12)
    beams = lay_out_beams(deck, [BeamMark(str(k + 1), x) for k, x in enumerate(np.linspace(-5600, 5600, 24))])
    fittings = [Fitting("hatch", -2000.0, 0.0, 600.0, 600.0), Fitting("cockpit", 3500.0, 0.0, 2000.0, 1400.0)]
    way = Way("two skins", (DeckLayer("ply", 6.0), DeckLayer("ply", 6.0), DeckLayer("cloth")))
    wishes = replace(default_settings().laying, ways=(way,), joints="either")
    return lambda: plan_laying(deck, beams, wishes, fittings)


def demo_laid(_k: int) -> Callable:
    """Both ways of the demo, from sheets and planks to the shopping list."""
    from deckgeom.laying.plan import plan_laying

    job = paper_job()
    boat = job.boat
    return lambda: plan_laying(job.deck, job.beams, boat.settings.laying, boat.fittings, boat.units)


# ------------------------------------------------------------ from cold


def fresh(statement: str, _k: int = 1) -> Callable:
    """A statement in a Python of its own, the start of Python and of numpy and scipy included."""
    return lambda: subprocess.run([sys.executable, "-c", statement], cwd=TOP, check=True, capture_output=True)


def command(_k: int) -> Callable:
    """The command on the demo: tables, sheets, forms, A4 patterns and machine files."""

    def work():
        with tempfile.TemporaryDirectory() as folder:
            run = [sys.executable, "-m", "deckgeom", str(DEMO), "--out", folder]
            subprocess.run(run, cwd=TOP, capture_output=True, check=True)

    return work


def suspects(_k: int) -> Callable:
    """Clean lines of fifteen stations, new each time so that nothing is remembered."""
    from itertools import count

    from deckgeom.hull.offsets import OffsetTable
    from deckgeom.hull.suspects import find_suspects

    x, turn = 400.0 * np.arange(15), count()

    def work():
        shift = 0.01 * next(turn)
        sides = {"height": 700 + 0.00004 * (x - 3000) ** 2, "half_breadth": 900 - 0.00008 * (x - 3000) ** 2}
        columns = {f"{name}_{side}": np.round(v) + shift for name, v in sides.items() for side in ("port", "starboard")}
        find_suspects(OffsetTable.from_rows({"x": x * (1 + shift), **columns}), 0.5, 1.0)

    return work


def cases() -> Iterator[Case]:
    """Every row but those that need a browser."""
    base = "import numpy, scipy.interpolate, scipy.optimize"
    proportion = SameProportion.name
    yield Case("numpy and scipy's parts, then the package, from cold", ".3 s over numpy and scipy",
               partial(fresh, f"{base}; import deckgeom.job"), "they and matplotlib.pyplot",
               partial(fresh, f"{base}, matplotlib.pyplot"))  # fmt: skip
    yield Case("they alone, from cold", "", partial(fresh, base))
    yield Case(f"offsets to 24 beams, bevels, spiles ({proportion})", "20 ms", main_job,
               "scipy splines, a loop, solve_ivp; no suspects, ends or stock", main_job_instead, GROWING)  # fmt: skip
    yield Case("250 beams of a deck", "in line up to 2,000", beams_only,
               "the same loop", beams_instead, GROWING)  # fmt: skip
    yield Case("250,000 points of the beam tops: height, slopes, bends", "1 s for 4n", surface,
               "RectBivariateSpline of given heights", surface_instead, GROWING)  # fmt: skip
    for name, problem, size, own in (("two-way", fairing.two_way, (20, 9), "20 x 9"),
                                     ("limits", fairing.limits, (60, 15), "60 x 15")):  # fmt: skip
        for other, code in (("Clarabel", fairing.by_clarabel), ("PIQP", fairing.by_piqp), ("OSQP", fairing.by_osqp)):
            target = "3 times Clarabel" if other == "Clarabel" else ""
            yield Case(f"fairing solver, {name}, {own}", target, partial(solver, problem, *size, fairing.by_own), other,
                       partial(solver, problem, *size, code), GROWING)  # fmt: skip
    yield Case("fair surface of 20 x 9", "25 ms", first_answer,
               "RBFInterpolator, smoothed; slips pull it", smooth_instead, GROWING)  # fmt: skip
    yield Case("a later change of 20 x 9", "10 ms", change, sizes=GROWING)
    yield Case("verdict on 20 x 9", "25 ms", verdict, "our fit again without each reading", refit_instead)
    yield Case("everything of 200 x 50", "300 ms", lambda k: partial(everything, deck_of(200, 50)))
    yield Case("everything of 100,000 readings", "3 s", lambda k: partial(everything, scan()))
    yield Case("full-size patterns of 6 beams on A4", "", patterns,
               "matplotlib, as many pages, not joined or proofed", patterns_instead, GROWING)  # fmt: skip
    yield Case("every paper of 24 beams in every format", "20 s", every_paper)
    yield Case("true shape of a sheet, 600 triangles", "", flat,
               "scipy L-BFGS-B on the same energy", flat_instead, GROWING)  # fmt: skip
    yield Case("sheets of 12 m in two skins, best five", "10 s", two_skins)
    yield Case("12 m in two skins and cloth, from sheets to cards", "10 s", twelve_metres_laid)
    yield Case("both ways of laying the demo", "", demo_laid)
    yield Case("python -m deckgeom on the demo, from cold", "", command)
    yield Case("suspects of four lines of 15 stations", "20 ms", suspects)
    yield Case("the packet of a class of ten pairs", "30 s", lessons.packet)
    for name in lessons.SLIDERS:
        yield Case(f"class slider, in the kernel: {name}", "60 ms to the page", partial(lessons.slider, name))
