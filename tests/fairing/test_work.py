"""The engine's parts in their order, on a beam list: verdict, plan within limits, rounds, doubtful readings."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deckgeom.boat import default_settings
from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.crown import SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.fairing.again import refair
from deckgeom.fairing.beam_tops import FairingError
from deckgeom.fairing.readings import Reading
from deckgeom.fairing.work import COLUMNS, fair_the_tops

ACROSS = (-700.0, -400.0, 0.0, 400.0, 700.0)
SETTINGS = default_settings().fairing


def beams(**of_beam_7):
    marks = [BeamMark(str(n), -2400 + 400.0 * n, moulding=60) for n in range(13)]
    marks[7] = replace(marks[7], **of_beam_7)
    return lay_out_beams(Deck(even_hull(7000, 1500), SameProportion("circle", "1:32")), marks)


def readings(laid, out=(), number=1, only=None, seed=5):
    """Tape readings of true tops with a reading error of .5 mm; out is {(beam, y or None): mm}."""
    noise, out = np.random.default_rng(seed), dict(out)
    rows = []
    for beam in laid:
        for y in ACROSS:
            z = float(beam.height_at(y, "forward")[0]) + noise.normal(0, 0.5)
            z += out.get((beam.name, None), 0.0) + out.get((beam.name, y), 0.0)
            if only is None or beam.name in only:
                rows.append(Reading(beam.name, "", y, z, round=number, row=2 + len(rows)))
    return rows


def test_a_high_a_low_and_a_slip_are_told_apart():
    laid = beams()
    done = fair_the_tops(readings(laid, {("7", None): 5, ("4", None): -5, ("9", 400.0): -15}), (), laid, SETTINGS)
    off, up = (np.array([row[COLUMNS.index(c)] for row in done.rows()]) for c in ("plane_off", "pack_up"))
    names = np.array([row[0] for row in done.rows()])
    assert set(names[off > 0]) == {"7"} and set(names[up > 0]) == {"4"}
    # what is left afterwards lies within the tolerance
    let_pass = done.plan.dead_band + 0.5
    assert np.all(np.abs(off[names == "7"] - 5) < let_pass) and np.all(np.abs(up[names == "4"] - 5) < let_pass + 0.5)
    [slip] = done.doubtful_rows()
    assert slip[:3] == ("readings.csv", 2 + 9 * 5 + 3, "height")
    assert slip[4] - slip[3] == pytest.approx(15, abs=1.5)
    words = done.words()
    assert words[1].startswith("Measure again first: Beam 9, 400 mm to starboard: doubtful reading.")
    assert any(line.startswith("Beam 7: plane. As a whole it stands 5 mm high") for line in words)
    assert any(line.startswith("Beam 4: pack. As a whole it stands 5 mm low") for line in words)
    assert any(line.startswith("Beam 7: plane ") and line.endswith("mm off its whole top.") for line in words)


def test_a_beam_is_never_planed_below_its_least_depth():
    laid = beams()
    done = fair_the_tops(readings(laid, {("7", None): 8}), (), laid, SETTINGS, least_depth=57)
    assert done.plane_off.max() == pytest.approx(3, abs=1e-6)
    assert len(done.plan.touched) > 1  # its neighbours are packed to meet it
    only = fair_the_tops(readings(laid, {("7", None): 8}), (), laid, replace(SETTINGS, plane_only=True), least_depth=57)
    assert only.plane_off.max() == pytest.approx(3, abs=1e-6) and only.pack_up.max() == 0
    assert any(line.startswith("Cannot be had: beam") for line in only.words())


def test_a_fixed_beam_is_left_alone():
    laid = beams(fixed=True)
    done = fair_the_tops(readings(laid, {("7", None): 4}), (), laid, SETTINGS)
    touched = {laid.names[b] for b in done.plan.touched}
    assert "7" not in touched


def test_a_fixed_beam_does_not_draw_the_fair_surface_through_its_noisy_readings():
    # that it may not be worked says nothing about how well it was measured, nor whether it is fair
    typed = readings(beams(), {("7", None): 4})
    free, fixed = (fair_the_tops(typed, (), laid, SETTINGS) for laid in (beams(), beams(fixed=True)))
    assert np.array_equal(fixed.estimate.fair, free.estimate.fair)
    assert fixed.verdicts.beam_word == free.verdicts.beam_word
    assert fixed.verdicts.whole[7, 0] == pytest.approx(4, abs=1)
    again = refair(fixed, beams(fixed=True), replace(SETTINGS, reading_error=0.5))
    fresh = fair_the_tops(typed, (), beams(), replace(SETTINGS, reading_error=0.5))
    assert np.array_equal(again.estimate.fair, fresh.estimate.fair)


@pytest.mark.parametrize("way, other", [("plane_only", "pack_up"), ("pack_only", "plane_off")])
def test_plane_only_and_pack_only_are_obeyed(way, other):
    laid = beams()
    typed = readings(laid, {("7", None): 5, ("4", None): -5})
    done = fair_the_tops(typed, (), laid, replace(SETTINGS, **{way: True}))
    assert getattr(done, other).max() == 0
    assert max(done.plane_off.max(), done.pack_up.max()) > 3


def test_the_next_round_is_seen_beside_the_last():
    laid = beams()
    first = readings(laid, {("7", None): 5})
    plan = fair_the_tops(first, (), laid, SETTINGS)
    off = {("7", y): 5 - w for y, w in zip(ACROSS, plan.plane_off[7 * 5 : 8 * 5], strict=True)}
    planed = readings(laid, off, number=2, only={"7"}, seed=8)
    done = fair_the_tops([*first, *planed], (), laid, replace(SETTINGS, reading_error=0.7))
    assert "The last round came out as planned." in done.words()
    missed = readings(laid, {("7", None): 5}, number=2, only={"7"}, seed=8)
    done = fair_the_tops([*first, *missed], (), laid, SETTINGS)
    assert any("that is left to do" in line for line in done.words())
    assert fair_the_tops(first, (), laid, SETTINGS).came_out is None


def test_a_round_on_other_beams_is_no_comparison():
    laid = beams()
    typed = [*readings(laid, only={"5", "6", "7"}), *readings(laid, number=2, only={"3", "4"})]
    assert fair_the_tops(typed, (), laid, SETTINGS).came_out is None


def test_small_gaps_are_left_to_the_reading_error():
    laid = beams()
    done = fair_the_tops(readings(laid), (), laid, SETTINGS)
    assert done.plan.touched == () and done.plane_off.max() == done.pack_up.max() == 0
    assert "In all: No beam needs touching." in done.words()


def test_readings_without_beams_or_without_use_are_told():
    with pytest.raises(FairingError, match="1 readings: readings of beam tops are placed by the list of beams"):
        fair_the_tops([Reading("1", "", 0, 900)], (), None, SETTINGS)
    done = fair_the_tops([Reading("99", "", 0, 900)], (), beams(), SETTINGS)
    assert done.rows() == [] and done.words() == ["Beam tops: not one reading can be used."]
    assert "no beam of that name" in str(done.complaints[0])


def test_the_fewest_beams_are_touched_when_asked():
    laid = beams()
    typed = readings(laid, {("7", None): 6})
    done = fair_the_tops(typed, (), laid, replace(SETTINGS, fewest=True))
    assert [laid.names[b] for b in done.plan.touched] == ["7"]
