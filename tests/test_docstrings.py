"""Every public name says what it takes, in which unit and shape, and shows a line that runs."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re

import pytest

import deckgeom

NUMBER = re.compile(r"\b(float|ndarray|NDArray|ArrayLike|FloatArray|Array|array|array_like)\b")
UNIT_OR_SHAPE = re.compile(r"\[[^\]\n]{1,30}\]|\(\w+,[^)\n]{0,20}\)")


def modules() -> list[str]:
    """Dotted name of every public module of the package."""
    found = (module.name for module in pkgutil.walk_packages(deckgeom.__path__, "deckgeom."))
    return sorted(name for name in found if not any(part.startswith("_") for part in name.split(".")[1:]))


def public_objects(name: str) -> list[tuple[str, object]]:
    """Classes and functions that a module defines itself, under public names."""
    module = importlib.import_module(name)
    return [
        (f"{name}.{key}", value)
        for key, value in vars(module).items()
        if not key.startswith("_")
        and (inspect.isclass(value) or inspect.isfunction(value))
        and value.__module__ == name
    ]


def parameters(thing) -> dict[str, str]:
    """Annotation, as text, of each parameter that a caller gives; empty where there is none."""
    try:
        signature = inspect.signature(thing)
    except ValueError:
        return {}
    return {
        key: "" if parameter.annotation is parameter.empty else str(parameter.annotation)
        for key, parameter in signature.parameters.items()
        if key != "self" and not key.startswith("_")
    }


def entry_of(name: str, doc: str) -> str | None:
    """The part of a numpydoc docstring that describes one parameter, to the next one; None if there is none."""
    lines = doc.splitlines()
    for start, line in enumerate(lines):
        names, colon, _ = line.partition(" :")
        if colon and name in [part.strip(" *") for part in names.split(",")]:
            depth = len(line) - len(line.lstrip())
            end = start + 1
            while end < len(lines) and (not lines[end].strip() or len(lines[end]) - len(lines[end].lstrip()) > depth):
                end += 1
            return "\n".join(lines[start:end])
    return None


def is_number(kind: str) -> bool:
    """True if a type in words is one of plain numbers; a text in any notation brings its unit along."""
    return bool(NUMBER.search(kind)) and not re.search(r"\bstr\b", kind)


def faults_of(name: str, thing) -> list[str]:
    """What is missing from the docstring of one class or function."""
    doc = inspect.getdoc(thing) or ""
    if not doc or doc.startswith(f"{getattr(thing, '__name__', '')}("):
        return [f"{name}: no docstring"]
    if inspect.isclass(thing) and issubclass(thing, BaseException):
        return []
    faults = [] if ">>>" in doc else [f"{name}: no example that runs"]
    for key, annotation in parameters(thing).items():
        entry = entry_of(key, doc)
        if entry is None:
            if not annotation or is_number(annotation):
                faults.append(f"{name}: '{key}' is not described")
        elif is_number(annotation or entry.splitlines()[0].partition(" :")[2]):
            if not UNIT_OR_SHAPE.search(entry):
                faults.append(f"{name}: '{key}' has neither unit nor shape")
    return faults


def method_faults(name: str, thing) -> list[str]:
    """Public methods and properties of a class that say nothing about themselves."""
    if not inspect.isclass(thing):
        return []
    own = {key: value for key, value in vars(thing).items() if not key.startswith("_")}
    described = (property, classmethod, staticmethod)
    return [
        f"{name}.{key}: no docstring"
        for key, value in own.items()
        if (inspect.isfunction(value) or isinstance(value, described)) and not inspect.getdoc(value)
    ]


@pytest.mark.parametrize("module", modules())
def test_every_public_name_is_described(module):
    assert (importlib.import_module(module).__doc__ or "").strip(), f"{module} has no docstring"
    faults = []
    for name, thing in public_objects(module):
        faults += faults_of(name, thing) + method_faults(name, thing)
    assert not faults, "\n".join(faults)


def half(breadth: float, name: str = "") -> float:
    """
    Half of a breadth.

    Parameters
    ----------
    breadth : float
        The whole of it. UNIT
    name : str
        Never used.

    Examples
    --------
    >>> half(2.0)
    1.0
    """
    return breadth / 2


def doubled(breadth, name=""):
    """
    Twice a breadth.

    Parameters
    ----------
    breadth : float
        Half of it.

    Examples
    --------
    >>> doubled(2.0)
    4.0
    """
    return breadth * 2


def test_parameters_without_a_type_are_held_to_the_same():
    assert faults_of("doubled", doubled) == [
        "doubled: 'breadth' has neither unit nor shape",
        "doubled: 'name' is not described",
    ]


def test_a_docstring_without_unit_example_or_entry_is_named():
    doc = half.__doc__
    try:
        assert faults_of("half", half) == ["half: 'breadth' has neither unit nor shape"]
        half.__doc__ = doc.replace("UNIT", "[mm]")
        assert faults_of("half", half) == []
        half.__doc__ = half.__doc__.replace(">>>", "")
        assert faults_of("half", half) == ["half: no example that runs"]
        half.__doc__ = doc.replace("UNIT", "[mm]").replace("breadth :", "beam :")
        assert faults_of("half", half) == ["half: 'breadth' is not described"]
        half.__doc__ = None
        assert faults_of("half", half) == ["half: no docstring"]
    finally:
        half.__doc__ = doc


def test_the_package_shows_one_screen_of_names():
    names = [name for name in getattr(deckgeom, "__all__", ()) if not name.startswith("_")]
    assert len(names) <= 40
    for name in names:
        assert getattr(deckgeom, name) is not None
