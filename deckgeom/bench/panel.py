"""
A live panel: labelled controls, one picture and the words that read it.

The page holds native controls; each change calls a function in Python, which answers with a picture and words. Whatever
goes wrong in that function appears as one line in the panel. A plain copy of the picture stays in the saved notebook.
"""

from __future__ import annotations

import asyncio
import html
import pathlib
import traceback
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import anywidget
import traitlets
from IPython.display import display

from deckgeom.bench.controls import Control
from deckgeom.bench.errors import one_line
from deckgeom.bench.tables import Table, Words
from deckgeom.drawings import Picture

SNAPSHOT_DELAY_S = 0.5
_HERE = pathlib.Path(__file__).parent


@dataclass(frozen=True, eq=False)
class Answer:
    """
    What a panel shows for one setting of its controls.

    Parameters
    ----------
    picture : Picture, optional
        The picture.
    words : str
        What it says, in a sentence or two.
    table : Table, optional
        The same result in numbers.
    beside : mapping of str to (str, str)
        What is said beside a control, by its key: how it stands, "right", "not yet" or "not tried yet", and words.

    Examples
    --------
    >>> Answer(words="94 mm at the widest beam").words
    '94 mm at the widest beam'
    """

    picture: Picture | None = None
    words: str = ""
    table: Table | None = None
    beside: Mapping[str, tuple[str, str]] = field(default_factory=dict)


class Panel(anywidget.AnyWidget):
    """
    Controls above a picture, kept together by one function.

    Parameters
    ----------
    title : str
        What the panel is for.
    controls : sequence of Control
        Sliders, entries, choices and ticks.
    respond : callable
        Called with one keyword argument a control; returns an :class:`Answer`.

    Examples
    --------
    >>> from deckgeom.bench.controls import Slider
    >>> panel = Panel("Twice", [Slider("a", "A", 0, 9, 1, 2)], lambda a: Answer(words=f"twice {a:g} is {2 * a:g}"))
    >>> panel.set(a=4).words
    'twice 4 is 8'
    """

    _esm = _HERE / "panel.js"
    _css = _HERE / "panel.css"

    title = traitlets.Unicode("").tag(sync=True)
    specs = traitlets.List().tag(sync=True)
    settings = traitlets.Dict().tag(sync=True)
    svg = traitlets.Unicode("").tag(sync=True)
    alt = traitlets.Unicode("").tag(sync=True)
    words = traitlets.Unicode("").tag(sync=True)
    numbers = traitlets.Unicode("").tag(sync=True)
    beside = traitlets.Dict().tag(sync=True)
    trouble = traitlets.Unicode("").tag(sync=True)
    trouble_details = traitlets.Unicode("").tag(sync=True)
    turn = traitlets.Int(0).tag(sync=True)

    def __init__(self, title: str, controls: Sequence[Control], respond: Callable[..., Answer]) -> None:
        self._controls = {control.key: control for control in controls}
        self._respond = respond
        self._answer = Answer()
        self._snapshot: Any = None
        self._waiting: asyncio.TimerHandle | None = None
        super().__init__(
            title=title,
            specs=[control.spec() for control in controls],
            settings={control.key: control.accept(control.value) for control in controls},
        )
        self.observe(self._changed, "settings")
        self._changed(None)

    def set(self, **values: Any) -> Panel:
        """
        Move controls from Python, as the mouse or the keyboard would.

        Parameters
        ----------
        **values
            New values by the controls' keys.

        Returns
        -------
        Panel
            Itself, with the answer for the new values.

        Examples
        --------
        >>> from deckgeom.bench.controls import Tick
        >>> Panel("P", [Tick("a", "A")], lambda a: Answer(words=str(a))).set(a=True).words
        'True'
        >>> Panel("P", [Tick("a", "A")], lambda a: Answer()).set(b=True)
        Traceback (most recent call last):
        ...
        KeyError: "no control 'b' on this panel; there are: a"
        """
        unknown = sorted(set(values) - set(self._controls))
        if unknown:
            raise KeyError(f"no control {unknown[0]!r} on this panel; there are: {', '.join(self._controls)}")
        accepted = {key: self._controls[key].accept(value) for key, value in values.items()}
        self.settings = self.settings | accepted
        return self

    @property
    def answer(self) -> Answer:
        """
        The last good answer.

        Examples
        --------
        >>> Panel("P", [], lambda: Answer(words="ready")).answer.words
        'ready'
        """
        return self._answer

    @property
    def readout(self) -> Words:
        """
        What the panel says now: its words, or the trouble that it is in.

        Examples
        --------
        >>> Panel("P", [], lambda: Answer(words="ready")).readout
        ready
        """
        return Words.of(self.trouble, kind="look") if self.trouble else Words.each(self.words.split("\n"))

    def _changed(self, change: Any) -> None:
        try:
            values = {key: control.accept(self.settings[key]) for key, control in self._controls.items()}
            self._show(self._respond(**values))
        except Exception as error:
            with self.hold_sync():
                self.trouble = one_line(error)
                self.trouble_details = traceback.format_exc(limit=-6)
                self.turn += 1
        self._snapshot_later()

    def _show(self, answer: Answer) -> None:
        svg = answer.picture.inline() if answer.picture else ""
        numbers = answer.table.html() if answer.table else ""
        with self.hold_sync():
            self.svg, self.alt = svg, answer.picture.alt if answer.picture else ""
            self.words, self.numbers = answer.words, numbers
            self.beside = {key: list(said) for key, said in answer.beside.items()}
            self.trouble = self.trouble_details = ""
            self.turn += 1
        self._answer = answer

    def snapshot(self) -> str:
        """
        Return the plain copy that stays in a saved notebook: picture, words and table without controls.

        Examples
        --------
        >>> Panel("P", [], lambda: Answer(words="ready <now>")).snapshot()
        '<div class="dg-snapshot"><p>ready &lt;now&gt;</p></div>'
        """
        answer = self._answer
        parts = [answer.picture.image() if answer.picture else "", f"<p>{html.escape(answer.words)}</p>"]
        return f'<div class="dg-snapshot">{"".join(parts)}{self.numbers}</div>'

    def _plain(self) -> dict[str, str]:
        return {"text/html": self.snapshot(), "text/plain": self._answer.words}

    def _ipython_display_(self) -> None:
        bundle = self._repr_mimebundle_()
        data = bundle[0] if isinstance(bundle, tuple) else bundle
        if data:
            display(data | {"text/plain": repr(self)}, raw=True)
        self._snapshot = display(self._plain(), raw=True, display_id=True)

    def _snapshot_later(self) -> None:
        if self._snapshot is None:
            return
        if self._waiting is not None:
            self._waiting.cancel()
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            self._refresh()
        else:
            self._waiting = loop.call_later(SNAPSHOT_DELAY_S, self._refresh)

    def _refresh(self) -> None:
        self._snapshot.update(self._plain(), raw=True)

    def __repr__(self) -> str:
        return f"Panel: {self.title}. {self.words}".strip()
