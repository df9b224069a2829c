"""Figures for glue and resin: each with its source, in order, and in agreement with the coverage beside it."""

from __future__ import annotations

import pytest

from deckgeom.laying.glue import AMOUNT_UNITS, figures
from deckgeom.tables import SEEN, table


def test_every_row_says_where_it_is_from_what_it_counts_and_rises():
    rows = table("resin")
    for row in rows:
        assert row["source"] and row["seen"] in SEEN and row["counts"] and None not in row and None not in row.values()
        assert 0 < float(row["low"]) <= float(row["likely"]) <= float(row["high"])
        assert row["unit"] in (*AMOUNT_UNITS, "min/min", "degC", "kg/L")
    assert len({row["what"] for row in rows}) == len(rows)


def test_the_user_s_own_row_takes_the_place_of_the_table_s():
    own = {"what": "glue in a scarf", "low": 1, "likely": 1, "high": 1, "unit": "mm", "source": "tin", "seen": "source"}
    assert figures([own])["glue in a scarf"]["likely"] == 1
    assert figures()["glue in a scarf"]["likely"] == pytest.approx(0.4)
