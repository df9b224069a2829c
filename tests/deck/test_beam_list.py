"""What is wrong with a list of beams, what a beam says about itself, and the tables that leave."""

from __future__ import annotations

import re

import numpy as np
import pytest

from deckgeom.complaint import Complaint
from deckgeom.deck.beams import COLUMNS, BeamMark, lay_out_beams
from deckgeom.deck.bending import TrialBeam
from deckgeom.deck.crown import SameProportion
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from tests.deck.beam_hulls import LENGTH, level_deck, marks, powers, round_deck

GOOD = BeamMark("good", 3000, row=2)


def complaint_about(mark: BeamMark, deck=None, before=GOOD, **more) -> Complaint:
    """Lay out a good beam and another, and give the one complaint there is; the good one must have gone on."""
    beams = lay_out_beams(deck or round_deck(), [before, mark], **more)
    assert beams.names == (before.name,)
    (complaint,) = beams.complaints
    assert (complaint.file, complaint.row, complaint.kind) == ("beams.csv", mark.row, "mend")
    assert len(str(complaint).splitlines()) == 1
    return complaint


@pytest.mark.parametrize(
    "mark, column, words",
    [
        (BeamMark("3", 7000, row=5), "x", "'7000': beam 3: the deck edge runs from 0 mm to 6000 mm; it is left out"),
        (BeamMark("3", -20, row=5), "x", "'-20': beam 3: the deck edge runs"),
        (BeamMark("3", np.nan, row=5), "x", "'nan': beam 3: the deck edge runs"),
        (BeamMark("good", 4000, row=5), "beam", "a beam's name stands once in the list; one stands at 3000 mm, row 2"),
        (BeamMark("3", 4000, siding=0, row=5), "siding", "'0': beam 3: siding is above 0"),
        (BeamMark("3", 4000, siding=-44, row=5), "siding", "'-44': beam 3: siding is above 0"),
        (BeamMark("3", 4000, moulding=0, row=5), "moulding", "moulding is above 0"),
        (BeamMark("3", 4000, camber=-3, row=5), "camber", "camber is 0 or more.*a drop typed as a minus"),
        (BeamMark("3", 4000, rake_deg=85, row=5), "rake", "less than 60 degrees off plumb.*from level"),
        (BeamMark("3", 3020, row=5), "x", "fills 3020 mm to 3064 mm and beam good 3000 mm to 3044 mm"),
        (BeamMark("3", 4000, start=300, end=300, row=5), "from", "two limits of a half beam are different places"),
        (BeamMark("3", 4000, start=0, row=5), "from", "from the centreline says to which edge"),
        (BeamMark("3", 4000, start=-2400, end=0, row=5), "from", "'-2400'.*limits lie between 11.. mm port"),
        (BeamMark("3", 4000, start=300, end=2400, row=5), "to", "'2400'.*limits lie between"),
        (BeamMark("3", 4000, start=1900, end="starboard edge", row=5), "from", "limits lie between"),
    ],
)
def test_a_beam_that_cannot_be(mark, column, words):
    """Value, rule and likely slip in one line; the rest goes on."""
    complaint = complaint_about(mark)
    assert complaint.column == column
    assert re.search(words, str(complaint)), str(complaint)


def test_less_than_the_least_depth():
    """The rule says the least depth, in the boat's units."""
    thin = BeamMark("3", 4000, moulding=40, row=5)
    assert "not less than the least depth, 50 mm" in str(complaint_about(thin, least_depth=50))
    assert "least depth, 2 in" in str(complaint_about(thin, least_depth=50.8, units="in"))
    assert len(lay_out_beams(round_deck(), [BeamMark("3", 4000, moulding=50)], least_depth=50)) == 1


def test_no_breadth_at_the_stem():
    """A hull that comes to a point gives a clear line, and no warning on the way."""
    sheer = Sheer.from_curves(powers(900, 300, -600), powers(900), start=0, end=LENGTH)
    pointed = Deck(sheer, SameProportion("circle", 1 / 30), thickness=9)
    complaint = complaint_about(BeamMark("stem", 0.0, row=5), pointed, planking=18, flare_deg=20)
    assert "at its forward face, the half-breadth to port is 0 mm" in str(complaint)


def test_beams_that_touch_and_half_beams_abreast():
    """Faces may touch; two half beams stand abreast; a third over both does not."""
    abreast = [BeamMark("p", 2000, start=-300, end="port edge"), BeamMark("s", 2000, start=300, end="starboard edge")]
    touching = [BeamMark("a", 3000), BeamMark("b", 3044), BeamMark("c", 3044 + 88, "after face")]
    beams = lay_out_beams(round_deck(), [*abreast, *touching])
    assert len(beams) == 5 and beams.complaints == ()
    (complaint,) = lay_out_beams(round_deck(), [*abreast, BeamMark("over", 2010)]).complaints
    assert "beam over: no two beams stand in one place" in str(complaint)


def test_in_a_row_of_overlaps_only_the_middle_goes():
    """The one that overlaps an earlier beam is left out; the next, clear of what is left, stays."""
    beams = lay_out_beams(round_deck(), [BeamMark("a", 3000), BeamMark("b", 3030), BeamMark("c", 3060)])
    assert beams.names == ("a", "c")


def test_all_complaints_at_once_and_none_left():
    """Every wrong beam has its line; a list with none left is an empty set whose tables are empty."""
    wrong = [BeamMark("a", 9000), BeamMark("b", 4000, siding=0), BeamMark("c", 100, start=-5000, end=0)]
    for marks_ in (wrong, []):
        beams = lay_out_beams(round_deck(), marks_, made="laminated", layers=3)
        assert len(beams) == 0 and len(beams.complaints) == len(marks_)
        assert all(beams.rows(table) == [] for table in COLUMNS)


def test_a_mark_or_a_limit_that_is_no_word():
    """Refused at once, with the words there are."""
    with pytest.raises(ValueError, match="mark 'front' is not one of forward face, after face, middle"):
        BeamMark("1", 0, "front")
    with pytest.raises(ValueError, match="'left' is no limit of a half beam"):
        BeamMark("1", 0, start="left")


@pytest.mark.parametrize(
    "more, words",
    [
        ({"half_breadths_to": "planking"}, "half_breadths_to 'planking': it is 'outside of planking'"),
        ({"made": "carved"}, "made 'carved': a beam is 'sawn' or 'laminated'"),
        ({"spacing": 0}, "spacing of ordinates of 0 mm"),
    ],
)
def test_wrong_settings(more, words):
    """Refused at once, with what they may be."""
    with pytest.raises(ValueError, match=words):
        lay_out_beams(round_deck(), marks(), **more)


def test_a_beam_that_is_not_there():
    """The nearest name is offered."""
    beams = lay_out_beams(round_deck(), [BeamMark("mast fwd", 2000), BeamMark("2", 3000)])
    with pytest.raises(KeyError, match="No beam is called 'mast fwt' here.*Is it mast fwd?"):
        beams["mast fwt"]
    assert beams[-1].name == "2" and [b.name for b in beams] == ["mast fwd", "2"]
    with pytest.raises(IndexError):
        beams[2]


def rows_of(beams, table):
    """Rows as dicts."""
    return [dict(zip(COLUMNS[table], row, strict=True)) for row in beams.rows(table)]


def test_tables_keep_their_contract():
    """The first columns are those that other programs rely on; every row is as long as its heading."""
    assert COLUMNS["beams"][:10] == (
        "beam", "x", "half_breadth_port", "half_breadth_starboard", "camber", "crown_height", "edge_height_port",
        "edge_height_starboard", "edge_slope_deg", "jig_camber",
    )  # fmt: skip
    assert COLUMNS["ordinates"] == ("beam", "face", "y", "height", "drop_below_crown")
    assert COLUMNS["bevels"] == ("beam", "y", "bevel_deg", "rise_over_siding", "high_edge")
    some = [*marks(5), BeamMark("r", 5800, rake_deg=10)]
    beams = lay_out_beams(round_deck(thickness=9), some, planking=18, made="laminated", layers=5)
    for table in COLUMNS:
        rows = rows_of(beams, table)
        assert {row["beam"] for row in rows} == set(beams.names)
        assert all(type(v) in (float, int, str, type(None)) for row in rows for v in row.values())
    with pytest.raises(KeyError, match="No table 'beam': there are beams, ordinates"):
        beams.rows("beam")


def test_tables_hold_the_beams():
    """Rows say what the beams say: figures, ordinates of each face as far as it goes, bevels where both are."""
    beams = lay_out_beams(round_deck(thickness=9), marks(5), planking=18, made="laminated", layers=4)
    for row, beam in zip(rows_of(beams, "beams"), beams, strict=True):
        for column in set(COLUMNS["beams"]) - {"beam", "strength_left_percent", "rake_deg"}:
            assert row[column] == getattr(beam, column), column
    for beam in beams:
        rows = [r for r in rows_of(beams, "ordinates") if r["beam"] == beam.name]
        for face in ("forward", "after"):
            ys = np.array([r["y"] for r in rows if r["face"] == face])
            ends = [-beam.end("port", face).top, beam.end("starboard", face).top]
            assert ys[[0, -1]] == pytest.approx(ends, abs=1e-3)
            assert np.array([r["height"] for r in rows if r["face"] == face]) == pytest.approx(beam.height_at(ys, face))
        for r in rows:
            if r["face"] != "mould":
                crown = float(beam.height_at(0.0, r["face"])[0])
                assert r["drop_below_crown"] == pytest.approx(crown - r["height"], abs=1e-9)
    faces = {(r["beam"], r["y"], r["face"]): r["height"] for r in rows_of(beams, "ordinates")}
    for r in rows_of(beams, "bevels"):
        rise = faces[r["beam"], r["y"], "after"] - faces[r["beam"], r["y"], "forward"]
        assert r["rise_over_siding"] == pytest.approx(abs(rise), abs=1e-9)
        assert r["bevel_deg"] == pytest.approx(np.degrees(np.arctan(abs(rise) / 44)), abs=1e-9)
        assert r["high_edge"] == ("square" if abs(rise) < 0.05 else f"{'after' if rise > 0 else 'forward'} edge high")


def test_camber_is_crown_less_the_line_of_the_edges():
    """The row can be checked with a pencil: crown height less the mean edge height is the camber."""
    for row in rows_of(lay_out_beams(round_deck(), marks(6)), "beams"):
        b = np.array([row["half_breadth_port"], row["half_breadth_starboard"]])
        h = np.array([row["edge_height_port"], row["edge_height_starboard"]])
        line = h[0] + (h[1] - h[0]) * b[0] / b.sum()
        assert row["crown_height"] - line == pytest.approx(row["camber"], abs=1e-9)


WHAT = ("x", "half_breadth", "camber", "crown_height", "edge_height", "edge_slope", "jig_camber", "mould_face", "bevel",
        "end", "end_angle", "stock_depth", "grain_slope", "strength_left")  # fmt: skip


def numbers_in(words: str) -> list[float]:
    """Every number of a sentence."""
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", words)]


def test_every_figure_says_why():
    """The answer holds the figure asked about and the numbers that it came from."""
    deck = round_deck(thickness=9)
    beams = lay_out_beams(deck, marks(4), planking=18, flare_deg=12, made="laminated", layers=4)
    beam = beams["2"]
    table = beam.ordinates
    figures = {
        "x": [beam.x, 44, *beam.faces_x],
        "half_breadth": [beam.half_breadth_port, beam.half_breadth_starboard],
        "crown_height": [beam.crown_height, beam.camber, 9, deck.sheer.height("port", beam.x)],
        "edge_height": [beam.edge_height_port, beam.edge_height_starboard, 9],
        "edge_slope": [beam.edge_slope_deg, beam.camber],
        "jig_camber": [beam.jig_camber, beam.camber, 1.0667, 16],
        "mould_face": [table.height[table.y == 0][0, 0], table.height[table.y == 0][0, 1]],
        "bevel": [table.bevel_deg[table.on_both].max(), 44],
        "end": [beam.end("port").top, beam.end("starboard", "after").bottom, 18, 12],
        "end_angle": [abs(beam.end("port").end_angle_deg), 44],
        "stock_depth": [beam.stock_depth, 60],
        "grain_slope": [round(1 / beam.grain_slope, 1)],
        "strength_left": [round(beam.strength_left)],
    }
    for what, wanted in figures.items():
        said = np.array(numbers_in(beam.why(what)))
        for figure in wanted:
            assert np.min(np.abs(said - figure)) <= 0.0051, (what, figure, beam.why(what))
    assert "same proportion" in beam.why("camber") and f"{beam.camber:.0f} mm" in beam.why("camber")
    for what in WHAT:
        assert beam.why(what).endswith("."), what
        assert not {"simply", "just", "obviously"} & set(beam.why(what).lower().split())


def test_why_of_other_kinds_of_beam():
    """Sawn, raked, half, own camber, steep grain, inches: each has its own words."""
    deck = round_deck()
    half = BeamMark("h", 3000, start=-300, end="port edge")
    beams = lay_out_beams(deck, [BeamMark("r", 4000, rake_deg=8), half, BeamMark("o", 2000, camber=33)], units="in")
    assert "in the beam's own plane, raked 8 degrees" in beams["r"].why("camber")
    assert "this beam's own, from the beam list" in beams["o"].why("camber")
    assert "starboard at the half beam's limit, 11 13/16 in port, plumb and square" in beams["h"].why("end")
    assert "there is no jig" in beams["r"].why("jig_camber")
    steep = lay_out_beams(level_deck(rule=SameProportion("circle", 1 / 14)), marks(1))["1"]
    assert "steeper than 1:5: less than 55 %" in steep.why("strength_left")
    assert "licensed designer or surveyor" in beams["r"].why("strength_left")
    trial = lay_out_beams(deck, marks(1), made="laminated", layers=4, spring_back=TrialBeam(110, 100))["1"]
    assert "once" in trial.why("jig_camber") and "trial beam: jig 110 mm, 100 mm" in trial.why("jig_camber")
    with pytest.raises(KeyError, match="No reason is kept for 'rot'. There is one for: x, half_breadth"):
        trial.why("rot")


def test_conventions_say_where_zero_is():
    """What heights and half-breadths are taken to, and what is taken off, in the boat's units."""
    said = " ".join(lay_out_beams(round_deck(thickness=9), marks(2), planking=18).conventions())
    assert "to the top of deck: the deck's 9.00 mm is taken off square to the deck" in said
    assert "to the outside of planking: for the beams' ends the planking's 18.00 mm is taken off" in said
    inside = lay_out_beams(
        round_deck(heights_to="top of beams"), marks(2), planking=18, half_breadths_to="inside of planking", units="in"
    )
    assert inside.conventions()[1:3] == (
        "The offsets' heights go to the top of beams: nothing is taken off.",
        "The offsets' half-breadths go to the inside of planking: for the beams' ends nothing is taken off.",
    )


def test_records_print_in_one_line():
    """A beam set and a beam can be looked at in a notebook without pages of arrays."""
    beams = lay_out_beams(round_deck(), marks(6))
    assert repr(beams) == "BeamSet(6 beams: 1, 2, 3, 4, ...)"
    assert repr(beams["2"]).startswith("Beam(2 at x 1420.0 mm, camber ")
    with pytest.raises(ValueError, match="read-only"):
        beams.ordinates.y[0] = 1
