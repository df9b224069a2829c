"""Every way in which boat.toml goes wrong: the key falls back on its labelled default, the rest goes on."""

from __future__ import annotations

import pytest

from deckgeom.boat import read_boat


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ('nmae = "x"', "row 1, column nmae, 'x': this key is not known and is left out. Likely slip: name was meant"),
        (
            '[beams]\nsidding = 44',
            "row 2, column beams.sidding, '44': this key is not known and is left out. Likely slip: siding was meant",
        ),
        (
            "[baems]\nsiding = 44",
            "row 2, column baems.siding, '44': this section is not known and is left out. Likely slip: [beams] "
            "was meant",
        ),
        (
            "siding = 44",
            "row 1, column siding, '44': the key siding stands in [beams]; it is left out. Likely slip: a line "
            "in the wrong "
            "place",
        ),
        (
            "[beams]\nunits = 'mm'",
            "row 2, column beams.units, 'mm': the key units stands above the first section; it is left out. "
            "Likely slip: a "
            "line in the wrong place",
        ),
        ("beams = 3", "row 1, column beams, '3': [beams] is a section of its own. Likely slip: brackets left out, "
         "or doubled"),
        ("[[beams]]\nsiding = 44", "row 1, column beams: [beams] is a section of its own. Likely slip: brackets "
         "left out, "
         "or doubled"),
        ("[laying]\nqqq = 1", "row 2, column laying.qqq, '1': this key is not known and is left out. Likely slip: "
         "known here are sheet, ways, joints, scarf, stagger, oversize, edge_strip, stock, fastening, "
         "fastening_diameter, fastening_lengths, spacing, edge_spacing, timber, gravity, "
         "cloth_width, cloth_lap, cloth_drop, cloth, cloth_mass, pot_minutes, pot_degc, "
         "film_minutes, glue_covers, degc, people, batch, tins, coats_below, coats_above"),
        ("[beams]\nlook = 1", "row 2, column beams.look, '1': this key is not known and is left out. Likely slip: "
         "known here "
         "are siding, moulding, least_depth, mark, made, layers, trial_jig, trial_released, ordinates, flare_deg"),
    ],
)  # fmt: skip
def test_an_unknown_key_names_the_nearest(read, lines, text, line):
    boat = read(boat_toml=text + "\n")
    assert lines(boat) == [f"boat.toml, {line}."]
    assert boat.settings.beams.siding == 44
    assert len(boat.beams) == 3


@pytest.mark.parametrize(
    ("text", "line", "key", "value"),
    [
        (
            '[beams]\nsiding = "1-7"', "row 2, column beams.siding, '1-7': is it 1 ft 7 in (483 mm, 19 in), or 1 "
            "in and 7 "
            "eighths (48 mm, 1 7/8 in)? Write 1' 7\" for feet and inches or 0-1-7 for inches and eighths",
            "beams.siding", 44,
        ),
        ("[beams]\nsiding = 0", "row 2, column beams.siding, '0': this length is above nought. Likely slip: a "
         "blank typed as 0",
         "beams.siding", 44),
        ("[beams]\nsiding = -44", "row 2, column beams.siding, '-44': this length is nought or more. Likely slip: "
         "a minus sign "
         "for a dash", "beams.siding", 44),
        ("[beams]\nsiding = true", "row 2, column beams.siding, 'true': one length is wanted. Likely slip: "
         "brackets round a "
         "single value, or a yes or no", "beams.siding", 44),
        ("[beams]\nsiding = nan", "row 2, column beams.siding, 'nan': a length is a finite number. Likely slip: a "
         "blank read as "
         "a number", "beams.siding", 44),
        ("[beams]\nlayers = 2.5", "row 2, column beams.layers, '2.5': a whole number from 2 to 200 is wanted. "
         "Likely slip: a "
         "text in quotes", "beams.layers", None),
        ("[beams]\nlayers = 1", "row 2, column beams.layers, '1': a whole number from 2 to 200 is wanted. Likely "
         "slip: another "
         "unit", "beams.layers", None),
        ('[beams]\nmade = "sawed"', "row 2, column beams.made, 'sawed': one of \"sawn\", \"laminated\" is wanted. "
         "Likely slip: "
         '"sawn" was meant', "beams.made", "sawn"),
        ('[beams]\nflare_deg = "12"', "row 2, column beams.flare_deg, '12': a number from -80 to 80 is wanted. "
         "Likely slip: a "
         "text in quotes", "beams.flare_deg", 0),
        ('heights_to = "deck"', "row 1, column heights_to, 'deck': one of \"top of deck\", \"top of beams\" is wanted",
         "heights_to", "top of deck"),
        ('[camber]\nrule = "one moult"', "row 2, column camber.rule, 'one moult': one of \"one mould\", \"same "
         "proportion\", "
         '"crown line", "beam by beam", "no hump" is wanted. Likely slip: "one mould" was meant', "camber.rule",
         "same proportion"),
        ('[camber]\nsection = ["0", "12"]', "row 2, column camber.section, '['0', '12']': a list of pairs is "
         "wanted. Write "
         '[["0", "0"], ["12in", "3/4in"]]. Likely slip: a bracket left out', "camber.section", ()),
        ("[fairing]\nplane_only = 'yes'", "row 2, column fairing.plane_only, 'yes': true or false is wanted, "
         "without quotes. "
         "Likely slip: a word in quotes", "fairing.plane_only", False),
        ('[laying]\nsheet = ["8ft"]', "row 2, column laying.sheet, '['8ft']': two lengths are wanted. Write "
         "[\"8ft\", \"4ft\"]. "
         "Likely slip: one side left out", "laying.sheet", (2440, 1220)),
        ('[offsets]\nset_aside = ["13"]', "row 2, column offsets.set_aside, '13': \"beyond doubt\", \"none\" or a "
         "list of station "
         'and column is wanted. Write ["13 half_breadth"]. Likely slip: the column left out', "offsets.set_aside",
         "beyond doubt"),
        ('deck = ["6", "9 mmm"]', "row 1, column deck, '9 mmm': this is not a length in any known notation. Write "
         "it like one of "
         "497, 49.7cm, 19 9/16 in, 1' 7 9/16\", 1-7-4+. Likely slip: a letter or an unknown unit in a number", "deck",
         ()),
        ("name = ['x']", "row 1, column name, '['x']': one text is wanted. Likely slip: brackets round a text", "name",
         "whimbrel"),
    ],
)  # fmt: skip
def test_a_value_that_cannot_be_falls_back_on_its_default(read, lines, text, line, key, value):
    boat = read(boat_toml=text + "\n")
    assert lines(boat) == [f"boat.toml, {line}."] or lines(boat) == [f"boat.toml, {line}"]
    section, _, last = key.rpartition(".")
    assert getattr(getattr(boat.settings, section) if section else boat.settings, last) == value
    assert len(boat.beams) == 3


def test_a_camber_figure_that_is_doubtful_is_asked_about(read, lines):
    boat = read(boat_toml='[camber]\nfigure = "3/8"\n')
    assert lines(boat)[0].startswith("boat.toml, row 2, column camber.figure, '3/8': ")
    assert "?" in lines(boat)[0]
    assert boat.settings.camber.figure.ratio(1500) == 1 / 32
    assert boat.settings.source("camber.figure") == "common practice, no source"


def test_figures_of_every_kind_are_read(read, lines):
    boat = read(boat_toml='units = "in"\n[camber]\nfigure = 3.75\nleast = "1:80"\n')
    assert lines(boat) == []
    assert boat.settings.camber.figure.camber_at(1500) == pytest.approx(95.25)
    assert boat.settings.camber.least.ratio(1500) == 1 / 80


def test_a_whole_file_of_settings(read, lines):
    boat = read(
        boat_toml="""\
name = "Whimbrel"
units = "ft-in-8"
heights_to = "top of beams"
half_breadths_to = "inside of planking"
planking = "0-0-5"
deck = ["3/8in", "6mm"]
[offsets]
accuracy = 0
rounding = "1/8"
set_aside = ["2 half_breadth", "stem height"]
[camber]
curve = "drawn"
rule = "crown line"
section = [["0", "0"], ["12", "3/4"], ["24", "3"]]
crown_line = [["0", "3-0-0"], ["10-0-0", "2-8-0"]]
[beams]
siding = "1 3/4"
moulding = 2.5
least_depth = "2"
mark = "after face"
made = "laminated"
layers = 4
trial_jig = "4 in"
trial_released = "3 3/4 in"
ordinates = 6
flare_deg = 12.5
[fairing]
tolerance = "1/16"
reading_error = "1mm"
cutoff = "8ft"
plane_only = true
most_off = "1/8"
[laying]
sheet = ["8ft", "4ft"]
"""
    )
    assert lines(boat) == []
    settings = boat.settings
    assert (settings.planking, settings.deck_thickness) == (15.875, 15.525)
    assert settings.offsets.set_aside == (("half_breadth", "2"), ("height", "stem"))
    assert settings.offsets.accuracy == 0
    assert settings.camber.section[1] == (304.8, 19.05)
    assert settings.camber.crown_line == ((0, 914.4), (3048, 812.8))
    assert (settings.beams.moulding, settings.beams.layers, settings.beams.trial_released) == (63.5, 4, 95.25)
    assert (settings.fairing.reading_error, settings.fairing.plane_only) == (1, True)
    assert all(beam.mark == "after face" for beam in boat.beams)


def test_an_offset_set_aside_that_is_not_in_the_table(read, lines):
    boat = read(boat_toml='[offsets]\nset_aside = ["2 half_breadth", "2 half_bredth_x", "9 height"]\n')
    assert lines(boat)[0].startswith("boat.toml, row 2, column offsets.set_aside, '2 half_bredth_x': ")
    (boat.folder / "boat.toml").write_text('[offsets]\nset_aside = ["2 half_breadth", "9 height"]\n')
    assert lines(read_boat(boat.folder)) == [
        "boat.toml, row 2, column offsets.set_aside, '9 height': an offset that is set aside stands in the table; "
        "this one "
        "does not. Likely slip: 3 height was meant."
    ]


# --- units ----------------------------------------------------------------------------------------------------------


def test_units_in_another_word_are_read_and_complained_about(read, lines):
    boat = read(boat_toml='units = "Inches"\n', offsets_csv="station,x,height,half_breadth\n1,36,32,16\n2,72,30,25\n")
    assert lines(boat) == [
        'boat.toml, row 1, column units, \'Inches\': units are "mm", "ft-in-8" or "in"; read as "in". Likely slip: '
        '"in" was meant.'
    ]
    assert boat.offsets.x.tolist() == [914.4, 1828.8]


def test_units_that_are_none_leave_every_number_unread(read, lines):
    boat = read(boat_toml='name = "Whimbrel"\nunits = "cm"\n')
    assert lines(boat) == [
        'boat.toml, row 2, column units, \'cm\': units are "mm", "ft-in-8" or "in"; until it is mended no number '
        "can be "
        "read. Likely slip: units of another table."
    ]
    assert (boat.offsets, boat.beams, boat.readings) == (None, (), ())


def test_no_units_are_noted(read, lines):
    assert lines(read(boat_toml="name = 'x'\n"), "note") == [
        "boat.toml, column units: no units are stated: bare numbers are taken as mm."
    ]


# --- keys that contradict each other --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ('[camber]\ncurve = "drawn"', "column camber.section: a drawn curve has a section of at least three pairs, "
         "off the "
         "centreline and drop; a circle is taken. Likely slip: the line section = ... left out."),
        ('[camber]\nrule = "crown line"', "column camber.crown_line: the rule crown line has crown_line with at "
         "least two "
         "pairs, x and height; same proportion is taken. Likely slip: the line crown_line = ... left out."),
        ("[beams]\ntrial_jig = 100", "row 2, column beams.trial_jig, '100': a trial beam has two figures, "
         "trial_jig and "
         "trial_released. Likely slip: one left out."),
        ("[beams]\ntrial_jig = 90\ntrial_released = 100", "row 3, column beams.trial_released, '100': a beam opens "
         "when it "
         "comes off the jig: trial_released is not more than trial_jig. Likely slip: the two figures swapped."),
        ("[beams]\nleast_depth = 90", "row 2, column beams.least_depth, '90': the least depth is not more than the "
         "moulding. "
         "Likely slip: siding and moulding swapped."),
        ('[beams]\nmade = "laminated"', "column beams.layers: a laminated beam has layers, or a trial beam: "
         "without either "
         "the jig is not known. Likely slip: the line layers = ... left out."),
        ("[fairing]\nplane_only = true\npack_only = true", "row 3, column fairing.pack_only, 'true': plane_only "
         "and pack_only "
         "are not both true; neither is taken. Likely slip: one not undone."),
        ("[camber]\ncurve = 'drawn'\nsection = [[0, 0], [900, 30], [600, 12]]", "row 3, column camber.section: the "
         "pairs of "
         "section run in order and no place stands twice; they are sorted."),
    ],
)  # fmt: skip
def test_keys_that_contradict_each_other(read, lines, text, line):
    boat = read(boat_toml=text + "\n")
    assert lines(boat) == [f"boat.toml, {line}"]
    settings = boat.settings
    assert not (settings.fairing.plane_only or settings.fairing.pack_only)
    assert settings.beams.trial_jig is settings.beams.trial_released is settings.beams.least_depth is None
    assert settings.camber.section in ((), ((0, 0), (600, 12), (900, 30)))


# --- lines that are not TOML ----------------------------------------------------------------------------------------


def test_lines_that_are_not_toml_are_left_out_one_by_one(read, lines):
    boat = read(
        boat_toml='name = "Whimbrel"\nunits = “in”\nplanking = 3/4 in\n\n[beams]\nsiding = 44 mm\nmoulding = "3"\n'
        "made sawn\n"
    )
    assert lines(boat) == [
        "boat.toml, row 2, column units, '“in”': this line is not key = value as TOML has it and is left out. "
        "Likely slip: "
        "curly quotes from a word processor; a text stands in straight ones.",
        "boat.toml, row 3, column planking, '3/4 in': this line is not key = value as TOML has it and is left "
        "out. Likely "
        'slip: no quotes: write planking = "3/4 in".',
        "boat.toml, row 6, column siding, '44 mm': this line is not key = value as TOML has it and is left out. "
        "Likely slip: "
        'no quotes: write siding = "44 mm".',
        "boat.toml, row 8, 'made sawn': this line is not key = value as TOML has it and is left out. Likely "
        "slip: a bracket "
        "or a quote left open, or no = sign.",
    ]
    assert boat.settings.name == "Whimbrel"


@pytest.mark.parametrize("text", ["units = in", "units = “in”", "units = in # all of them", "units = inches"])
def test_units_whose_quotes_are_wrong_are_clear_enough(read, lines, text):
    boat = read(boat_toml=text + "\n", offsets_csv="station,x,height,half_breadth\n1,36,32,16\n2,72,30,25\n")
    assert len(lines(boat)) == 1
    assert lines(boat)[0].startswith("boat.toml, row 1, column units, ")
    assert boat.offsets.x.tolist() == [914.4, 1828.8]


def test_units_on_a_spoilt_line_are_not_guessed(read, lines):
    boat = read(boat_toml="units = 25.4 mm each\n")
    assert len(lines(boat)) == 2
    assert boat.offsets is None
    assert lines(boat)[1].startswith(
        "boat.toml, row 1, column units, '25.4 mm each': until the units can be read no number can be"
    )


def test_a_key_or_a_section_twice(read, lines):
    boat = read(
        boat_toml='name = "A"\nname = "B"\n[beams]\nsiding = 40\n[camber]\ncurve = "parabola"\n[beams]\nmoulding = 50\n'
    )
    assert lines(boat)[0] == (
        "boat.toml, row 2, column name, '\"B\"': a key or section stands once; the first is kept. Likely slip: a line "
        "copied twice."
    )
    assert lines(boat)[1].startswith("boat.toml, row 7, '[beams]': a key or section stands once")
    assert (boat.name, boat.settings.beams.siding, boat.settings.camber.curve) == ("A", 40, "parabola")


@pytest.mark.parametrize(
    "text",
    ["[", "deck = [6,\n", '"""', "a" * 10_000, "{" * 200, "= 3\n" * 60, "x = [" * 3000, "planking = " + "9" * 5000],
)
def test_what_is_not_toml_at_all_gives_lines_and_no_crash(read, lines, text):
    boat = read(boat_toml=text)
    assert 1 <= len(lines(boat)) <= 25
    assert all(line.startswith("boat.toml") for line in lines(boat))


def test_a_bracket_left_open_spoils_no_line_above_it(read, lines):
    boat = read(boat_toml='name = "Whimbrel"\nplanking = 12\ndeck = [6, 9\n')
    assert boat.name == "Whimbrel"
    assert boat.settings.planking == 12
    assert lines(boat)[0].startswith("boat.toml, row 3, column deck, '[6, 9': this line is not key = value")
