"""
A way of laying a deck: its layers from the lowest up.
"""

from __future__ import annotations

from dataclasses import dataclass

from deckgeom.units import format_length

__all__ = ["KINDS", "DeckLayer", "Way"]

KINDS = ("planks", "ply", "cloth")
"""What a layer may be."""


@dataclass(frozen=True)
class DeckLayer:
    """
    One layer of a deck.

    Parameters
    ----------
    kind : {"planks", "ply", "cloth"}
    thickness : float
        As measured; of cloth with its resin. [mm]
    width : float
        Of a plank with its seam. [mm]
    lay : {"straight", "sprung"}
        Planks along the boat, or round with the covering board.
    king, covering_board : float
        Widths; 0 for none. [mm]

    Examples
    --------
    >>> DeckLayer("planks", 9.5, width=50.0).words()
    'planks 10 mm, 50 mm wide, straight'
    """

    kind: str
    thickness: float = 0.0
    width: float = 0.0
    lay: str = "straight"
    king: float = 0.0
    covering_board: float = 0.0

    def words(self, units: str = "mm") -> str:
        """
        What the layer is.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}

        Returns
        -------
        str
        """
        say = [f"{self.kind} {format_length(self.thickness, units)}" if self.thickness else self.kind]
        if self.kind == "planks":
            say += [f"{format_length(self.width, units)} wide", self.lay]
            say += [f"king plank {format_length(self.king, units)}"] if self.king else []
            say += [f"covering board {format_length(self.covering_board, units)}"] if self.covering_board else []
        return ", ".join(say)


@dataclass(frozen=True)
class Way:
    """
    One way of laying the deck.

    Parameters
    ----------
    name : str
    layers : tuple of DeckLayer
        The lowest first.

    Examples
    --------
    >>> Way("two skins", (DeckLayer("ply", 6.0), DeckLayer("ply", 6.0), DeckLayer("cloth"))).thickness
    12.0
    """

    name: str
    layers: tuple[DeckLayer, ...]

    @property
    def thickness(self) -> float:
        """Of all its wood. [mm]"""
        return sum(layer.thickness for layer in self.layers if layer.kind != "cloth")

    def words(self, units: str = "mm") -> str:
        """
        Its layers in one sentence.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}

        Returns
        -------
        str
        """
        return f"{self.name}: {'; then '.join(layer.words(units) for layer in self.layers)}."
