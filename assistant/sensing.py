"""Readings of sensors by MQTT, heard in a thread of their own and handed over when asked for.

Nothing is ever published, and no topic but those of the file is listened to. Whoever takes readings
never waits: what comes too fast is thinned as it comes, and a broker that goes away is tried again
after pauses that grow.
"""

import asyncio
import logging
import threading
import time
from collections import deque
from collections.abc import Callable, Collection
from contextlib import suppress
from importlib.util import find_spec
from types import TracebackType
from typing import TYPE_CHECKING

from assistant.backing_off import BackingOff
from assistant.day.events import SensorTrouble
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.schedule.faults import harmless
from assistant.sensor_card import SensorCard
from assistant.sensor_heard import Sensor, SensorNews, SensorReading
from assistant.sensor_payload import LARGEST_PAYLOAD

if TYPE_CHECKING:
    from aiomqtt import Client

MISSING = "Sensors need aiomqtt: pip install 'kettleside[mqtt]'"

MOST_NEWS = 100
CLOSING_S = 3.0
KEEPALIVE_S = 20
"""A broker that answers nothing for half as long again is gone."""

LARGEST_PACKET = LARGEST_PAYLOAD + 1024

BAD_CREDENTIALS = frozenset({4, 5, 134, 135})
OTHER_PROTOCOL = frozenset({1, 132})
REFUSED = 128
"""What a broker answers for a topic from here on is a refusal."""


def can_sense() -> bool:
    """Whether the library for MQTT is installed."""
    return find_spec("aiomqtt") is not None


class Sensors:
    """The sensors of a card, listened to for as long as the context lasts.

    ``now_s`` counts seconds and never goes back. It is asked in both threads.
    """

    def __init__(
        self,
        card: SensorCard,
        *,
        now_s: Callable[[], float] = time.monotonic,
        back_off: BackingOff | None = None,
    ) -> None:
        self._card, self._now_s = card, now_s
        self._back_off = back_off or BackingOff()
        self._lock = threading.Lock()
        self._sensors = [Sensor(topic, now_s()) for topic in card.topics]
        self._news: deque[SensorNews] = deque(maxlen=MOST_NEWS)
        self._connected = False
        self._gone_told: bool | None = None
        self._failures = 0
        self._trouble = ""
        self._plain_protocol = False
        self._loop: asyncio.AbstractEventLoop | None = None
        self._task: asyncio.Task[None] | None = None
        self._stopped = False
        self._thread = threading.Thread(target=self._run, name="sensors", daemon=True)

    def __enter__(self) -> "Sensors":
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        with self._lock:
            self._stopped = True
            loop, task = self._loop, self._task
        if loop is not None and task is not None:
            # It may have ended by itself since.
            with suppress(RuntimeError):
                loop.call_soon_threadsafe(task.cancel)
        self._thread.join(CLOSING_S)

    @property
    def trouble(self) -> str:
        """What is wrong now, as a line for a screen; empty while all sensors report."""
        with self._lock:
            if self._trouble:
                return self._trouble
            silent = [QUANTITIES[each.quantity].spoken for each in self._sensors if each.silent]
        return f"silent: {', '.join(silent)}" if silent else ""

    def taken(self, wanted: Collection[Quantity] = ()) -> list[SensorReading]:
        """The readings to take now; of ``wanted`` quantities also where nothing has moved."""
        now_s = self._now_s()
        with self._lock:
            read = [
                sensor.reading(now_s, wanted=sensor.quantity in wanted) for sensor in self._sensors
            ]
        return [reading for reading in read if reading is not None]

    def news(self) -> list[SensorNews]:
        """What went wrong, or right again, since the last time."""
        now_s = self._now_s()
        with self._lock:
            if self._connected:
                for sensor in self._sensors:
                    if sensor.fell_silent(now_s):
                        self._tell(sensor.silence)
            news = list(self._news)
            self._news.clear()
        return news

    def take_in(self, topic: str, payload: bytes, *, retained: bool = False) -> None:
        """A message came, whatever is in it.

        One that the broker had kept says how it was once, nobody knows when: it is left alone.
        """
        if retained:
            return
        now_s = self._now_s()
        with self._lock:
            for sensor in self._sensors:
                if sensor.topic == topic:
                    told = sensor.take_in(payload, now_s)
                    if told is not None:
                        self._tell(told)

    def _tell(self, news: SensorNews) -> None:
        self._news.append(news)

    def _run(self) -> None:
        # Of the loops on Windows only this one can watch a socket as paho wants it.
        with asyncio.Runner(loop_factory=asyncio.SelectorEventLoop) as runner:
            try:
                runner.run(self._listen())
            except asyncio.CancelledError:
                return

    async def _listen(self) -> None:
        with self._lock:
            self._loop, self._task = asyncio.get_running_loop(), asyncio.current_task()
            if self._stopped:
                return
        while True:
            try:
                await self._listen_once()
                reason = "it closed the connection"
            except asyncio.CancelledError:
                raise
            except Exception as error:
                # Whatever a library makes of what a broker sends, the day goes on.
                reason = self._reason(error)
            self._lost(reason)
            await asyncio.sleep(self._back_off.failed())

    async def _listen_once(self) -> None:
        async with self._client() as client:
            topics = list(dict.fromkeys(topic.topic for topic in self._card.topics))
            codes = await client.subscribe([(topic, 0) for topic in topics])
            answers = zip(topics, codes, strict=False)
            self._found([topic for topic, code in answers if _number(code) >= REFUSED])
            async for _ in client.messages:
                # Messages are taken in before they are queued: this ends with the connection.
                pass

    def _client(self) -> "Client":
        from aiomqtt import Client, Message, ProtocolVersion
        from paho.mqtt.packettypes import PacketTypes
        from paho.mqtt.properties import Properties

        properties = None
        if not self._plain_protocol:
            # So the broker keeps back what nobody here would look at anyway.
            properties = Properties(PacketTypes.CONNECT)  # type: ignore[no-untyped-call]
            properties.MaximumPacketSize = LARGEST_PACKET
        sensors = self

        class Straight(asyncio.Queue[Message]):
            """Holds no message: a flood would be taken out of a queue slower than it comes in."""

            def put_nowait(self, item: Message) -> None:
                if isinstance(item.payload, bytes):
                    topic, retained = item.topic.value, item.retain
                    sensors.take_in(topic, item.payload, retained=retained)

        broker = self._card.broker
        return Client(
            broker.host,
            broker.port,
            username=broker.user,
            password=broker.password,
            identifier=broker.client_id,
            protocol=ProtocolVersion.V311 if self._plain_protocol else ProtocolVersion.V5,
            properties=properties,
            tls_context=broker.tls,
            keepalive=KEEPALIVE_S,
            queue_type=Straight,
            logger=_silent_logger(),
        )

    def _reason(self, error: Exception) -> str:
        code = _number(getattr(error, "rc", None))
        if code in OTHER_PROTOCOL and not self._plain_protocol:
            self._plain_protocol = True
            return "it speaks an older MQTT"
        if code in BAD_CREDENTIALS:
            return "it refuses the user or the password"
        return harmless(str(error) or type(error).__name__, 120)

    def _found(self, refused: list[str]) -> None:
        """The broker is there, and listens to what is wanted but for what it ``refused``."""
        now_s = self._now_s()
        with self._lock:
            self._connected, self._trouble, self._failures = True, "", 0
            for sensor in self._sensors:
                sensor.waits_from(now_s)
            name = self._card.broker.name
            if self._gone_told is not False:
                line = f"Sensors are back ({name})." if self._gone_told else ""
                self._tell(SensorNews(trouble=SensorTrouble.BACK, line=line))
                self._gone_told = False
            for topic in refused:
                line = f"The broker {name} refuses the topic {harmless(topic)}."
                self._tell(SensorNews(line=line))
        self._back_off.works()

    def _lost(self, reason: str) -> None:
        """The broker can't be had; told once, and not where it is back at the first attempt."""
        with self._lock:
            was_connected, self._connected = self._connected, False
            self._trouble = f"can't reach {self._card.broker.name}: {reason}"
            self._failures += 1
            if not was_connected and not self._gone_told and reason != "it speaks an older MQTT":
                self._gone_told = True
                line = f"Sensors are gone: {self._trouble}. They are tried again."
                self._tell(SensorNews(trouble=SensorTrouble.GONE, line=line))


def _number(code: object) -> int:
    """The number of a broker's answer, whichever MQTT it speaks; -1 where it has none."""
    number = getattr(code, "value", code)
    return number if isinstance(number, int) else -1


def _silent_logger() -> logging.Logger:
    # What it would tell is told in our words, and a terminal is no place for the rest.
    logger = logging.getLogger("kettleside.sensors")
    logger.propagate = False
    logger.setLevel(logging.CRITICAL + 1)
    return logger
