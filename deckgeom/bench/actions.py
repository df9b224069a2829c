"""
A panel of buttons: labelled fields, something to be done with them, and in words what came of it.

Work that takes long is followed while it runs, with a bar and a button that stops it.
"""

from __future__ import annotations

import asyncio
import html
import pathlib
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import anywidget
import traitlets
from IPython.display import display

from deckgeom.bench.controls import Control
from deckgeom.bench.errors import one_line
from deckgeom.bench.long_work import LongWork
from deckgeom.bench.tables import Table, Words

LOOK_EVERY_S = 0.1
_HERE = pathlib.Path(__file__).parent


@dataclass(frozen=True, eq=False)
class Action:
    """
    Something to be done at the press of a button.

    Parameters
    ----------
    key : str
        Its name in calls.
    label : str
        What stands on the button.
    act : callable
        Called with one keyword argument a field; returns words, a table, or work that takes long.
    fields : sequence of Control
        What it is done with.
    hint : str
        A line above.

    Examples
    --------
    >>> Action("greet", "Say it", lambda: Words.of("ahoy")).spec()["label"]
    'Say it'
    """

    key: str
    label: str
    act: Callable[..., Any]
    fields: Sequence[Control] = ()
    hint: str = ""

    def spec(self) -> dict[str, Any]:
        """
        Return what the page needs to draw it.

        Examples
        --------
        >>> Action("greet", "Say it", lambda: Words.of("ahoy")).spec()["fields"]
        []
        """
        start = {field.key: field.accept(field.value) for field in self.fields}
        fields = [field.spec() for field in self.fields]
        return {"key": self.key, "label": self.label, "hint": self.hint, "fields": fields, "start": start}


class Actions(anywidget.AnyWidget):
    """
    Buttons with their fields, and what came of the last one that was pressed.

    Parameters
    ----------
    title : str
        What the panel is for.
    actions : callable
        Returns the actions; asked again after each, since it may offer other choices then.

    Examples
    --------
    >>> panel = Actions("Greetings", lambda: [Action("greet", "Say it", lambda: Words.of("ahoy"))])
    >>> panel.do("greet").readout
    ahoy
    """

    _esm = _HERE / "actions.js"
    _css = (_HERE / "panel.css").read_text(encoding="utf-8") + (_HERE / "actions.css").read_text(encoding="utf-8")

    title = traitlets.Unicode("").tag(sync=True)
    forms = traitlets.List().tag(sync=True)
    words = traitlets.Unicode("").tag(sync=True)
    numbers = traitlets.Unicode("").tag(sync=True)
    trouble = traitlets.Unicode("").tag(sync=True)
    trouble_details = traitlets.Unicode("").tag(sync=True)
    busy = traitlets.Unicode("").tag(sync=True)
    part = traitlets.Float(-1.0).tag(sync=True)
    stop_label = traitlets.Unicode("Stop").tag(sync=True)
    turn = traitlets.Int(0).tag(sync=True)

    def __init__(self, title: str, actions: Callable[[], Sequence[Action]]) -> None:
        self._offer = actions
        self._actions = {action.key: action for action in actions()}
        self._work: LongWork | None = None
        self._said: Words | Table | None = None
        super().__init__(title=title, forms=[action.spec() for action in self._actions.values()])
        self.on_msg(self._pressed)

    def do(self, key: str, **values: Any) -> Actions:
        """
        Press a button from Python, and wait until the work is done.

        Parameters
        ----------
        key : str
            The action.
        **values
            Its fields by their keys; what is not given is as at first.

        Returns
        -------
        Actions
            Itself, with what came of it.

        Examples
        --------
        >>> Actions("Greetings", lambda: [Action("greet", "Say it", lambda: Words.of("ahoy"))]).do("shout")
        Traceback (most recent call last):
        ...
        KeyError: "no action 'shout' on this panel; there are: greet"
        """
        if key not in self._actions:
            raise KeyError(f"no action {key!r} on this panel; there are: {', '.join(self._actions)}")
        self._do(key, values)
        if self._work is not None:
            self._work.wait()
            self._look()
        return self

    @property
    def readout(self) -> Words | Table:
        """
        What came of the last action.

        Examples
        --------
        >>> Actions("Greetings", lambda: []).readout
        Nothing was done yet.
        """
        if self.trouble:
            return Words.of(self.trouble, kind="look")
        return self._said or Words.of("Nothing was done yet.")

    def stop(self) -> None:
        """
        Stop the work that is running, if there is any.

        Examples
        --------
        >>> Actions("Greetings", lambda: []).stop()
        """
        if self._work is not None:
            self._work.stop()
            self._look()

    def _pressed(self, _widget: Any, message: Any, _buffers: Any = None) -> None:
        key = message.get("do") if isinstance(message, dict) else None
        if key == "stop":
            self.stop()
        elif isinstance(key, str) and key in self._actions and self._work is None:
            values = message.get("values")
            self._do(key, values if isinstance(values, dict) else {})
            self._look_again()

    def _do(self, key: str, values: dict[str, Any]) -> None:
        if self._work is not None:
            raise RuntimeError("Work is running on this panel: wait for it, or stop it first.")
        action = self._actions[key]
        try:
            known = {field.key: field for field in action.fields}
            given = {name: field.accept(values.get(name, field.value)) for name, field in known.items()}
            came = action.act(**given)
            if isinstance(came, LongWork):
                self._work = came.start()
                self._follow()
            else:
                self._show(came)
        except Exception as error:
            self._fail(one_line(error), traceback.format_exc(limit=-6))

    def _look_again(self) -> None:
        """Look after the running work from the kernel's own loop, so that the page stays alive."""
        self._look()
        if self._work is not None:
            asyncio.get_running_loop().call_later(LOOK_EVERY_S, self._look_again)

    def _look(self) -> None:
        work = self._work
        if work is None:
            return
        if work.state == "running":
            self._follow()
            return
        self._work = None
        self.busy = ""
        if work.state == "done":
            try:
                self._show(work.result)
            except Exception as error:
                self._fail(one_line(error), traceback.format_exc(limit=-6))
        elif work.state == "stopped":
            self._show(Words.of(work.says))
        else:
            self._fail(work.says, work.details)

    def _follow(self) -> None:
        with self.hold_sync():
            self.part, self.busy = self._work.part, self._work.says

    def _show(self, came: Words | Table) -> None:
        offered = {action.key: action for action in self._offer()}
        with self.hold_sync():
            self.words = "" if isinstance(came, Table) else "\n".join(came.lines)
            self.numbers = came.html() if isinstance(came, Table) else ""
            self.trouble = self.trouble_details = ""
            self.forms = [action.spec() for action in offered.values()]
            self.turn += 1
        self._said, self._actions = came, offered

    def _fail(self, words: str, details: str) -> None:
        with self.hold_sync():
            self.words = self.numbers = ""
            self.trouble, self.trouble_details = words, details
            self.turn += 1

    def _ipython_display_(self) -> None:
        bundle = self._repr_mimebundle_()
        data = bundle[0] if isinstance(bundle, tuple) else bundle
        if data:
            display(data | {"text/plain": repr(self)}, raw=True)
        names = ", ".join(action.label for action in self._actions.values())
        words = f"{self.title}. Buttons on the living page: {names}."
        plain = f'<div class="dg-snapshot"><p>{html.escape(words)}</p></div>'
        display({"text/html": plain, "text/plain": words}, raw=True)

    def __repr__(self) -> str:
        return f"Panel: {self.title}. {self.readout!r}"
