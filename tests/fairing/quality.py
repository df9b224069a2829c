"""
Who finds the true high and low spots: `python -m tests.fairing.quality` prints the tables.

Every method sees the same simulated decks. *Missed*: of the readings where the beam top truly stands 1.5 mm or more out
of fair, those that it does not show by more than 1 mm. *False*: of those within .3 mm of fair, those that it shows by
more than 1 mm. Slips of the tape are not counted either way. A verdict of "cannot tell from here" (end beams) is
neither: its share is given beside.
"""

from __future__ import annotations

import sys
import warnings
from dataclasses import dataclass, field

import numpy as np

from deckgeom.fairing.fair import estimate
from deckgeom.fairing.verdict import CANNOT, DOUBTFUL, PACK, PLANE, judge
from tests.fairing.simulated import Faults, SimulatedDeck, peaked, powder_horn, simulate

SIGMA = 0.7
USUAL = range(1000, 1200)
FEW = range(1000, 1040)


@dataclass
class Tally:
    """Counts over many decks."""

    square: float = 0.0
    recovered: float = 0.0
    readings: int = 0
    inner_square: float = 0.0
    inner_readings: int = 0
    good: int = 0
    counts: dict[str, int] = field(default_factory=dict)

    def add(self, **counts) -> None:
        for name, count in counts.items():
            self.counts[name] = self.counts.get(name, 0) + int(count)

    def share(self, part: str, whole: str) -> float:
        """Percentage."""
        return 100.0 * self.counts.get(part, 0) / max(1, self.counts.get(whole, 0))

    def deck(self, deck: SimulatedDeck, fair: np.ndarray, shown: np.ndarray, told: np.ndarray) -> None:
        """One deck more: fair heights, what is shown at each reading, where something is said at all."""
        kept = (deck.slip == 0) & told
        self.square += float(((fair - deck.fair) ** 2).sum())
        self.readings += len(fair)
        inner = (deck.tops.beam > 0) & (deck.tops.beam < len(deck.tops.beam_names) - 1)
        self.inner_square += float(((fair - deck.fair)[inner] ** 2).sum())
        self.inner_readings += int(inner.sum())
        self.recovered += float(((shown - deck.defect)[kept] ** 2).sum())
        self.good += int(kept.sum())
        far, near = np.abs(deck.defect) >= 1.5, np.abs(deck.defect) <= 0.3
        out = np.abs(shown) > 1.0
        self.add(far=(kept & far).sum(), missed=(kept & far & ~out).sum(), near=(kept & near).sum())
        self.add(false=(kept & near & out).sum(), all_far=((deck.slip == 0) & far).sum())

    @property
    def rms(self) -> float:
        """Error of the fair surface at the readings. [mm]"""
        return (self.square / max(1, self.readings)) ** 0.5

    @property
    def inner_rms(self) -> float:
        """The same without the first and the last beam, which nothing beyond holds. [mm]"""
        return (self.inner_square / max(1, self.inner_readings)) ** 0.5

    @property
    def recovered_rms(self) -> float:
        """Error of what is shown. [mm]"""
        return (self.recovered / max(1, self.good)) ** 0.5

    def line(self, name: str) -> str:
        """A row of the table."""
        silent = 100.0 - self.share("far", "all_far")
        return (f"{name:52s}{self.rms:8.2f}{self.recovered_rms:8.2f}{self.share('missed', 'far'):8.1f}"
                f"{self.share('false', 'near'):8.1f}{silent:8.1f}")  # fmt: skip


def shown_by(verdicts) -> tuple[np.ndarray, np.ndarray]:
    """What the verdicts show at each reading, and where they say anything."""
    told = verdicts.word != CANNOT
    shown = np.where(told & (verdicts.word != "leave"), verdicts.deviation, 0.0)
    # of a doubtful reading only what its beam does as a whole is believed
    found = verdicts.findings
    whole = found.grouped.gather(found.whole_at_readings * verdicts.estimate.reading_error, np.zeros(len(shown)))
    return np.where(verdicts.word == DOUBTFUL, whole, shown), told


def ours(
    seeds, stage: str = "verdict", design: bool = False, reading_error=SIGMA, settings=None, **simulation
) -> Tally:
    """Stage A, or the verdict, on some decks; with counts of beams and slips named."""
    tally = Tally()
    for seed in seeds:
        deck = simulate(seed, **simulation)
        found = estimate(
            deck.tops, reading_error=reading_error, design=deck.design if design else None, **(settings or {})
        )
        if stage == "estimate":
            tally.deck(deck, found.fair, found.residual, np.ones(deck.tops.count, bool))
            continue
        verdicts = judge(deck.tops, found)
        tally.deck(deck, verdicts.fair, *shown_by(verdicts))
        count_beams(tally, deck, verdicts)
    return tally


def count_beams(tally: Tally, deck: SimulatedDeck, verdicts) -> None:
    """Beams found, missed and invented; slips named; readings to be planed because of a slip."""
    able = np.zeros(len(deck.tops.beam_names), bool)
    able[verdicts.findings.grouped.beams] = verdicts.findings.judgeable
    named = np.isin(verdicts.beam_word, [PLANE, PACK]) & (np.abs(verdicts.whole).max(axis=1) > 0) & able
    bad = np.isin(np.arange(len(able)), list(deck.beam_out))
    slip = deck.slip != 0
    worked = np.isin(verdicts.word, [PLANE, PACK])
    tally.add(beams_bad=(bad & able).sum(), beams_found=(named & bad & able).sum(), beams_good=(~bad & able).sum())
    tally.add(
        beams_invented=(named & ~bad).sum(), slips=slip.sum(), slips_named=(slip & (verdicts.word == DOUBTFUL)).sum()
    )
    tally.add(
        slips_worked=(slip & worked & (np.abs(deck.defect) < 1)).sum(),
        good_doubted=(~slip & (verdicts.word == DOUBTFUL)).sum(),
    )
    tally.add(again=(verdicts.word == "measure again").sum(), readings=len(slip))


# --- general-purpose smoothers, as a user would run them


def lines_of(deck: SimulatedDeck, points: int = 9):
    """Readings sorted into fore-and-aft lines by the nearest of so many even places across."""
    nearest = np.abs(deck.tops.eta[:, None] - np.linspace(-0.96, 0.96, points)).argmin(axis=1)
    for k in range(points):
        rows = np.flatnonzero(nearest == k)
        rows = rows[np.argsort(deck.tops.x[rows])]
        yield rows[np.concatenate([[True], np.diff(deck.tops.x[rows]) > 0])], rows


def smoothing_spline(deck: SimulatedDeck) -> np.ndarray:
    """scipy make_smoothing_spline on each line, penalty by cross-validation."""
    from scipy.interpolate import make_smoothing_spline

    fair = np.array(deck.tops.z)
    for rows, every in lines_of(deck):
        fair[every] = make_smoothing_spline(deck.tops.x[rows] / 1000, deck.tops.z[rows])(deck.tops.x[every] / 1000)
    return fair


def lowess(deck: SimulatedDeck) -> np.ndarray:
    """statsmodels lowess on each line, defaults."""
    from statsmodels.nonparametric.smoothers_lowess import lowess as smooth

    fair = np.array(deck.tops.z)
    for rows, every in lines_of(deck):
        fair[every] = smooth(deck.tops.z[rows], deck.tops.x[rows], xvals=deck.tops.x[every])
    return fair


def bivariate(deck: SimulatedDeck) -> np.ndarray:
    """scipy SmoothBivariateSpline, s = number of readings, weights 1/sigma."""
    from scipy.interpolate import SmoothBivariateSpline

    t = deck.tops
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns of its own knots
        spline = SmoothBivariateSpline(t.x / 1000, t.eta, t.z, w=np.full(t.count, 1 / SIGMA), s=t.count)
    return spline.ev(t.x / 1000, t.eta)


def thin_plate(deck: SimulatedDeck) -> np.ndarray:
    """scipy RBFInterpolator, thin plate; smoothing chosen knowing the truth, the best that it can do."""
    from scipy.interpolate import RBFInterpolator

    t = deck.tops
    points = np.column_stack([t.x / 1000, t.eta * 1.5])
    tries = [
        RBFInterpolator(points, t.z, kernel="thin_plate_spline", smoothing=s)(points)
        for s in (0.03, 0.1, 0.3, 1.0, 3.0)
    ]
    return min(tries, key=lambda fair: ((fair - deck.fair) ** 2).sum())


def polynomial(deck: SimulatedDeck) -> np.ndarray:
    """Bi-quintic polynomial in x and eta, Huber weights."""
    t = deck.tops
    u = (t.x - t.x.mean()) / np.ptp(t.x) * 2
    basis = np.polynomial.legendre.legvander2d(u, t.eta, (5, 5))
    weight = np.ones(t.count)
    for _ in range(50):
        fair = basis @ np.linalg.lstsq(basis * weight[:, None] ** 0.5, t.z * weight**0.5, rcond=None)[0]
        weight = np.minimum(1.0, 1.4 * SIGMA / np.maximum(np.abs(t.z - fair), 1e-9))
    return fair


SMOOTHERS = {
    "robust bi-quintic polynomial": polynomial,
    "scipy make_smoothing_spline per line, cross-validated": smoothing_spline,
    "scipy SmoothBivariateSpline, s = N": bivariate,
    "scipy RBFInterpolator thin plate, best s known": thin_plate,
    "statsmodels lowess per line, default": lowess,
}


def others(seeds, **simulation) -> dict[str, Tally]:
    """General-purpose smoothers on the same decks."""
    tallies = {name: Tally() for name in SMOOTHERS}
    for seed in seeds:
        deck = simulate(seed, **simulation)
        for name, smoother in SMOOTHERS.items():
            fair = smoother(deck)
            tallies[name].deck(deck, fair, deck.tops.z - fair, np.ones(deck.tops.count, bool))
    return tallies


def whole_beams(seeds, beams: int, points: int, count: int, **simulation) -> Tally:
    """Beams 3 to 6 mm out as a whole and nothing else."""
    faults = Faults(set_off=count, set_off_by=(3.0, 6.0), wrong_crown=0, twisted=0, bumps=0, slips=0, ends_spared=1)
    return ours(seeds, beams=beams, points=points, faults=faults, **simulation)


NOT_CARRIED = {
    "hull: fat pram, 4.4 m long and 3 m wide, one mould": {"beams": 12, "widest": 1500.0},
    "hull: powder horn sheer": {"shape": powder_horn},
    "hull: peaked camber": {"shape": peaked},
    "fault: two sagged beams": {"faults": Faults(sagged=2)},
    "fault: four knots": {"faults": Faults(knots=4)},
    "fault: clamp drops over four beams": {"faults": Faults(clamp_drop=1)},
    "half the beams out": {"faults": Faults(set_off=8, wrong_crown=1, twisted=1)},
    "readings only 3 to a beam": {"points": 3},
}


def main() -> None:
    """Print the tables."""
    seeds, few = USUAL, FEW
    head = f"{'':52s}{'rms mm':>8s}{'found':>8s}{'missed%':>8s}{'false%':>8s}{'silent%':>8s}"
    print(f"{len(seeds)} decks of 20 x 9, reading error .7 mm, 2 % slips of 8-30 mm; one mould\n" + head)
    print(ours(seeds).line("verdict, no design"))
    print(ours(seeds, design=True).line("verdict, imperfect design (8 mm wave)"))
    print(ours(seeds, reading_error=None).line("verdict, no design, reading error not known"))
    print(ours(seeds, proportional=True).line("verdict, no design, proportional camber"))
    print(ours(few).line(f"the first {len(few)} of them alone, no design"))
    print(ours(few, design=True).line(f"the first {len(few)} of them alone, imperfect design"))
    print(ours(seeds, "estimate").line("stage A only"))
    print(ours(seeds, "estimate", settings={"whole_beam": False}).line("stage A only, without whole-beam terms"))
    for name, tally in others(seeds).items():
        print(tally.line(name))
    tally = ours(seeds)
    c = tally.counts
    print(f"\nslips named {c['slips_named']} of {c['slips']}; told to measure again", end=" ")
    print(
        f"{tally.share('again', 'readings'):.1f} % of readings; beams found {c['beams_found']} of {c['beams_bad']},",
        end=" ",
    )
    print(f"invented {c['beams_invented']} of {c['beams_good']}")
    print(f"surface without the first and the last beam good to {tally.inner_rms:.2f} mm;", end=" ")
    print("of an end beam that is out the deck tells little, and it is called 'cannot tell from here'")
    clean = Faults(0, wrong_crown=0, twisted=0, bumps=0, slips=0)
    c = ours(few, faults=clean).counts
    print(f"clean decks: {c['beams_invented']} of {c['beams_good']} beams named,", end=" ")
    print(f"{c['again']} of {c['readings']} readings to measure again")
    print(f"\nBeams 3-6 mm out and nothing else, {len(few)} decks each: found / out, invented / good")
    for beams, points in ((12, 5), (12, 9), (16, 7), (20, 9), (26, 5), (26, 9)):
        cells = []
        for count in (1, 2, 3):
            c = whole_beams(few, beams, points, count).counts
            cells.append(f"{c['beams_found']}/{c['beams_bad']}, {c['beams_invented']}/{c['beams_good']}")
        print(f"{beams:4d} beams x {points}: " + "; ".join(f"{k + 1} out: {cell}" for k, cell in enumerate(cells)))
    print("on 12 beams, where two or three neighbours are out, the likelier explanation is at times the wrong one")
    print(f"\nWhat the model does not carry, {len(few)} decks each\n" + head)
    for name, simulation in NOT_CARRIED.items():
        print(ours(few, **simulation).line(name))


if __name__ == "__main__":
    sys.exit(main())
