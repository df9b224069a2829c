"""Damage to whole files: encodings, line ends, separators, sizes, and other things in their place."""

from __future__ import annotations

import os
import re
import struct
import zlib

from deckgeom.boat import FILES
from tests.damaged.folders import both, content, heading, path, text

TABLES = [name for name in FILES if name.endswith(".csv")]

PNG = (
    b"\x89PNG\r\n\x1a\n"
    + struct.pack(">I", 13)
    + b"IHDR"
    + bytes(13)
    + struct.pack(">I", zlib.crc32(b"IHDR" + bytes(13)))
)
KINDS = {
    "png": (PNG, "a picture"),
    "zip": (b"PK\x03\x04" + bytes(range(256)), "a spreadsheet's own format"),
    "ole": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(500), "an old spreadsheet's own format"),
    "pdf": (b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n1 0 obj\n<<>>\nendobj\n", "a PDF"),
    "random": (bytes((k * 7919 + k * k) % 256 for k in range(3000)), "bytes at random"),
    "nuls": (bytes(2000), "a disk that failed"),
    "html": (b"<!DOCTYPE html>\n<html><body><table><tr><td>1</td></tr></table></body></html>\n", "a page from the net"),
}


def _semicolons(words: str) -> str:
    lines = words.split("\n")
    return "\n".join(line if line.startswith("#") else line.replace(",", ";") for line in lines)


def _many(words: str, count: int, make) -> str:
    lines = words.split("\n")
    return "\n".join([*lines[: heading(lines) + 1], *(make(k) for k in range(count))]) + "\n"


def _mixed(words: str) -> str:
    ends = ("\n", "\r\n", "\r")
    return "".join(line + ends[k % 3] for k, line in enumerate(words.rstrip("\n").split("\n")))


def _nul_in_cell(data: bytes) -> bytes:
    return re.sub(rb"([0-9])\n", lambda found: found[1] + b"\x00\n", data, count=1)


DAMAGES = [
    *((f"{name}-missing", "demo", "taken away", path(name, lambda target: None)) for name in ("boat.toml",
        "offsets.csv", "beams.csv", "lines.csv")),
    *((f"{name}-empty", "demo", "emptied", content(name, lambda data: b"")) for name in FILES),
    *((f"{name}-heading-only", "demo", "rows taken out", text(name,
        lambda t: _many(t, 0, str))) for name in TABLES[:6]),
    *((f"{name}-no-heading", "demo", "heading taken out",
       text(name, lambda t: "\n".join(t.split("\n")[heading(t.split("\n")) + 1 :]))) for name in TABLES[:6]),
    *((f"{name}-comments-only", "demo", "all commented out", text(name,
        lambda t: re.sub("(?m)^", "# ", t))) for name in FILES[:2]),
    *((f"{name}-folder", "demo", "a folder in its place", path(name, lambda target: target.mkdir())) for name in FILES),
    *((f"offsets.csv-{kind}", "demo", words, content("offsets.csv", lambda data, new=new: new)) for kind,
        (new, words) in KINDS.items()),
    *((f"boat.toml-{kind}", "demo", words, content("boat.toml", lambda data, new=new: new)) for kind,
        (new, words) in KINDS.items()),
    *((f"{name}-{word}", "demo", words, content(name, change)) for name in ("offsets.csv", "boat.toml") for word,
        words, change in (
        ("utf-16", "UTF-16", lambda d: d.decode().encode("utf-16")),
        ("utf-16-be", "UTF-16, big end first", lambda d: b"\xfe\xff" + d.decode().encode("utf-16-be")),
        ("utf-16-no-mark", "UTF-16 without a mark", lambda d: d.decode().encode("utf-16-le")),
        ("utf-16-cut", "UTF-16 with its last byte lost", lambda d: d.decode().encode("utf-16")[:-1]),
        ("utf-32", "UTF-32", lambda d: d.decode().encode("utf-32")),
        ("bom", "a mark before UTF-8", lambda d: b"\xef\xbb\xbf" + d),
        ("two-boms", "two marks before UTF-8", lambda d: b"\xef\xbb\xbf" * 2 + d),
        ("crlf", "CR LF", lambda d: d.replace(b"\n", b"\r\n")),
        ("cr", "CR alone", lambda d: d.replace(b"\n", b"\r")),
        ("mixed-ends", "all kinds of line end", lambda d: _mixed(d.decode()).encode()),
        ("latin-1", "Latin-1", lambda d: d.replace(b"# ", "# \u00e9t\u00e9 ".encode("latin-1"), 1)),
        ("broken-utf-8", "a byte that is no UTF-8", lambda d: d.replace(b"# ", b"# \xff\xc3 ", 1)),
        ("no-last-end", "no line end at the end", lambda d: d.rstrip(b"\n")),
        ("cut-short", "cut in the middle of a line", lambda d: d[: re.search(rb"in per ft|4-3-1", d).start()]),
    )),
    ("offsets.csv-nul-in-cell", "demo", "a NUL byte in a cell", content("offsets.csv", _nul_in_cell)),
    ("boat.toml-nul", "demo", "a NUL byte in a text", content("boat.toml",
        lambda d: d.replace(b"Thimble", b"Thim\x00ble"))),
    ("offsets.csv-ctrl-z", "demo", "the mark of an old end of file", content("offsets.csv", lambda d: d + b"\x1a")),
    ("offsets.csv-semicolons", "demo", "semicolons", text("offsets.csv", _semicolons)),
    ("offsets.csv-tabs", "demo", "tabs", text("offsets.csv", lambda t: _semicolons(t).replace(";", "\t"))),
    ("beams.csv-bars", "demo", "bars", text("beams.csv", lambda t: _semicolons(t).replace(";", "|"))),
    ("offsets.csv-spaces", "demo", "spaces for separators", text("offsets.csv",
        lambda t: _semicolons(t).replace(";", "  "))),
    ("offsets.csv-decimal-commas", "demo in mm", "decimal commas among commas",
     text("offsets.csv", lambda t: re.sub(r"(\d)\.(\d)", r"\1,\2", t.replace("1206,1206", "1206.5,1206.5")))),
    ("readings.csv-quote-open", "demo", "an inch mark that opens a cell",
        text("readings.csv", lambda t: t.replace("5-0-2", '"5-0-2', 1))),
    ("offsets.csv-quoted", "demo", "every cell in quotes",
     text("offsets.csv", lambda t: re.sub(r"(?m)^(?!#)(.+)$", lambda m: ",".join(f'"{c}"' for c in m[1].split(",")),
         t))),
    ("offsets.csv-blank-lines", "demo", "blank lines between", text("offsets.csv", lambda t: t.replace("\n", "\n\n"))),
    ("offsets.csv-blank-cells", "demo", "rows of separators at the end",
        text("offsets.csv", lambda t: t + ",,,,,\n" * 40)),
    ("offsets.csv-commas-only", "demo", "nothing but separators", content("offsets.csv", lambda d: b",,,,,\n" * 5)),
    ("offsets.csv-other-table", "demo", "beams.csv under this name",
     both(path("offsets.csv", lambda target: target.write_bytes((target.parent / "beams.csv").read_bytes())))),
    ("beams.csv-other-table", "demo", "offsets.csv under this name",
     both(path("beams.csv", lambda target: target.write_bytes((target.parent / "offsets.csv").read_bytes())))),
    ("offsets.csv-100k-rows", "demo", "100,000 rows", text("offsets.csv",
        lambda t: _many(t, 100_000, lambda k: f"s{k},{k}mm,900mm,900mm,300mm,300mm"))),
    ("beams.csv-100k-rows", "demo", "100,000 rows", text("beams.csv",
        lambda t: _many(t, 100_000, lambda k: f"b{k},{k}mm,,,,,,"))),
    ("readings.csv-300k-rows", "demo", "300,000 rows", text("readings.csv",
        lambda t: _many(t, 300_000, lambda k: "5,port,1-0-0,4-7-0,,,1,"))),
    ("readings.csv-100k-bad-rows", "demo", "100,000 rows with a word for a height",
     text("readings.csv", lambda t: _many(t, 100_000, lambda k: f"5,port,1-0-0,low {k},,,1,"))),
    ("readings.csv-100k-unknown-beams", "demo", "100,000 rows of beams that are not there",
     text("readings.csv", lambda t: _many(t, 100_000, lambda k: f"x{k},port,1-0-0,4-7-0,,,1,"))),
    ("offsets.csv-long-cell", "demo", "a cell of a million letters",
        text("offsets.csv", lambda t: t.replace("4-3-3", "4-3-3" * 200_000))),
    ("offsets.csv-long-line", "demo", "a line of 100,000 cells",
        text("offsets.csv", lambda t: t.replace("4-3-3", "4-3-3" + "," * 100_000))),
    ("offsets.csv-wide-heading", "demo", "a heading of 3,000 columns",
     text("offsets.csv", lambda t: t.replace("station,x", "station," + ",".join(f"c{k}" for k in range(3000)) + ",x"))),
    ("boat.toml-long-line", "demo", "a value of a million letters",
        text("boat.toml", lambda t: t.replace('name = "', 'name = "' + "T" * 1_000_000, 1))),
    ("boat.toml-deep", "demo", "brackets 5,000 deep", text("boat.toml",
        lambda t: "x = " + "[" * 5000 + "]" * 5000 + "\n" + t)),
    ("boat.toml-5000-keys", "demo", "5,000 keys that are not known",
        text("boat.toml", lambda t: "".join(f"k{k} = 1\n" for k in range(5000)) + t)),
    ("boat.toml-1000-bad-lines", "demo", "1,000 lines of words",
        text("boat.toml", lambda t: "so it goes\n" * 1000 + t)),
    ("offsets.csv-200-mb", "demo", "a file of 200 MB",
     path("offsets.csv", lambda target: (target.touch(), os.truncate(target, 200_000_001)))),
    ("offsets.csv-other-case", "demo", "Offsets.CSV", path("offsets.csv",
        lambda target: (target.parent / "Offsets.CSV").write_bytes(
        b"station,x,height,half_breadth\n1,1-0-0,2-0-0,1-0-0\n"))),
    ("offsets.csv-txt", "demo", "offsets.csv.txt", path("offsets.csv",
        lambda target: (target.parent / "offsets.csv.txt").write_bytes(
        b"station,x,height,half_breadth\n1,1-0-0,2-0-0,1-0-0\n"))),
]  # fmt: skip
"""Name, boat, words, damage."""

if hasattr(os, "symlink") and os.name == "posix":
    DAMAGES += [
        ("offsets.csv-symlink-loop", "demo", "a link to itself",
            path("offsets.csv", lambda target: target.symlink_to(target.name))),
        ("offsets.csv-symlink-nowhere", "demo", "a link to nothing",
            path("offsets.csv", lambda target: target.symlink_to("gone.csv"))),
        ("offsets.csv-endless", "demo", "a link to a device without an end",
            path("offsets.csv", lambda target: target.symlink_to("/dev/zero"))),
        ("readings.csv-pipe", "demo", "a pipe that nobody writes to", path("readings.csv", os.mkfifo)),
        ("boat.toml-pipe", "demo", "a pipe that nobody writes to", path("boat.toml", os.mkfifo)),
    ]  # fmt: skip
