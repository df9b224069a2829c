"""
Settings made from what boat.toml says and the defaults of what it leaves out.
"""

from __future__ import annotations

from dataclasses import replace

from deckgeom.units import UNITS, LengthError, check_units

from .keys import KEYS, NOT_TAKEN, UNITS_ALSO
from .laying_settings import LayingSettings
from .log import Log, nearest
from .settings import TYPED, BeamSettings, CamberSettings, FairingSettings, OffsetSettings, Settings
from .toml_file import Typed

FILE = "boat.toml"

_ROUNDING = {"mm": 1.0, "ft-in-8": 3.175, "in": 1.5875}
_SECTIONS = {
    "offsets": OffsetSettings,
    "camber": CamberSettings,
    "beams": BeamSettings,
    "fairing": FairingSettings,
    "laying": LayingSettings,
}


def default_settings(units: str = "mm", name: str = "") -> Settings:
    """
    The settings of a boat about which nothing is said.

    Parameters
    ----------
    units : {"mm", "ft-in-8", "in"}
        The folder's units.
    name : str
        What the boat is called.

    Returns
    -------
    Settings
        Every value a labelled default.

    Examples
    --------
    >>> default_settings("in").beams.siding
    44.45
    """
    check_units(units)
    return _settings({key.name: key.used(None, units) for key in KEYS} | {"units": units, "name": name}, set())


def build_settings(typed: Typed | None, name: str, log: Log) -> Settings | None:
    """
    Read every key; one that cannot be read falls back on its default with a complaint.

    Parameters
    ----------
    typed : Typed or None
        What boat.toml says; None where there is none.
    name : str
        The folder's name, for a boat without a name.
    log : Log
        Takes the complaints.

    Returns
    -------
    Settings or None
        None where the units cannot be told: then no bare number means anything.

    Examples
    --------
    >>> build_settings(Typed("boat.toml", {"units": "in"}, {}), "punt", Log()).name
    'punt'
    """
    if typed is None:
        log.note(
            FILE, None, "", "", "there is no boat.toml: bare numbers are taken as mm, and defaults for all the rest"
        )
        return default_settings("mm", name)
    _unknown_keys(typed, log)
    units = _units(typed, log)
    if units is None:
        return None
    values, stated = {}, set()
    for key in KEYS:
        try:
            values[key.name] = key.used(typed.values.get(key.name), units) if key.name != "units" else units
            stated |= {key.name} & typed.values.keys()
        except LengthError as error:
            log.refusal(FILE, typed.rows.get(key.name), key.name, error.text, error)
            values[key.name] = key.used(None, units)
    values["name"] = values["name"] or name
    return _agreeing(_settings(values, stated), typed, log)


def _settings(values: dict, stated: set[str]) -> Settings:
    rounding = values["offsets.rounding"]
    values["offsets.rounding"] = _ROUNDING[values["units"]] if rounding is None else rounding
    if values["offsets.accuracy"] is None:
        values["offsets.accuracy"] = values["offsets.rounding"] / 2
    sections = {
        name: made(**{key.split(".")[1]: value for key, value in values.items() if key.startswith(name + ".")})
        for name, made in _SECTIONS.items()
    }
    sources = {key.name: TYPED if key.name in stated else key.label for key in KEYS}
    top = {key: value for key, value in values.items() if "." not in key}
    return Settings(**top, **sections, sources=sources)


def _units(typed: Typed, log: Log) -> str | None:
    """The folder's units; a near word is taken with a complaint, anything else is not guessed at."""
    said, row = typed.values.get("units"), typed.rows.get("units")
    if said is None and "units" in typed.spoilt:
        return _spoilt_units(typed, row, log)
    if said is None:
        log.note(FILE, None, "units", "", "no units are stated: bare numbers are taken as mm")
        return "mm"
    plain = " ".join(str(said).lower().split())
    if plain in UNITS:
        return plain
    rule = 'units are "mm", "ft-in-8" or "in"'
    if plain in UNITS_ALSO:
        log.mend(FILE, row, "units", said, f'{rule}; read as "{UNITS_ALSO[plain]}"', f'"{UNITS_ALSO[plain]}" was meant')
        return UNITS_ALSO[plain]
    near = nearest(plain, UNITS)
    slip = f'"{near}" was meant' if near else "units of another table"
    log.mend(FILE, row, "units", said, f"{rule}; until it is mended no number can be read", slip)
    return None


def _spoilt_units(typed: Typed, row, log: Log) -> str | None:
    """Units from a line that is not TOML, where its word leaves no doubt."""
    word = typed.spoilt["units"].partition("#")[0].strip().strip("\"'\u201c\u201d\u201e\u2018\u2019 ").lower()
    units = UNITS_ALSO.get(word, word)
    if units in UNITS:
        return units
    log.mend(FILE, row, "units", typed.spoilt["units"], "until the units can be read no number can be", "")
    return None


def _unknown_keys(typed: Typed, log: Log) -> None:
    known = {key.name: key for key in KEYS}
    by_last = {name.rpartition(".")[2]: name for name in known}
    for name, value in typed.values.items():
        if name in known:
            continue
        row, shown = typed.rows.get(name), "" if isinstance(value, dict | list) else str(value)
        section, _, last = name.rpartition(".")
        if name in _SECTIONS:
            log.mend(FILE, row, name, shown, f"[{name}] is a section of its own", "brackets left out, or doubled")
        elif section and section not in _SECTIONS:
            near = nearest(section, _SECTIONS)
            slip = f"[{near}] was meant" if near else f"known are {', '.join(f'[{one}]' for one in _SECTIONS)}"
            log.mend(FILE, row, name, shown, "this section is not known and is left out", slip)
        elif last in by_last:
            home = by_last[last].rpartition(".")[0]
            where = f"in [{home}]" if home else "above the first section"
            log.mend(
                FILE, row, name, shown, f"the key {last} stands {where}; it is left out", "a line in the wrong place"
            )
        else:
            _unknown_key(name, row, shown, known, by_last, log)


def _unknown_key(name: str, row, shown: str, known, by_last, log: Log) -> None:
    section, _, last = name.rpartition(".")
    same = [key.rpartition(".")[2] for key in known if key.rpartition(".")[0] == section]
    near = nearest(last, same)
    other = nearest(last, by_last)
    if near:
        slip = f"{near} was meant"
    elif other:
        slip = f"{by_last[other]} was meant"
    else:
        slip = f"known here are {', '.join(same)}"
    log.mend(FILE, row, name, shown, "this key is not known and is left out", slip)


def _agreeing(settings: Settings, typed: Typed, log: Log) -> Settings:
    """Complain about keys that contradict each other, and take the lesser claim."""

    def mend(key: str, value, rule: str, slip: str = "") -> None:
        log.mend(FILE, typed.rows.get(key), key, value, rule, slip)

    settings = _camber_agreeing(settings, mend)
    beams, fairing = settings.beams, settings.fairing
    jig, released = beams.trial_jig, beams.trial_released
    if (jig is None) != (released is None):
        key = "beams.trial_jig" if released is None else "beams.trial_released"
        mend(key, typed.values.get(key), "a trial beam has two figures, trial_jig and trial_released", "one left out")
        beams = replace(beams, trial_jig=None, trial_released=None)
    elif jig is not None and released > jig:
        rule = "a beam opens when it comes off the jig: trial_released is not more than trial_jig"
        mend("beams.trial_released", typed.values.get("beams.trial_released"), rule, "the two figures swapped")
        beams = replace(beams, trial_jig=None, trial_released=None)
    if beams.least_depth is not None and beams.least_depth > beams.moulding:
        rule = "the least depth is not more than the moulding"
        mend("beams.least_depth", typed.values.get("beams.least_depth"), rule, "siding and moulding swapped")
        beams = replace(beams, least_depth=None)
    if beams.made == "laminated" and beams.layers is None and beams.trial_jig is None:
        rule = "a laminated beam has layers, or a trial beam: without either the jig is not known"
        mend("beams.layers", "", rule, "the line layers = ... left out")
    if fairing.plane_only and fairing.pack_only:
        mend(
            "fairing.pack_only",
            "true",
            "plane_only and pack_only are not both true; neither is taken",
            "one not undone",
        )
        fairing = replace(fairing, plane_only=False, pack_only=False)
    return replace(settings, beams=beams, fairing=fairing)


def _camber_agreeing(settings: Settings, mend) -> Settings:
    camber = settings.camber
    if camber.curve == "drawn" and len(camber.section) < 3:
        rule = "a drawn curve has a section of at least three pairs, off the centreline and drop; a circle is taken"
        mend("camber.section", "", rule, "the line section = ... left out")
        camber = replace(camber, curve="circle")
    if camber.rule == "crown line" and len(camber.crown_line) < 2:
        rule = "the rule crown line has crown_line with at least two pairs, x and height; same proportion is taken"
        mend("camber.crown_line", "", rule, "the line crown_line = ... left out")
        camber = replace(camber, rule="same proportion")
    for key in ("section", "crown_line"):
        places = [place for place, _ in getattr(camber, key)]
        if any(b <= a for a, b in zip(places, places[1:], strict=False)):
            mend(f"camber.{key}", "", f"the pairs of {key} run in order and no place stands twice; they are sorted", "")
            camber = replace(camber, **{key: tuple(sorted(dict(getattr(camber, key)).items()))})
    return replace(settings, camber=camber)


def check_set_aside(set_aside, offsets, typed: Typed | None, log: Log) -> None:
    """
    Complain about an offset to be set aside that the table does not have.

    Parameters
    ----------
    set_aside : str or tuple of (str, str)
        As in the settings: columns and stations.
    offsets : OffsetTable or None
        The table.
    typed : Typed or None
        What boat.toml says, for the line.
    log : Log
        Takes the complaints.

    Examples
    --------
    >>> check_set_aside("none", None, None, Log())
    """
    if isinstance(set_aside, str) or offsets is None or typed is None:
        return
    known = {
        (name, station) for key, line in offsets.lines.items() for name in (key, line.name) for station in line.stations
    }
    names = sorted(f"{station} {line.name}" for line in offsets.columns for station in line.stations)
    for column, station in set_aside:
        if (column, station) not in known:
            near = nearest(f"{station} {column}", names)
            rule = "an offset that is set aside stands in the table; this one does not"
            row, value = typed.rows.get("offsets.set_aside"), f"{station} {column}"
            log.mend(FILE, row, "offsets.set_aside", value, rule, f"{near} was meant" if near else "")


def not_stated(settings: Settings) -> list[str]:
    """
    Name the defaults that matter to an answer.

    Parameters
    ----------
    settings : Settings
        Of a boat.

    Returns
    -------
    list of str
        Keys that were left out, those without a value not counted.

    Examples
    --------
    >>> "camber.rule" in not_stated(default_settings())
    True
    """
    idle = () if settings.laying.ways else ("laying.",)
    return [
        key.name
        for key in KEYS
        if not settings.typed(key.name)
        and key.label not in (NOT_TAKEN, "the folder's name")
        and (key.name == "laying.sheet" or not key.name.startswith(idle))
    ]
