"""Damage to the tables: every column of every table, and each slip that people make with numbers."""

from __future__ import annotations

from tests.damaged.folders import (
    added,
    both,
    cell,
    cells,
    column,
    heading,
    named,
    plus,
    row,
    swapped,
    times,
    without,
)

MM = "demo in mm"


def _twice(lines, k):
    lines.insert(k + 1, lines[k])
    return k + 1


def _shorter(lines, k):
    lines[k] = lines[k].rpartition(",")[0].rpartition(",")[0]
    return k


def _longer(lines, k):
    lines[k] += ",7,7"
    return k


def _out(lines, k):
    del lines[k]
    return k


def _units_row(lines, k):
    lines.insert(heading(lines) + 1, ",".join("mm" for _ in lines[heading(lines)].split(",")))
    return heading(lines) + 1


def _total(lines, k):
    lines.append("total" + "," * lines[heading(lines)].count(","))
    return len(lines) - 1


def _merged(lines, k):
    """Two rows run together."""
    lines[k] += "," + lines.pop(k + 1)
    return k


def _comma_note(lines, k):
    """A note with a comma and no quotation marks."""
    lines[k] = lines[k].rstrip(",") + ",,sound, but dirty,,"
    return k


def _from_here(first: str, name: str, change):
    """Every cell of a column from one row on."""

    def change_rows(lines, k):
        place = lines[heading(lines)].split(",").index(name)
        for m in range(k, len(lines)):
            if lines[m] and not lines[m].startswith("#"):
                found = cells(lines[m])
                found[place] = change(found[place])
                lines[m] = ",".join(found)
        return k

    return change_rows, first


OFFSETS = [
    *(
        (f"offsets-{name}-word", "demo", "a note in a column of numbers", cell("offsets.csv", name, "not yet"))
        for name in ("x", "height_port", "height_starboard", "half_breadth_port", "half_breadth_starboard")
    ),
    *(
        (f"offsets-{name}-{word}", "clark-rowboat", f"{words or 'nothing'} typed", cell("offsets.csv", name, words))
        for name, word, words in (
            ("height", "two readings", "1-7"), ("half_breadth", "spreadsheet date", "01-Jul-04"),
            ("height", "long number", "1.9e3"), ("half_breadth", "letter o", "1-1o-4"),
                ("height", "13 inches", "1-13-4"),
            ("half_breadth", "9 eighths", "1-7-9"), ("x", "thousands", "1,234"),
                ("height", "two in one cell", "1-10-4 1-10-5"),
            ("half_breadth", "formula error", "#DIV/0!"), ("x", "over a kilometre", "99999 ft"),
                ("height", "sevenths", "22 1/7"),
            ("station", "blank", ""), ("x", "blank", ""), ("height", "blank", ""), ("half_breadth", "minus", "-1-10-4"),
        )
    ),
    *(
        (f"offsets-{name}-out", "demo", "the column taken out", without("offsets.csv", name))
        for name in ("station", "x", "height_port", "half_breadth_starboard")
    ),
    ("offsets-heights-out", "clark-rowboat", "the column height taken out", without("offsets.csv", "height")),
    ("offsets-heading-misspelt", "demo", "half_bredth_port", named("offsets.csv", "half_breadth_port",
        "half_bredth_port")),
    ("offsets-heading-unit", "demo", "height_port (mm)", named("offsets.csv", "height_port", "height_port (mm)")),
    ("offsets-heading-twice", "demo", "a column copied twice", named("offsets.csv", "height_starboard", "height_port")),
    ("offsets-both-and-one", "demo", "height beside height_port", named("offsets.csv", "height_starboard", "height")),
    ("offsets-station-twice", "demo", "a row copied", row("offsets.csv", _twice)),
    ("offsets-place-twice", "demo", "x of the row above", cell("offsets.csv", "x", "8-0-0", "6")),
    ("offsets-cell-missing", "demo", "two cells left out", row("offsets.csv", _shorter)),
    ("offsets-cells-more", "demo", "two cells too many", row("offsets.csv", _longer)),
    ("offsets-rows-merged", "demo", "two rows run together", row("offsets.csv", _merged)),
    ("offsets-row-of-units", "demo", "a row of units under the heading", row("offsets.csv", _units_row)),
    ("offsets-total", "demo", "a row that sums up", row("offsets.csv", _total)),
    ("offsets-order", "demo", "x of station 5 a foot for feet", cell("offsets.csv", "x", "1-8-0", "5")),
    ("offsets-x-times-10", MM, "x ten times too large", cell("offsets.csv", "x", times(10), "transom")),
    ("offsets-x-tenth", MM, "x ten times too small", cell("offsets.csv", "x", times(0.1), "6")),
    *(
        (f"offsets-{name}-{word}", MM, f"one value {words}", cell("offsets.csv", name, times(factor), "7"))
        for name in ("height_port", "half_breadth_starboard")
        for word, words, factor in (
            ("times-10", "ten times too large", 10), ("times-12", "feet read as inches", 12), ("tenth", "in cm", 0.1),
            ("times-25.4", "inches turned to mm twice", 25.4), ("inches", "in inches", 1 / 25.4),
                ("twice", "doubled", 2),
            ("half", "halved", 0.5),
        )
    ),
    *(
        (f"offsets-{name}-column-{word}", MM, f"a whole column {words}", column("offsets.csv", name, times(factor)))
        for name in ("half_breadth_port", "height_starboard")
        for word, words, factor in (
            ("times-10", "ten times too large", 10), ("inches", "in inches", 1 / 25.4),
                ("doubled", "of whole breadths", 2),
        )
    ),
    *(
        (f"offsets-all-{word}", MM, f"every half-breadth {words}",
         both(column("offsets.csv", "half_breadth_port", times(f)),
             column("offsets.csv", "half_breadth_starboard", times(f))))
        for word, words, f in (
            ("doubled", "a whole breadth", 2), ("inches", "in inches", 1 / 25.4),
                ("times-10", "ten times too large", 10),
        )
    ),
    ("offsets-x-column-inches", MM, "all places in inches", column("offsets.csv", "x", times(1 / 25.4))),
    ("offsets-x-column-feet", MM, "all places in feet", column("offsets.csv", "x", times(1 / 304.8))),
    ("offsets-eighths-left-out", "demo", "the eighths of a half-breadth left out",
        cell("offsets.csv", "half_breadth_port", "3-9-0", "8")),
    ("offsets-eighth", "stephens-1883", "a height an eighth low",
     cell("offsets.csv", "height", plus(-3.175, "ft-in-8"), "9")),
    ("offsets-all-but-one-place", "clark-rowboat", "two stations a hair apart",
     both(cell("offsets.csv", "x", "3-0-0", "1"), cell("offsets.csv", "x", "36.001", "2"))),
    ("offsets-inch", "demo", "a height an inch low", cell("offsets.csv", "height_port", plus(-25.4, "ft-in-8"), "7")),
    ("offsets-foot", "demo", "a half-breadth a foot short", cell("offsets.csv", "half_breadth_port",
        plus(-304.8, "ft-in-8"), "7")),
    ("offsets-sides-swapped", MM, "port and starboard swapped, a side 60 mm wider",
     both(column("offsets.csv", "half_breadth_port", lambda old: f"{float(old) * 1.05:.4g}"),
          swapped("offsets.csv", "half_breadth_port", "half_breadth_starboard", "8"))),
    ("offsets-height-for-breadth", "demo", "height and half-breadth of a side swapped",
        swapped("offsets.csv", "height_port", "half_breadth_port", "5")),
    ("offsets-from-here-up", MM, "the base moved by 150 mm half way",
        row("offsets.csv", *_from_here("7", "height_port", plus(150)))),
    ("offsets-one-row", "clark-rowboat", "all stations but one taken out",
        both(*[row("offsets.csv", _out, one) for one in ("1", "2", "3")])),
    ("offsets-two-rows", "clark-rowboat", "all stations but two taken out",
        both(*[row("offsets.csv", _out, one) for one in ("2", "3")])),
    ("offsets-minus-for-port", MM, "a minus for the port side",
        column("offsets.csv", "half_breadth_port", lambda old: f"-{old}")),
    ("offsets-extra-column", "demo", "a column that is not known", added("offsets.csv", "colour", "red", "5")),
]  # fmt: skip

BEAMS = [
    *(
        (f"beams-{name}-{word}", "demo", f"{words or 'nothing'} typed", cell("beams.csv", name, words, "7"))
        for name, word, words in (
            ("beam", "blank", ""), ("x", "blank", ""), ("x", "word", "mast"), ("x", "two readings", "6-11"),
                ("x", "minus", "-6-11-0"),
            ("x", "far aft", "99-0-0"), ("siding", "word", "thick"), ("siding", "nought", "0"),
                ("siding", "minus", "-2 1/2in"),
            ("siding", "mm for inches", "64"), ("moulding", "word", "deep"), ("moulding", "nought", "0"),
                ("rake", "word", "aft"),
            ("rake", "from level", "78"), ("from", "no side", "1-2-0"), ("to", "word", "hatch"),
                ("fixed", "word", "perhaps"),
            ("moulding", "mm for inches", "60"),
        )
    ),
    *(
        (f"beams-{name}-{word}", "demo", f"{words} typed in a column more", added("beams.csv", name, words, "7"))
        for name, word, words in (
            ("face", "word", "upper"), ("camber", "minus", "-3in"), ("camber", "word", "same"),
                ("spacing", "beside x", "11"),
            ("camber", "ten times", "40in"),
        )
    ),
    *((f"beams-{name}-out", "demo", "the column taken out", without("beams.csv", name)) for name in ("beam", "x")),
    ("beams-heading-misspelt", "demo", "mouldng", named("beams.csv", "moulding", "mouldng")),
    ("beams-twice", "demo", "a row copied", row("beams.csv", _twice)),
    ("beams-same-place", "demo", "x of the beam before", cell("beams.csv", "x", "6-0-0", "7")),
    ("beams-spacing-minus", "new", "a negative space", both(named("beams.csv", "x", "spacing"),
        cell("beams.csv", "spacing", "-400", "2"))),
    ("beams-spacing-blank", "new", "a blank space", both(named("beams.csv", "x", "spacing"),
        cell("beams.csv", "spacing", "", "3"))),
    ("beams-spacing-running", "new", "running distances called spaces", named("beams.csv", "x", "spacing")),
    ("beams-x-times-10", MM, "x ten times too large", cell("beams.csv", "x", times(10), "9")),
    ("beams-x-tenth", MM, "x ten times too small", cell("beams.csv", "x", times(0.1), "9")),
    ("beams-x-column-inches", MM, "all places in inches", column("beams.csv", "x", times(1 / 25.4))),
    ("beams-x-column-times-25", MM, "all places turned to mm twice", column("beams.csv", "x", times(25.4))),
    ("beams-from-to-swapped", "demo", "from and to changed for each other", swapped("beams.csv", "from", "to", "13P")),
    ("beams-to-beyond-edge", "demo", "a half beam that begins beyond the deck edge",
        cell("beams.csv", "from", "P 30-0-0", "13P")),
    ("beams-cell-missing", "demo", "two cells left out", row("beams.csv", _shorter)),
    ("beams-comma-in-note", "demo", "a note with a comma", row("beams.csv", _comma_note, "9")),
    ("beams-siding-over-spacing", "demo", "a siding wider than the space", cell("beams.csv", "siding", "30in", "7")),
]  # fmt: skip

READINGS = [
    *(
        (f"readings-{name}-{word}", "demo", f"{words or 'nothing'} typed", cell("readings.csv", name, words))
        for name, word, words in (
            ("beam", "blank", ""), ("beam", "unknown", "99"), ("side", "word", "left"), ("side", "blank", ""),
                ("y", "word", "out"),
            ("y", "blank", ""), ("y", "minus", "-1-0-0"), ("y", "whole beam", "14-0-0"), ("height", "word", "low"),
            ("height", "two readings", "4-5"), ("height", "spreadsheet date", "2004-05-04"),
                ("below", "word", "string"),
            ("below", "minus", "-1-0-0"), ("line", "unknown", "laser"), ("line", "blank", ""),
                ("round", "word", "first"),
            ("round", "nought", "0"), ("round", "half", "1.5"),
        )
    ),
    *((f"readings-{name}-out", "demo", "the column taken out", without("readings.csv", name)) for name in ("beam", "y",
        "line", "height", "side")),
    *(
        (f"readings-height-{word}", MM, f"one height {words}", cell("readings.csv", "height", times(factor), "9"))
        for word, words, factor in (("times-10", "ten times too large", 10), ("inches", "in inches", 1 / 25.4),
            ("twice", "doubled", 2))
    ),
    ("readings-height-30-mm", MM, "one height 30 mm high", cell("readings.csv", "height", plus(30), "15")),
    ("readings-height-column", MM, "all heights in inches", column("readings.csv", "height", times(1 / 25.4))),
    ("readings-below-for-height", MM, "a reading down from a line as a height",
        swapped("readings.csv", "height", "below", "12")),
    ("readings-both-heights", "demo", "a height and a reading down",
        cell("readings.csv", "below", "0-3-0", blank="below")),
    ("readings-height-and-line", "demo", "a line named beside a height",
        cell("readings.csv", "line", "ridge string", blank="line")),
    ("readings-cells-more", "demo", "two cells too many", row("readings.csv", _longer)),
    ("readings-heading-misspelt", "demo", "heigth", named("readings.csv", "height", "heigth")),
    ("readings-sides-swapped", MM, "a half beam's reading on the other side",
        cell("readings.csv", "side", "starboard", "13P")),
    ("readings-edge-no-side", "demo", "edge without a side", cell("readings.csv", "y", "edge", blank="side")),
    ("offsets-ends-blank", "demo", "heights not taken aft of station 8",
     row("offsets.csv", *_from_here("9", "height_port", lambda old: ""))),
    ("offsets-most-blank", "demo", "half-breadths not taken aft of station 4",
     row("offsets.csv", *_from_here("5", "half_breadth_port", lambda old: ""))),
    ("readings-no-beams", "demo", "no beam of beams.csv is named",
        column("readings.csv", "beam", lambda old: f"frame {old}")),
]  # fmt: skip

OTHERS = [
    *(
        (f"lines-{name}-{word}", "demo", f"{words or 'nothing'} typed", cell("lines.csv", name, words))
        for name, word, words in (
            ("line", "blank", ""), ("line", "other name", "roof"), ("from", "blank", ""), ("from", "word", "stem"),
                ("to", "two readings", "23-0"),
            ("to", "short", "2-3-0"), ("height_from", "word", "high"), ("height_to", "blank", ""),
                ("sag", "word", "none"), ("sag", "minus", "-3/16in"),
            ("sag", "times ten", "20in"), ("height_from", "below the deck", "0-6-0"),
        )
    ),
    ("lines-weight-no-pull", "demo", "a weight without a pull",
     both(cell("lines.csv", "sag", ""), added("lines.csv", "weight", "2 g/m", "ridge string"))),
    ("lines-pull-unit", "demo", "a pull in bar", added("lines.csv", "pull", "3 bar", "ridge string")),
    ("lines-twice", "demo", "a row copied", row("lines.csv", _twice, "ridge string")),
    ("lines-to-out", "demo", "the column to taken out", without("lines.csv", "to")),
    *(
        (f"fittings-{name}-{word}", "demo", f"{words or 'nothing'} typed", cell("fittings.csv", name, words, first))
        for name, word, words, first in (
            ("what", "blank", "", "hatch"), ("x", "blank", "", "mast"), ("x", "word", "amidships", "hatch"),
                ("y", "no side", "3-0-4", "chainplate port"),
            ("y", "word", "side", "hatch"), ("length", "minus", "-5in", "mast"), ("length", "word", "long", "hatch"),
                ("breadth", "word", "wide", "hatch"),
            ("x", "off the boat", "90-0-0", "mast"), ("y", "off the boat", "P 30-0-0", "chainplate port"),
                ("length", "times twelve", "27-0-0", "hatch"),
            ("shape", "word", "triangular", "mast"), ("rake", "word", "raked", "mast"),
                ("rake", "from level", "87 aft", "mast"), ("lean", "word", "outward", "chainplate port"),
        )
    ),
    ("fittings-x-out", "demo", "the column x taken out", without("fittings.csv", "x")),
    *(
        (f"marks-{name}-{word}", "demo", f"{words or 'nothing'} typed", cell("marks.csv", name, words, first))
        for name, word, words, first in (
            ("mark", "blank", "", "port aft"), ("x", "blank", "", "port aft"), ("x", "word", "aft", "port aft"),
                ("y", "no side", "3-1-0", "port aft"),
            ("y", "blank", "", "port aft"), ("first", "word", "same", "port aft"), ("first", "blank", "", "port aft"),
                ("today", "word", "lower", "port aft"),
            ("today", "foot", "1-0-1", "port aft"), ("today", "blank", "", "port aft"),
        )
    ),
    ("marks-three", "demo", "three marks only", both(row("marks.csv", _out, "port aft"),
        row("marks.csv", _out, "port middle"))),
    ("marks-twice", "demo", "a row copied", row("marks.csv", _twice, "port aft")),
    ("marks-today-out", "demo", "the column today taken out", without("marks.csv", "today")),
    *(
        (f"figures-{name}-{word}", "new", f"{words or 'nothing'} typed", cell("figures.csv", name, words))
        for name, word, words in (
            ("what", "blank", ""), ("likely", "word", "plenty"), ("likely", "nought", "0"),
                ("unit", "unknown", "m2/kg"), ("unit", "blank", ""),
            ("low", "above", "12"), ("high", "word", "much"),
        )
    ),
    ("figures-twice", "new", "a row copied", row("figures.csv", _twice, "paint or varnish, one coat")),
    ("figures-unit-out", "new", "the column unit taken out", without("figures.csv", "unit")),
]  # fmt: skip

DAMAGES = [*OFFSETS, *BEAMS, *READINGS, *OTHERS]
"""Name, boat, words, damage."""
