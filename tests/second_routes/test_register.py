"""The register of second routes is whole: no formula without one, and none that only says that it is there."""

from __future__ import annotations

import ast
import csv
import importlib
import inspect
import pkgutil
import re
from functools import lru_cache
from pathlib import Path

import pytest

import deckgeom

TESTS = Path(__file__).parents[1]
with open(Path(__file__).with_name("routes.csv"), encoding="utf-8", newline="") as _file:
    ROUTES = tuple(csv.DictReader(_file))
LIBRARIES = {"mpmath", "sympy", "scipy", "shapely", "clarabel", "statsmodels", "pygeodesic", "skfem"}


@lru_cache
def parsed(name: str) -> ast.Module:
    return ast.parse((TESTS / name).read_text(encoding="utf-8"))


def thing(where: str):
    """What a row's formula is kept in."""
    module, _, name = where.partition(":")
    found = importlib.import_module(f"deckgeom.{module}")
    for part in name.split("."):
        found = getattr(found, part)
    return found


@pytest.mark.parametrize("route", ROUTES, ids=[f"{row['where']} {row['test'].split('::')[1]}" for row in ROUTES])
def test_a_route_leads_somewhere(route):
    """The formula exists; so does the test, and it asserts; and its file brings the library that the row names."""
    assert thing(route["where"]) is not None
    file, _, name = route["test"].partition("::")
    (test,) = [node for node in parsed(file).body if isinstance(node, ast.FunctionDef) and node.name == name]
    text = ast.unparse(test)
    assert "assert " in text or "approx" in text
    named = LIBRARIES & set(re.findall(r"\w+", route["by"].replace("scikit-fem", "skfem")))
    here = [other for other in ROUTES if other["where"] == route["where"]]
    brought = {library for other in here for library in imported(other["test"].partition("::")[0])}
    assert named <= brought, f"{named - brought} nowhere imported for {route['where']}"
    assert route["formula"] and route["by"] and route["case"]
    assert not route["order"] or re.fullmatch(r"[1-4] in the [\w ]+", route["order"])


@lru_cache
def imported(file: str) -> frozenset[str]:
    """Libraries that a test file imports, itself or through another file of the tests."""
    found = set()
    for node in ast.walk(parsed(file)):
        if isinstance(node, ast.Import):
            found |= {name.name.split(".")[0] for name in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module.split(".")[0])
            inner = Path(*node.module.split(".")[1:]).with_suffix(".py") if node.module.startswith("tests.") else None
            if inner and (TESTS / inner).is_file():
                found |= imported(inner.as_posix())
    return frozenset(found)


def formulas() -> list[str]:
    """Every public class, function and method of the package whose docstring has a formula."""
    found = []
    for info in pkgutil.walk_packages(deckgeom.__path__, "deckgeom."):
        if any(part.startswith("_") for part in info.name.split(".")):
            continue
        module = importlib.import_module(info.name)
        for name, value in vars(module).items():
            if getattr(value, "__module__", "") != info.name or name.startswith("_"):
                continue
            inner = [(f"{name}.{key}", part) for key, part in vars(value).items()] if inspect.isclass(value) else []
            for key, part in [(name, value), *inner]:
                if inspect.isclass(part) or inspect.isfunction(part):
                    if ".. math::" in (inspect.getdoc(part) or ""):
                        found.append(f"{info.name.removeprefix('deckgeom.')}:{key}")
    return found


def test_every_formula_has_a_second_route():
    wanted = formulas()
    assert len(wanted) >= 40
    assert sorted(set(wanted) - {row["where"] for row in ROUTES}) == []


def test_no_row_stands_there_twice():
    rows = [(row["where"], row["test"]) for row in ROUTES]
    assert len(set(rows)) == len(rows)
