"""Rendering beforehand what will be said."""

import threading
from collections.abc import Callable, Iterable

MOST_WARM = 60
"""Texts that are kept warm: less than half of the sounds that are kept, or they would push one
another out and be rendered again and again."""


class Warming:
    """Renders texts beside the day, one by one, so that what is to be said now comes between."""

    def __init__(self, render: Callable[[str], bool]) -> None:
        self._render = render
        self._texts: tuple[str, ...] = ()
        self._round = 0
        self._changed = threading.Condition()
        self._thread: threading.Thread | None = None
        self._stopped = False

    def take(self, texts: Iterable[str]) -> None:
        """Warm these before what was taken earlier, and again whenever the manner changes.

        Beyond :data:`MOST_WARM` texts those taken longest ago are let go.
        """
        with self._changed:
            self._texts = tuple(dict.fromkeys([*texts, *self._texts]))[:MOST_WARM]
            self._begin()

    def again(self) -> None:
        """Warm all of them in the present manner."""
        with self._changed:
            if self._texts:
                self._begin()

    def stop(self) -> None:
        """End after the item at hand."""
        with self._changed:
            self._stopped = True
            self._changed.notify()
        if self._thread is not None:
            self._thread.join()

    def _begin(self) -> None:
        self._round += 1
        if self._thread is None and not self._stopped:
            self._thread = threading.Thread(target=self._run, name="voice warming", daemon=True)
            self._thread.start()
        self._changed.notify()

    def _run(self) -> None:
        done = 0
        while True:
            with self._changed:
                while not self._stopped and self._round == done:
                    self._changed.wait()
                if self._stopped:
                    return
                done, texts = self._round, self._texts
            for text in texts:
                if self._stopped or self._round != done or not self._render(text):
                    break
