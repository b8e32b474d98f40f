"""Closing what may hang: sound drivers were seen to wait for ever on a device pulled out."""

from collections.abc import Callable
from contextlib import suppress
from threading import Thread


class Closing:
    """Closes something in a thread of its own, which is left behind where the system hangs."""

    def __init__(self, close: Callable[[], object], within_s: float, name: str) -> None:
        self._close = close
        self._thread = Thread(target=self._run, daemon=True, name=f"closing {name}")
        self._thread.start()
        self._thread.join(within_s)

    @property
    def hangs(self) -> bool:
        """Whether the system has not come back from it yet."""
        return self._thread.is_alive()

    def _run(self) -> None:
        # A device that is gone may fail in any way, and there is nothing left to save.
        with suppress(Exception):
            self._close()
