"""What a teacher brings, says and watches in a class of ten."""

from __future__ import annotations

__all__ = ["BREAK", "BRING", "CAUTIONS", "HOW_TO_CHECK", "MARKING", "PREPARE"]

#: Common practice, no source.
BRING = (
    ("for each pair", "this packet's handouts, printed at 100 %, not fitted to the page; the two bars measured"),
    (
        "for each pair",
        "two pencils, a rubber, a steel rule, a set square, a pair of compasses that opens to 160 mm (6 "
        "1/2 in), a calculator",
    ),
    ("for each pair", "a thin batten about 450 mm (18 in) long that bends evenly: a strip of clear wood or plastic"),
    ("on the benches", "two short beams with curved tops, one with a hump planed off each side of it"),
    ("on the benches", "a straightedge, a level line (string or laser), a tape, a bevel, a protractor"),
    ("on the benches", "a board with seven pegs that can be raised and lowered, and packing"),
    (
        "on the benches",
        "two straight sticks as long as a beam, three nails, a hammer, a pencil, a sheet of ply to draw on",
    ),
    (
        "on the benches",
        "a curved form, nine thin strips of one thickness, eight clamps: for three strips and for six, dry",
    ),
    ("on the wall", "room for the drawings of all pairs side by side, at one height; tape"),
    ("for yourself", "the key, the wrong-answer key, the marking sheet; a spare handout of each part"),
)
PREPARE = (
    "The evening before: print one packet single-sided for you and the handouts for each pair. Measure both bars on "
    "one sheet. Sort by pairs. Plant the pegs: one 10 mm (3/8 in) high, one 5 mm (3/16 in) low, two places apart "
    "or more.",
    "Hand out one part at a time: a part prints figures that the one before it asks for.",
    "Short of time: leave out 4D, 4G and 4I and one of the three ways of part 3. Nothing later needs them. Ordinates "
    "and two sticks give nearly the same line, to a pencil's width.",
    "Each part stands alone: whoever has not finished one begins the next with the figures printed there.",
)
BREAK = "70-80: a break. Put the wall sheet up only after part 5."
HOW_TO_CHECK = (
    "A box is right within its tolerance. Where it is not, look for the value in the wrong-answer key: say the words "
    "that stand beside it, no more. They tell where to look and never what comes out.",
    "If the value is not in the key, give the first hint of the box, then the next. Two hints are in the page of "
    "exercises of the workbook; on paper ask: from where did you measure, in what unit, whole or half?",
)
MARKING = (
    ("reading a table", "exact, to 1 mm or 1/16 in"),
    ("crown and camber", "within 1 mm or 1/16 in"),
    ("heights drawn by hand", "within 1.5 mm or 1/16 in"),
    ("plane and pack", "the right beam and the right way; the amount within 1.5 mm"),
    ("estimates", "area within 2 in a hundred; sheets and strips as whole numbers"),
)
#: Common practice, no source; the rules where you are come first.
CAUTIONS = (
    "Bent strips spring: eyes away from their ends, clamps off one by one. Eye protection for everybody at the form.",
    "Planes and chisels: one at a bench, the other hand behind the edge. Shoes, no loose sleeves.",
    "Wood dust harms the lungs, red cedar above all. Cut outside the room, or with extraction and masks.",
    "No glue is mixed in this class. Whoever uses epoxy later: gloves, fresh air, small pots, the maker's sheet.",
    "How strong a beam must be is not taught here: that is for the rules where you are and for a licensed designer or "
    "surveyor.",
)
