"""What a pair has typed, kept beside the page so that nothing is lost when the page is run again or closed."""

from __future__ import annotations

import json
import os
from pathlib import Path

from deckgeom.lessons.check import NOT_YET, Reply, check
from deckgeom.lessons.exercise import Answer
from deckgeom.lessons.hulls import ClassHull

__all__ = ["Kept"]


class Kept:
    """
    The answers of one pair: the last that was typed into each box, and the wrong ones before.

    Parameters
    ----------
    hull : ClassHull
        Seed, pair, level and units name the file.
    folder : str or Path, optional
        Where it lies; None keeps nothing.

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> work = pair_work(17, 1)
    >>> kept = Kept(work.hull, None)
    >>> kept.reply(work.answers[0], "neither").state, kept.typed("1A")
    ('not yet', 'neither')
    """

    def __init__(self, hull: ClassHull, folder: str | Path | None) -> None:
        name = f"seed_{hull.seed}_pair_{hull.pair}_{hull.level}_{hull.units}.json"
        self.file = None if folder is None else Path(folder, name)
        self._boxes: dict[str, dict] = self._read()
        self._changed: set[str] = set()

    def typed(self, key: str) -> str:
        """
        What stands in a box.

        Examples
        --------
        >>> from deckgeom.lessons.class_work import pair_work
        >>> Kept(pair_work(17, 1).hull, None).typed("1A")
        ''
        """
        return self._boxes.get(key, {}).get("typed", "")

    def reply(self, box: Answer, typed: str) -> Reply:
        """
        Check what was typed into a box; each new wrong answer brings the next hint.

        Parameters
        ----------
        box : Answer
            The box.
        typed : str
            As typed.

        Returns
        -------
        Reply

        Examples
        --------
        >>> from deckgeom.lessons.class_work import pair_work
        >>> work = pair_work(17, 1)
        >>> kept, box = Kept(work.hull, None), work.part(4).answer("4A")
        >>> said = [kept.reply(box, typed).says for typed in ("9999", "8888", "9999")]
        >>> said == [box.hints[0], box.hints[1], box.hints[0]]
        True
        """
        here = self._boxes.setdefault(box.key, {"typed": "", "wrong": []})
        before = here["wrong"]
        said = check(box, typed, before.index(typed) if typed in before else len(before))
        if said.state == NOT_YET and typed not in before:
            before.append(typed)
        if typed != here["typed"]:
            here["typed"] = typed
            self._changed.add(box.key)
        return said

    def save(self) -> str:
        """
        Write what has changed, beside what other boxes of the file hold.

        Returns
        -------
        str
            Words if it cannot be kept; else empty.

        Examples
        --------
        >>> from deckgeom.lessons.class_work import pair_work
        >>> Kept(pair_work(17, 1).hull, None).save()
        ''
        """
        if self.file is None or not self._changed:
            return ""
        try:
            now = {**self._read(), **{key: self._boxes[key] for key in self._changed}}
            self.file.parent.mkdir(parents=True, exist_ok=True)
            beside = self.file.with_suffix(f".{os.getpid()}")
            beside.write_text(json.dumps(now, indent=1, ensure_ascii=False), encoding="utf-8")
            if self.file.exists() and self._held() is None:
                os.replace(self.file, self.file.with_suffix(".damaged"))
            os.replace(beside, self.file)
        except OSError as problem:
            return f"What is typed here is not kept when the page is closed: {self.file}: {problem.strerror}."
        self._changed.clear()
        return ""

    def _read(self) -> dict[str, dict]:
        """What the file holds; nothing if it is not there or is no such file."""
        found = {}
        for key, box in (self._held() or {}).items():
            if isinstance(box, dict) and isinstance(box.get("typed"), str):
                wrong = [one for one in box.get("wrong", ()) if isinstance(one, str)]
                found[key] = {"typed": box["typed"], "wrong": wrong}
        return found

    def _held(self) -> dict | None:
        """The file as it stands; None if it is not there or is damaged: then it is put aside before it is written."""
        try:
            held = json.loads(self.file.read_text(encoding="utf-8")) if self.file else {}
        except (OSError, ValueError):
            return None
        return held if isinstance(held, dict) else None
