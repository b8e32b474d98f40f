"""Inside an engine's process: one engine, asked over a pipe until the pipe is closed.

Native libraries print where they like and end the process when they dislike a call. Here that
costs nothing: their output goes nowhere, and the parent starts another process.
"""

import os
import signal
import sys
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib import import_module
from multiprocessing import parent_process
from typing import TYPE_CHECKING, Any

from assistant.hearing.engine import EngineFailed

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

ENGINES: Mapping[str, str] = {
    "pocketsphinx": "assistant.hearing.pocketsphinx_engine:PocketSphinxEngine",
    "vosk": "assistant.hearing.vosk_engine:VoskEngine",
}
"""Where the maker of each engine is: ``module:name``, called with the engine's settings."""

OPTIONAL: Mapping[str, object] = {"unknown_words": (), "glance": None, "lacking": ()}
"""What an engine may do without: the method, and the answer where it is missing."""


@dataclass(frozen=True, kw_only=True)
class Request:
    """A method of the engine to call, and what with; ``number`` comes back with the answer."""

    number: int
    method: str
    arguments: tuple[object, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Ready:
    """The engine is made and can be asked."""


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What the method returned."""

    number: int
    value: object


@dataclass(frozen=True, kw_only=True)
class Refusal:
    """Why there is no answer to the request, or no engine at all (``number`` 0)."""

    number: int
    text: str


def serve(make: str, settings: Mapping[str, object], pipe: "Connection[Any, Any]") -> None:
    """Make the engine named ``make`` and answer requests until the parent lets go."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _silence()
    _leave_no_core()
    threading.Thread(target=_end_with_the_parent, daemon=True).start()
    try:
        try:
            engine = maker(make)(**settings)
        except Exception as error:
            pipe.send(Refusal(number=0, text=_plain(error)))
            return
        pipe.send(Ready())
        while True:
            _answer(engine, pipe.recv(), pipe)
    except (EOFError, OSError):
        return


def maker(make: str) -> Callable[..., object]:
    """What makes the engine: a name of :data:`ENGINES`, or ``module:name`` itself."""
    module, _, name = ENGINES.get(make, make).partition(":")
    made: Callable[..., object] = getattr(import_module(module), name)
    return made


def _answer(engine: object, request: Request, pipe: "Connection[Any, Any]") -> None:
    try:
        if request.method in OPTIONAL and not hasattr(engine, request.method):
            value = OPTIONAL[request.method]
        else:
            value = getattr(engine, request.method)(*request.arguments)
        pipe.send(Answer(number=request.number, value=value))
    except (EOFError, OSError):
        raise
    except Exception as error:
        pipe.send(Refusal(number=request.number, text=_plain(error)))


def _plain(error: Exception) -> str:
    return str(error) if isinstance(error, EngineFailed) else f"{type(error).__name__}: {error}"


def _silence() -> None:
    """Keep native libraries off the terminal, and off the pipe that standard output may be."""
    nowhere = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(nowhere, stream)
    os.close(nowhere)
    sys.stdout = sys.stderr = open(os.devnull, "w")  # noqa: SIM115 (open as long as the process)


def _leave_no_core() -> None:
    """A crash must not write what was said to disk, with the whole model around it."""
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _end_with_the_parent() -> None:
    """End at once when the parent is gone, in the midst of a native call too."""
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
