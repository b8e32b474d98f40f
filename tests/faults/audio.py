"""A sound system of stand-ins, and the faults that come to it when a list says so.

One library holds a microphone and a loudspeaker, as in a true process. What the system would never
come back from (a new list of devices, or opening one, while it hangs over another) is counted, not
done.
"""

import os
import signal
import sys
import threading
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from enum import Enum, auto
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from loudspeakers import Desk
from sound_devices import FakeMicrophone, FakeSoundDevices, PortAudioError, Status

from assistant.hearing.engine import Sound

BLOCK = 320
"""Samples that the microphone gives at a time: 20 ms."""

LONGEST_HANG_S = 20.0
"""A safety net only: every hang is ended by its test."""

TONE_WORKER = Path(__file__).parent / "tone_worker.py"
"""A worker of the voice that starts in no time; see there."""


class Hang:
    """A call that does not come back while it is :attr:`on`."""

    def __init__(self) -> None:
        self._over = threading.Event()
        self._over.set()
        self.inside = 0

    def switch(self, on: bool) -> None:
        """Have calls hang from now on, or let go of all that do."""
        if on:
            self._over.clear()
        else:
            self._over.set()

    def __call__(self) -> None:
        self.inside += 1
        self._over.wait(LONGEST_HANG_S)
        self.inside -= 1


class SoundRoom(Desk):
    """Both sides of the library: what plays in :class:`Desk`, what records in the ear's own."""

    PortAudioError = PortAudioError

    def __init__(self, *microphones: FakeMicrophone) -> None:
        super().__init__()
        self.inputs = FakeSoundDevices(microphones=list(microphones))
        self.sounding: Sound = np.zeros(0, np.int16)
        self.hang, self.inputs.hang = Hang(), Hang()
        self.looked_for: Counter[str] = Counter()
        """How often each side looked for its device."""
        self.would_have_hung = 0
        """Calls that a true system would not have come back from."""

    def InputStream(self, **options: Any) -> Any:  # the name is sounddevice's
        self._would_hang(self.inputs.hang)
        return self.inputs.InputStream(**options)

    def OutputStream(self, **options: Any) -> Any:  # the name is sounddevice's
        self._would_hang(self.hang)
        return super().OutputStream(**options)

    def check_input_settings(self, **options: Any) -> None:
        self.inputs.check_input_settings(**options)

    def query_devices(self, device: Any = None, kind: str | None = None) -> Any:
        self.looked_for.update([kind] if kind else [])
        if kind == "output":
            return super().query_devices(device, kind)
        if kind == "input":
            return self.inputs.query_devices(device, kind)
        recorders = [{**row, "max_output_channels": 0} for row in self.inputs.query_devices()]
        players = [row for row in super().query_devices() if row["max_output_channels"]]
        return recorders + [
            {**row, "max_input_channels": 0, "default_samplerate": 48_000.0} for row in players
        ]

    def _terminate(self) -> None:
        self._would_hang(self.hang, self.inputs.hang)
        super()._terminate()
        self.inputs._terminate()

    def _initialize(self) -> None:
        super()._initialize()
        self.inputs._initialize()

    def record(self) -> None:
        """The microphone, where it is plugged in, gives what is to be recorded, or its noise."""
        for stream in self.inputs.streams[-1:]:
            microphone = stream.microphone
            if microphone.plugged and not microphone.stalled and not stream.closed:
                block, self.sounding = self.sounding[:BLOCK], self.sounding[BLOCK:]
                status = Status(input_overflow=microphone.overflows)
                stream.deliver(block if block.size else np.ones(16, np.int16), status)

    def _would_hang(self, *hangs: Hang) -> None:
        self.would_have_hung += any(hang.inside for hang in hangs)


def plugged(patch: pytest.MonkeyPatch, *microphones: FakeMicrophone) -> SoundRoom:
    """Have ``import sounddevice`` give a room with these microphones."""
    room = SoundRoom(*microphones)
    patch.setitem(sys.modules, "sounddevice", room)
    return room


class Fault(Enum):
    """What can come over a part; :class:`Faults` begins it and ends it."""

    MICROPHONE_UNPLUGGED = auto()
    MICROPHONE_STALLED = auto()
    MICROPHONE_REFUSED = auto()
    MICROPHONE_HANGS = auto()
    MICROPHONE_OVERFLOWS = auto()
    LOUDSPEAKER_UNPLUGGED = auto()
    LOUDSPEAKER_STALLED = auto()
    LOUDSPEAKER_REFUSED = auto()
    LOUDSPEAKER_HANGS = auto()
    VOICE_DIES = auto()
    VOICE_HANGS = auto()
    VOICE_KILLED = auto()
    VOICE_STOPPED = auto()
    RECOGNISER_GONE = auto()


@dataclass(frozen=True, kw_only=True)
class Worker:
    """A process that serves: its number, or None while there is none."""

    pid: Callable[[], int | None]

    def send(self, number: signal.Signals) -> None:
        """Send it a signal, if it is there."""
        pid = self.pid()
        if pid is not None:
            try:
                os.kill(pid, number)
            except ProcessLookupError:
                return


@dataclass(frozen=True, kw_only=True)
class Parts:
    """What the faults are done to; ``voice_how`` is the file that tone workers are told by."""

    room: SoundRoom
    voice: Worker
    voice_how: Path
    hearing: Any


def _unplug_loudspeaker(parts: Parts, on: bool) -> None:
    if on:
        parts.room.pull_out()
    else:
        parts.room.plug_in()


def _of_microphone(name: str, on: object, off: object) -> Callable[[Parts, bool], None]:
    return lambda parts, begins: setattr(
        parts.room.inputs.microphones[0], name, on if begins else off
    )


def _of_room(name: str, on: object, off: object) -> Callable[[Parts, bool], None]:
    return lambda parts, begins: setattr(parts.room, name, on if begins else off)


def _tell_voice(how: str) -> Callable[[Parts, bool], None]:
    return lambda parts, begins: (parts.voice_how.write_text(how if begins else ""), None)[1]


def _signal_voice(number: signal.Signals) -> Callable[[Parts, bool], None]:
    return lambda parts, begins: parts.voice.send(number) if begins else None


SWITCHES: Mapping[Fault, Callable[[Parts, bool], None]] = {
    Fault.MICROPHONE_UNPLUGGED: _of_microphone("plugged", False, True),
    Fault.MICROPHONE_STALLED: _of_microphone("stalled", True, False),
    Fault.MICROPHONE_REFUSED: _of_microphone("rates_hz", (), (16_000, 48_000)),
    Fault.MICROPHONE_HANGS: lambda parts, on: parts.room.inputs.hang.switch(on),
    Fault.MICROPHONE_OVERFLOWS: _of_microphone("overflows", True, False),
    Fault.LOUDSPEAKER_UNPLUGGED: _unplug_loudspeaker,
    Fault.LOUDSPEAKER_STALLED: _of_room("takes_nothing", True, False),
    Fault.LOUDSPEAKER_REFUSED: _of_room("rates_hz", set(), {22_050, 48_000}),
    Fault.LOUDSPEAKER_HANGS: lambda parts, on: parts.room.hang.switch(on),
    Fault.VOICE_DIES: _tell_voice("dies"),
    Fault.VOICE_HANGS: _tell_voice("hangs"),
    Fault.VOICE_KILLED: _signal_voice(signal.SIGKILL),
    Fault.VOICE_STOPPED: _signal_voice(signal.SIGSTOP),
    Fault.RECOGNISER_GONE: lambda parts, on: setattr(parts.hearing, "gone", on),
}
"""How each fault is begun and ended; a signal has no end."""


@dataclass(frozen=True, kw_only=True, order=True)
class Spell:
    """A fault that begins at a moment and lasts, in seconds from the first."""

    at_s: float
    lasts_s: float
    fault: Fault


class Faults:
    """Brings the faults of a list to the parts as time passes."""

    def __init__(self, parts: Parts, spells: Iterable[Spell]) -> None:
        self._parts, self._spells = parts, tuple(spells)
        self._on: frozenset[Fault] = frozenset()
        self._begun: set[Spell] = set()

    def at(self, now_s: float) -> None:
        """Begin and end what is due by now."""
        due = {each for each in self._spells if each.at_s <= now_s}
        # Of what began and ended between two looks the beginning is done all the same.
        begin = {each.fault for each in due - self._begun}
        self._begun |= due
        on = frozenset(each.fault for each in due if now_s < each.at_s + each.lasts_s)
        for fault in sorted(begin | (on - self._on), key=lambda fault: fault.value):
            SWITCHES[fault](self._parts, True)
        for fault in sorted((self._on | begin) - on, key=lambda fault: fault.value):
            SWITCHES[fault](self._parts, False)
        self._on = on

    @property
    def over_s(self) -> float:
        """When the last one is over."""
        return max((each.at_s + each.lasts_s for each in self._spells), default=0.0)

    def end(self) -> None:
        """End them all, whatever the list says."""
        for switch in SWITCHES.values():
            switch(self._parts, False)
        self._on = frozenset()
