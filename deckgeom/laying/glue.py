"""
Glue and resin by layer: low, likely and high, each with what it counts; the figure from the user's own tin wins.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from deckgeom.laying.quantities import Band
from deckgeom.tables import table

__all__ = ["AMOUNT_UNITS", "Layer", "amount", "figures", "total"]

#: Units of a figure that an amount follows from.
AMOUNT_UNITS = ("m2/L", "L/m2", "mm", "kg/kg")


def figures(own: Sequence[Mapping] = ()) -> dict[str, dict]:
    """
    Every figure for coatings, glue and resin, by what it is for.

    Parameters
    ----------
    own : sequence of mapping
        The user's own rows, with ``what``, ``low``, ``likely``, ``high``, ``unit``, ``counts``, ``source``, ``seen``:
        each takes the place of a row of the same name.

    Returns
    -------
    dict of str to dict
        Tables "coverage" and "resin" and the user's own, low, likely and high as numbers in the row's unit.

    Examples
    --------
    >>> figures()["film time over pot time"]["likely"]
    4.5
    """
    rows = {}
    for row in table("coverage"):
        numbers = {k: float(row[f"{k}_m2_per_litre"]) for k in ("low", "likely", "high")}
        rows[row["what"]] = {**row, **numbers, "unit": "m2/L", "counts": ""}
    for row in (*table("resin"), *own):
        rows[row["what"]] = {"counts": "", **row, **{k: float(row[k]) for k in ("low", "likely", "high")}}
    return rows


@dataclass(frozen=True)
class Layer:
    """
    One layer of glue, resin or coating.

    Parameters
    ----------
    name : str
        What it is called on the cards.
    area : float
        What it goes on, one face. [m2]
    what : str
        A row of `figures`.
    coats : int
        How often.
    cloth : float or None
        Mass of the dry cloth, for the rows that count resin to cloth. [g/m2]
    own : float or None
        What a litre covers by your own tin: takes the place of the row. [m2/L]

    Examples
    --------
    >>> amount(Layer("skin to skin", 9.0, "epoxy, spread for gluing skins")).likely
    3.0
    """

    name: str
    area: float
    what: str
    coats: int = 1
    cloth: float | None = None
    own: float | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.area < math.inf or self.coats < 1:
            raise ValueError(
                f"layer {self.name!r}: {self.coats} coats on {self.area:g} m2: an area is nought or more and there is "
                "at "
                "least one coat. Is a figure left out?"
            )
        for value, words in ((self.own, "m2 to the litre by your tin"), (self.cloth, "g/m2 of cloth")):
            if value is not None and not 0 < value < math.inf:
                raise ValueError(f"layer {self.name!r}: {value:g} {words}: it is above 0. Leave it out if unknown.")


def amount(layer: Layer, own: Sequence[Mapping] = ()) -> Band:
    """
    Litres in a layer.

    Parameters
    ----------
    layer : Layer
    own : sequence of mapping
        The user's own rows, as in `figures`.

    Returns
    -------
    Band
        [L]

    Notes
    -----
    With the area A, n coats and a figure f: A n / f where f is coverage [m2/L]; A n f for litres to the m2 and for a
    thickness in mm, as 1 mm on 1 m2 is a litre; A n f m / d for resin to cloth of the mass m with the density d of
    resin.

    Examples
    --------
    >>> amount(Layer("cloth", 10.0, "glass cloth, wetting out", cloth=220)).words().split(":")[0]
    '2 litres (1.53 to 2.72)'
    """
    rows = figures(own)
    if layer.own:
        value = round(layer.area * layer.coats / layer.own, 2)
        return Band(value, value, value, "litres", f"{layer.name}: {layer.own:g} m2 to the litre by your own tin")
    row = rows.get(layer.what)
    if row is None or row["unit"] not in AMOUNT_UNITS:
        known = "; ".join(what for what, each in rows.items() if each["unit"] in AMOUNT_UNITS)
        raise ValueError(f"{layer.what!r} is not among the figures for amounts: there are {known}. Name one of these.")
    times = layer.area * layer.coats
    values = [row[key] for key in ("low", "likely", "high")]
    if row["unit"] == "m2/L":
        litres = [times / each for each in reversed(values)]
    elif row["unit"] == "kg/kg":
        litres = _in_cloth(layer, times, values, rows["density of mixed epoxy"])
    else:
        litres = [times * each for each in values]
    counted = f", counting {row['counts']}" if row["counts"] else ""
    basis = f"{layer.name}: {layer.what}, {layer.coats} times{counted} ({row['source']}, {row['seen']})"
    return Band(*(round(each, 2) for each in litres), "litres", basis)


def _in_cloth(layer: Layer, times: float, ratios, density) -> list[float]:
    if layer.cloth is None:
        raise ValueError(
            f"layer {layer.name!r}: {layer.what!r} counts resin to cloth and the cloth's mass is missing. Give cloth "
            "in "
            "grams to the square metre, as on its label (an ounce to the square yard is 33.9)."
        )
    kilos = times * layer.cloth / 1000
    by = [density[key] for key in ("high", "likely", "low")]
    return [kilos * ratio / d for ratio, d in zip(ratios, by, strict=True)]


def total(bands: Sequence[Band], basis: str = "all layers, each at its own low, likely and high") -> Band:
    """
    Several amounts in one.

    Parameters
    ----------
    bands : sequence of Band
        In one unit.
    basis : str

    Returns
    -------
    Band

    Examples
    --------
    >>> total([Band(1, 2, 3, "litres", ""), Band(0.5, 1, 2, "litres", "")], "both").words()
    '3 litres (1.5 to 5): both'
    """
    units = {band.unit for band in bands}
    if len(units) != 1:
        raise ValueError(f"amounts in {', '.join(sorted(units)) or 'no unit'}: only those in one unit add up.")
    sums = (round(sum(getattr(band, key) for band in bands), 2) for key in ("low", "likely", "high"))
    return Band(*sums, units.pop(), basis)
