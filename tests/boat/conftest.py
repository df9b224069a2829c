"""A small invented boat folder to damage, and a reader that checks that nothing in it is touched."""

from __future__ import annotations

from pathlib import Path

import pytest

from deckgeom.boat import Boat, read_boat

GOOD = {
    "boat.toml": """\
name = "Whimbrel"
place = "the long shed"
units = "mm"
planking = 15
deck = [6, 9]

[offsets]
accuracy = 2

[camber]
figure = "1:32 of beam"

[beams]
siding = 44
moulding = 70
mark = "middle"
""",
    "offsets.csv": """\
station,x,height,half_breadth
stem,0,900,0
1,900,820,420
2,1800,780,640
3,2700,790,560
""",
    "beams.csv": """\
beam,x,siding,fixed
1,600,,
2,1000,60,yes
3,1400,,
""",
    "readings.csv": """\
beam,side,y,height
1,port,200,842
1,,0,850
1,starboard,200,843
2,P,300,830
""",
    "lines.csv": """\
line,from,to,height_from,height_to,sag
wire,0,2700,1500,1480,3
""",
    "fittings.csv": """\
what,x,y,length,breadth
mast,1000,0,,
""",
    "figures.csv": """\
what,likely,unit
"paint or varnish, one coat",9,m2/L
""",
    "marks.csv": """\
mark,x,y,first,today
port forward,300,P 100,500,500
starboard forward,300,S 100,500,501
port aft,2400,P 500,500,500
starboard aft,2400,S 500,500,501
""",
}


@pytest.fixture
def read(tmp_path):
    """Write a good folder with some files changed (None leaves one out), read it, and check that it is as it was."""

    def reader(**changes) -> Boat:
        folder = tmp_path / "whimbrel"
        folder.mkdir()
        files = GOOD | {name.replace("_", "."): content for name, content in changes.items()}
        for name, content in files.items():
            if isinstance(content, bytes):
                (folder / name).write_bytes(content)
            elif content is not None:
                (folder / name).write_text(content, encoding="utf-8", newline="")
        before = snapshot(folder)
        boat = read_boat(folder)
        assert snapshot(folder) == before, "a file that a person typed was touched"
        return boat

    return reader


def snapshot(folder: Path) -> dict:
    """Bytes and time of every file below a folder."""
    return {
        str(path.relative_to(folder)): (path.stat().st_mtime_ns, path.read_bytes() if path.is_file() else None)
        for path in sorted(folder.rglob("*"))
    }


@pytest.fixture
def lines():
    """Complaints of one kind as the lines that a person sees."""

    def said(boat: Boat, kind: str = "mend") -> list[str]:
        return [str(complaint) for complaint in boat.complaints if complaint.kind == kind]

    return said
