"""
The eight exercises worked by hand: from what is printed on the learner's page, and from nothing else.

Each part becomes lines of plain Python with the printed figures typed into them. The answer copies of the page hold the
same lines.
"""

from __future__ import annotations

import re

from deckgeom.lessons.exercise import Exercise

#: What a figure may look like on the page, and how it is typed into a sum in inches.
OF_EIGHTHS = re.compile(r"(\d+)-(\d+)-(\d+)(\+?)")
OF_FEET = re.compile(r"(?:(\d+)' ?)?(?:(\d+)(?: (\d+/\d+))?|(\d+/\d+))(?:\"| in)")
OF_METRES = re.compile(r"(\d+(?:\.\d+)?) (mm|cm|m)")
TIMES = {"mm": "", "cm": " * 10", "m": " * 1000"}

#: How an answer is written down: to the nearest mark of the tape.
TAPE = {
    "mm": 'def tape(length):  # to the nearest millimetre\n    return f"{round(length)} mm"',
    "in": 'def tape(length):  # to the nearest sixteenth\n    return f"{round(length * 16) / 16} in"',
}
TAPE["ft-in-8"] = TAPE["in"]
START = "from math import atan, ceil, cos, degrees, hypot, radians, sin, sqrt\n\nanswers = {}\n"


def figure(printed: str, units: str) -> str:
    """A printed length as it is typed into a sum: in millimetres, or in inches for a class in inches."""
    metric = OF_METRES.fullmatch(printed)
    if metric:
        if units != "mm":
            raise ValueError(f"{printed!r} is metric, and the class works in inches")
        return metric[1] + TIMES[metric[2]]
    eighths, feet = OF_EIGHTHS.fullmatch(printed), OF_FEET.fullmatch(printed)
    if eighths:
        terms = [f"{eighths[1]} * 12", eighths[2], f"{eighths[3]}/8", "1/16" if eighths[4] else ""]
    elif feet:
        terms = [f"{feet[1]} * 12" if feet[1] else "", feet[2] or "", feet[3] or feet[4] or ""]
    else:
        raise ValueError(f"{printed!r} is no length that the page prints")
    inches = " + ".join(term for term in terms if term)
    return f"({inches}) * 25.4" if units == "mm" else inches


def working(exercise: Exercise, units: str) -> list[str]:
    """Cells of plain Python that work one part out and put what comes out into ``answers``."""
    return [cell.strip() for cell in PARTS[exercise.part](exercise, units)]


def column(exercise: Exercise, table: int, name: int, units: str) -> list[str]:
    """One column of a printed table, as figures."""
    return [figure(row[name], units) for row in exercise.given[table].rows]


def listed(name: str, figures: list[str]) -> str:
    """A list of figures over as many lines as it needs."""
    lines, line = [], f"{name} = ["
    for k, one in enumerate(figures):
        last = k == len(figures) - 1
        piece = one + ("]" if last else ", ")
        if len(line) + len(piece) > 100:
            lines.append(line.rstrip())
            line = " " * (len(name) + 4)
        line += piece
    return "\n".join([*lines, line])


def lengths(text: str, pattern: str, units: str) -> list[str]:
    """The lengths that stand at the groups of a pattern in the task, as figures."""
    found = re.search(pattern.replace("LENGTH", r"(.+?)"), text)
    return [figure(one, units) for one in found.groups()]


def part_1(exercise: Exercise, units: str) -> list[str]:
    """Each height less half the sum of its neighbours; the beam on which that is uneven is the one."""
    beams = [column(exercise, 0, k, units) for k in (1, 2)]
    return [
        f"""
{listed("beam_a", beams[0])}
{listed("beam_b", beams[1])}
sums_a = [beam_a[k] - (beam_a[k - 1] + beam_a[k + 1]) / 2 for k in range(1, 6)]
sums_b = [beam_b[k] - (beam_b[k - 1] + beam_b[k + 1]) / 2 for k in range(1, 6)]
sums_a, sums_b
""",
        """
uneven_a, uneven_b = max(sums_a) - min(sums_a), max(sums_b) - min(sums_b)
sums = sums_a if uneven_a > uneven_b else sums_b
usual = sorted(sums)[2]
off = [one - usual for one in sums]
at = max(range(5), key=lambda k: abs(off[k]))
answers["1A"] = "beam A" if sums is sums_a else "beam B"
answers["1B"] = str(at + 2)
answers["1C"] = tape(abs(off[at]))
answers["1D"] = "plane" if off[at] > 0 else "pack"
""",
    ]


def part_2(exercise: Exercise, units: str) -> list[str]:
    """Figures of the table in one unit; the misprint is where the line through its neighbours runs elsewhere."""
    asked = {box.key: re.findall(r"station (\d)", box.asks) for box in exercise.answers}
    head, rows = exercise.given[0].head, {row[0]: row for row in exercise.given[0].rows}
    last = len(head) - 1

    def read(key: str, which: int, name: int) -> str:
        return figure(rows[asked[key][which]][name], units)

    sides = [read("2A", 0, k) for k in range(1, last)]
    whole = f"2 * ({sides[0]})" if len(sides) == 1 else " + ".join(sides)
    lines = [
        f'answers["2A"] = tape({whole})',
        f'answers["2B"] = tape(({read("2B", 0, last)}) - ({read("2B", 1, last)}))',
    ]
    if "2C" in asked:
        ply = figure(re.search(r"which is (.+?) thick", " ".join(exercise.task))[1], units)
        lines.append(f'answers["2C"] = tape(({read("2C", 0, last)}) - ({ply}))')
    if "2F" in asked:
        lines.append(f'answers["2F"] = tape({read("2F", 0, 2)})')
    if "2D" not in asked:
        return ["\n".join(lines)]
    return [
        "\n".join(lines),
        listed("heights", column(exercise, 0, last, units)),
        """
# where a fair line through two neighbours on each side passes each height from station 3 to station 7
fair = {k: (4 * (heights[k - 1] + heights[k + 1]) - heights[k - 2] - heights[k + 2]) / 6 for k in range(2, 7)}
wrong = max(fair, key=lambda k: abs(heights[k] - fair[k]))
answers["2D"] = str(wrong + 1)
answers["2E"] = tape(fair[wrong])
""",
    ]


def part_3(exercise: Exercise, units: str) -> list[str]:
    """Parabola, slanting lines of the quarter-circle, and the radius."""
    half, camber = (figure(one, units) for one in exercise.given[0].rows[0])
    return [
        f"""
b = {half}
c = {camber}
answers["3A"] = tape(c - c * (1 / 4) ** 2)
by_ordinates = c - c * (3 / 4) ** 2
answers["3B"] = tape(by_ordinates)
""",
        """
across, up = c * sin(radians(67.5)), c * cos(radians(67.5))  # the third division of the arc
slanting = hypot(across - 3 / 4 * c, up)
B = 2 * b
R = B * B / (8 * c) + c / 2
by_sticks = sqrt(R**2 - (3 / 4 * b) ** 2) - (R - c)
heights = {"ordinates": by_ordinates, "quarter-circle": slanting, "two sticks": by_sticks}
answers["3C"], answers["3D"] = tape(slanting), tape(R)
answers["3E"] = min(heights, key=heights.get)
""",
    ]


def camber_figure(text: str, units: str) -> str:
    """The widest camber from its figure, twice the half-beam B at hand."""
    ratio = re.search(r"figure is 1:(\d+) of the whole beam", text)
    per_metre = re.search(r"figure is (\d+) mm/m of the whole beam", text)
    per_foot = re.search(r"figure is (\d+/\d+)\"/ft of the whole beam", text)
    if ratio:
        return f"2 * B / {ratio[1]}"
    return f"2 * B / 1000 * {per_metre[1]}" if per_metre else f"2 * B / 12 * {per_foot[1]}"


def part_4(exercise: Exercise, units: str) -> list[str]:
    """Three rules on five beams."""
    text = " ".join(exercise.task)
    (widest,) = lengths(text, r"half-beam B is LENGTH\. ", units)
    rounded = "round(C)" if units == "mm" else "round(C * 16) / 16"
    return [
        f"""
B = {widest}
C = {camber_figure(text, units)}
C = {rounded}
answers["4A"] = tape(C)
""",
        listed("b", column(exercise, 0, 1, units)),
        """
answers["4B"] = tape(C * b[0] / B)
answers["4C"] = tape(C * b[1] / B)
answers["4D"] = tape(C * b[4] / B)
answers["4E"] = tape(C * b[0] * b[0] / (B * B))
answers["4F"] = tape(C * b[1] * b[1] / (B * B))
answers["4G"] = tape(C * b[4] * b[4] / (B * B))
""",
        f"""
{listed("edge", column(exercise, 0, 2, units))}
{listed("one, five, nine", column(exercise, 1, 1, units)).replace("[", "(").replace("]", ")")}
answers["4H"] = tape((3 * one + 6 * five - nine) / 8 - edge[1])
answers["4I"] = tape((3 * nine + 6 * five - one) / 8 - edge[3])
""",
    ]


def part_5(exercise: Exercise, units: str) -> list[str]:
    """Crown heights, and how far they stand above straight edges held under them."""
    edge, one, same = (column(exercise, 0, k, units) for k in (1, 2, 3))
    seen = "2" if units == "mm" else "3/32"
    return [
        "\n".join([listed("edge", edge), listed("one_mould", one), listed("same", same)]),
        """
def above(line):  # how far each height stands above the highest straight edge that fits under the line
    held = [[line[i] + (line[j] - line[i]) * (k - i) / (j - i) for i in range(k) for j in range(k + 1, 5)]
            for k in range(1, 4)]
    return [max(0, line[k + 1] - min(held[k])) for k in range(3)]
""",
        f"""
crown = [edge[k] + one_mould[k] for k in range(5)]
gaps, others = above(crown), above([edge[k] + same[k] for k in range(5)])
humps = max(gaps) > {seen}
answers["5A"] = tape(crown[0])
answers["5B"] = "yes" if humps else "no"
answers["5C"] = "yes" if max(others) > {seen} else "no"
answers["5D"] = ["3", "5", "7"][gaps.index(max(gaps))] if humps else "none"
""",
        f"""
# at each middle beam: how far its camber stands above its neighbours', and how far its edge hangs below theirs
stands = [one_mould[k] - (one_mould[k - 1] + one_mould[k + 1]) / 2 for k in (1, 2, 3)]
hangs = [(edge[k - 1] + edge[k + 1]) / 2 - edge[k] for k in (1, 2, 3)]
rounder = max(stands[k] - hangs[k] for k in range(3)) > 0.01
why = [{exercise.answer("5E").choices[0]!r},
       {exercise.answer("5E").choices[1]!r}]
answers["5E"] = why[0] if rounder else why[1]
""",
    ]


def part_6(exercise: Exercise, units: str) -> list[str]:
    """Let the batten off two pegs at a time until it lies evenly over the other five."""
    boxes = {key: exercise.answer(key).asks for key in ("6A", "6C")}
    words = ["high" if "too high" in boxes[key] else "low" for key in ("6A", "6C")]
    return [
        listed("tops", column(exercise, 0, 1, units)),
        """
def batten(off):  # the even bend through pegs 1 and 7 and nearest to the others that it is not let off
    on = [k for k in range(1, 6) if k not in off]
    bend = sum((tops[k] - tops[0] - (tops[6] - tops[0]) * k / 6) * k * (6 - k) for k in on)
    bend = bend / sum((k * (6 - k)) ** 2 for k in on)
    line = [tops[0] + (tops[6] - tops[0]) * k / 6 + bend * k * (6 - k) for k in range(7)]
    return sum(abs(tops[k] - line[k]) for k in on), line
""",
        """
pairs = [(i, j) for i in range(1, 6) for j in range(i + 1, 6)]
off = min(pairs, key=lambda pair: batten(pair)[0])
gap = {k: tops[k] - batten(off)[1][k] for k in off}
high, low = max(gap, key=gap.get), min(gap, key=gap.get)
worst = max(gap, key=lambda k: abs(gap[k]))
""",
        f"""
answers["6A"], answers["6B"] = str({words[0]} + 1), tape(abs(gap[{words[0]}]))
answers["6C"], answers["6D"] = str({words[1]} + 1), tape(abs(gap[{words[1]}]))
bent = {{k: tops[k] - (tops[k - 1] + tops[k + 1]) / 2 for k in range(1, 6)}}
usual = sorted(bent.values())[2]
true = [k for k in (worst - 1, worst + 1) if k in bent and k not in off]
answers["6E"] = str(max(true, key=lambda k: abs(bent[k] - usual)) + 1)
answers["6F"] = "leave"
""",
    ]


def part_7(exercise: Exercise, units: str) -> list[str]:
    """Slope, bevel, and forms."""
    text = " ".join(exercise.task)
    (siding,) = lengths(text, r"station \d is LENGTH wide", units)
    (apart,) = lengths(text, r"which are LENGTH apart", units)
    (camber,) = lengths(text, r"A beam of camber LENGTH is glued", units)
    form, kept = lengths(text, r"the form rose LENGTH and the beam kept LENGTH\.", units)
    before, after = column(exercise, 0, 1, units)
    return [
        f"""
before, after = {before}, {after}
slope = abs(after - before) / ({apart})
answers["7A"] = tape(slope * ({siding}))
answers["7B"] = "the after edge" if after > before else "the forward edge"
answers["7C"] = f"{{degrees(atan(slope)):.1f}}"
""",
        f"""
c = {camber}
answers["7D"] = tape(c * 3 * 3 / (3 * 3 - 1))
answers["7E"] = tape(c * 6 * 6 / (6 * 6 - 1))
answers["7F"] = tape(c * ({form}) / ({kept}))
""",
    ]


def part_8(exercise: Exercise, units: str) -> list[str]:
    """Simpson's rule, sheets, strips and paint."""
    text = " ".join(exercise.task)
    (spacing,) = lengths(text, r"spacing of the stations, LENGTH, divided", units)
    sheet = lengths(text, r"sheets of LENGTH by LENGTH\. ", units)
    cloth, lap = lengths(text, r"a roll LENGTH wide, laid along the boat, each strip LENGTH over", units)
    coats, covers = re.search(r"Paint: (\d) coats; a .+? covers (\d+) ", text).groups()
    unit = 1000 if units == "mm" else 12
    return [
        listed("b", column(exercise, 0, 1, units)),
        f"""
sums = b[0] + 4 * b[1] + 2 * b[2] + 4 * b[3] + 2 * b[4] + 4 * b[5] + 2 * b[6] + 4 * b[7] + b[8]
one_side = sums / {unit} * ({spacing}) / {unit} / 3
area = 2 * one_side
answers["8A"] = f"{{area:.2f}}"
""",
        f"""
sheet = ({sheet[0]}) / {unit} * ({sheet[1]}) / {unit}
answers["8B"] = str(ceil(area * 1.15 / sheet))
cloth, lap = {cloth}, {lap}
answers["8C"] = str(1 + ceil((2 * max(b) - cloth) / (cloth - lap)))
answers["8D"] = f"{{{coats} * area / {covers}:.2f}}"
""",
    ]


PARTS = {1: part_1, 2: part_2, 3: part_3, 4: part_4, 5: part_5, 6: part_6, 7: part_7, 8: part_8}


def worked(exercise: Exercise, units: str) -> dict[str, str]:
    """What comes out when the cells of a part are run, as it would be typed."""
    room: dict = {}
    for cell in (START, TAPE[units], *working(exercise, units)):
        exec(compile(cell, f"part {exercise.part}", "exec"), room)
    return room["answers"]
