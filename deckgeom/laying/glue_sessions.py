"""
Glue-ups that fit the time that the glue leaves and the hands there are, with a card for each.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from deckgeom.laying.dry_fit_screws import weight_words
from deckgeom.laying.glue_time import Batches, Crew, Tin, WorkingTime, batches, working_time
from deckgeom.laying.paint_area import area_words
from deckgeom.laying.quantities import Band

__all__ = ["CAUTIONS", "GlueCard", "Part", "glue_cards"]

CAUTIONS = (
    "Epoxy makes skin allergic for good: gloves, sleeves, no solvent on skin, fresh air.",
    "Mix small and spread it out at once. A pot of 100 g can pass 200 degC: carry a hot pot outside and leave it "
    "there.",
    "Wash cured epoxy with water before sanding, and wear a mask for the dust.",
    "What the tin and local rules say comes first.",
)


@dataclass(frozen=True)
class Part:
    """
    One plank, panel or strip of cloth to glue down.

    Parameters
    ----------
    name : str
    area : float
        Of glue, one face. [m2]
    fastenings : int
        Driven before the glue sets.
    place : float
        To lift it and lay it in place. [min]
    how : str
        What to see to while it goes down.
    temporary : int
        Screws with washers that hold it until the glue or bedding has set.
    weight : float
        On it, in their place. [kg]

    Examples
    --------
    >>> Part("panel 2", 2.4, fastenings=90).place
    5.0
    """

    name: str
    area: float
    fastenings: int = 0
    place: float = 5.0
    how: str = ""
    temporary: int = 0
    weight: float = 0.0

    def __post_init__(self) -> None:
        if not (self.area > 0 and min(self.fastenings, self.place, self.temporary, self.weight) >= 0):
            raise ValueError(
                f"{self.name!r}: {self.area:g} m2 of glue, {self.fastenings} fastenings, {self.place:g} minutes to "
                "place: the "
                "area is above 0 and the others are nought or more. Is the area in mm2, or left blank?"
            )


@dataclass(frozen=True)
class GlueCard:
    """
    One glue-up. Made by `glue_cards`.

    Parameters
    ----------
    number : int
    parts : tuple of Part
    glue : Band
        [L]
    batches : Batches
        For the likely amount.
    minutes : float
        From the first glue spread to the last fastening. [min]
    time : WorkingTime
    people : int
    remedy : str
        What makes it fit; empty where it fits.

    Examples
    --------
    >>> (card,) = glue_cards([Part("panel", 2.0, 60)], 3.0, Tin(20, 25), 20, Crew(3))
    >>> card.fits, round(card.minutes), card.batches.count
    (True, 19, 2)
    """

    number: int
    parts: tuple[Part, ...]
    glue: Band
    batches: Batches
    minutes: float
    time: WorkingTime
    people: int
    remedy: str = ""

    @property
    def area(self) -> float:
        """[m2]"""
        return sum(part.area for part in self.parts)

    @property
    def fastenings(self) -> int:
        """Driven before the glue sets."""
        return sum(part.fastenings for part in self.parts)

    @property
    def temporary(self) -> int:
        """Screws with washers, drawn again when it has set."""
        return sum(part.temporary for part in self.parts)

    @property
    def weight(self) -> float:
        """In place of the temporary screws. [kg]"""
        return sum(part.weight for part in self.parts)

    @property
    def fits(self) -> bool:
        """Whether all is fastened within the shortest time that the glue may leave."""
        return not self.remedy

    def order_of_work(self, units: str = "mm") -> tuple[str, ...]:
        """Steps, in order."""
        down = [f"Spread {part.name} ({area_words(part.area, units)}), lay it, {_held(part, units)}. {part.how}".strip()
                for part in self.parts]  # fmt: skip
        return (
            "Try every piece dry, with its screws, clamps and weights at hand; mask what is to stay clean.",
            "Vacuum and wipe both faces; have gloves, rags, spare pots and a timer ready.",
            f"Mix {self.batches.words(units)} Start the timer with the first glue spread.",
            *down,
            "Look for glue squeezed out all along every edge; where there is none, press there.",
            "Scrape off what squeezed out, lift the masking before the glue is hard, and look once more after 20 "
            "minutes.",
        )

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """The card in sentences, cautions last."""
        names = ", ".join(part.name for part in self.parts)
        screws = f", {self.fastenings} fastenings" if self.fastenings else ""
        screws += f", {self.temporary} temporary screws with washers" if self.temporary else ""
        return (
            f"Glue-up {self.number}: {names}. {area_words(self.area, units)}{screws}, {self.people} "
            f"{'person' if self.people == 1 else 'people'}.",
            f"Glue: {self.glue.words()}",
            self.time.words(units),
            f"About {self.minutes:.0f} minutes from the first glue to the last fastening; it must be done within "
            f"{self.time.film[0]:.0f}.",
            *([self.remedy] if self.remedy else []),
            *(f"{k}. {step}" for k, step in enumerate(self.order_of_work(units), 1)),
            *CAUTIONS,
        )


def _held(part: Part, units: str) -> str:
    if part.fastenings:
        return f"drive {part.fastenings} fastenings"
    if part.temporary:
        return f"set {part.temporary} temporary screws, or weight it with about {weight_words(part.weight, units)}"
    return "weight it or clamp it"


def glue_cards(
    parts: Sequence[Part],
    covers: float | tuple[float, float, float],
    tin: Tin,
    degc: float,
    crew: Crew = Crew(),  # noqa: B008
    largest: float = 0.5,
    together: bool = True,
    most_minutes: float = 240.0,
    own=(),
) -> tuple[GlueCard, ...]:
    """
    Part the work into the fewest glue-ups, in the order given.

    Parameters
    ----------
    parts : sequence of Part
        In the order in which they go down.
    covers : float or (float, float, float)
        What a litre covers: by your own tin, or low, likely and high. [m2/L]
    tin : Tin
    degc : float
        The warmer of shed and resin. [degC]
    crew : Crew
    largest : float
        Batch. [L]
    together : bool
        The parts of a glue-up share one film of glue, and the last is fastened before the first has set. Otherwise each
        is spread, laid and fastened by itself before the next is spread.
    most_minutes : float
        That the hands work at a stretch. [min]
    own : sequence of mapping
        The user's own rows, as in `figures`.

    Returns
    -------
    tuple of GlueCard

    Notes
    -----
    Time is spreading by all but the mixer, laying, driving, and mixing as far as nobody does it alone. Each glue-up
    takes as many of the next parts as fit the shorter film time: no other way takes fewer.

    Examples
    --------
    >>> parts = [Part(f"plank {k}", 0.6, 30) for k in range(1, 7)]
    >>> [len(card.parts) for card in glue_cards(parts, 3.0, Tin(15, 25), 25, Crew(2))]
    [5, 1]
    """
    if not parts:
        raise ValueError("no part to glue: give at least one plank or panel.")
    values = (covers,) * 3 if isinstance(covers, int | float) else tuple(covers)
    if not all(0 < each < math.inf for each in values) or not most_minutes > 0:
        raise ValueError(
            f"a litre that covers {', '.join(f'{v:g}' for v in values)} m2, {most_minutes:g} minutes at a stretch: "
            "each is "
            "above 0. Is one left blank?"
        )
    time = working_time(tin, degc, own)
    left, cards = list(parts), []
    while left:
        count = 1
        while count < len(left) and _fits(left[: count + 1], values, time, crew, largest, together, most_minutes):
            count += 1
        now, left = tuple(left[:count]), left[count:]
        alone = _fits(now, values, time, crew, largest, together, math.inf)
        card = _card(len(cards) + 1, now, values, time, crew, largest)
        cards.append(card if alone else replace(card, remedy=_remedy(now[0], values, tin, time, crew, largest, own)))
    return tuple(cards)


def _litres(parts, values) -> tuple[float, float, float]:
    area = sum(part.area for part in parts)
    return tuple(area / each for each in sorted(values, reverse=True))


def _minutes(parts, values, time: WorkingTime, crew: Crew, largest: float) -> float:
    """From the first glue to the last fastening; the first batch is mixed before."""
    area = sum(part.area for part in parts)
    count = batches(_litres(parts, values)[1], area, time, crew, largest).count
    mixing = 0.0 if crew.people >= 3 else (count - 1) * crew.mix / crew.people
    spreading = area / (crew.spread * crew.workers)
    driving = sum(part.fastenings + part.temporary for part in parts) / (crew.drive * crew.workers)
    return mixing + spreading + driving + sum(part.place for part in parts)


def _fits(parts, values, time, crew, largest, together: bool, most: float) -> bool:
    film = time.film[0]
    whole = _minutes(parts, values, time, crew, largest)
    if together:
        return whole <= min(film, most) + 1e-9
    return whole <= most + 1e-9 and all(_minutes([p], values, time, crew, largest) <= film + 1e-9 for p in parts[-1:])


def _card(number: int, parts, values, time, crew, largest) -> GlueCard:
    litres = _litres(parts, values)
    own = len(set(values)) == 1
    covers = f"{values[0]:g} m2 to the litre" if own else f"{max(values):g} to {min(values):g} m2 to the litre"
    area = sum(part.area for part in parts)
    pots = batches(litres[1], area, time, crew, largest)
    glue = Band(*(round(each, 2) for each in litres), "litres", covers)
    return GlueCard(number, tuple(parts), glue, pots, _minutes(parts, values, time, crew, largest), time, crew.people)


def _remedy(part: Part, values, tin: Tin, time: WorkingTime, crew: Crew, largest: float, own) -> str:
    """What would make a part fit that does not fit by itself."""
    ways = []
    hands = [n for n in range(crew.people + 1, 13) if _fits([part], values, time, replace(crew, people=n), largest,
    True,
                                                            math.inf)]  # fmt: skip
    if hands:
        ways.append(f"{hands[0]} people")
    for degc in range(math.ceil(time.degc) - 1, 9, -1):
        if _fits([part], values, working_time(tin, degc, own), crew, largest, True, math.inf):
            ways.append(f"{degc} degC instead of {time.degc:.0f}, if the tin allows it")
            break
    ways.append("a slower hardener")
    ways.append("the piece in two")
    minutes = _minutes([part], values, time, crew, largest)
    return (
        f"{part.name} takes {minutes:.0f} minutes and the glue may leave {time.film[0]:.0f}: do not start like this. "
        f"What helps: {', or '.join(ways)}."
    )
