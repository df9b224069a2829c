"""Readings as typed made into true heights: strings, list, trim and twist, sides swapped, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.crown import SameProportion
from deckgeom.deck.surface import Deck
from deckgeom.fairing.readings import BeamPlaces, MeasuringLine, Reading, level_from_edges, true_readings
from deckgeom.hull.level import Level
from deckgeom.hull.sheer import Sheer

BEAMS = 12
X = 400.0 + 500.0 * np.arange(BEAMS)
HALF = 500 + 900 * np.sin(np.pi * (X / 7000 * 0.8 + 0.1))
EDGE = 900 + 250 * (X / 7000 - 0.6) ** 2
PLACES = BeamPlaces(tuple("ABCDEFGHIJKL"), X, HALF, HALF - 12, EDGE, EDGE + 2)


def beam_tops(rough=0.0, seed=0):
    """Beam, signed y and height of seven places a beam in the hull's own frame, the deck edges among them."""
    rng = np.random.default_rng(seed)
    beam = np.repeat(np.arange(BEAMS), 7)
    u = np.tile([-1, -0.7, -0.35, 0, 0.35, 0.7, 1], BEAMS)
    y = u * np.where(u < 0, HALF[beam], HALF[beam] - 12)
    edge = np.where(u < 0, EDGE[beam], np.where(u > 0, EDGE[beam] + 2, EDGE[beam] + 1))
    line = edge + (1 - np.abs(u)) * (np.where(u < 0, 1.0, -1.0))  # the line joining the two edges
    inner = np.abs(u) < 1
    return beam, y, line + 90 * HALF[beam] / 1400 * (1 - u**2) + inner * rough * rng.normal(size=beam.size)


def typed(beam, y, height, **more):
    """The readings that a person would write down: side by name, y unsigned."""
    sides = np.where(y < 0, "port", np.where(y > 0, "starboard", ""))
    return [
        Reading(PLACES.names[b], str(s), abs(float(v)), height=float(h), row=i + 2, **more)
        for i, (b, s, v, h) in enumerate(zip(beam, sides, y, height, strict=True))
    ]


def test_heights_up_from_the_base_stay_as_they_are():
    beam, y, z = beam_tops()
    true = true_readings(typed(beam, y, z), (), PLACES, level=None)
    assert true.tops.z == pytest.approx(z) and true.tops.y == pytest.approx(y) and true.complaints == ()
    assert true.level_words == ("Heights are taken as measured: list and trim are not taken off.",)


@pytest.mark.parametrize("list_deg, trim_deg, twist", [(1.0, 0.7, 0.0), (-1.0, 0.3, 0.0), (0.4, -0.2, 1.5e-6)])
def test_doubter_6_a_tilted_hull_gives_the_same_true_readings(list_deg, trim_deg, twist):
    """A degree of list and some trim: the beam tops against the hull's own sheer do not change."""
    beam, y, z = beam_tops(rough=3.0)
    stood = Level(35.0, np.sin(np.radians(trim_deg)), np.sin(np.radians(list_deg)), twist, float(X.mean()))
    level_keel = true_readings(typed(beam, y, z), (), PLACES)
    tilted = true_readings(typed(beam, y, stood.measured_height(X[beam], y, z)), (), PLACES)
    assert np.abs(stood.measured_height(X[beam], y, z) - z).max() > 30
    assert tilted.tops.z == pytest.approx(level_keel.tops.z, abs=1e-6)
    assert tilted.tops.z == pytest.approx(z, abs=1e-6)
    assert tilted.level_words[0] == "List and trim from 24 deck edges."
    side = "port" if list_deg > 0 else "starboard"
    assert tilted.level_words[1].startswith(f"Lists {abs(list_deg):.2f} degrees to {side}")


def test_doubter_6_with_edges_that_are_not_fair():
    """Edges that stand 2 mm off the sheer: the hull keeps them, and a tilt still changes nothing that can be read."""
    beam, y, z = beam_tops()
    z = z + np.random.default_rng(3).normal(0, 2, z.size)
    stood = Level(35.0, 0.012, -0.0175)
    plain = true_readings(typed(beam, y, z), (), PLACES)
    tilted = true_readings(typed(beam, y, stood.measured_height(X[beam], y, z)), (), PLACES)
    assert tilted.tops.z == pytest.approx(plain.tops.z, abs=0.05)


def test_doubter_7_swapped_sides_swap_the_output_and_nothing_else():
    beam, y, z = beam_tops(rough=3.0)
    stood = Level(35.0, 0.01, 0.015)
    measured = stood.measured_height(X[beam], y, z)
    port, starboard = PLACES.half_breadth_port, PLACES.half_breadth_starboard
    swapped_places = replace(
        PLACES,
        half_breadth_port=starboard,
        half_breadth_starboard=port,
        edge_height_port=EDGE + 2,
        edge_height_starboard=EDGE,
    )
    one = true_readings(typed(beam, y, measured), (), PLACES)
    other = true_readings(typed(beam, -y, measured), (), swapped_places)
    assert other.tops.y == pytest.approx(-one.tops.y)
    assert other.tops.z == pytest.approx(one.tops.z, abs=1e-9)
    assert other.tops.half_breadth == pytest.approx(one.tops.half_breadth)
    assert other.level_words[1] == one.level_words[1].replace("to port", "to starboard").replace(
        "the starboard side", "the port side"
    )


def test_the_string_the_laser_and_the_base_agree():
    """Three ways of measuring the same tops give the same true heights."""
    beam, y, z = beam_tops(rough=2.0)
    wire = MeasuringLine("wire", 0, 7000, 1500, 1440, weight=0.0225, pull=90.0)
    laser = MeasuringLine("laser", 0, 7000, 1620, 1600)
    plain = true_readings(typed(beam, y, z), (), PLACES).tops
    for line in (wire, laser):
        down = line.height_at(X[beam]) - z
        plain_and_down = zip(typed(beam, y, z), down, strict=True)
        readings = [replace(r, height=None, below=float(d), line=line.name) for r, d in plain_and_down]
        true = true_readings(readings, [wire, laser], PLACES)
        assert true.tops.z == pytest.approx(plain.z, abs=1e-9)
        assert true.sag == pytest.approx(line.sag_at(X[beam]))
    assert wire.middle_sag > 1.5


def test_a_straight_edge_across_one_beam():
    """Held at the deck edges, or at two places off the centreline; its ends stand elsewhere at each beam."""
    edge = MeasuringLine("edge", "port edge", "starboard edge", 1010, 1030)
    across = MeasuringLine("rod", -800.0, 800.0, 1010, 1030, athwart=True)
    readings = [
        Reading("C", "port", 300, below=40, line="edge"),
        Reading("F", "starboard", 200, below=40, line="edge"),
        Reading("F", "starboard", 200, below=40, line="rod"),
    ]
    true = true_readings(readings, [edge, across], PLACES, level=None)
    whole = 2 * HALF - 12
    by_hand = [970 + 20 * (HALF[2] - 300) / whole[2], 970 + 20 * (HALF[5] + 200) / whole[5], 1022.5 - 40]
    assert true.tops.z == pytest.approx(by_hand)


def test_an_edge_may_be_named_instead_of_measured():
    readings = [
        Reading("C", "port", "edge", 900),
        Reading("C", "", "starboard edge", 902),
        Reading("C", "port", "port edge", 901),
    ]
    true = true_readings(readings, (), PLACES, level=None)
    assert true.tops.y.tolist() == [-HALF[2], HALF[2] - 12, -HALF[2]]


def test_a_slipped_edge_is_named_and_does_not_tilt_the_hull():
    beam, y, z = beam_tops()
    z = z + np.random.default_rng(5).normal(0, 1, z.size)
    z[13] += 25.0
    true = true_readings(typed(beam, y, z), (), PLACES)
    assert [str(c) for c in true.complaints if c.kind == "ask"] == [
        "readings.csv, row 15, column height: the deck edge of beam B stands 27 mm above what the other edges say; it "
        "is left out of list and trim. Likely slip: a slip of the tape."
    ]
    assert abs(true.levels[1].list_deg) < 0.05


def test_each_round_may_stand_differently():
    beam, y, z = beam_tops(rough=2.0)
    first, second = Level(30.0, 0.002, 0.005), Level(28.0, 0.001, -0.004)
    readings = typed(beam, y, first.measured_height(X[beam], y, z)) + typed(
        beam[:14], y[:14], second.measured_height(X[beam[:14]], y[:14], z[:14]), round=2
    )
    true = true_readings(readings, (), PLACES, level={1: first, 2: second})
    assert true.every.z == pytest.approx(np.concatenate([z, z[:14]]), abs=1e-9)
    assert any(line.startswith("Round 2: Lists 0.23 degrees to starboard") for line in true.level_words)
    later = true_readings([replace(r, round=5) for r in readings[-14:]], (), PLACES, level={1: first, 2: second})
    assert later.every.z == pytest.approx(z[:14], abs=1e-9)


def test_without_edges_nothing_is_taken_off_and_it_is_said():
    beam, y, z = beam_tops()
    inner = np.abs(y) < 0.9 * HALF[beam]
    true = true_readings(typed(beam[inner], y[inner], z[inner] + 12), (), PLACES)
    assert true.tops.z == pytest.approx(z[inner] + 12)
    assert true.level_words[0].startswith("Fewer than three deck edges were measured, so list and trim are not looked")
    with pytest.raises(ValueError, match="2 readings at the deck edges; list and trim need three or more"):
        level_from_edges(true_readings(typed(beam[[0, 6]], y[[0, 6]], z[[0, 6]]), (), PLACES).tops, PLACES)
    with pytest.raises(ValueError, match="level is 'keel'; it is 'edges', None, a Level"):
        true_readings(typed(beam, y, z), (), PLACES, level="keel")


COMPLAINTS = [
    (Reading("Q", "port", 300, 900, row=4), "row 4, column beam, 'Q': no beam of that name is in the list of beams"),
    (Reading("C", "larboard", 300, 900, row=4), "row 4, column side, 'larboard': the side is port or starboard"),
    (Reading("C", "port", 2400.0, 900, row=4), "column y, '2400': y reaches 2400 mm but beam C ends at"),
    (Reading("C", "starboard", -300.0, 900), "column y, '-300': a place to starboard has no minus"),
    (Reading("C", "centre", 30.0, 900), "a place off the centreline needs port or starboard"),
    (Reading("C", "port", "gunwale", 900), "column y, 'gunwale': y is a distance off the centreline, or an edge"),
    (Reading("C", "", "edge", 900), "column y, 'edge': y is a distance off the centreline, or an edge with its side"),
    (Reading("C", "port", float("nan"), 900), "y is a distance off the centreline"),
    (Reading("C", "port", 300, 900, below=20, line="wire"), "goes up from the base or down from a line, not both"),
    (Reading("C", "port", 300), "neither a height above the base nor a reading down from a line"),
    (Reading("C", "port", 300, float("nan")), "neither a height above the base nor a reading down from a line"),
    (Reading("C", "port", 300, float("inf")), "column height, 'inf': a height is a number"),
    (Reading("C", "port", 300, below=20.0), "column line: a reading down from a line needs the name of the line"),
    (Reading("C", "port", 300, 900, line="wire"), "a height up from the base is not taken from a line"),
    (Reading("C", "port", 300, below=20, line="cord"), "column line, 'cord': no line of that name is described in"),
    (Reading("C", "port", 300, below=-20.0, line="wire"), "column below, '-20': a reading goes down from its line"),
    (Reading("C", "port", 300, below=20.0, line="slack"), "this line's own row in lines.csv needs mending first"),
    (Reading("L", "port", 300, below=20.0, line="short"), "at 5900 mm, beyond the end of the string"),
    (Reading("C", "port", 300, 900, round=0), "column round, '0': a round is 1, 2, 3 and so on"),
    (Reading("C", "port", 300, 900, round=1.5), "column round, '1.5': a round is 1, 2, 3 and so on"),
    (Reading("half", "port", 300, 900), "half beam half does not reach there"),
    (Reading("stem", "port", 0.0, 900), "the deck has no breadth at this beam"),
]


@pytest.mark.parametrize("bad, message", COMPLAINTS)
def test_each_wrong_reading_has_one_line_and_the_rest_go_on(bad, message):
    half = [HALF[2], 900, 900, 0]
    places = BeamPlaces(
        ("C", "L", "half", "stem"), [X[2], 5900, 2000, 0], half, half, start=[-np.inf, -np.inf, 400, -np.inf]
    )
    lines = [
        MeasuringLine("wire", 0, 7000, 1500, 1440, sag=3),
        MeasuringLine("slack", 0, 7000, 1500, 1440, pull=3),
        MeasuringLine("short", 0, 5000, 1500, 1440, sag=3),
    ]
    good = Reading("C", "port", 100.0, 910.0)
    true = true_readings([bad, good], lines, places, level=None)
    about = [c for c in true.complaints if c.file == "readings.csv" and c.kind == "mend"]
    assert len(about) == 1 and message in str(about[0])
    assert true.tops.z.tolist() == [910.0] and true.source.tolist() == [1]


def test_an_unknown_beam_is_told_the_nearest_name_and_a_string_what_there_is():
    places = BeamPlaces(("beam 7", "beam 8"), [0, 400], [900] * 2, [900] * 2)
    wire = MeasuringLine("wire", 0, 7000, 1500, 1440, sag=3)
    readings = [Reading("beem 7", "", 0, 900), Reading("beam 7", "", 0, below=3, line="wier")]
    true = true_readings(readings, [wire], places)
    assert true.tops is None and true.rounds == ()
    assert [c.slip for c in true.complaints] == ["the nearest name is 'beam 7'", "lines.csv describes 'wire'"]


def test_the_centreline_under_both_sides_is_one_point():
    readings = [Reading("C", "port", 0, 942), Reading("C", "starboard", 0, 943), Reading("C", "port", 300, 930)]
    true = true_readings(readings, (), PLACES, level=None)
    assert true.tops.points().tolist() == [1, 1, 0]
    assert [c.kind for c in true.complaints] == ["note"]
    assert "taken as one point, measured twice" in str(true.complaints[0])


def test_a_beam_measured_at_one_place_is_noted():
    true = true_readings(
        [Reading("C", "", 0, 942), Reading("C", "", 0, 943), Reading("D", "", 0, 1), Reading("D", "port", 90, 1)],
        (),
        PLACES,
        level=None,
    )
    assert [str(c) for c in true.complaints] == [
        "readings.csv, column beam, 'C': measured at one place only: its tilt and its crown cannot be told."
    ]


def test_a_reading_far_beyond_a_laser_is_asked_about_and_used():
    laser = MeasuringLine("laser", 0, 2000, 1500, 1500)
    true = true_readings([Reading("L", "port", 300, below=100, line="laser")], [laser], PLACES, level=None)
    assert true.tops.z.tolist() == [1400.0]
    assert any("this reading is at 5900 mm, far beyond" in str(c) and c.kind == "ask" for c in true.complaints)


def test_two_lines_of_one_name():
    lines = [MeasuringLine("wire", 0, 7000, height, height, sag=0) for height in (1500, 1400)]
    true = true_readings([Reading("C", "", 0, below=100, line="wire")], lines, PLACES, level=None)
    assert true.tops.z.tolist() == [1400.0] and "a line of that name stands above" in str(true.complaints[0])


@pytest.mark.parametrize("places", [PLACES, BeamPlaces((), [], [], [])])
def test_no_readings_at_all_is_no_error(places):
    true = true_readings([], (), places)
    assert true.tops is None and true.of_round(1) is None and true.reading_error.sd is None
    only_wrong = true_readings([Reading("Q", "port", 300, 900)], (), places)
    assert only_wrong.tops is None and len(only_wrong.complaints) == 1


def test_readings_on_the_beams_of_a_real_deck():
    """Beams laid out with a rake and a half beam: tops read off the deck surface come back, tilted or not."""

    def curve(*coefficients):
        return lambda x, order=0: np.polyval(np.polyder(np.array(coefficients), order), np.asarray(x, float))

    sheer = Sheer.from_curves(curve(-4e-5, 0.28, 900), curve(1.2e-5, -0.08, 1000), start=0, end=7000)
    deck = Deck(sheer, SameProportion("parabola", "1:30"), thickness=0.0)
    marks = [
        BeamMark("1", 1500),
        BeamMark("2", 3000),
        BeamMark("2a", 3400, start=400.0, end="starboard edge"),
        BeamMark("3", 4200),
        BeamMark("transom", 6800, rake_deg=15),
    ]
    places = BeamPlaces.of(lay_out_beams(deck, marks))
    assert places.start.tolist() == [-np.inf, -np.inf, 400, -np.inf, -np.inf] and places.names[2] == "2a"
    readings, want = [], []
    stood = Level(20.0, 0.01, 0.015)
    for i, name in enumerate(places.names):
        for u in (-1, -0.6, -0.2, 0.3, 0.6, 1):
            y = u * places.half_breadth_port[i]
            if y > places.start[i]:
                x = float(places.along([i], [y])[0])
                want.append(float(deck.height(x, y)))
                readings.append(Reading(name, "", y, height=float(stood.measured_height(x, y, want[-1]))))
    true = true_readings(readings, (), places)
    assert true.tops.z == pytest.approx(want, abs=0.02)
    crown = places.along([4], [0.0])[0] - places.x[4]
    assert crown == pytest.approx(2 * places.half_breadth_port[4] / 30 * np.tan(np.radians(15)), rel=0.05)


def test_a_scan_is_read_in_good_time():
    """100,000 readings: no row by row arithmetic. Ten seconds is far above what it takes anywhere."""
    from time import perf_counter

    n = 100_000
    rng = np.random.default_rng(0)
    beam = rng.integers(0, BEAMS, n)
    y = rng.uniform(-0.99, 0.99, n) * HALF[beam] * 0.98
    readings = typed(beam, y, rng.normal(950, 5, n))
    start = perf_counter()
    true = true_readings(readings, (), PLACES)
    assert true.tops.count == n and perf_counter() - start < 10
