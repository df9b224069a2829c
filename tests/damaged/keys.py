"""Damage to boat.toml: every key with a value that it cannot have, and lines that are no TOML."""

from __future__ import annotations

from deckgeom.boat.keys import KEYS
from tests.damaged.folders import key, text

_WRONG = {
    "name": '["Thimblewick"]', "place": "{shed = 1}", "units": '"cm"', "heights_to": '"top of rail"',
        "half_breadths_to": '"planking"',
    "planking": '"-5/8in"', "deck": '["1-7"]', "offsets.accuracy": "true", "offsets.rounding": '"eighths"',
        "offsets.set_aside": '["13"]',
    "camber.curve": '"ellipse"', "camber.rule": '"any"', "camber.figure": '"3/8"', "camber.section": "[1, 2]",
    "camber.crown_line": '[["0"]]', "camber.least": '"flat"', "beams.siding": "0", "beams.moulding": '["2in"]',
    "beams.least_depth": '"9in"', "beams.mark": '"top"', "beams.made": '"steamed"', "beams.layers": "1",
        "beams.trial_jig": '"1-7"',
    "beams.trial_released": '"4in"', "beams.ordinates": '""', "beams.flare_deg": "95", "fairing.tolerance": '"1/7in"',
    "fairing.reading_error": "0", "fairing.cutoff": '"2004-07-01"', "fairing.plane_only": '"yes"',
        "fairing.pack_only": "1",
    "fairing.most_off": "-1", "fairing.most_up": "nan", "fairing.price_off": "0", "fairing.price_up": '"dear"',
    "fairing.no_hollow": '"no"', "fairing.fewest": "0", "laying.sheet": '["8ft"]', "laying.ways": '["ply 9 mm"]',
    "laying.joints": '"anyhow"', "laying.scarf": "80", "laying.stagger": '"1,234"', "laying.oversize": "1e9",
    "laying.stock": '["long"]', "laying.fastening": '"rivet"', "laying.fastening_diameter": "0",
        "laying.fastening_lengths": '"x"',
    "laying.spacing": "inf", "laying.edge_spacing": "false", "laying.gravity": "45", "laying.timber": '["oak"]',
        "laying.edge_strip": '"wide"', "laying.cloth_width": '"0"',
    "laying.cloth_lap": '"-2in"', "laying.cloth_drop": "[[1]]", "laying.cloth": '"carbon"', "laying.cloth_mass": "2",
    "laying.pot_minutes": "0", "laying.pot_degc": "120", "laying.film_minutes": '"long"', "laying.glue_covers": "0",
        "laying.degc": "65",
    "laying.people": "0", "laying.batch": "100", "laying.tins": "[]", "laying.coats_below": "2.5",
        "laying.coats_above": "true",
}  # fmt: skip

ODD = '[{odd = "1-7"}]'
"""No key takes this: for one that is not in the list above yet."""

_DOUBTFUL = {
    "planking-mm": ("planking", "16", "millimetres in a folder of inches"),
    "deck-mm": ("deck", "[12.4, 6.3]", "millimetres in a folder of inches"),
    "siding-mm": ("beams.siding", "44", "millimetres in a folder of inches"),
    "moulding-mm": ("beams.moulding", "63", "millimetres in a folder of inches"),
    "accuracy-large": ("offsets.accuracy", '"12in"', "a foot for an eighth"),
    "figure-upside-down": ("camber.figure", '"32:1"', "a ratio upside down"),
    "figure-large": ("camber.figure", '"24in"', "a crown of two feet"),
    "sheet-mm": ("laying.sheet", "[2440, 1220]", "millimetres in a folder of inches"),
    "ordinates-small": ("beams.ordinates", '"0.01 mm"', "ordinates a hundredth of a millimetre apart"),
    "ordinates-large": ("beams.ordinates", '"90ft"', "ordinates further apart than the boat is wide"),
    "layers-many": ("beams.layers", "200", "200 layers"),
    "trial-flat": ("beams.trial_released", '"1/64 in"', "a trial beam that opens out flat"),
    "curve-drawn": ("camber.curve", '"drawn"', "a drawn curve without a section"),
    "rule-crown-line": ("camber.rule", '"crown line"', "a crown line without places"),
    "rule-beam-by-beam": ("camber.rule", '"beam by beam"', "beam by beam, and no beam states its camber"),
    "least-over-figure": ("camber.least", '"1:10"', "a least camber above the figure"),
    "set-aside-unknown": ("offsets.set_aside", '["99 half_breadth_port"]', "an offset that is not in the table"),
    "set-aside-all": ("offsets.set_aside", "[" + ", ".join(f'"{k} height_port"' for k in ("stem", *range(1, 13),
        "transom")) + "]",
                      "every height of a side set aside"),
    "cutoff-small": ("fairing.cutoff", '"1mm"', "a hump of a millimetre"),
    "cutoff-large": ("fairing.cutoff", '"900ft"', "a hump longer than the boat"),
    "tolerance-large": ("fairing.tolerance", '"12in"', "a foot of tolerance"),
    "reading-error-large": ("fairing.reading_error", '"12in"', "readings a foot off"),
    "cloth-wide": ("laying.cloth_width", '"1mm"', "a roll a millimetre wide"),
}  # fmt: skip

_LINES = {
    "no-quotes": ('siding = "1 3/4in"', "siding = 1 3/4in", "quotes left out"),
    "curly-quotes": ('rule = "no hump"', "rule = \u201cno hump\u201d", "curly quotes"),
    "bracket-open": ('deck = ["12.4mm", "6.3mm"]', 'deck = ["12.4mm", "6.3mm"', "a bracket left open"),
    "quote-open": ('curve = "circle"', 'curve = "circle', "a quote left open"),
    "key-twice": ("layers = 5", "layers = 5\nlayers = 7", "a key twice"),
    "section-twice": ("[fairing]", "[beams]\nsiding = 3\n[fairing]", "a section twice"),
    "section-misspelt": ("[fairing]", "[faring]", "a section misspelt"),
    "section-missing": ("[camber]\n", "", "a section heading left out"),
    "key-misspelt": ("moulding =", "mouldng =", "a key misspelt"),
    "key-foreign": ("[offsets]", 'colour = "white"\n[offsets]', "a key that is not known"),
    "key-elsewhere": ("[offsets]", 'siding = "2in"\n[offsets]', "a key of another section"),
    "colon": ("flare_deg = 12", "flare_deg: 12", "a colon for ="),
    "equals-twice": ("layers = 5", "layers == 5", "= twice"),
    "comma-decimal": ("flare_deg = 12", "flare_deg = 12,5", "a decimal comma"),
    "units-misspelt": ('units = "ft-in-8"', 'units = "feet"', "another word for the units"),
    "not-toml": ('name = "Thimblewick"', "Thimblewick, by hand", "a line of words"),
}  # fmt: skip


def _key(name: str, words: str):
    section, _, last = name.rpartition(".")
    return key(section, last, words)


def _line(old: str, new: str):
    return text("boat.toml", lambda all_of_it: all_of_it.replace(old, new, 1))


DAMAGES = [
    *(
        (
            f"key-{one.name}",
            "demo",
            f"{one.name} = {_WRONG.get(one.name, ODD)}",
            _key(one.name, _WRONG.get(one.name, ODD)),
        )
        for one in KEYS
    ),
    *((f"doubtful-{name}", "demo", words, _key(*what)) for name, (*what, words) in _DOUBTFUL.items()),
    *((f"toml-{name}", "demo", words, _line(old, new)) for name, (old, new, words) in _LINES.items()),
    (
        "in-units-mm",
        "demo in mm",
        "a folder of mm said to be in inches",
        text("boat.toml", lambda t: t.replace('"mm"', '"in"', 1)),
    ),
]
"""Name, boat, words, damage."""
