"""A process that does nothing but turn text into sound files: ``python -m`` this module.

Speech synthesisers hang, end their process or repeat themselves. Here they do it where it costs
nothing: one item in, one file out, and whoever waits can end this process and start another.

The first line out tells how it began: ``{"engine": ...}`` or ``{"failed": ..., "missing": ...}``.
After that each line in, ``{"say": ..., "into": FILE}`` or ``{"voices": true}``, has one line out,
``{"done": FILE}``, ``{"voices": [...]}`` or ``{"failed": ...}``. With the end of its input the
process removes ``--folder``, so that no sound outlives a program that was ended abruptly.

The synthesiser is looked for in this order: espeak-ng or espeak of the system (Linux), the one
in the Python package espeakng-loader (Linux), and whatever macOS or Windows has built in.
``KETTLESIDE_ESPEAK`` set to ``system`` or ``bundled`` allows only the one or the other.
"""

import argparse
import ctypes
import json
import os
import queue
import shutil
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any, Protocol, TextIO

SWITCH = "KETTLESIDE_ESPEAK"
SYSTEM, BUNDLED = "system", "bundled"
SYSTEM_LIBRARIES = ("libespeak-ng.so.1", "/usr/local/lib/libespeak-ng.so.1", "libespeak.so.1")
"""What pyttsx3 itself would load on Linux."""

MISSING_ESPEAK = "espeak-ng"
MISSING_PYTTSX3 = "pyttsx3"
NO_SUCH_VOICE = "voice"

FIRST_WORD = "ready"
FIRST_WORD_S = 1.0

SETTLED_S = 0.02
"""After it tells its end, pyttsx3 still leaves its loop; that takes it microseconds."""


class CanNotSpeak(Exception):
    """There is no synthesiser; ``missing`` names the package to install, or is NO_SUCH_VOICE."""

    def __init__(self, text: str, missing: str | None = None) -> None:
        super().__init__(text)
        self.missing = missing


class Synthesiser(Protocol):
    """What is used of a pyttsx3 engine."""

    def getProperty(self, name: str) -> Any: ...
    def setProperty(self, name: str, value: object) -> None: ...
    def save_to_file(self, text: str, filename: str) -> None: ...
    def runAndWait(self) -> None: ...
    def connect(self, topic: str, cb: Callable[..., None]) -> Any: ...
    def disconnect(self, token: Any) -> None: ...


def start(rate_wpm: int, voice: str | None, folder: Path) -> tuple[Synthesiser, str]:
    """A synthesiser and what it is called.

    Rate and voice are set once, before the first item, which nobody hears: espeak was seen to
    ignore a rate that is changed later. Raises :class:`CanNotSpeak`.
    """
    if sys.platform.startswith("linux"):
        load_espeak(os.environ.get(SWITCH))
    try:
        import pyttsx3
    except ImportError as error:
        raise CanNotSpeak(f"pyttsx3 can't be imported: {error}", MISSING_PYTTSX3) from error
    try:
        engine: Synthesiser = pyttsx3.init()
    except (ImportError, OSError, RuntimeError) as error:
        missing = MISSING_ESPEAK if sys.platform.startswith("linux") else None
        raise CanNotSpeak(f"the synthesiser does not start: {error}", missing) from error
    if voice is not None:
        engine.setProperty("voice", voice)
    engine.setProperty("rate", rate_wpm)
    # pyttsx3 hands on settings with the next item only, and espeak keeps the voice it had, without
    # a word, where there is none of that name.
    _warm_up(engine, folder / "first.wav")
    if voice is not None and engine.getProperty("voice") != voice:
        raise CanNotSpeak(f"there is no voice {voice}", NO_SUCH_VOICE)
    return engine, engine_name()


def _warm_up(engine: Synthesiser, into: Path) -> None:
    """Say a first word, and wait for its end: the first run of pyttsx3 returns before that.

    What is left of it would otherwise end the next item, or be written in its place.
    """
    finished = threading.Event()
    token = engine.connect("finished-utterance", lambda **_: finished.set())
    speak(engine, FIRST_WORD, into)
    finished.wait(FIRST_WORD_S)
    engine.disconnect(token)
    time.sleep(SETTLED_S)
    into.unlink(missing_ok=True)


def load_espeak(allowed: str | None) -> None:
    """Load espeak into this process where the system has none; raises :class:`CanNotSpeak`."""
    if allowed != BUNDLED:
        for name in SYSTEM_LIBRARIES:
            try:
                ctypes.CDLL(name)
            except OSError:
                continue
            return
    if allowed == SYSTEM:
        raise CanNotSpeak("espeak-ng is not installed", MISSING_ESPEAK)
    try:
        import espeakng_loader
    except ImportError as error:
        raise CanNotSpeak("espeak-ng is not installed", MISSING_ESPEAK) from error
    # espeak ends its process where it finds no data, so the path must be there first; and pyttsx3
    # then finds the library by its name among those that are loaded.
    os.environ["ESPEAK_DATA_PATH"] = espeakng_loader.get_data_path()
    try:
        ctypes.CDLL(espeakng_loader.get_library_path())
    except OSError as error:
        raise CanNotSpeak(f"espeakng-loader can't be used: {error}", MISSING_ESPEAK) from error


def engine_name() -> str:
    """``espeak-ng 1.52.0``, or what the platform's synthesiser is called."""
    loaded = sys.modules.get("pyttsx3.drivers._espeak")
    if loaded is None:
        return {"darwin": "the voice of macOS", "win32": "the voice of Windows"}.get(
            sys.platform, sys.platform
        )
    info = loaded.dll.espeak_Info
    info.restype = ctypes.c_char_p
    return f"espeak-ng {info(None).decode().split()[0]}"


def speak(engine: Synthesiser, text: str, into: Path) -> None:
    """Write one text's sound: one order and one run each, as more of them overwrite each other."""
    engine.save_to_file(text, str(into))
    engine.runAndWait()


def voices(engine: Synthesiser) -> list[dict[str, str]]:
    """The voices there are."""
    return [
        {"id": voice.id, "name": voice.name, "language": _language(voice.languages)}
        for voice in engine.getProperty("voices")
    ]


def _language(languages: Sequence[str | bytes] | None) -> str:
    if not languages:
        return ""
    first = languages[0]
    # Some drivers give bytes that begin with a priority.
    return first.decode(errors="ignore").lstrip("\x05\x02") if isinstance(first, bytes) else first


def answers(engine: Synthesiser, lines: Iterator[str]) -> Iterator[dict[str, Any]]:
    """The answer to each line."""
    for line in lines:
        order = json.loads(line)
        try:
            if order.get("voices"):
                yield {"voices": voices(engine)}
            else:
                speak(engine, order["say"], Path(order["into"]))
                yield {"done": order["into"]}
        except (OSError, RuntimeError, ValueError, AssertionError) as error:
            yield {"failed": f"{type(error).__name__}: {error}"}


def main(arguments: Sequence[str] | None = None) -> None:
    """Run until the input ends."""
    parser = argparse.ArgumentParser(description="Turn text into sound files.")
    parser.add_argument("--folder", type=Path, required=True)
    parser.add_argument("--rate", type=int, required=True)
    parser.add_argument("--voice")
    call = parser.parse_args(arguments)
    # Ctrl-C at the terminal reaches every process of the program; that one decides.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    out = _answering_stream()
    lines: queue.Queue[str] = queue.Queue()
    # In a thread of its own, so that the end of the input ends a synthesiser that hangs, too.
    reading = threading.Thread(target=_read, args=(lines, call.folder), daemon=True)
    reading.start()
    try:
        engine, name = start(call.rate, call.voice, call.folder)
    except CanNotSpeak as problem:
        _tell(out, {"failed": str(problem), "missing": problem.missing})
        return
    _tell(out, {"engine": name})
    for answer in answers(engine, iter(lines.get, None)):
        _tell(out, answer)


def _read(lines: queue.Queue[str], folder: Path) -> None:
    for line in iter(sys.stdin.readline, ""):
        lines.put(line)
    shutil.rmtree(folder, ignore_errors=True)
    os._exit(0)


def _answering_stream() -> TextIO:
    """The real standard output, while whatever else prints there, drivers do, goes nowhere."""
    out = os.fdopen(os.dup(sys.stdout.fileno()), "w", encoding="utf-8")
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    return out


def _tell(out: TextIO, answer: dict[str, Any]) -> None:
    # Whoever closed the other end has closed the input too, which ends this process.
    with suppress(BrokenPipeError):
        out.write(f"{json.dumps(answer)}\n")
        out.flush()


if __name__ == "__main__":
    main()
