"""Names that bite: whatever a person types for a name comes out as text and as nothing else, wherever it is shown."""

from __future__ import annotations

import base64
import csv
import io
import json
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from html.parser import HTMLParser
from pathlib import Path

import ezdxf
import pytest
from pypdf import PdfReader
from pypdf.generic import ArrayObject, DictionaryObject, IndirectObject

from deckgeom.__main__ import MEND, main
from deckgeom.bench import open_boat, papers, start
from deckgeom.bench.type_in import TypeIn
from deckgeom.boat import copy_boat, new_boat, read_boat
from tests.bench.test_benches import everything

NAMES = (
    "<script>alert(1)</script>", '"><img src=x onerror=1>', "]]>", "&amp;", "${x}", "%%EOF", "\u202eevil", "n" * 500,
    "../../x", "CON", "a/b", "=cmd()", "+1+1", "@SUM(A1)", "-2+3", "\\P \\S1/2;", "^J", "%%d %%u", "(a)) \\( \\",
        "$x^2$ $\\frac{1}{$",
    "<!--", "javascript:alert(1)", "{0} %s %n", "'; DROP TABLE", "C:\\x|y?*", "nul.txt", "\u202dBT /F1 12 Tf",
        "`id` $(id)",
    "\x1b[2J\x07", "\ufffe\ufdd0", "Ω жук 木",
)  # fmt: skip
BOAT = (
    '<script>alert("1")</script> "><img src=x onerror=1> ]]> &amp; ${x} %%EOF '
    "\\P ^J %%d (a)) $\\frac{1}{$ \u202eevil \x1b[31m"
)
WORDS = tuple(name for name in NAMES if name.isascii() and name.isprintable() and len(name) < 60)
"""Those that every fount and every file can hold as they stand."""

RESERVED = re.compile(r"(?i)(con|prn|aux|nul|com\d|lpt\d)(\..*)?")


def table(path: Path, *rows) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(rows)


def write_boat(folder: Path) -> Path:
    """A boat whose every name bites: stations, beams, fittings, lines, marks, figures, notes, ways, her own."""
    folder.mkdir(parents=True)
    count = len(NAMES)
    breadth = [900 - 0.0001 * (200 * k - 3000) ** 2 for k in range(count)]
    ways = json.dumps([[name, "ply 9 mm", "ply 6 mm", "cloth"] for name in (NAMES[0], NAMES[5])])
    head = f"name = {json.dumps(BOAT)}\nplace = {json.dumps(NAMES[1])}\n"
    head += f'units = "mm"\ndeck = [6]\n[laying]\nways = {ways}\n'
    (folder / "boat.toml").write_text(head, encoding="utf-8")
    table(
        folder / "offsets.csv",
        ("station", "x", "height", "half_breadth", "note"),
        *((name, 200 * k, 900 + 30 * (k == 9), f"{breadth[k]:.1f}", name) for k, name in enumerate(NAMES)),
    )
    table(
        folder / "beams.csv",
        ("beam", "x", "fixed", "note"),
        *((name, 100 + 190 * k, "", name) for k, name in enumerate(NAMES)),
    )
    table(
        folder / "readings.csv",
        ("beam", "side", "y", "below", "line", "note"),
        *(
            (name, side, y, 600, NAMES[k % 5], NAMES[2])
            for k, name in enumerate(NAMES)
            for side, y in (("port", 300), ("", 0), ("starboard", 300))
        ),
    )
    table(
        folder / "lines.csv",
        ("line", "from", "to", "height_from", "height_to", "sag", "note"),
        *((name, 0, 6000, 1550, 1550, 0, name) for name in NAMES),
    )
    table(
        folder / "fittings.csv",
        ("what", "x", "y", "length", "breadth", "note"),
        *((name, 400 + 180 * k, 0, 50, 50, name) for k, name in enumerate(NAMES)),
    )
    table(
        folder / "marks.csv",
        ("mark", "x", "y", "first", "today", "note"),
        *((name, 300 + 170 * k, f"{'PS'[k % 2]} 400", 500, 500 + k % 3, name) for k, name in enumerate(NAMES)),
    )
    table(folder / "figures.csv", ("what", "likely", "unit", "note"), *((name, 9, "m2/L", name) for name in NAMES))
    return folder


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """The folder after the command has run on it, and what it said."""
    folder = write_boat(tmp_path_factory.mktemp("hostile") / "boat <b>&amp; 'x' ${y} %%")
    environment = os.environ | {"PYTHONIOENCODING": "cp1252"}
    command = [sys.executable, "-m", "deckgeom", str(folder), "--patterns", "A4"]
    done = subprocess.run(command, capture_output=True, timeout=300, env=environment)
    return folder, done


@pytest.fixture(scope="module")
def job(written):
    return open_boat(written[0])


def test_the_boat_is_read_with_every_name_as_it_was_typed(written):
    boat = read_boat(written[0])
    plain = {name.strip() for name in NAMES}
    assert {beam.name for beam in boat.beams} == {fitting.what for fitting in boat.fittings} == plain
    assert set(boat.offsets.stations) == {line.name for line in boat.lines} == plain
    assert boat.name == " ".join(BOAT.split())


def test_the_command_says_it_on_lines_that_cannot_bite_whatever_the_window_can_show(written):
    _, done = written
    assert done.returncode in (0, MEND), done.stderr[-800:]
    lines = (done.stdout + done.stderr).decode("cp1252").splitlines()
    assert "<script>alert(" in lines[0] or any("<script>alert(" in line for line in lines)
    assert [line for line in lines if not line.isprintable()] == []
    assert not any("Traceback" in line for line in lines)


def test_every_file_stays_in_out_and_has_a_name_that_every_system_takes(written):
    folder, _ = written
    files = [path for path in folder.parent.rglob("*") if path.is_file() and path.parent != folder]
    assert len(files) > 4 * len(NAMES)
    for path in files:
        parts = path.relative_to(folder / "out").parts
        for part in parts:
            assert re.fullmatch(r"[\w-]+(\.[a-z]+)?", part) and not RESERVED.fullmatch(part), part
            assert len(part.encode("utf-8")) < 100
    assert len({str(path).lower() for path in files}) == len(files)


def test_tables_have_their_columns_and_no_cell_that_a_spreadsheet_would_work_out(written):
    seen = set()
    for path in (written[0] / "out").glob("*.csv"):
        lines = path.read_text(encoding="utf-8").splitlines()
        head, *rows = csv.reader(line for line in lines if not line.startswith("#"))
        for cells in rows:
            assert len(cells) == len(head), path.name
            for cell in cells:
                assert not re.match(r"[=+@\t\r]|-(?![\d.]+$)", cell), (path.name, cell)
                assert "\n" not in cell and "\x1b" not in cell
            seen |= {cells[0], cells[0].removeprefix("'")}
    assert seen >= set(WORDS)


# --- paper ----------------------------------------------------------------------------------------------------------


def objects(value, seen):
    """Every dictionary of a PDF."""
    if isinstance(value, IndirectObject):
        if value.idnum in seen:
            return
        seen.add(value.idnum)
        value = value.get_object()
    if isinstance(value, DictionaryObject):
        yield value
        for key, inner in value.items():
            if key != "/Parent":
                yield from objects(inner, seen)
    elif isinstance(value, ArrayObject):
        for inner in value:
            yield from objects(inner, seen)


ACTIVE = set("/JS /JavaScript /OpenAction /AA /A /Launch /URI /EmbeddedFiles /XFA /AcroForm /SubmitForm".split())


def test_pages_hold_the_names_as_words_and_nothing_that_acts(written):
    books = sorted((written[0] / "out").glob("*.pdf"))
    assert {"shop_sheets.pdf"} <= {path.name for path in books}
    text = ""
    for path in [*books, *sorted((written[0] / "out" / "patterns" / "A4").glob("*.pdf"))]:
        data = path.read_bytes()
        assert data.startswith(b"%PDF-") and data.rstrip().endswith(b"%%EOF"), path.name
        reader = PdfReader(io.BytesIO(data), strict=True)
        found = [entry for entry in objects(reader.trailer, set()) if ACTIVE & set(entry)]
        assert found == [], path.name
        text += "".join(page.extract_text() for page in reader.pages)
    plain = re.sub(r"\s", "", text)
    assert [name for name in WORDS if re.sub(r"\s", "", name) not in plain] == []
    # a letter that the fount has not is drawn as a box, which reads back as \x00
    assert not re.search("[\x01-\x08\x0e-\x1f\u202a-\u202e]", text)


def test_svg_holds_the_names_as_words_and_draws_nothing_else(written):
    files = sorted((written[0] / "out" / "patterns" / "svg").glob("*.svg"))
    words = set()
    for path in files:
        root = ET.fromstring(path.read_bytes())
        words |= check_svg(root)
    assert len(files) >= len(NAMES)
    assert [name for name in WORDS if not any(name in one for one in words)] == []


def check_svg(root) -> set[str]:
    """Words of a picture that draws and does nothing else."""
    drawing = set(
        "svg g path polyline polygon line rect circle text tspan title desc defs use pattern style clipPath image "
        "metadata RDF Work type date format creator Agent".split()
    )
    tags = {node.tag.rpartition("}")[2] for node in root.iter()}
    assert tags <= drawing, tags - drawing
    for node in root.iter():
        for key, value in node.attrib.items():
            name = key.rpartition("}")[2].lower()
            assert not name.startswith("on"), name
            assert name != "href" or value.startswith(("#", "data:image/png")), value
        assert node.tag.rpartition("}")[2] != "style" or not re.search(r"@import|url\(", node.text or "")
    return {text for node in root.iter() if (text := "".join(node.itertext()))}


def test_dxf_holds_the_names_as_words_without_a_code(written):
    files = sorted((written[0] / "out" / "patterns" / "dxf").glob("*.dxf"))
    words = ""
    for path in files:
        document = ezdxf.readfile(path)
        assert not document.audit().has_errors, path.name
        assert {entity.dxftype() for entity in document.modelspace()} <= {
            "LWPOLYLINE",
            "LINE",
            "TEXT",
            "POLYLINE",
            "CIRCLE",
        }
        for text in document.modelspace().query("TEXT"):
            read = text.plain_text()
            assert read.split() == text.dxf.text.replace("^ ", "^").split(), text.dxf.text
            assert text.dxf.text.isprintable()
            words += re.sub(r"\s", "", read) + "\n"
    assert len(files) >= len(NAMES)
    assert [name for name in WORDS if re.sub(r"\s", "", name) not in words] == []


# --- notebooks ------------------------------------------------------------------------------------------------------


class Page(HTMLParser):
    """Tags, attributes and words of a piece of HTML as a browser takes it."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags, self.attributes, self.words, self.comments = set(), [], "", []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.attributes += [(tag, name, value or "") for name, value in attrs]

    def handle_data(self, data):
        self.words += data

    def handle_comment(self, data):
        self.comments.append(data)


PLAIN = set(
    "p div table caption thead tbody tr th td img a details summary pre span br ul ol li b em strong section h2 h3 h4 "
    "small code".split()
)


def check_page(html: str) -> Page:
    """What a browser would make of it: no script, no handler, nothing fetched, pictures that only draw."""
    page = Page(html)
    assert page.tags <= PLAIN, page.tags - PLAIN
    assert page.comments == []
    for tag, name, value in page.attributes:
        assert not name.startswith("on"), (tag, name)
        assert name != "src" or value.startswith(("data:image/svg+xml;base64,", "data:image/png;base64,")), value[:60]
        assert name != "href" or not re.match(r"\s*[a-z]+:", value.lower()), value[:60]
        if value.startswith("data:image/svg+xml;base64,"):
            check_svg(ET.fromstring(base64.b64decode(value.partition(",")[2])))
    return page


@pytest.mark.parametrize("name", [NAMES[0], NAMES[1], NAMES[18], NAMES[20]])
def test_all_that_notebooks_show_of_such_a_boat_is_words(job, name):
    shown = ""
    for one in everything(job, name):
        page = check_page(one._repr_html_())
        shown += page.words + " ".join(value for _, key, value in page.attributes if key == "alt")
    assert name in shown
    assert "<script>alert(" in shown


def test_lists_of_files_and_tables_to_type_in_show_such_names_as_words(job, written):
    folder = written[0]
    for one in (papers.written(job), start.steps(job), start.files(job), start.complaints(job)):
        check_page(one._repr_html_())
    for file in ("beams.csv", "offsets.csv", "lines.csv"):
        sheet = TypeIn(folder, file, title=NAMES[0], job=job)
        page = check_page(sheet._plain()["text/html"])
        assert [name for name in WORDS if name not in page.words] == []
        assert page.words.startswith(NAMES[0])


@pytest.mark.parametrize(
    "html",
    ["<p><script>1</script></p>", '<img src=x onerror="1">', '<img src="//host/x.png">', "<a href='javascript:1'>x</a>",
     "<!-- x -->", "<iframe></iframe>"],
)  # fmt: skip
def test_the_check_of_a_page_can_fail(html):
    with pytest.raises(AssertionError):
        check_page(html)


@pytest.mark.parametrize("inner", ["<script/>", "<g onload='1'/>", "<foreignObject/>", "<use href='http://x/y#z'/>"])
def test_the_check_of_a_picture_can_fail(inner):
    with pytest.raises(AssertionError):
        check_svg(ET.fromstring(f"<svg>{inner}</svg>"))


# --- names of boats and folders -------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", [*NAMES[:7], *NAMES[8:], "two\nlines", 'q"uote\\', "tab\there", "\x7f\x85"])
def test_a_new_boat_and_a_copy_keep_such_a_name(name, tmp_path):
    folder = new_boat(tmp_path / "new", "mm", name)
    boat = read_boat(folder)
    assert boat.name == " ".join(name.split())
    assert [str(one) for one in boat.complaints if one.kind == "mend"] == []
    copied = read_boat(copy_boat(folder, tmp_path / "copy", name))
    assert copied.name == boat.name
    assert [str(one) for one in copied.complaints if one.kind == "mend"] == []


def test_a_name_over_two_lines_or_with_a_nought_byte_is_complained_of_in_one_line(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("deckgeom.__main__._papers", lambda *_: [])
    for number, name in enumerate(('"two\nlines"', "a\x00b")):
        folder = write_boat(tmp_path / str(number))
        beams = folder / "beams.csv"
        beams.write_bytes(beams.read_bytes().replace(b"a/b,", name.encode() + b","))
        assert main([str(folder)]) == MEND
        said = capsys.readouterr()
        assert any(line.startswith("beams.csv, row ") for line in said.err.splitlines())
        assert all(line.isprintable() for line in (said.out + said.err).splitlines())
