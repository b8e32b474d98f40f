"""The real worker of the voice, made ill: ``ill_worker.py HOW MARKER`` and its own options.

It is ill at its first item, and leaves the file ``MARKER`` behind; where that is there already it
is well. With ``-`` for a marker it is ill at every item, ``until told`` until somebody else leaves
the file behind.
"""

import ctypes
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path

from assistant.speaking import voice_worker

well = voice_worker.speak


def hang(engine: voice_worker.Synthesiser, text: str, into: Path) -> None:
    time.sleep(600)


def die(engine: voice_worker.Synthesiser, text: str, into: Path) -> None:
    os._exit(1)


def write_garbage(engine: voice_worker.Synthesiser, text: str, into: Path) -> None:
    into.write_bytes(b"\xff\x00 this is no sound" * 20)


def write_nothing(engine: voice_worker.Synthesiser, text: str, into: Path) -> None:
    return


def write_silence(engine: voice_worker.Synthesiser, text: str, into: Path) -> None:
    well(engine, text, into)
    head = into.read_bytes()[:44]
    into.write_bytes(head + bytes(into.stat().st_size - 44))


def raise_error(engine: voice_worker.Synthesiser, text: str, into: Path) -> None:
    raise RuntimeError("run loop already started")


def speak_slowly(engine: voice_worker.Synthesiser, text: str, into: Path) -> None:
    time.sleep(0.3)
    well(engine, text, into)


def answer_nonsense(engine: voice_worker.Synthesiser, text: str, into: Path) -> None:
    for handle in range(3, 20):
        try:
            os.write(handle, b"no answer at all\n")
        except OSError:
            continue


WAYS: dict[str, Callable[[voice_worker.Synthesiser, str, Path], None]] = {
    "hangs": hang,
    "dies": die,
    "garbage": write_garbage,
    "nothing": write_nothing,
    "silence": write_silence,
    "error": raise_error,
    "dies until told": die,
    "slow": speak_slowly,
    "nonsense": answer_nonsense,
}


def no_library(name: str) -> None:
    raise OSError(f"{name}: cannot open shared object file")


def make_ill(how: str, marker: str) -> None:
    if how == "without espeak":
        ctypes.CDLL = no_library
        sys.modules["espeakng_loader"] = None
    elif how == "without pyttsx3":
        sys.modules["pyttsx3"] = None
    elif how in WAYS:
        voice_worker.speak = lambda engine, text, into: speak(how, marker, engine, text, into)


def speak(how: str, marker: str, engine: voice_worker.Synthesiser, text: str, into: Path) -> None:
    if text == voice_worker.FIRST_WORD or Path(marker).exists():
        well(engine, text, into)
        return
    if marker != "-" and not how.endswith("until told"):
        Path(marker).touch()
    WAYS[how](engine, text, into)


if __name__ == "__main__":
    make_ill(*sys.argv[1:3])
    voice_worker.main(sys.argv[3:])
