"""The bench of laying: the ways side by side, what goes down, sheets, their true shapes and their scarfs."""

from __future__ import annotations

from deckgeom.bench.boat import complaints
from deckgeom.bench.controls import Choice, Slider
from deckgeom.bench.panel import Answer, Panel
from deckgeom.bench.tables import Table, Words
from deckgeom.drawings import Picture
from deckgeom.drawings.laying import draw_candidates, draw_curvature, draw_sheets, draw_true_shape
from deckgeom.job import Job
from deckgeom.laying.plan import LayingPlan
from deckgeom.laying.plan_pieces import beam_middles
from deckgeom.laying.plan_way import WayPlan, scarf_of
from deckgeom.units import format_length

__all__ = [
    "bend_words", "bends", "beside", "candidates", "complaints", "goes_down", "goes_down_words", "how_it_is_laid",
    "on_sheets", "pairs", "panel", "plan_of", "scarfs", "shape", "shape_table", "sheets", "what_cannot_be",
]  # fmt: skip

NO_PAIRS = "No sheet of this way lies opposite another: each has its own pattern."
NO_SHEETS = "There are no sheets in this way of laying, or no plan of them can be had."


def plan_of(job: Job) -> LayingPlan:
    """
    Work out the laying of a job's deck, once.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    LayingPlan

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> len(plan_of(example_laying()).ways)
    2
    """
    if job.laying is None:
        raise ValueError("There is nothing to lay a deck on yet: the deck edge and the list of beams come first.")
    return job.laying


def how_it_is_laid(job: Job) -> Words:
    """
    Say which ways of laying are worked out.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> how_it_is_laid(example_laying()).lines[0]
    'skins: ply 6 mm; then ply 6 mm; then cloth.'
    """
    return Words.each(way.way.words(job.boat.units) for way in plan_of(job).ways)


def what_cannot_be(job: Job) -> Words:
    """
    Say what cannot be had, one line each.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> what_cannot_be(example_laying())
    Everything can be had as wished.
    """
    lines = plan_of(job).cannot_be()
    return Words.each(lines, "look") if lines else Words.of("Everything can be had as wished.")


def bends(job: Job) -> Picture:
    """
    Draw the map of the deck's bends.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> bends(example_laying()).alt[:14]
    'The deck from '
    """
    return draw_curvature(plan_of(job).curvature, job.sheer, job.boat.units)


def bend_words(job: Job) -> Words:
    """
    Say what the map of bends shows.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> len(bend_words(example_laying()).lines) > 0
    True
    """
    return Words.each(plan_of(job).curvature.words(job.boat.units))


def goes_down(job: Job, way: str = "") -> Table:
    """
    List every sheet of the best plan with whether it goes down.

    Parameters
    ----------
    job : Job
    way : str
        Its name; the first if not given.

    Returns
    -------
    Table
        One row a sheet.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> goes_down(example_laying()).heads[1]
    'will it go down?'
    """
    units, rows = job.boat.units, []
    found = plan_of(job).way(way)
    for panel in found.panels:
        verdict = panel.verdict
        more = verdict.words(units)[0].partition(". ")[2]
        use = f"{verdict.bend_use:.0%}" if verdict.bend_use < 100 else "no radius known"
        use += f", over it on {max(verdict.sharp_share, 0.001):.1%} of the sheet" if verdict.bend_use > 1 else ""
        rows.append((panel.panel.name, verdict.verdict, format_length(verdict.radius, units), use,
                     f"{verdict.strain.range:.3%}", more))  # fmt: skip
    heads = ("sheet", "will it go down?", "sharpest bend, radius", "of what it takes", "strain, most to least", "so")
    return Table(f"{found.way.name}: will the sheets go down?", heads, rows, words=(0, 1, 5), wrap=(5,),
                 note="Radii by thickness and grain as published; strain and spacings: common practice, no source.",
                 strong=[k for k, row in enumerate(rows) if row[1] == "will not go down"])  # fmt: skip


def goes_down_words(job: Job, sheet: str = "", way: str = "") -> Words:
    """
    Say of one sheet all that the verdict rests on.

    Parameters
    ----------
    job : Job
    sheet : str
        Such as "A1"; one amidships if not given.
    way : str

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> goes_down_words(example_laying(), "A1").lines[0].partition(",")[0]
    'Panel A1'
    """
    found = _sheet(job, sheet, way)
    if found is None:
        return Words.of(NO_SHEETS)
    found[0].flat(found[1])  # its message names the sheets that there are
    panel = next(one for one in found[0].panels if one.panel.name == found[1])
    return Words.each(panel.verdict.words(job.boat.units))


def sheets(job: Job, way: str = "") -> Words:
    """
    Say how the best plan of sheets compares, what it takes, and what is left.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> sheets(example_laying()).lines[0].partition(":")[0]
    'Plan 1'
    """
    found = _with_sheets(job, way)
    if found is None:
        return Words.of(NO_SHEETS)
    return Words.each([*found.sheets.words(job.boat.units), *found.sheets.best.words(job.boat.units)])


def on_sheets(job: Job, number: int = 1, way: str = "", skin: int = 1) -> Picture | Words:
    """
    Draw one of the best plans of sheets.

    Parameters
    ----------
    job : Job
    number : int
        From 1, the least joint first.
    way : str
    skin : int
        From 1, the lowest.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> on_sheets(example_laying()).alt[:6]
    'Skin A'
    """
    found = _with_sheets(job, way)
    if found is None:
        return Words.of(NO_SHEETS)
    plans = found.sheets.plans
    if not 1 <= number <= len(plans):
        raise ValueError(f"plan {number}: there are plans 1 to {len(plans)}.")
    skins = len(plans[0].choices.skins)
    if not 1 <= skin <= skins:
        raise ValueError(f"skin {skin}: there are skins 1 to {skins}, the lowest first.")
    beams = [x for _, x in beam_middles(job.beams)]
    return draw_sheets(plans[number - 1], job.sheer, beams, job.boat.units, skin - 1)


def candidates(job: Job, way: str = "") -> Picture | Words:
    """
    Draw the best five plans of sheets under each other.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> "plans of sheets" in candidates(example_laying()).alt
    True
    """
    found = _with_sheets(job, way)
    return Words.of(NO_SHEETS) if found is None else draw_candidates(found.sheets, job.sheer, job.boat.units)


def shape(job: Job, sheet: str = "", way: str = "") -> Picture | Words:
    """
    Draw the true shape of a sheet.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> shape(example_laying(), "A1").alt.partition(",")[0]
    'Panel A1 laid flat'
    """
    found = _sheet(job, sheet, way)
    return Words.of(NO_SHEETS) if found is None else draw_true_shape(*found[0].flat(found[1]), job.boat.units)


def shape_table(job: Job, sheet: str = "", way: str = "") -> Table | Words:
    """
    List the offsets of a sheet's true shape from a straight line.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> shape_table(example_laying(), "A1").heads
    ('edge', 'along the line', 'off the line, to its own side')
    """
    found, units = _sheet(job, sheet, way), job.boat.units
    if found is None:
        return Words.of(NO_SHEETS)
    flat, marks = found[0].flat(found[1])
    rows = [(edge, _signed(along, units, "before its start"), _signed(off, units, "the other way"))
            for edge, along, off in marks.rows()]  # fmt: skip
    note = " ".join([*marks.words(units), *flat.words(units)])
    off = "off the line, to its own side" if marks.from_centreline else "off the line, towards the outer edge"
    heads = ("edge", "along the line", off)
    return Table(f"Sheet {found[1]}: offsets from {marks.line}", heads, rows, note=note)


def pairs(job: Job, way: str = "") -> Words:
    """
    Say which sheets of both sides are cut from one pattern, and by how much the others differ.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> pairs(example_laying(), "laid")
    No sheet of this way lies opposite another: each has its own pattern.
    """
    found = _with_sheets(job, way)
    if found is None:
        return Words.of(NO_SHEETS)
    lines = [f"{pair.port.panel.name} (port) and {pair.starboard.panel.name} (starboard): "
             f"{pair.words(job.boat.units)}" for pair in found.pairs]  # fmt: skip
    return Words.each(lines) if lines else Words.of(NO_PAIRS)


def _signed(value: float, units: str, words: str) -> str:
    said = format_length(abs(value), units)
    return f"{said} {words}" if value < -0.5 else said


def scarfs(job: Job, way: str = "") -> Words:
    """
    Say how the scarfs are marked, cut and held.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> len(scarfs(example_laying()).lines) > 1
    True
    """
    found, units = plan_of(job).way(way), job.boat.units
    lines = [line for scarf in dict.fromkeys(scarf_of(found)) for line in (*scarf.words(units), *scarf.warnings)]
    for k, hold in enumerate(found.scarf_holds, 1):
        step = format_length(hold.at[1] - hold.at[0], units) if len(hold.at) > 1 else ""
        apart = f", the first {format_length(hold.at[0], units)} from its end and then {step} apart" if step else ""
        lines.append(f"Joint {k}, {format_length(hold.length, units)} long, while it sets: {len(hold.at)} "
                     f"{'cleats' if step else 'cleat'} over thin plastic{apart}.")  # fmt: skip
    return Words.each(dict.fromkeys(lines)) if lines else Words.of("No scarfs in this way of laying.")


def beside(job: Job) -> Table:
    """
    Set the quantities of every way of laying beside each other.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> beside(example_laying()).heads
    ('quantity', 'skins', 'laid')
    """
    plan = plan_of(job)
    heads = ("quantity", *(way.way.name for way in plan.ways))
    return Table("The ways of laying side by side", heads, plan.quantities(), words=(0,))


def panel(job: Job) -> Panel:
    """
    Make the live panel: choose a way and a plan of sheets, and see it on the deck and on the sheets.

    Examples
    --------
    >>> from deckgeom.bench.example import example_laying
    >>> panel(example_laying()).set(number=2).words.partition(":")[0]
    'Plan 2'
    """
    plan = plan_of(job)
    names = [way.way.name for way in plan.ways if way.sheet_count]
    if not names:
        return Panel("Choose a plan of sheets", [], lambda: Answer(words="No way of laying has sheets in it."))
    most = max(len(way.sheets.plans) for way in plan.ways if way.sheet_count)

    def respond(way: str, number: float) -> Answer:
        found = plan.way(way)
        k = min(int(number), len(found.sheets.plans))
        one = found.sheets.plans[k - 1]
        said = (f"Plan {k}: {format_length(one.joint_length, job.boat.units)} of joint, {one.sheets} sheets, "
                f"{one.waste:.0%} cut away or left over.")  # fmt: skip
        rows = [(j + 1, format_length(each.joint_length, job.boat.units), each.sheets, f"{each.waste:.0%}")
                for j, each in enumerate(found.sheets.plans)]  # fmt: skip
        table = Table(f"{way}: the best plans", ("plan", "joint", "sheets", "cut away or left over"), rows, words=())
        return Answer(on_sheets(job, k, way), said, table)

    controls = [Choice("way", "Way of laying", names, names[0]), Slider("number", "Plan", 1, max(most, 2), 1, 1)]
    return Panel("Choose a plan of sheets", controls, respond)


def _with_sheets(job: Job, way: str) -> WayPlan | None:
    """The way asked for, or the first that has sheets; None where there are none."""
    plan = plan_of(job)
    ways = [plan.way(way)] if way else list(plan.ways)
    return next((one for one in ways if one.sheet_count), None)


def _sheet(job: Job, sheet: str, way: str) -> tuple[WayPlan, str] | None:
    """A way and one of its sheets: the one asked for, or one amidships."""
    found = _with_sheets(job, way)
    if found is None or not found.panels:
        return None
    return found, sheet or found.panels[len(found.panels) // 2].panel.name
