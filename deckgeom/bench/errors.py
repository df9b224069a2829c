"""
Errors in words: one line where they arose, with the particulars folded away under it.

In a notebook an error of this package's calls is shown as that line; it stays an error, so that the cells below do not
run on and a test sees it.
"""

from __future__ import annotations

import difflib
import html
import pathlib
import re
import sys
import traceback
from types import TracebackType
from typing import Any

_PACKAGE = str(pathlib.Path(__file__).parents[1])
_FOLDED = "Details, for whoever mends the program"


def one_line(error: Exception) -> str:
    """
    Put an error into one line for a person.

    Parameters
    ----------
    error : Exception
        Those of this project say value, rule and advice themselves; others are named.

    Returns
    -------
    str
        One line, never empty.

    Examples
    --------
    >>> one_line(ValueError("Camber cannot be -3 mm: a deck rises to the middle."))
    'Camber cannot be -3 mm: a deck rises to the middle.'
    >>> one_line(ZeroDivisionError("division by zero"))
    'The sum broke down (ZeroDivisionError: division by zero). Put the last change back and try another value.'
    """
    if isinstance(error, OSError) and error.strerror and str(error).startswith("[Errno"):
        place = f"{error.filename}: " if error.filename else ""
        return f"{place}{error.strerror}. Is it open in another program, the disk full, or the folder not yours?"
    said = " ".join(str(error.args[0] if isinstance(error, KeyError) and error.args else error).split())[:400]
    if said and isinstance(error, ValueError | KeyError | OSError):
        return said
    named = f"{type(error).__name__}: {said}" if said else type(error).__name__
    return f"The sum broke down ({named}). Put the last change back and try another value."


def fold_tracebacks() -> bool:
    """
    Ask the notebook to show errors of this package in one line; done once, when a boat is opened.

    Returns
    -------
    bool
        False where no notebook is running.

    Examples
    --------
    >>> fold_tracebacks()
    False
    """
    shell = _shell()
    if shell is None:
        return False
    shell.set_custom_exc((Exception,), _shown)
    return True


def _shell() -> Any:
    """The notebook's shell; None in a terminal, where tracebacks belong to whoever typed there."""
    if "IPython" not in sys.modules:
        return None
    from IPython import get_ipython

    shell = get_ipython()
    return shell if shell is not None and hasattr(shell, "kernel") else None


def in_words(error: BaseException, trace: TracebackType | None) -> str:
    """
    Say an error of a cell in one line, if it arose in this package or from a box that was not run.

    Parameters
    ----------
    error : BaseException
        What was raised.
    trace : traceback or None
        Where it went through.

    Returns
    -------
    str
        Nothing where it is the reader's own program that broke.

    Examples
    --------
    >>> in_words(NameError("name 'job' is not defined", name="job"), None)
    "'job' is not known yet: run the boxes above this one first (menu Run, Run All Above Selected Cell)."
    >>> in_words(ZeroDivisionError("division by zero"), None)
    ''
    """
    files = [frame.f_code.co_filename for frame, _ in traceback.walk_tb(trace)]
    if any(pathlib.Path(file).is_relative_to(_PACKAGE) for file in files):
        return one_line(error) if isinstance(error, Exception) else ""
    if type(error) is NameError and error.name:
        return (
            f"{error.name!r} is not known yet: run the boxes above this one first (menu Run, Run All Above Selected "
            "Cell)."
        )
    return _wrong_call(error)


def _wrong_call(error: BaseException) -> str:
    """In words, a call of this package that is not written as it should be; nothing for any other error."""
    called = re.match(r"(?:\w+\.)*(\w+)\(\) (?:missing|takes|got)", str(error))
    if type(error) is TypeError and called and _is_ours(called[1]):
        return f"{error}. With the cursor between its brackets, Shift + Tab shows how the call is written."
    if isinstance(error, AttributeError) and getattr(error.obj, "__name__", "").startswith("deckgeom"):
        known = [name for name in getattr(error.obj, "__all__", dir(error.obj)) if not name.startswith("_")]
        near = difflib.get_close_matches(str(error.name), known, 1)
        slip = f"Was {near[0]} meant?" if near else f"There are: {', '.join(known[:20])}."
        return f"There is no call {error.name!r} in {error.obj.__name__.rpartition('.')[2]}. {slip}"
    return ""


def _is_ours(name: str) -> bool:
    """Whether a call that the notebooks make has this name."""
    return any(
        callable(getattr(module, name, None))
        for key, module in list(sys.modules.items())
        if key.startswith("deckgeom.bench")
    )


def folded(words: str, details: str) -> str:
    """
    Lay the particulars of an error behind a line that unfolds, escaped.

    Parameters
    ----------
    words : str
        What went wrong, for the summary's accessible name.
    details : str
        The traceback.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> folded("no such beam", "Traceback <...>").count("&lt;")
    1
    """
    return (
        f'<details class="dg-folded"><summary style="cursor:pointer">{_FOLDED}</summary>'
        f'<p style="margin:0.3em 0">{html.escape(words)}</p>'
        f'<pre style="overflow-x:auto;font-size:12px">{html.escape(details)}</pre></details>'
    )


def _shown(
    shell: Any, kind: type, error: BaseException, trace: TracebackType, tb_offset: int | None = None
) -> list[str]:
    """Show an error as the notebook's shell asks it of its handler."""
    words = in_words(error, trace)
    if not words:
        shell.showtraceback((kind, error, trace), tb_offset=tb_offset)
        return []
    from IPython.display import display

    details = "".join(traceback.format_exception(kind, error, trace))
    shell._showtraceback(kind, error, [words])
    display({"text/html": folded(words, details), "text/plain": _FOLDED}, raw=True)
    return [words]
