"""The first page: the job first, a picture that is true, and links that lead somewhere."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from tests.readme_picture import PICTURE, TOP, picture

README = (TOP / "README.md").read_text(encoding="utf-8")
LINK = re.compile(r"!?\[([^\]]*)\]\(([^)#\s]+)\)")


def words_of(svg: str) -> list[str]:
    """Every word written in a drawing, in order."""
    return [text.strip() for text in ET.fromstring(svg).itertext() if text.strip()]


def test_the_first_paragraph_says_what_the_job_is():
    first = README.split("\n\n")[1]
    for word in ("offsets", "camber", "bevels", "plane", "pack", "measure again"):
        assert word in first


@pytest.mark.parametrize("target", [target for _, target in LINK.findall(README)])
def test_a_link_leads_to_a_file_of_the_project(target):
    assert (TOP / target).is_file(), f"README.md links to {target}, which is not there"


def test_the_picture_is_shown_with_words_for_those_who_cannot_see_it():
    shown = [(words, target) for words, target in LINK.findall(README) if target.endswith(".svg")]
    assert [TOP / target for _, target in shown] == [PICTURE]
    assert "Beam 9: plane 3/16" in picture().alt
    assert "plane" in shown[0][0] and "pack" in shown[0][0]


def test_the_picture_is_the_demo_boat_as_she_is_computed_now():
    kept = words_of(PICTURE.read_text(encoding="utf-8"))
    assert kept == words_of(picture().svg()), "the demo boat's picture is old: python -m tests.readme_picture"
    assert kept.count("plane here") == 1
