"""
What to buy: amounts with spares, rounded up to tins and boxes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from deckgeom.laying.glue import total
from deckgeom.laying.quantities import Band

__all__ = ["Need", "Purchase", "shopping", "tins_for"]


def tins_for(amount: float, sizes: Sequence[float]) -> dict[float, int]:
    """
    Tins that hold at least an amount, with the least left over and then the fewest tins.

    Parameters
    ----------
    amount : float
        [L] or pieces
    sizes : sequence of float
        Of tins or boxes on sale, in the same unit. [L]

    Returns
    -------
    dict of float to int
        How many of each size, largest first, none left out of those bought.

    Examples
    --------
    >>> tins_for(6.2, (1, 5))
    {5: 1, 1: 2}
    """
    if not sizes or not all(0 < size < math.inf for size in sizes) or not 0 <= amount < math.inf:
        raise ValueError(
            f"{amount:g} in tins of {', '.join(f'{size:g}' for size in sizes) or 'no size'}: sizes are above 0. Name "
            "at "
            "least one that the shop sells."
        )
    units = [round(size * 1000) for size in sizes]
    step = math.gcd(*units) if min(units) else 0
    if not step or amount * 1000 / step > 2_000_000:
        raise ValueError(f"{amount:g} in tins of {min(sizes):g}: too many to count. Is the size in another unit?")
    small = [unit // step for unit in units]
    wanted = math.ceil(round(amount * 1000, 6) / step - 1e-9)
    bulk = max(0, wanted // max(small) - max(small))
    least: list[tuple[int, int] | None] = [(0, -1)]
    rest = wanted - bulk * max(small)
    for volume in range(1, rest + max(small) + 1):
        ways = [(before[0] + 1, k) for k, s in enumerate(small) if volume >= s and (before := least[volume - s])]
        least.append(min(ways, key=lambda way: (way[0], -small[way[1]])) if ways else None)
    volume = next(v for v in range(rest, len(least)) if least[v])
    counts = dict.fromkeys(sorted(sizes, reverse=True), 0)
    counts[max(sizes)] += bulk
    while volume:
        _, k = least[volume]
        counts[sizes[k]] += 1
        volume -= small[k]
    return {size: count for size, count in counts.items() if count}


@dataclass(frozen=True)
class Need:
    """
    Something to buy.

    Parameters
    ----------
    product : str
        The same name for all that comes out of the same tin.
    band : Band
    sizes : tuple of float
        Of tins or boxes on sale, in the band's unit. [L]
    spare : float
        Part of the likely amount on top, for what stays in pots and brushes. [1]

    Examples
    --------
    >>> Need("epoxy", Band(2, 3, 4, "litres", "skins"), (1, 5)).spare
    0.1
    """

    product: str
    band: Band
    sizes: tuple[float, ...]
    spare: float = 0.1

    def __post_init__(self) -> None:
        if not 0 <= self.spare <= 2:
            raise ValueError(f"{self.product!r}: a spare of {self.spare:g}: it is a part, such as 0.1. Is it in "
                "percent?")


@dataclass(frozen=True)
class Purchase:
    """
    One line of the shopping list.

    Parameters
    ----------
    product : str
    band : Band
        In all, without spares.
    with_spare : float
        Likely amount and spare: what the tins hold at least. [L]
    tins : dict of float to int
        Size [L] to count.
    if_high : dict of float to int
        More tins, size [L] to count, should it turn out high.

    Examples
    --------
    >>> (line,) = shopping([Need("epoxy", Band(2, 3, 7, "litres", "skins"), (1, 5))])
    >>> line.words()
    'epoxy: buy 4 of 1 (4 litres). Likely 3 litres (2 to 7): skins; with spares 3.3. Should it turn out high: 3 of 1
    more.'
    """

    product: str
    band: Band
    with_spare: float
    tins: dict[float, int]
    if_high: dict[float, int]

    @property
    def bought(self) -> float:
        """In all. [L]"""
        return sum(size * count for size, count in self.tins.items())

    def words(self, units: str = "mm") -> str:
        """In sentences."""
        tins = lambda counts: " and ".join(f"{count} of {size:g}" for size, count in counts.items())  # noqa: E731
        high = f" Should it turn out high: {tins(self.if_high)} more." if self.if_high else ""
        return (
            f"{self.product}: buy {tins(self.tins) or 'none'} ({self.bought:g} {self.band.unit}). Likely "
            f"{self.band.words()}; "
            f"with spares {self.with_spare:.4g}.{high}"
        )


def shopping(needs: Sequence[Need]) -> tuple[Purchase, ...]:
    """
    One line for each product, in the order first named.

    Parameters
    ----------
    needs : sequence of Need

    Returns
    -------
    tuple of Purchase

    Examples
    --------
    >>> needs = [Need("screws", Band(180, 180, 180, "pieces", "edges"), (100, 200))]
    >>> shopping(needs)[0].tins
    {200: 1}
    """
    lines = []
    for product in dict.fromkeys(need.product for need in needs):
        same = [need for need in needs if need.product == product]
        sizes = same[0].sizes
        if any(need.sizes != sizes for need in same):
            raise ValueError(f"{product!r} in tins of different sizes: give one list of sizes to all of its lines.")
        band = total([need.band for need in same], "; ".join(need.band.basis for need in same))
        wanted = round(sum(need.band.likely * (1 + need.spare) for need in same), 6)
        tins = tins_for(wanted, sizes)
        short = band.high - sum(size * count for size, count in tins.items())
        lines.append(Purchase(product, band, wanted, tins, tins_for(short, sizes) if short > 1e-9 else {}))
    return tuple(lines)
