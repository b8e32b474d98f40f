"""The microphone, watched: one that falls silent is closed, looked for and opened again."""

import time
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from threading import Event, RLock

from assistant.backing_off import PAUSES_S, BackingOff, Pauses
from assistant.closing import Closing
from assistant.hearing.ear.device import (
    CLOSE_WITHIN_S,
    Block,
    NoStream,
    Stream,
    open_stream,
    refresh_devices,
)
from assistant.hearing.ear.trouble import Trouble

NO_SOUND_S = 2.0
"""A stream that delivers nothing for so long is dead; PortAudio itself tells of no such error."""

MUTED_S = 10.0
"""So long without a single bit of noise no real microphone is."""

OVERFLOWS = 5
OVERFLOWS_WITHIN_S = 60.0
OVERFLOW_AGAIN_S = 600.0
"""One overflow as a stream begins is usual; some within a minute are worth a word, now and then."""

HOPELESS = (Trouble.NO_SOUNDDEVICE, Trouble.NO_PORTAUDIO)
"""What trying again does not help."""


class Microphone:
    """A microphone by name or number, or the system's usual one.

    It is opened by the first reading. ``on_trouble`` is called in the thread that reads, once for
    each change. ``refresh`` makes the system look for devices again; as that closes the output of
    the same process too, whoever has one open passes a ``refresh`` that sees to it. ``pauses_s``
    are those between attempts to open it; ``stalled_s`` is how long it may deliver nothing.
    """

    def __init__(
        self,
        wanted: str | int | None = None,
        *,
        on_trouble: Callable[[Trouble], None],
        refresh: Callable[[], None] = refresh_devices,
        pauses_s: Pauses = PAUSES_S,
        stalled_s: float = NO_SOUND_S,
        now_s: Callable[[], float] = time.monotonic,
    ) -> None:
        self._wanted = wanted
        self._stalled_s = stalled_s
        self._on_trouble = on_trouble
        self._refresh = refresh
        self._now_s = now_s
        self._closed = Event()
        self._away = Event()
        self._held = RLock()
        self._stream: Stream | None = None
        self._hanging: Closing | None = None
        self._backing_off = BackingOff(pauses_s, now_s=now_s)
        self._list_is_old = False
        self._trouble: Trouble | None = None
        self._heard_s = now_s()
        self._signal_s = now_s()
        self._told_muted = False
        self._overflows_s: deque[float] = deque(maxlen=OVERFLOWS)
        self._told_overflow_s = -OVERFLOW_AGAIN_S

    @property
    def open(self) -> bool:
        """Whether a stream is open."""
        return self._stream is not None

    @property
    def waiting(self) -> int:
        """How many blocks wait to be read."""
        stream = self._stream
        return 0 if stream is None else stream.waiting

    @property
    def hopeless(self) -> bool:
        """Whether it will not work again in this process."""
        return self._trouble in HOPELESS

    @property
    def hangs(self) -> bool:
        """Whether the system still hangs over closing it: then nothing can be opened or listed."""
        return self._hanging is not None and self._hanging.hangs

    def read(self, wait_s: float) -> Block | None:
        """The next block of sound, waiting at most ``wait_s`` seconds; None if there is none.

        Opens, watches and reopens the stream as it goes; never raises for what a device does.
        """
        if self._away.is_set():
            self._closed.wait(wait_s)
            return None
        with self._held:
            if self._stream is None and not self._closed.is_set():
                self._try_to_open(wait_s)
            if self._stream is None:
                return None
            block = self._stream.take(wait_s)
            if block is None:
                self._watch(self._stream)
            else:
                self._look_at(block)
            return block

    @contextmanager
    def released(self) -> Iterator[bool]:
        """Have the stream closed for a while, as it must be where another refreshes the devices.

        Gives whether it is: the system may hang over it. It is opened again by the next reading
        after that, and nobody is told.
        """
        self._away.set()
        held = self._held.acquire(timeout=CLOSE_WITHIN_S)
        try:
            if held:
                self._let_go()
            yield held and not self.hangs
        finally:
            if held:
                self._backing_off.try_now()
                self._list_is_old = False
                self._held.release()
            self._away.clear()

    def close(self) -> None:
        """Close it for good; whoever waits in :meth:`read` for it to come back waits no longer."""
        self._closed.set()
        # Who opens or closes a device may hang in the system; leaving must not wait for that.
        if self._held.acquire(timeout=CLOSE_WITHIN_S):
            self._let_go()
            self._held.release()

    def _try_to_open(self, wait_s: float) -> None:
        due_in_s = self._backing_off.due_in_s
        if self.hopeless or self.hangs:
            self._closed.wait(wait_s)
            return
        if due_in_s > 0:
            self._closed.wait(min(wait_s, due_in_s))
            return
        if self._list_is_old:
            with suppress(NoStream):
                self._refresh()
        try:
            self._stream = open_stream(
                self._wanted, self._now_s, lost_before=self._trouble is not None
            )
        except NoStream as no_stream:
            self._fails()
            # That it is gone has been told; that there is none now is the same to a brewer.
            if self._trouble is None or no_stream.trouble in HOPELESS:
                self._tell(no_stream.trouble)
            return
        self._heard_s = self._signal_s = self._now_s()

    def _watch(self, stream: Stream) -> None:
        silent_s = self._now_s() - self._heard_s
        if stream.active and silent_s < self._stalled_s:
            return
        if self._trouble is None:
            self._tell(Trouble.MICROPHONE_GONE)
        self._fails()
        self._let_go()

    def _fails(self) -> None:
        self._backing_off.failed()
        self._list_is_old = True

    def _look_at(self, block: Block) -> None:
        self._heard_s = block.arrived_s
        self._backing_off.works()
        self._list_is_old = False
        if self._trouble is not None:
            self._trouble = None
            self._on_trouble(Trouble.MICROPHONE_BACK)
        if block.sound.any():
            self._signal_s = block.arrived_s
            self._told_muted = False
        elif block.arrived_s - self._signal_s >= MUTED_S and not self._told_muted:
            self._told_muted = True
            self._on_trouble(Trouble.MICROPHONE_MUTED)
        if block.suspect:
            self._overflowed(block.arrived_s)

    def _overflowed(self, at_s: float) -> None:
        self._overflows_s.append(at_s)
        many = (
            len(self._overflows_s) == OVERFLOWS
            and at_s - self._overflows_s[0] <= OVERFLOWS_WITHIN_S
        )
        if many and at_s - self._told_overflow_s >= OVERFLOW_AGAIN_S:
            self._told_overflow_s = at_s
            self._on_trouble(Trouble.OVERFLOW)

    def _let_go(self) -> None:
        stream, self._stream = self._stream, None
        if stream is not None:
            self._hanging = stream.close()
            if self.hangs:
                self._tell(Trouble.MICROPHONE_STUCK)

    def _tell(self, trouble: Trouble) -> None:
        if trouble is not self._trouble:
            self._trouble = trouble
            self._on_trouble(trouble)
