"""Telling that a part of the speaking fails, and that it is back, once each time."""

from collections.abc import Callable
from enum import Enum


class Part(Enum):
    """A part of the speaking that can fail by itself, and what is said when it is back."""

    LOUDSPEAKER = "Sound is back."
    VOICE = "The voice is back."


class Troubles:
    """What fails now, and who is told of it.

    The callbacks may be set from any thread. :meth:`fails` and :meth:`works` are for the one thread
    that uses the part, and call them in it.
    """

    def __init__(self) -> None:
        self._failing: set[Part] = set()
        self._tell_trouble: Callable[[str], object] = lambda _: None
        self._tell_recovery: Callable[[str], object] = lambda _: None

    @property
    def any(self) -> bool:
        """Whether any part fails now."""
        return bool(self._failing)

    def on_trouble(self, callback: Callable[[str], object]) -> None:
        """Call this with one line where a part fails, once each time."""
        self._tell_trouble = callback

    def on_recovery(self, callback: Callable[[str], object]) -> None:
        """Call this with one line when what failed is back."""
        self._tell_recovery = callback

    def fails(self, part: Part, text: str) -> None:
        """The part fails now; ``text`` says why."""
        if part not in self._failing:
            self._failing.add(part)
            self._tell_trouble(text)

    def works(self, part: Part) -> None:
        """The part works now."""
        if part in self._failing:
            self._failing.remove(part)
            self._tell_recovery(part.value)
