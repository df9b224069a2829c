"""What is asked again with other wishes is what a fresh start would answer; a strip on the tops keeps its sums."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from deckgeom.fairing.again import fewest_again, refair
from deckgeom.fairing.beam_tops import FairingError
from deckgeom.fairing.forces import force_words, parse_force
from deckgeom.fairing.left_out import leave_beam_out
from deckgeom.fairing.on_tops import lay_on_tops
from deckgeom.fairing.strip import Strip
from deckgeom.fairing.work import fair_the_tops
from tests.drawings.boats import boat

PLANK = Strip(100, 20, 10000, 500, name="plank")


@pytest.mark.parametrize(
    "wish",
    [
        {"tolerance": 3.5},
        {"plane_only": True},
        {"pack_only": True},
        {"most_off": 1.0, "most_up": 2.0},
        {"price_up": 4.0},
        {"reading_error": 1.1},
        {"cutoff": 2000.0},
    ],
)
def test_asked_again_is_asked_afresh(wish):
    job = boat()
    settings = replace(job.boat.settings.fairing, cutoff=job.fairing.estimate.cutoff) if "cutoff" not in wish else None
    settings = replace(settings or job.boat.settings.fairing, **wish)
    now = refair(job.fairing, job.beams, settings, 40.0)
    fresh = fair_the_tops(job.boat.readings, job.boat.lines, job.beams, settings, 40.0)
    assert np.allclose(now.plane_off, fresh.plane_off, atol=1e-9) and np.allclose(now.pack_up, fresh.pack_up, atol=1e-9)
    assert now.verdicts.beam_word == fresh.verdicts.beam_word
    assert now.plan.breach_words() == fresh.plan.breach_words()
    assert (now.estimate is job.fairing.estimate) == (not {"cutoff", "reading_error"} & set(wish))


def test_least_depth_is_still_kept_when_asked_again():
    job = boat()
    settings = replace(job.boat.settings.fairing, cutoff=job.fairing.estimate.cutoff, plane_only=True)
    deep = job.beams.marks[0].moulding
    now = refair(job.fairing, job.beams, settings, deep - 0.5)
    assert now.plane_off.max() <= 0.5 < job.fairing.plane_off.max()
    assert any("no more than its limit should come off" in words for words in now.plan.breach_words())


def test_fewest_beams_are_those_that_were_spoilt():
    job = boat()
    found = fewest_again(job.fairing, job.beams, job.boat.settings.fairing)
    names = {job.fairing.tops.beam_names[b] for b in found.beams}
    assert found.possible and names == {"5", "7"}
    assert found.at_least <= len(found.beams)


def test_a_plank_held_down_everywhere_is_the_spline_of_the_tops():
    """Against scipy's natural cubic spline, through the tops less that through the planned surface."""
    job = boat()
    laid = lay_on_tops(job.fairing.verdicts, job.fairing.plan, 0.0, replace(PLANK, density=0.0))
    for strip, shown in ((laid.measured, laid.shown_measured), (laid.planned, laid.shown_planned)):
        spline = CubicSpline(strip.x, strip.z - laid.fair, bc_type="natural")
        assert np.allclose(shown, spline(laid.x), atol=1e-6)
        assert strip.touching.all() and abs(strip.force.sum()) < 1e-6


def test_what_shows_most_in_a_bay_is_the_greatest_in_it():
    job = boat()
    laid = lay_on_tops(job.fairing.verdicts, job.fairing.plan, 0.0, PLANK)
    for k, most in enumerate(laid.most_between(laid.shown_measured)):
        inside = (laid.x >= laid.measured.x[k] - 1e-6) & (laid.x <= laid.measured.x[k + 1] + 1e-6)
        assert abs(most) == pytest.approx(np.abs(laid.shown_measured[inside]).max())


def test_the_work_takes_print_through_and_pull_away():
    job = boat()
    laid = lay_on_tops(job.fairing.verdicts, job.fairing.plan, 0.0, PLANK)
    before, after = laid.worst
    assert after < 0.5 * before
    assert laid.planned.pull.max() < laid.measured.pull.max()


def test_weak_fastenings_leave_the_plank_off_the_low_beam():
    job = boat()
    laid = lay_on_tops(job.fairing.verdicts, job.fairing.plan, 0.0, Strip(100, 30, 12000, 500), hold=20.0)
    low = laid.measured.names.index("7")
    assert laid.measured.gap[low] > 0.5 and laid.measured.pull[low] == pytest.approx(20.0, abs=1e-6)


def test_a_plan_of_other_readings_is_refused():
    job, other = boat(), boat(units="in")
    other = replace(other.fairing.plan, pack_up=np.zeros(3), plane_off=np.zeros(3), believed=np.zeros(3))
    with pytest.raises(FairingError, match="other readings"):
        lay_on_tops(job.fairing.verdicts, other, 0.0, PLANK)


def test_leaving_out_the_high_beam_shows_how_high_it_is():
    """Beam 5 was made 4 mm high: the others alone must say so, to the reading error."""
    fairing = boat().fairing
    number = fairing.tops.beam_names.index("5")
    left = leave_beam_out(fairing.verdicts, number)
    rows = fairing.tops.beam == number
    high = float(np.median((fairing.tops.z - left.fair)[rows]))
    assert left.words(fairing.tops)[0].startswith(f"By the other beams alone, beam 5 stands {high:.0f} mm high")


def test_forces_there_and_back():
    for force in (0.0, 3.0, 489.3, 12345.0):
        assert parse_force(force_words(force)) == pytest.approx(force, abs=0.5)
        assert parse_force(force_words(force, "in"), "in") == pytest.approx(force, abs=2.3)
    with pytest.raises(FairingError, match="number with N or lbf"):
        parse_force("strong")
