"""Engines for the tests that do what native libraries do: crash, hang, dawdle, answer nonsense."""

import os
import signal
import sys
import time
from pathlib import Path

import numpy as np

from assistant.hearing.engine import RATE_HZ, EngineFailed, Evidence, Look, Sound


def sound(seconds: float, value: int = 1) -> Sound:
    """A sound that the engines can tell from another by its ``value``."""
    return np.full(int(seconds * RATE_HZ), value, np.int16)


class Steady:
    """Answers at once with the sound's value and the number of its process."""

    name = "steady"

    def __init__(self, *, said: str = "value") -> None:
        self.said = said

    def hear(self, sound: Sound, grammar: object) -> Evidence:
        words = (self.said, str(sound[0]), str(os.getpid()))
        return Evidence(
            engine=self.name, seconds=len(sound) / RATE_HZ, looks=(Look(by="test", words=words),)
        )

    def close(self) -> None:
        pass


class Knowing(Steady):
    """Can tell which words it lacks."""

    def unknown_words(self, grammar: object) -> tuple[str, ...]:
        return ("krausen", "trub")


class Loud(Steady):
    """Prints where native libraries print, then answers."""

    def hear(self, sound: Sound, grammar: object) -> Evidence:
        os.write(1, b"noise on standard output\n")
        os.write(2, b"noise on standard error\n")
        sys.stderr.write("more noise\n")
        return super().hear(sound, grammar)


class Failing(Steady):
    """Fails, as ``how`` says, the first ``times`` it is asked; counts in a file it is told."""

    def __init__(self, *, how: str, counts_in: Path, times: int = 1_000) -> None:
        super().__init__()
        self.how = how
        self.counts_in = counts_in
        self.times = times

    def hear(self, sound: Sound, grammar: object) -> Evidence:
        with self.counts_in.open("a") as counted:
            counted.write("x")
        if len(self.counts_in.read_text()) <= self.times:
            self._fail()
        return super().hear(sound, grammar)

    def _fail(self) -> None:
        match self.how:
            case "aborts":
                os.abort()
            case "segfaults":
                os.kill(os.getpid(), signal.SIGSEGV)
            case "exits":
                os._exit(3)
            case "hangs":
                time.sleep(600)
            case "stops":
                os.kill(os.getpid(), signal.SIGSTOP)
            case "raises":
                raise ValueError("a word it does not know")


class Nonsense(Steady):
    """Answers with something that is no evidence."""

    def hear(self, sound: Sound, grammar: object) -> Evidence:
        return "words"  # type: ignore[return-value]


class Unsendable(Steady):
    """Answers with something that no pipe can carry."""

    def hear(self, sound: Sound, grammar: object) -> Evidence:
        return (letter for letter in "words")  # type: ignore[return-value]


class Slow(Steady):
    """Takes as many seconds as the sound's value says, a tenth each."""

    def hear(self, sound: Sound, grammar: object) -> Evidence:
        time.sleep(int(sound[0]) / 10)
        return super().hear(sound, grammar)


class Unmade(Steady):
    """Can't be made, and says why."""

    def __init__(self, *, counts_in: Path) -> None:
        with counts_in.open("a") as counted:
            counted.write("x")
        raise EngineFailed("There is no speech model here.")


class DiesLoading(Steady):
    """Crashes while it is made."""

    def __init__(self, *, counts_in: Path) -> None:
        with counts_in.open("a") as counted:
            counted.write("x")
        os.abort()


class LoadsForEver(Steady):
    """Never comes to be."""

    def __init__(self) -> None:
        time.sleep(600)
