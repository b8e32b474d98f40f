"""Signals of the system, handled for a while and then as before."""

import signal
import threading
from collections.abc import Callable
from types import FrameType


def handle(
    name: str, handler: Callable[[int, FrameType | None], None], *, only_default: bool = False
) -> Callable[[], None]:
    """Handle a signal, where the platform has it; the result puts back what was there.

    Only the main thread may, and a handler that someone else has set is not replaced where
    ``only_default``.
    """
    number = getattr(signal, name, None)
    if number is None or threading.current_thread() is not threading.main_thread():
        return lambda: None
    before = signal.getsignal(number)
    if before is None or (only_default and before is not signal.SIG_DFL):
        return lambda: None
    signal.signal(number, handler)

    def put_back() -> None:
        signal.signal(number, before)

    return put_back
