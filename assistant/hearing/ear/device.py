"""The audio device layer: which microphones there are, and one open stream of one of them."""

import queue
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

import numpy as np

from assistant.closing import Closing
from assistant.hearing.ear.resampling import HIGHEST_RATE_HZ, LOWEST_RATE_HZ, Resampler
from assistant.hearing.ear.trouble import Trouble
from assistant.hearing.engine import RATE_HZ, Sound

FALLBACK_RATES_HZ = (48_000, 44_100)
"""What nearly every device takes; some refuse 16 kHz."""

CHANNELS = (1, 2)
BLOCKS_WAITING = 400
"""How many blocks may wait: seconds, whatever size the system makes them."""

INVALID_RATE = -9997
"""PortAudio's paInvalidSampleRate."""

CLOSE_WITHIN_S = 3.0


class NoStream(Exception):
    """No stream could be opened, for ``trouble``."""

    def __init__(self, trouble: Trouble) -> None:
        self.trouble = trouble
        super().__init__(trouble.line)


@dataclass(frozen=True, kw_only=True)
class Device:
    """A microphone as the system lists it; ``usual`` is the one taken where none is named."""

    index: int
    name: str
    rate_hz: int
    usual: bool = False


@dataclass(frozen=True, kw_only=True, eq=False)
class Block:
    """Sound at 16 kHz that arrived at ``arrived_s`` on the caller's clock.

    It is ``suspect`` where sound was lost in or before it.
    """

    sound: Sound
    arrived_s: float
    suspect: bool


def sound_devices() -> Any:
    """The library sounddevice, loaded; raises :class:`NoStream` where it can't be."""
    try:
        import sounddevice  # type: ignore[import-untyped]
    except ImportError:
        raise NoStream(Trouble.NO_SOUNDDEVICE) from None
    except OSError:
        raise NoStream(Trouble.NO_PORTAUDIO) from None
    return sounddevice


def refresh_devices() -> None:
    """Have the system look for devices again, which it does only when PortAudio starts.

    Every stream of this process that is open, for output too, is closed by it.
    """
    library = sound_devices()
    # The library counts how often it was started; only the last end of it lets go of the list.
    with suppress(library.PortAudioError):
        library._terminate()
    with suppress(library.PortAudioError):
        library._initialize()


def microphones() -> tuple[Device, ...]:
    """The microphones there are; raises :class:`NoStream` where they can't be asked for."""
    library = sound_devices()
    try:
        listed = list(library.query_devices())
    except library.PortAudioError:
        raise NoStream(Trouble.NO_MICROPHONE) from None
    try:
        usual = int(library.query_devices(kind="input")["index"])
    except (library.PortAudioError, ValueError):
        usual = -1
    return tuple(
        Device(
            index=index,
            name=str(device["name"]),
            rate_hz=round(device["default_samplerate"]),
            usual=index == usual,
        )
        for index, device in enumerate(listed)
        if device["max_input_channels"] > 0
    )


def choose(wanted: str | int | None) -> Device:
    """The microphone of that number or name, or part of a name in any case; the usual for None.

    Raises :class:`NoStream` where there is none.
    """
    devices = microphones()
    if not devices:
        raise NoStream(Trouble.NO_MICROPHONE)
    if wanted is None:
        return next((device for device in devices if device.usual), devices[0])
    name = str(wanted).strip().casefold()
    for fits in (
        lambda device: str(device.index) == name,
        lambda device: device.name.casefold() == name,
        lambda device: name and name in device.name.casefold(),
    ):
        found = next((device for device in devices if fits(device)), None)
        if found is not None:
            return found
    raise NoStream(Trouble.NO_SUCH_MICROPHONE)


class Stream:
    """An open stream of a microphone: what its callback gets waits here to be taken."""

    def __init__(
        self,
        device: Device,
        rate_hz: int,
        channels: int,
        now_s: Callable[[], float],
        lost_before: bool,
    ) -> None:
        self._now_s = now_s
        self._waiting: queue.Queue[tuple[Sound, float, bool]] = queue.Queue(BLOCKS_WAITING)
        self._lost = lost_before
        self._resampler = Resampler(rate_hz)
        self._stream = sound_devices().InputStream(
            device=device.index,
            samplerate=rate_hz,
            channels=channels,
            dtype="int16",
            blocksize=0,
            latency="high",
            callback=self._arrived,
        )
        try:
            self._stream.start()
        except BaseException:
            self._stream.close()
            raise

    def _arrived(self, sound: Sound, frames: int, when: object, status: Any) -> None:
        # In the audio thread: nobody would see an exception, and it would end the stream.
        try:
            lost = self._lost or bool(status and status.input_overflow)
            self._waiting.put_nowait((sound.copy(), self._now_s(), lost))
            self._lost = False
        except Exception:
            self._lost = True

    @property
    def active(self) -> bool:
        """Whether the system still means to deliver."""
        try:
            return bool(self._stream.active)
        except sound_devices().PortAudioError:
            return False

    @property
    def waiting(self) -> int:
        """How many blocks wait to be taken."""
        return self._waiting.qsize()

    def take(self, wait_s: float) -> Block | None:
        """The next block, waiting at most ``wait_s`` seconds for it; None if none came."""
        try:
            if wait_s > 0:
                sound, arrived_s, lost = self._waiting.get(timeout=wait_s)
            else:
                sound, arrived_s, lost = self._waiting.get_nowait()
        except queue.Empty:
            return None
        mono = sound.mean(axis=1).astype(np.int16) if sound.shape[1] > 1 else sound[:, 0]
        return Block(sound=self._resampler.feed(mono), arrived_s=arrived_s, suspect=lost)

    def close(self) -> Closing:
        """Close the stream; where the system hangs over it, that goes on after a while."""
        return Closing(self._close, CLOSE_WITHIN_S, "the microphone")

    def _close(self) -> None:
        # A device that is gone may refuse to stop, and is to be closed all the same.
        with suppress(Exception):
            self._stream.abort()
        self._stream.close()


def open_stream(
    wanted: str | int | None, now_s: Callable[[], float], *, lost_before: bool
) -> Stream:
    """A running stream of the microphone ``wanted``, at the first rate that it takes.

    The first block is suspect where sound was ``lost_before``. Raises :class:`NoStream`
    with what is wrong.
    """
    device = choose(wanted)
    error = sound_devices().PortAudioError
    own = (device.rate_hz,) if LOWEST_RATE_HZ <= device.rate_hz <= HIGHEST_RATE_HZ else ()
    rates_hz = dict.fromkeys((RATE_HZ, *FALLBACK_RATES_HZ, *own))
    refusals: set[object] = set()
    for channels in CHANNELS:
        for rate_hz in rates_hz:
            try:
                return Stream(device, rate_hz, channels, now_s, lost_before)
            except error as refused:
                refusals |= set(refused.args)
    rates = INVALID_RATE in refusals
    raise NoStream(Trouble.RATE_REFUSED if rates else Trouble.MICROPHONE_REFUSED)
