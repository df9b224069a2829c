"""boat.toml with values that it cannot have, sizes that no boat has, and lines that are no TOML."""

from __future__ import annotations

import pytest

from deckgeom.boat.keys import KEYS
from tests.damaged import keys
from tests.damaged.checking import faults, told
from tests.damaged.make import DAMAGES

NAMES = {damage[0] for damage in keys.DAMAGES}
WANTED = [want for want in told() if want.name in NAMES]


@pytest.mark.parametrize("want", WANTED, ids=lambda want: want.name)
def test_a_damaged_boat_toml_gets_its_complaint(want, tmp_path):
    assert faults(want, tmp_path) == []


def test_every_damage_has_its_row_and_every_row_its_damage():
    rows = [(want.name, want.boat, want.done) for want in told()]
    assert len(set(rows)) == len(rows) >= 400
    unlike = set(rows) ^ {(one.name, one.boat, one.what) for one in DAMAGES.values()}
    assert {name for name, _, _ in unlike if name in DAMAGES} == set()  # links and pipes are not made everywhere
    assert {want.name for want in WANTED} >= {f"key-{key.name}" for key in KEYS}


def test_the_same_folder_is_made_every_time(tmp_path):
    damage = DAMAGES["readings-height-word"]
    lines = [damage.make(tmp_path / name) for name in ("first", "second")]
    assert lines[0] == lines[1]
    files = [{path.name: path.read_bytes() for path in (tmp_path / name).iterdir()} for name in ("first", "second")]
    assert files[0] == files[1]
