"""
An empty boat folder: every file with its heading, and remarks that say what goes where.
"""

from __future__ import annotations

from pathlib import Path

from deckgeom.units import UNITS

from .copying import begin_folder, quoted

#: Lengths in the templates, as somebody working in these units would write them.
_SIZES = {
    "mm": {
        "planking": "16 mm", "layer": '"12 mm", "6 mm"', "accuracy": "3 mm", "rounding": "1 mm", "on": "94 mm on 3.0 m",
        "siding": "44 mm", "moulding": "60 mm", "least": "55 mm", "jig": "75 mm", "released": "72 mm",
        "spacing": "150 mm", "tolerance": "1.5 mm", "error": "1 mm", "cutoff": "2400 mm", "most": "5 mm",
        "sheet": '"2440 mm", "1220 mm"', "places": '["0", "860 mm"], ["7000 mm", "900 mm"]',
        "drops": '["0", "0"], ["600 mm", "40 mm"]', "bare": "millimetres", "a": "1435", "b": "497", "c": "300 S",
        "ways": '["skins and cloth", "ply 9 mm", "ply 6 mm", "cloth"], '
                '["laid", "ply 9 mm", "planks 10 mm, 50 mm wide, sprung, king plank 120 mm, covering board 120 mm"]',
        "stagger": "300 mm", "oversize": "20 mm", "stock": '"3000 mm", "4200 mm"', "shank": "3 mm",
        "strip": "150 mm",
        "long": '"30 mm", "40 mm"', "close": "100 mm", "cloth": "1270 mm", "lap": "50 mm", "drop": "40 mm",
    },
    "in": {
        "planking": "5/8 in", "layer": '"1/2 in", "1/4 in"', "accuracy": "1/8 in", "rounding": "1/8 in",
        "on": "3 3/4 in on 10 ft", "siding": "1 3/4 in", "moulding": "2 3/8 in", "least": "2 1/8 in", "jig": "3 in",
        "released": "2 7/8 in", "spacing": "6 in", "tolerance": "1/16 in", "error": "1/32 in", "cutoff": "96 in",
        "most": "1/4 in", "sheet": '"96 in", "48 in"', "places": '["0", "34 in"], ["276 in", "36 in"]',
        "drops": '["0", "0"], ["24 in", "1 1/2 in"]', "bare": "inches", "a": "56 1/2", "b": "19 9/16", "c": "12 S",
        "ways": '["skins and cloth", "ply 3/8 in", "ply 1/4 in", "cloth"], '
                '["laid", "ply 3/8 in", "planks 3/8 in, 2 in wide, sprung, king plank 5 in, covering board 5 in"]',
        "stagger": "12 in", "oversize": "3/4 in", "stock": '"120 in", "168 in"', "shank": "1/8 in",
        "strip": "6 in",
        "long": '"1 1/4 in", "1 1/2 in"', "close": "4 in", "cloth": "50 in", "lap": "2 in", "drop": "1 1/2 in",
    },
}  # fmt: skip
_SIZES["ft-in-8"] = _SIZES["in"] | {
    "sheet": '"8 ft", "4 ft"',
    "bare": "inches; feet, inches and eighths are written 4-8-4, with + for a sixteenth more",
    "a": "4-8-4",
    "b": "1-7-4+",
    "c": "1-0-0 S",
}

_TOML = """\
# A line that begins with # is a remark and is not read. Take the # away before a key to use it.
# Put a length between quotes, in any notation: "94 mm", "9.5 cm", "3 3/4 in", "1-7-4+".
name = {name}
# place = "where she stands"
units = "{units}"                     # "mm", "in" or "ft-in-8"; a bare number is in {bare}
heights_to = "top of deck"            # or "top of beams": what the heights in offsets.csv go up to
half_breadths_to = "outside of planking"   # or "inside of planking"
# planking = "{planking}"             # thickness at the deck edge
# deck = [{layer}]                    # layers as measured, the lowest first

[offsets]
# accuracy = "{accuracy}"             # how far the faired line may stand off each offset
# rounding = "{rounding}"             # the smallest step that was written down
# set_aside = "beyond doubt"          # offsets that are plainly slips do not pull the curve; "none" keeps them all in

[camber]
# curve = "circle"                    # "circle", "parabola", "quarter-circle" or "drawn"
# rule = "same proportion"            # "one mould", "same proportion", "crown line", "beam by beam" or "no hump"
# figure = "1:32"                     # also "3/8 in per ft of beam", "31 mm/m", "R=4.2m", "{on}"
# least = "1:60"                      # never flatter than this, so that water runs off
# section = [{drops}]                 # for "drawn": off the centreline, drop below the crown
# crown_line = [{places}]             # for "crown line": place along the boat, height of the crown

[beams]
# siding = "{siding}"                 # fore-and-aft; beams.csv may say otherwise of any beam
# moulding = "{moulding}"             # up-and-down
# least_depth = "{least}"             # no planing below this
# mark = "forward face"               # what x in beams.csv is measured to: "forward face", "after face" or "middle"
# made = "sawn"                       # or "laminated"
# layers = 5                          # of a laminated beam
# trial_jig = "{jig}"                 # a trial beam: its rise in the jig ...
# trial_released = "{released}"       # ... and out of it: takes the place of the sum by layers
# ordinates = "{spacing}"             # spacing of the ordinates, out from the centreline
# flare_deg = 0                       # how far the topside leans out under the deck edge, in degrees

[fairing]
# tolerance = "{tolerance}"           # what may stay
# reading_error = "{error}"           # left out, it is found from the points that were read twice
# cutoff = "{cutoff}"                 # a hump shorter than this is unfair; left out, six beam spaces
# plane_only = false
# pack_only = false
# most_off = "{most}"                 # the most to plane off anywhere
# most_up = "{most}"                  # the most to pack up anywhere
# price_off = 1                       # what planing costs you ...
# price_up = 1                        # ... and what packing does, beside it
# no_hollow = false                   # true: rather a hump than a hollow
# fewest = false                      # true: touch as few beams as can be

[laying]
# sheet = [{sheet}]                   # what your dealer sells
# ways = [{ways}]
#                                     # ways of laying, side by side: a name, then the layers from the lowest up
# joints = "on beams"                 # of sheets; or "between beams", "either", "anywhere"
# scarf = 8                           # 8:1; 0 for butts on straps
# stagger = "{stagger}"               # from a joint to one in the skin below
# oversize = "{oversize}"             # left over at the deck edge, to trim off
# edge_strip = "{strip}"              # breadth of the strip along the deck edge on the full-size patterns; 0 for none
# stock = [{stock}]                   # plank lengths that you can have
# fastening = "ring nail"             # or "wood screw", "smooth nail"
# fastening_diameter = "{shank}"      # of the shank
# fastening_lengths = [{long}]        # that you can have
# spacing = "{spacing}"               # of fastenings along beams
# edge_spacing = "{close}"            # and along the deck edge
# timber = "white oak"                # of the beams: a name in the table of timbers, or in your figures.csv
# gravity = 0.5                       # specific gravity of the beams; typed, it wins over that of the timber
# cloth_width = "{cloth}"             # of the roll
# cloth_lap = "{lap}"                 # of one strip over the next
# cloth_drop = "{drop}"               # over the deck edge, down the side
# cloth = "glass"                     # or "polyester", for acrylic cloth too
# cloth_mass = 200                    # grams to the square metre
# pot_minutes = 20                    # time in the pot, as on the tin ...
# pot_degc = 25                       # ... at this temperature
# film_minutes = 90                   # time spread out, or open time, if the tin says
# glue_covers = 2.5                   # square metres to the litre: by the tin or a trial of yours
# degc = 18                           # in the shed
# people = 2                          # hands at work
# batch = 0.5                         # litres: the most that you mix at once
# tins = [1, 5]                       # litres: sizes on sale
# coats_below = 2                     # of paint, before the deck closes
# coats_above = 4
"""

_REMARK = "# A line that begins with # is a remark and is not read. Bare numbers are {bare}.\n"

_TABLES = {
    "offsets.csv": """\
# The deck edge, one row a station: x aft from the boat's zero, height up from the base line, half-breadth from the
# centreline, each side in its own columns. A blank cell is not known. A hull taken to be equal on both sides may have
# the columns height and half_breadth instead. A row looks like this:   3,{a},{a},{a},{b},{b},
station,x,height_port,height_starboard,half_breadth_port,half_breadth_starboard,note
""",
    "beams.csv": """\
# The beams, one row a beam: its name and its place. A blank cell takes what boat.toml says.
# x: aft from the boat's zero. In its place the column spacing may stand: the distance from the mark before.
# face: what x is measured to. rake: degrees from plumb. camber: a figure of its own.
# fixed: yes where nothing may be taken off.
# from, to: for a half beam, where it begins and ends: port edge, P 300 mm, {c}, starboard edge.
# A row looks like this:   7,{a},,,,,,,,,
beam,x,face,siding,moulding,camber,rake,from,to,fixed,note
""",
    "readings.csv": """\
# Heights of the beam tops as measured, one row a reading: beam, side (port, starboard, or blank on the centreline),
# y off the centreline, or edge. height: up from the base line. Or below: down from a line that lines.csv describes.
# round: 1 the first time round the boat. note: again, where a place was read twice.
# A row looks like this:   7,port,edge,{a},,,1,
beam,side,y,height,below,line,round,note
""",
    "lines.csv": """\
# Strings and laser lines that the tops were measured down from. from, to: where its ends are held, along the boat, or
# off the centreline with a side. height_from, height_to: heights of its ends. sag: at its middle, as measured; or its
# weight (of a metre or a foot) and its pull. A laser line does not sag.
# A row looks like this:   ridge string,0,{a},{a},{a},0,,,
line,from,to,height_from,height_to,sag,weight,pull,note
""",
    "fittings.csv": """\
# Hatch, mast, pads, chainplates: x and y of the middle, length fore-and-aft, breadth across.
# shape: round or square, of a mast. rake, lean: of a mast or a chainplate off plumb, in degrees or as a slope, with the
# way its top lies: 4 aft, 2 forward, 1:12 aft; 3 P, 3 S, 4 inboard. A blank cell is plumb.
# A row looks like this:   mast,{a},0,{b},{b},round,4 aft,,
what,x,y,length,breadth,shape,rake,lean,note
""",
    "marks.csv": """\
# Four marks or more, scratched into the hull: has she moved? first: height on the first day. today: height now.
# A row looks like this:   port forward,{a},{c},{b},{b},
mark,x,y,first,today,note
""",
    "figures.csv": """\
# What your own tins say of glue, resin and paint: a row takes the place of the program's own figure of that name.
# unit: m2/L, sq ft/gal, L/m2, mm or kg/kg. A name with a comma in it stands between quotes. low and high may wait.
# A timber of your own: its name, and how heavy it is air dry in kg/m3 or lb/ft3, or its specific gravity (gravity).
# A row looks like this:   bedding under laid planks,1.5,mm,,,,
what,likely,unit,low,high,counts,note
""",
}


def templates(name: str, units: str = "mm") -> dict[str, str]:
    """
    Write every file of an empty boat folder.

    Parameters
    ----------
    name : str
        What the boat is called.
    units : {"mm", "ft-in-8", "in"}
        What a bare number is to mean.

    Returns
    -------
    dict of str to str
        Text of each file by its name: headings, and remarks that say what goes where; no number.

    Examples
    --------
    >>> sorted(templates("Wherry"))[:2]
    ['beams.csv', 'boat.toml']
    >>> templates("Wherry")["marks.csv"].splitlines()[-1]
    'mark,x,y,first,today,note'
    """
    if units not in UNITS:
        raise ValueError(f"units {units!r}: a folder's units are {', '.join(UNITS)}. Choose one of them.")
    sizes = _SIZES[units]
    files = {"boat.toml": _TOML.format(name=quoted(name), units=units, **sizes)}
    return files | {file: (_REMARK + text).format(**sizes) for file, text in _TABLES.items()}


def new_boat(target: str | Path, units: str = "mm", name: str = "") -> Path:
    """
    Begin an empty boat: a folder with every file, waiting for numbers; never over anything that stands there.

    Parameters
    ----------
    target : str or Path
        The new folder; it must not exist, or be empty.
    units : {"mm", "ft-in-8", "in"}
        What a bare number is to mean.
    name : str, optional
        What the boat is called; the folder's name if not given.

    Returns
    -------
    Path
        The new folder.

    Raises
    ------
    FileExistsError
        Where something stands in the target already; nothing is changed then.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as shed:
    ...     sorted(file.name for file in new_boat(Path(shed, "wherry"), "in").iterdir())[:3]
    ['beams.csv', 'boat.toml', 'figures.csv']
    """
    texts = templates(name or Path(target).name, units)
    return begin_folder(target, {file: text.encode("utf-8") for file, text in texts.items()})
