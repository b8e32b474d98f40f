"""What is to be said and what sounds now: the one state that the announcer's threads share."""

import threading
from collections import deque
from collections.abc import Callable

from assistant.speaking.chimes import Chime
from assistant.speaking.loudspeaker import End
from assistant.speaking.spoken import Spoken
from assistant.speaking.waiting import CHIME_URGENCY, MANNERS, Item, Urgency, WaitingLine

LOOK_S = 0.01
"""How often a sounding track is looked at; less than the blocks of most devices."""

IDLE_S = 0.5
"""How often a silent loudspeaker is looked at."""


class Agenda:
    """What waits, what sounds, and whether it may go on.

    Nobody else knows the lock: every method but :attr:`closed` takes it, and lets it go while it
    waits. Nothing is rendered, played or told under it. :meth:`begin`, :meth:`ended`,
    :meth:`watch`, :meth:`take_answer`, :meth:`wait` and :meth:`drop_all` are for the playing
    thread, :meth:`take_to_render` and :meth:`rendered` for the rendering thread; any thread may
    call the others.
    """

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._line = WaitingLine()
        self._current: Item | None = None
        self._rendering: Item | None = None
        self._answering: deque[Chime] = deque(maxlen=2)
        self._hushed = self._closed = False

    @property
    def closed(self) -> bool:
        """Whether nothing is to be said any more."""
        return self._closed

    @property
    def busy(self) -> bool:
        """Whether something sounds or waits."""
        with self._changed:
            return self._is_busy()

    @property
    def goes_on(self) -> bool:
        """Whether something that waits could sound at once."""
        with self._changed:
            return self._line.first is not None and self._line.first.ready

    def say(self, text: str, urgency: Urgency, *, lead: Chime | None = None) -> None:
        """Let a text wait, unless it sounds or waits already.

        ``lead`` is a chime in place of the usual one before words of that urgency.
        """
        with self._changed:
            current = self._current
            sounding = current is not None and current.text == text and not self._hushed
            if self._closed or sounding:
                return
            chime = lead or MANNERS[urgency].lead
            self._line.add(Item(urgency=urgency, text=text, chime=chime))
            self._changed.notify_all()

    def chime(self, kind: Chime) -> None:
        """Let a chime wait for its turn if it calls the brewer, or be the next if it answers."""
        with self._changed:
            if self._closed:
                return
            if kind in CHIME_URGENCY:
                self._line.add(Item(urgency=CHIME_URGENCY[kind], chime=kind))
            else:
                self._answering.append(kind)
            self._changed.notify_all()

    def hush(self) -> None:
        """Drop what sounds now and what waits, but for alarms and warnings not heard yet."""
        with self._changed:
            self._line.hush()
            self._answering.clear()
            self._hushed = self._current is not None
            self._changed.notify_all()

    def render_again(self) -> None:
        """The voice has another manner: what waits is rendered once more."""
        with self._changed:
            self._rendering = None
            self._line.render_again()
            self._changed.notify_all()

    def wake(self) -> None:
        """Have the threads that wait look at once whether they still must."""
        with self._changed:
            self._changed.notify_all()

    def finish(self, timeout_s: float) -> bool:
        """Wait until nothing sounds or waits, ``timeout_s`` seconds at most; whether it is so."""
        with self._changed:
            return self._changed.wait_for(lambda: not self._is_busy(), timeout_s)

    def close(self) -> None:
        """Take nothing more, and let the threads end."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()

    def take_to_render(self, wait_s: float | None = None) -> Item | None:
        """What is to be rendered next; None once it is closed, or after a wait for nothing.

        The wait ends after ``wait_s`` seconds, or whenever something happens.
        """
        with self._changed:
            self._rendering = self._next_to_render()
            if self._rendering is None and not self._closed:
                self._changed.wait(wait_s)
                self._rendering = self._next_to_render()
            return None if self._closed else self._rendering

    def rendered(self, item: Item, spoken: Spoken | None) -> None:
        """An item's words are rendered; None where that failed."""
        with self._changed:
            # What still waits is rendered once more if the manner changed meanwhile.
            if item is self._rendering or item is self._current or spoken is None:
                item.spoken, item.rendered = spoken, True
            self._changed.notify_all()

    def begin(self, must_wait: Callable[[Item], bool]) -> Item | None:
        """What is to sound now; None after a moment, or where ``must_wait`` holds of the first.

        ``must_wait`` is asked under the lock and must itself not wait.
        """
        with self._changed:
            if self._answering:
                item = Item(urgency=Urgency.PROMPT, chime=self._answering.popleft())
            else:
                first = self._line.first
                if first is None or not first.ready:
                    self._changed.wait(IDLE_S)
                    return None
                if must_wait(first):
                    self._changed.wait(LOOK_S)
                    return None
                item = first
                self._line.remove(item)
            self._current, self._hushed = item, False
            return item

    def watch(self, *, hushable: bool) -> End | None:
        """Why what sounds is to end; None after a moment, or where an answer is to be sounded."""
        with self._changed:
            end = self._why_to_end(hushable)
            if end is None and not self._answering:
                self._changed.wait(LOOK_S)
                end = self._why_to_end(hushable)
            return end

    def take_answer(self) -> Chime | None:
        """The chime that is to answer the brewer now, over any words."""
        with self._changed:
            return self._answering.popleft() if self._answering else None

    def ended(self, item: Item, *, cut_short: bool) -> None:
        """An item sounds no more; it waits again if it was cut short and is not about the past."""
        with self._changed:
            self._current = None
            if cut_short and not self._hushed and not item.is_answer:
                self._line.again(item)
            self._changed.notify_all()

    def wait(self, wait_s: float) -> None:
        """Wait until something happens, so many seconds at most."""
        with self._changed:
            if not self._closed:
                self._changed.wait(wait_s)

    def drop_all(self, wait_s: float) -> None:
        """Drop all that waits, and wait so many seconds for more at most."""
        with self._changed:
            self._line = WaitingLine()
            self._answering.clear()
            self._changed.notify_all()
            # A waiter that comes after the closing is not notified of it.
            if not self._closed:
                self._changed.wait(wait_s)

    def _is_busy(self) -> bool:
        return self._current is not None or len(self._line) > 0 or len(self._answering) > 0

    def _next_to_render(self) -> Item | None:
        if self._current is not None and not self._current.rendered:
            return self._current
        return self._line.first_to_render

    def _why_to_end(self, hushable: bool) -> End | None:
        if self._closed:
            return End.CLOSED
        first, current = self._line.first, self._current
        if first is not None and current is not None and first.outranks(current):
            return End.OUTRANKED
        return End.HUSHED if hushable and self._hushed else None
