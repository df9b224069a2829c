"""What a builder who doubts it tries in his first twenty minutes, item by item."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.bending import TrialBeam
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.layout import straight_edges_angle_deg
from deckgeom.deck.story_stick import story_stick
from deckgeom.deck.surface import Deck
from deckgeom.hull.datum import find_level
from deckgeom.hull.offsets import OffsetTable
from deckgeom.hull.sheer import Sheer
from deckgeom.laying.quantities import coats, sheets
from deckgeom.papers.shop import CAUTIONS
from deckgeom.units import parse_length

INCH = 25.4
HALF = ("6 1/4", "21 5/8", "33", "41 1/4", "46 1/8", "47 1/2", "46 5/8", "43 7/8", "39")
OTHER = ("6 3/8", "21 5/8", "33 1/8", "41 1/4", "46 1/4", "47 3/8", "46 5/8", "43 3/4", "39 1/8")
HEIGHT = ("43 1/2", "39 1/2", "36 3/8", "34 1/4", "32 7/8", "32 3/8", "32 5/8", "33 1/2", "35 1/4")
PLACES = ("8in", "2-6-0", "4-9-4", "7-0-0", "9-2-0", "11-4-6",
          "13-6-2", "16-0-0", "18-1-0", "20-3-0", "22-4-4", "23-5-0")  # fmt: skip


def in_inches(text: str) -> float:
    """A length typed in a folder of inches."""
    return parse_length(text, "ft-in-8" if text.count("-") == 2 else "in")


def in_mm(text: str) -> float:
    """The same length, turned into mm to one decimal by the builder and typed in a folder of mm."""
    return parse_length(f"{in_inches(text):.1f}", "mm")


def boat(read=in_inches) -> OffsetTable:
    """Offsets of a 7.3 m boat with sides that are not quite equal."""
    columns = {
        "x": [read(f"{3 * k}-0-0") for k in range(9)],
        "height": [read(v) for v in HEIGHT],
        "half_breadth_port": [read(v) for v in HALF],
        "half_breadth_starboard": [read(v) for v in OTHER],
    }
    return OffsetTable.from_rows(columns)


def job(table: OffsetTable, read=in_inches, **more):
    """Twelve beams of that boat."""
    deck = Deck(Sheer.from_offsets(table), SameProportion("circle", "1:32"), thickness=read("3/8"))
    marks = [BeamMark(str(i + 1), read(x), siding=read("1 3/4"), moulding=read("2 1/2")) for i, x in enumerate(PLACES)]
    return lay_out_beams(deck, marks, read("6"), planking=read("5/8"), flare_deg=10.0, **more)


def test_item_1_a_beam_he_knows():
    """Quarter points of an arc, 96 in broad, camber 3 in: .93773 .75073 .43846 of the camber (from Euclid III.35)."""
    level = lambda v: lambda x, order=0: (v if order == 0 else 0.0) + 0.0 * np.asarray(x, float)  # noqa: E731
    sheer = Sheer.from_curves(level(48 * INCH), level(800.0), start=0, end=6000)
    beam = lay_out_beams(Deck(sheer, OneMould("circle", "1:32")), [BeamMark("his", 3000)])["his"]
    quarters = np.array([12, 24, 36]) * INCH
    for side in (-1, 1):
        left = 1 - beam.drop_at(side * quarters) / beam.camber
        assert left == pytest.approx([0.93773, 0.75073, 0.43846], abs=5e-6)
    assert beam.camber / INCH == pytest.approx(3.0)


def test_item_2_three_nails_and_two_sticks():
    """The sticks' corner rides the mould: from any point of an arc its chord is seen at one angle (Euclid III.21)."""
    level = lambda v: lambda x, order=0: (v if order == 0 else 0.0) + 0.0 * np.asarray(x, float)  # noqa: E731
    sheer = Sheer.from_curves(level(48 * INCH), level(800.0), start=0, end=6000)
    beam = lay_out_beams(Deck(sheer, OneMould("circle", "1:32")), [BeamMark("his", 3000)], 6 * INCH)["his"]
    table = beam.ordinates
    corner = np.c_[table.y, -table.mould_drop]
    port, starboard = (nail - corner[1:-1] for nail in (corner[0], corner[-1]))
    cosine = (port * starboard).sum(axis=1) / np.linalg.norm(port, axis=1) / np.linalg.norm(starboard, axis=1)
    # 180 - 2 atan(2c/B) for B 96 in, c 3 in
    assert np.degrees(np.arccos(cosine)) == pytest.approx(172.8473, abs=1e-3)
    assert straight_edges_angle_deg(48, 3) == pytest.approx(172.8473, abs=1e-4)


def test_item_3_where_is_zero():
    """The head of the sheet says it, and the numbers do it: deck off square once, or not at all; planking likewise."""
    beams = job(boat())
    head = " ".join(beams.conventions())
    for words in (
        "to the top of the beams",
        "go to the top of deck",
        "9.53 mm is taken off square to the deck",
        "go to the outside of planking",
        "15.88 mm is taken off",
        "x runs aft",
        "starboard positive",
    ):
        assert words in head
    beam, deck = beams["6"], beams.deck
    edge = deck.edge_line(beam.x, 0.0)
    # On the centreline the deck slopes little: its thickness is hardly more than itself there.
    assert edge + beam.camber - beam.crown_height == pytest.approx(3 / 8 * INCH, abs=0.02)
    to_beams = Deck(deck.sheer, deck.rule, deck.thickness, "top of beams")
    bare = lay_out_beams(to_beams, beams.marks)["6"]
    assert bare.crown_height == pytest.approx(edge + beam.camber, abs=1e-9)


def test_item_4_which_face_and_how_much_the_other_differs():
    """Forward of the crown line's lowest the forward face is high, aft of it the after; the bevel says by how much."""
    beams = job(boat())
    faces = [beam.mould_face for beam in beams]
    assert faces[0] == "forward face" and faces[-1] == "after face"
    for beam in (beams["1"], beams["12"]):
        t = beam.ordinates
        apart = np.abs(t.height[:, 0] - t.height[:, 1])
        assert t.rise_over_siding == pytest.approx(apart, abs=1e-9)
        higher = 0 if beam.mould_face == "forward face" else 1
        assert t.mould_height == pytest.approx(t.height[:, higher], abs=1e-9)
        assert f"{beam.mould_face}" in beam.why("mould_face")


def test_item_5_the_same_job_in_mm_and_inches():
    """Equal within 1/32 in, everywhere."""
    near = INCH / 32
    inches, metric = job(boat(), units="ft-in-8"), job(boat(in_mm), in_mm)
    for name in ("camber", "crown_height", "edge_height", "half_breadth", "stock_depth"):
        assert np.max(np.abs(getattr(inches, name) - getattr(metric, name))) < near, name
    assert np.max(np.abs(inches.ends.y - metric.ends.y)) < near
    assert np.max(np.abs(inches.shape.bottom_y - metric.shape.bottom_y)) < near
    for a, b in zip(inches, metric, strict=True):
        y = np.arange(-6, 7) * 0.15 * min(a.end("port").top, a.end("starboard").top)
        for face in ("forward", "after"):
            assert np.max(np.abs(a.height_at(y, face) - b.height_at(y, face))) < near


def test_item_6_tilt_the_hull():
    """A degree of list and half of trim, found from her sheer marks and taken off: the answers do not change."""
    table = boat()
    sides = {side: sign * table.lines[f"half_breadth_{side}"].value for side, sign in (("port", -1), ("starboard", 1))}
    x, z = table.x, table.lines["height_port"].value
    # Heights over the floor of a hull turned as a whole: the upright row of a rotation.
    lean, trim = np.sin(np.radians([1.0, 0.5]))
    upright = np.sqrt(1 - lean**2 - trim**2)
    measured = {side: upright * z + lean * y + trim * x for side, y in sides.items()}
    both_x, both_y = np.tile(x, 2), np.concatenate([sides["port"], sides["starboard"]])
    level = find_level(both_x, both_y, np.tile(z, 2), np.concatenate([measured["port"], measured["starboard"]]))
    assert (abs(level.list_deg), abs(level.trim_deg)) == pytest.approx((1.0, 0.5), abs=1e-3)
    columns = {"x": x.tolist()}
    for side, y in sides.items():
        columns[f"half_breadth_{side}"] = np.abs(y).tolist()
        columns[f"height_{side}"] = level.true_height(x, y, measured[side]).tolist()
    still, again = job(table), job(OffsetTable.from_rows(columns))
    assert again.camber == pytest.approx(still.camber, abs=1e-6)
    assert again.ordinates.height == pytest.approx(still.ordinates.height, abs=1e-6)
    assert again.ordinates.bevel_deg == pytest.approx(still.ordinates.bevel_deg, abs=1e-6)
    assert again.shape.bottom_y == pytest.approx(still.shape.bottom_y, abs=1e-6)


def test_item_7_swap_port_and_starboard():
    """The tables swap and nothing else."""
    a, b = job(boat()), job(boat().swapped())
    for one, other in zip(a.rows("beams"), b.rows("beams"), strict=True):
        swapped = (*other[:2], other[3], other[2], *other[4:6], other[7], other[6], *other[8:])
        for v, w in zip(one, swapped, strict=True):
            assert v == (pytest.approx(w, abs=1e-7) if isinstance(v, float) else w)
    mirrored = sorted(((beam, face, -y, z, drop) for beam, face, y, z, drop in b.rows("ordinates")),
                      key=lambda row: (int(row[0]), ["forward", "after", "mould"].index(row[1]), row[2]))  # fmt: skip
    for one, other in zip(a.rows("ordinates"), mirrored, strict=True):
        assert one[:2] == other[:2] and one[2:] == pytest.approx(other[2:], abs=1e-6)
    stick, mirror = story_stick(a), story_stick(b)
    assert stick.along_port == pytest.approx(mirror.along_starboard, abs=1e-9)


def test_item_11_a_bevel_against_his_gauge():
    """Strong flare, far forward: the angles of the end cut are those between the wood's edges, by dot products."""
    beams = lay_out_beams(job(boat()).deck, [BeamMark("1", 300.0, siding=45)], planking=16, flare_deg=32.0)
    beam, ends, bottom = beams["1"], beams.ends, beams.shape
    for i, side in enumerate(("port", "starboard")):
        out = (-1.0, 1.0)[i]
        for face, name in enumerate(("forward", "after")):
            # Along the top towards the centreline, and down the end.
            near = beam.height_at(ends.y[0, face, i] - out * 0.01, name)[0]
            top = np.array([-out * 0.01, near - beam.height_at(ends.y[0, face, i], name)[0]])
            at = 0, face, i
            down = np.array([bottom.bottom_y[at] - ends.y[at], bottom.bottom_up[at] - ends.up[at]])
            gauge = np.degrees(np.arccos(top @ down / np.linalg.norm(top) / np.linalg.norm(down)))
            end = beam.end(side, name)
            assert end.cut_deg == pytest.approx(gauge, abs=1e-2)
            assert end.cut_deg < 70
            assert np.degrees(np.arctan2(end.top - end.bottom, -down[1])) == pytest.approx(32.0, abs=0.05)
        longer = beam.end(side, "after").top - beam.end(side, "forward").top
        assert np.degrees(np.arctan2(longer, 45)) == pytest.approx(beam.end(side).end_angle_deg, abs=1e-9)
        assert beam.end(side).end_angle_deg > 20


def test_item_13_spring_back_named_and_applied_once():
    """The jig column is the finished camber times one named factor; a trial beam takes over; sawn beams have none."""
    rule = job(boat(), made="laminated", layers=4)
    assert rule.jig_camber / rule.camber == pytest.approx(np.full(12, 16 / 15))
    trial = job(boat(), made="laminated", layers=4, spring_back=TrialBeam(jig=102, released=94))
    assert trial.jig_camber / trial.camber == pytest.approx(np.full(12, 102 / 94))
    assert trial.camber == pytest.approx(rule.camber)
    assert trial.ordinates.mould_height == pytest.approx(rule.ordinates.mould_height)
    for beams, words in ((rule, "4 equal layers"), (trial, "measured on a trial beam")):
        assert words in " ".join(beams.conventions())
        assert "once" in beams["3"].why("jig_camber") and words in beams["3"].why("jig_camber")
    assert job(boat()).jig_camber is None


def test_item_15_sums():
    """Beam spaces add up to the whole, along the centreline and along both deck edges."""
    beams = job(boat())
    stick = story_stick(beams)
    assert np.sum(stick.spaces()) == pytest.approx(24 * 12 * INCH, abs=1e-9)
    for side, whole in (("port", stick.whole_port), ("starboard", stick.whole_starboard)):
        assert np.sum(stick.spaces(side)) == pytest.approx(whole, abs=1e-9)
        assert whole == pytest.approx(beams.deck.sheer.true_length(side), abs=1e-3)
    assert stick.x.tolist() == [mark.x for mark in beams.marks]


def test_item_14_sheets_and_glue_as_a_band_that_holds_a_known_job():
    """
    A flat deck of 4 by 2 sheets laid whole takes 8, and the band holds it; no single proud number is given.

    What builders use above the bare area is common practice, no source.
    """
    area = 8 * 2.44 * 1.22
    band = sheets(area, (2440, 1220))
    assert band.low <= 9 <= band.high and band.low >= 8 and band.low < band.likely < band.high
    litres = coats(area, "epoxy, sealing coat on bare wood", coats=2)
    assert litres.low < litres.likely < litres.high and litres.basis
    own = coats(area, "epoxy, sealing coat on bare wood", coats=2, own=8.0)
    assert own.low == own.likely == own.high == pytest.approx(2 * area / 8, abs=0.05)


def test_item_16_it_says_what_it_does_not_know():
    """The first sheet, the README and the start page name strength, rot and what looks right, and who decides them."""
    top = Path(__file__).resolve().parents[1]
    cells = json.loads((top / "notebooks" / "00_start_here.ipynb").read_text(encoding="utf-8"))["cells"]
    start = " ".join("".join(cell["source"]) for cell in cells)
    for page in (" ".join(CAUTIONS), (top / "README.md").read_text(encoding="utf-8"), start):
        words = " ".join(page.split()).lower()
        for wanted in ("rot", "looks right", "licensed designer or surveyor", "rules"):
            assert wanted in words, wanted
