"""
The picture on the first page, made from the demo boat by the workbook's own drawing.

    python -m tests.readme_picture        writes it anew
"""

from __future__ import annotations

from pathlib import Path

from deckgeom import do_job, read_boat
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.plan import draw_plan

TOP = Path(__file__).parents[1]
PICTURE = TOP / "notebooks" / "plane_here_pack_there.svg"


def picture() -> Picture:
    """The demo boat's deck from above, with what is to be done at each reading."""
    job = do_job(read_boat(TOP / "notebooks" / "boats" / "thimblewick"))
    done = job.fairing
    return draw_plan(done.verdicts, job.sheer, job.boat.units, done.plan, job.boat.fittings)


if __name__ == "__main__":
    PICTURE.write_text(picture().svg() + "\n", encoding="utf-8")
    print(f"{PICTURE.relative_to(TOP)}: {picture().alt}")
