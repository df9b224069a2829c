"""A timber by its name: what it gives, what wins over it, and what is said of a name that is not known."""

from __future__ import annotations

import pytest

from deckgeom.boat import read_boat
from deckgeom.laying.timber import Unknown, gravity_of
from deckgeom.tables import table


def boat(tmp_path, laying, figures=""):
    (tmp_path / "boat.toml").write_text(f'name = "Siskin"\nunits = "mm"\n[laying]\n{laying}\n', encoding="utf-8")
    if figures:
        (tmp_path / "figures.csv").write_text(f"what,likely,unit\n{figures}\n", encoding="utf-8")
    found = read_boat(tmp_path)
    return found, [str(c) for c in found.complaints]


@pytest.mark.parametrize(
    ("timber", "gravity"),
    [
        # US Army TM 5-852-4, table 2-2, after the Forest Products Laboratory: 12 % moisture
        ("Douglas-fir, coast", 0.48), ("Sitka spruce", 0.40), ("Alaska cedar", 0.44), ("loblolly pine", 0.51),
        ("ponderosa pine", 0.40),
        # USDA Wood Handbook as Oregon State University prints it
        ("western larch", 0.52), ("western hemlock", 0.45),
        # USDA Wood Handbook in a transcription
        ("white ash", 0.60), ("black locust", 0.69), ("rock elm", 0.63),
        # the same handbook, from memory: these only guard against a slip of rows
        ("western redcedar", 0.32), ("white oak", 0.68),
    ],
)  # fmt: skip
def test_specific_gravity_as_printed(timber, gravity):
    name, value, source = gravity_of(timber)
    assert (name, value) == (timber, gravity)
    assert source.endswith("from memory") is (timber in ("western redcedar", "white oak"))


def test_every_timber_with_a_strength_has_a_gravity():
    assert {row["timber"] for row in table("timber")} <= {row["timber"] for row in table("timber_gravity")}


def test_a_name_gives_the_gravity_and_the_echo_says_from_where(tmp_path):
    found, lines = boat(tmp_path, 'timber = "western  LARCH"')
    assert lines == [] and found.settings.laying.gravity == 0.52 and found.settings.laying.timber == "western larch"
    assert any(line.startswith("The beams are western larch: specific gravity 0.52 (USDA") for line in found.echo())
    assert "Oregon State" in found.settings.source("laying.gravity")


def test_a_gravity_that_is_typed_wins_and_both_are_said(tmp_path):
    found, lines = boat(tmp_path, 'timber = "white oak"\ngravity = 0.72')
    assert found.settings.laying.gravity == 0.72 and found.mended
    assert lines == [
        "boat.toml, row 5, column laying.gravity, '0.72': this is typed, so it wins over 0.68 of white oak (USDA Wood "
        "Handbook, strength properties of woods grown in the United States, from memory)."
    ]
    assert any("specific gravity 0.72 as typed, which wins over 0.68" in line for line in found.echo())


def test_no_timber_leaves_the_default_and_says_nothing(tmp_path):
    found, lines = boat(tmp_path, "gravity = 0.6")
    assert lines == [] and found.settings.laying.gravity == 0.6
    assert not any("The beams are" in line for line in found.echo())


@pytest.mark.parametrize(
    ("typed", "near", "not_near"),
    [
        ("oak", ["'white oak'"], "larch"),
        ("douglas fir", ["'Douglas-fir, coast'"], "oak"),
        ("cedar", ["'Alaska cedar'", "'western redcedar'"], "white oak"),
        ("sitka spurce", ["'Sitka spruce'"], "oak"),
        ("zzz", ["'white oak'", "'western larch'", "'Sitka spruce'"], "zzzz"),
    ],
)
def test_a_name_that_is_not_there_has_one_line_with_the_near_names(tmp_path, typed, near, not_near):
    found, (line,) = boat(tmp_path, f'timber = "{typed}"')
    assert line.startswith(f"boat.toml, row 4, column laying.timber, '{typed}': this timber is not in the table")
    assert "specific gravity of 0.5 is used" in line and "a row in figures.csv" in line
    assert all(name in line for name in near) and not_near not in line
    assert found.settings.laying.gravity == 0.5 and not found.mended
    assert any("is not by the table" in said for said in found.echo())


def test_an_own_row_is_a_timber_and_wins_over_the_table(tmp_path):
    """By hand: 616 kg in the air at 12 % are 550 kg dry; 35 lb a cubic foot are 560.65 kg/m3."""
    figures = "shed larch,616,kg/m3\nwhite oak,0.71,gravity\nold pine,35,lb/ft3"
    for timber, gravity in (("shed larch", 0.55), ("White Oak", 0.71), ("old pine", 560.646 / 1120)):
        found, lines = boat(tmp_path, f'timber = "{timber}"', figures)
        assert lines == [] and found.settings.laying.gravity == pytest.approx(gravity, abs=1e-5)
        assert "figures.csv, row" in " ".join(found.echo())


def test_an_own_row_in_another_unit_is_not_believed(tmp_path):
    found, (line,) = boat(tmp_path, 'timber = "larch"', "larch,550,gravity")
    assert "no wood has a specific gravity of 550; 0.5 is used. Likely slip: another unit in figures.csv" in line
    assert found.settings.laying.gravity == 0.5


def test_paint_is_no_timber():
    own = [{"what": "grey paint", "likely": 8.0, "unit": "m2/L", "source": "a tin"}]
    with pytest.raises(Unknown):
        gravity_of("grey paint", own)
