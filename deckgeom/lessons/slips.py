"""The slips that every class makes: what happened, for the teacher, and what the learner is told."""

from __future__ import annotations

from typing import NamedTuple


class Known(NamedTuple):
    """
    A slip in words.

    Parameters
    ----------
    happened : str
        What went wrong, for the teacher.
    says : str
        What the learner is told: where to look, never the answer.

    Examples
    --------
    >>> KNOWN_SLIPS["plus ignored"].happened
    'The + after the eighths was passed over: it is a sixteenth more.'
    """

    happened: str
    says: str


#: Common practice, no source: what teachers of the trade warn of.
KNOWN_SLIPS = {
    "half-beam for beam": Known(
        "The half-breadth was taken for the breadth, or the other way about: out by a factor of two.",
        "Beam or half-beam? Read again which of the two the figure is meant for.",
    ),
    "per foot of half-beam": Known(
        "A crown per foot of beam was multiplied by the feet of half-beam.",
        "The figure is per foot of the whole beam. How many feet did you multiply by?",
    ),
    "radius without half the camber": Known(
        "The radius was taken as B squared over 8 h, without h over 2 added.",
        "Your radius is a little short. The formula has a second, smaller term.",
    ),
    "whole beam squared": Known(
        "In the parabola the distance was divided by the whole beam before it was squared, not by the half-beam.",
        "What is the distance divided by before it is squared?",
    ),
    "from the edge": Known(
        "Distances were counted from the deck edge, not from the centreline.",
        "From where did you measure across: from the edge or from the centreline?",
    ),
    "eighths read as decimals": Known(
        "The eighths were read as tenths of an inch.",
        "Look at the last figure: the table gives feet, inches and eighths. Four eighths are half an inch.",
    ),
    "plus ignored": Known(
        "The + after the eighths was passed over: it is a sixteenth more.",
        "There is a small sign after the last figure. It stands for something.",
    ),
    "25 for 25.4": Known(
        "Inches were multiplied by 25 and not by 25.4.",
        "You are out by about one and a half in a hundred. What is an inch in millimetres, to the tenth?",
    ),
    "ply added": Known(
        "The deck's thickness was added where it must be taken off.",
        "Is the top of the beam above or below the top of the deck?",
    ),
    "ply left on": Known(
        "The deck's thickness was not taken off.",
        "Which surface is the printed height taken to, and which one is asked for?",
    ),
    "sides swapped": Known(
        "Port was read for starboard.",
        "Which side did you read?",
    ),
    "pack for plane": Known(
        "Plane and pack were exchanged: the sign of the gap was read the wrong way.",
        "Right place, wrong way. Is the wood above the batten or below it?",
    ),
    "true neighbour corrected": Known(
        "The true beam beside the wrong one was corrected, because it looks wrong against it.",
        "It looks wrong, but against what? Lay the batten over the beams further off as well.",
    ),
    "vertical heights": Known(
        "In the quarter-circle upright heights were taken from the arc, not the slanting lengths.",
        "Along which line is the length taken: upright, or from division to division?",
    ),
    "next line": Known(
        "The line above or below in the table was read.",
        "Put a rule under the line that you read.",
    ),
    "wrong direction": Known(
        "Right amount, wrong direction.",
        "The amount is right. Which way does it go?",
    ),
    "the difference forgotten": Known(
        "The gap was given from the level line, not from the batten.",
        "From which line is the gap measured?",
    ),
    "wrong rule": Known(
        "The camber was worked out by another of the three rules.",
        "Which of the three rules is asked for here?",
    ),
    "rise over a foot or metre": Known(
        "The rise over a whole foot or metre was given, not the rise over the beam's siding.",
        "How wide is the beam fore and aft? The bevel runs over that only.",
    ),
    "layers not squared": Known(
        "The spring-back was taken as one part in n, not one part in n squared.",
        "What is done with the number of layers before it is divided into one?",
    ),
    "spring-back taken off": Known(
        "The jig was made flatter where it must be rounder.",
        "When the clamps come off, does the beam go flatter or rounder? So how must the jig be?",
    ),
    "half the deck": Known(
        "One side was worked out and not doubled.",
        "Does your figure hold for both sides of the boat?",
    ),
    "both sides": Known(
        "Both sides were worked out where one is asked for.",
        "One side or both? Read again what is asked.",
    ),
    "laps forgotten": Known(
        "The breadth was divided by the cloth's width without the laps.",
        "Each strip lies on its neighbour by the lap. How much new deck does a strip cover?",
    ),
    "rounded down": Known(
        "The count was rounded down.",
        "What is left over still has to be covered.",
    ),
}
