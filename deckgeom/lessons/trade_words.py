"""Words of the trade, with what else they are called: the glossary of the workbook and of the class."""

from __future__ import annotations

__all__ = ["TRADE_WORDS"]

#: Word, what else it is called, and what it means: common practice, no source.
TRADE_WORDS = (
    ("batten", "", "a straight-grained strip of wood that is bent along marks to draw or to see a fair curve"),
    ("beam mould", "crown pattern", "the pattern that beams are marked out from"),
    ("base line", "", "the level line from which all heights are measured upwards"),
    ("bevel", "", "the angle by which an edge is off square; standing is outside a square, under is inside"),
    ("camber", "round of beam, crown", "how much a beam's middle stands above the line that joins its ends"),
    ("carlin", "carling", "a timber fore-and-aft between beams, along a hatch or a deckhouse"),
    ("clamp", "shelf", "the timber inside the hull that the beam ends rest on"),
    ("covering board", "plank sheer", "the outermost plank of the deck, over the top of the hull side"),
    ("crown line", "", "the line that the crowns of all beams make along the boat, seen from the side"),
    ("fair", "", "of a curve: without humps, hollows or flats, as the eye sees it along a batten"),
    ("fore, aft", "forward, after", "towards the bow, towards the stern"),
    ("flare", "", "how far the hull's side leans out going up"),
    ("half-beam", "half-breadth", "from the centreline of the boat out to the end of the beam"),
    ("hump", "", "where a curve stands above the batten or straight edge that it should lie along"),
    ("jig", "form", "what the strips of a glued beam are bent over"),
    ("king plank", "", "the plank on the centreline of the deck"),
    ("moulding", "moulded depth", "a timber's up-and-down size"),
    ("offset", "", "a height or half-breadth of the hull at a station, as written in the table"),
    ("pack, plane", "", "to lay a thin piece on; to take wood off"),
    ("sheer", "sheer line", "the line of the deck edge"),
    ("siding", "sided breadth", "a timber's fore-and-aft size"),
    ("spile", "", "to take the shape of a curved edge by offsets from a straight line or a batten"),
    ("spring-back", "", "how much of its camber a laminated beam loses when it comes out of the jig"),
    ("station", "section, mould", "a place along the boat where the hull was measured"),
)
