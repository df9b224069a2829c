"""Words to begin with and to put in: notations, headings, keys, slips, and what no person would type."""

from __future__ import annotations

from deckgeom.boat.keys import KEYS
from deckgeom.boat.table_files import TABLES
from tests.boat.conftest import GOOD

LENGTHS = (
    "1-7-4+", "1-7-4 1/2", "1' 7 9/16\"", "19 9/16", "19.56in", "497", "49.7cm", "49,7 cm", "4.2m", "1,234", "1.234,5",
    "1'-7", "1-7\"", "13/8", "1-7", "-0-1-7", "+3", "1 m 20", "1 m 20 cm", "1m20", "1 foot 7 inches",
    "1\u20327\u00bd\u2033",
    "\u22121-7-4", "0", "", "-", "1e5", "12-3-9", "1-13-4", "7 1/3", "3 1/64 in", "1\u00a0234", "2004-07-01", "1l",
    "10o",
    "999999", "1000001", ".5 in", "5.", "1/0", "0/8", "1''", "7-jul", "1 3\u20448 in", "1 ft. 7 ins.", "2 mm 3 m",
    "\u0661\u0662", "\uff11\uff12", "\u2460", "\u00b2", "1\u200b2",
)  # fmt: skip
SLOPES = (
    '3/8"/ft', "3/8 in per foot", "1:32", "1 in 32", "31 mm/m", "3.1 %", "R=4.2m", "94 on 3.0 m", "94 mm",
    "1:16 of half-beam",
    "1:32 of beam", "31", "32:1", "1:0", "3,1 %", "1/32", '3/8" to the foot', "3/8 in a foot", "2 7/8in", "r 4200",
    "7/8 in on 5 ft, about 3/8 in per foot", "per cent", "0:0", "-1:32",
)  # fmt: skip
PLACES = (
    "P 1-2-0", "300 S", "300 starboard", "port edge", "S edge", "0", "centreline", "P", "port", "P 300 S", "-300",
    "S -300", "p1",
    "stbd. 12", "s:3", "edge",
)  # fmt: skip
WAYS = (
    "planks 12.4mm, 3in wide", "ply 6.3mm", "cloth",
    "planks 9.5mm, 2in wide, sprung, king plank 5in, covering board 5in",
    "ply 9.2mm + planks 9 mm, 50 mm wide + cloth", "130 N", "30 lb", "13 kg", "2.3 g/m", ".0015396 lb/ft",
    "0.0225 N/m", "N/m",
    " of the half-beam", "straight", "laid",
)  # fmt: skip

_ODD = (
    "nan", "inf", "-inf", "1e308", "9" * 400, "=1+1", "#N/A", "NULL", "None", "true", "\x00", "\x1b[31m", "\u202e",
    "\ufeff", "\u2028",
    "\x85", "\x0b", "\x0c", "\x1c", "\r", "\r\n", "\n", "\n\n", '"', '""', "'", ";", "\t", "|", ",", ",,,", "# x",
    "#1,2", "yes", "no",
    "fixed", "middle", "fwd", "port", "starboard", "edge", "P 300", "S 1-0-0", "port edge", "0", "-1", "12", "1:6",
    "85", "again",
    "m2/L", "mm", "kg/kg", "100000", "0.001", "1200", "-600",
)  # fmt: skip
TABLE_WORDS = (
    *dict.fromkeys([column.name for columns in TABLES.values() for column in columns]),
    *_ODD,
    *LENGTHS[:24],
)

_VALUES = (
    '"94 mm"', "12", "-3", "0", "1e400", "nan", "inf", "true", '""', "[]", '["1", "2"]',
    '[["0", "0"], ["600", "40"]]', '"1:32"', "1979-05-27", "{a = 1}", "0x1F", '"""x"""', "'y'",
    '"no hump"', '"drawn"', '"crown line"', '"beam by beam"', '"one mould"', '"parabola"', '"laminated"', '"in"',
    '"ft-in-8"', '"2 half_breadth"', '[["a", "ply 9 mm", "cloth"]]', '"top of beams"',
)  # fmt: skip
TOML_WORDS = (
    *(f"[{name}]\n" for name in ("offsets", "camber", "beams", "fairing", "laying", "a.b", "[x]")),
    *(f"{key.name.rpartition('.')[2]} = {_VALUES[number % len(_VALUES)]}\n" for number, key in enumerate(KEYS)),
    *_VALUES,
    GOOD["boat.toml"].replace("\n", "\r\n"),
)
