"""How long the brewer waits for an answer, and what listening costs: prints, asserts nothing.

Sentences by espeak-ng go in real time, 20 ms at a time, through a stand-in for the sound library
to the true ear, engine, day and voice, and what comes out is watched sample by sample. All times
are from the true end of the speech: ``told`` when the ear hands the utterance over, ``recognised``
when the engine has heard it, ``sample`` when the first sample of the answer that is not zero is
given to the device, whose own delay comes on top. ``engine's core`` is what the engine works at an
utterance on all cores together. Shares of a core and memory are while nobody
speaks, by process (Linux only); what the stand-in itself takes is left out.
"""

import os
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))
sys.path.insert(0, str(Path(__file__).parent.parent / "hearing"))
sys.path.insert(0, str(Path(__file__).parent.parent / "live"))

from faults.audio import SoundRoom
from room_sounds import SPEECH_RMS, Samples, boil, room, sound, spoken
from sound_devices import FakeMicrophone

from assistant.day.listening import Listening
from assistant.day_clock import DayClock
from assistant.day_loop import GLANCE_S
from assistant.engines import POCKETSPHINX, open_engine
from assistant.happening import Happening
from assistant.hearing.engine import RATE_HZ, Sound
from assistant.hearing.engine_process import EngineProcess
from assistant.hearing.recogniser import Heard, Recogniser, Verdict
from assistant.live_voice import LiveVoice
from assistant.record.journal import Journal
from assistant.samples import rehearsed_sample
from assistant.schedule import load
from assistant.session import Session
from assistant.speaking.voice import Voice

BLOCK_S = 0.02
SENTENCES = (
    "kettle what's next",
    "kettle where are we",
    "kettle set a timer for twelve minutes",
    "kettle how long is left",
    "kettle done",
    "kettle repeat",
    "kettle grain temperature nineteen",
    "kettle louder",
    "kettle what's next",
    "kettle cancel the timer",
    "kettle note that the bag tore",
    "kettle quieter",
)
ROUNDS = 2
BEFORE_S = 0.8
LONGEST_WAIT_S = 6.0
IDLE_S = 20.0
NOISES: dict[str, Callable[[float], Samples]] = {
    "quiet": room,
    "boil 15 dB": lambda length_s: boil(length_s, SPEECH_RMS * 10 ** (-15 / 20)),
}


@dataclass(kw_only=True)
class Turn:
    """A sentence and its answer, in seconds of the machine's clock."""

    ended_s: float
    told_s: float | None = None
    recognised_s: float | None = None
    sample_s: float | None = None
    core_s: float | None = None
    verdict: Verdict | None = None


class Timed:
    """A recogniser that notes when it was asked and when it answered, and what that took."""

    def __init__(self, engine: EngineProcess) -> None:
        self._recogniser, self._engine = Recogniser(engine), engine
        self.turn: Turn | None = None

    def _core_s(self) -> float:
        pid = self._engine.pid
        return cost(pid).core_s if pid is not None else 0.0

    def recognise(
        self, sound: Sound, context: Listening, at: float = 0.0, *, suspect: bool = False
    ) -> Heard:
        turn, told_s, core_s = self.turn, time.monotonic(), self._core_s()
        heard = self._recogniser.recognise(sound, context, at, suspect=suspect)
        if turn is not None and turn.told_s is None:
            turn.told_s, turn.recognised_s = told_s, time.monotonic()
            turn.verdict, turn.core_s = heard.verdict, self._core_s() - core_s
        return heard


class Hardware:
    """Microphone and loudspeaker, in real time in a thread of their own."""

    def __init__(self, devices: SoundRoom, noise: Samples) -> None:
        self._devices, self._noise = devices, noise
        self._at = 0
        self._speech: Samples = np.zeros(0)
        self._closing = threading.Event()
        self._thread = threading.Thread(target=self._run, name="hardware", daemon=True)
        self.turn: Turn | None = None
        self.spoken = threading.Event()
        self.busy_s = 0.0

    def start(self) -> None:
        self._thread.start()

    def close(self) -> None:
        self._closing.set()
        self._thread.join()

    def say(self, words: str, turn: Turn) -> None:
        """Speak from the next block on."""
        self.spoken.clear()
        self.turn, self._speech = turn, spoken(words)

    def _run(self) -> None:
        due_s = time.monotonic()
        while not self._closing.is_set():
            began_s = time.thread_time()
            self._record(round(BLOCK_S * RATE_HZ))
            self._play()
            self.busy_s += time.thread_time() - began_s
            due_s += BLOCK_S
            time.sleep(max(due_s - time.monotonic(), 0.0))

    def _record(self, count: int) -> None:
        block = self._noise.take(range(self._at, self._at + count), mode="wrap")
        self._at += count
        said, self._speech = self._speech[:count], self._speech[count:]
        block[: said.size] += said
        if said.size and not self._speech.size and self.turn is not None:
            self.turn.ended_s = time.monotonic()
            self.spoken.set()
        for stream in self._devices.inputs.streams[-1:]:
            stream.deliver(sound(block))

    def _play(self) -> None:
        self._devices.played.clear()
        for stream in self._devices.streams:
            if stream.active and stream.ask(round(BLOCK_S * stream.samplerate)).any():
                turn = self.turn
                if turn is not None and self.spoken.is_set() and turn.sample_s is None:
                    turn.sample_s = time.monotonic()


@dataclass(frozen=True, kw_only=True)
class Cost:
    """What a process takes: seconds of a core so far, and memory in bytes."""

    core_s: float
    resident_bytes: int


def cost(pid: int) -> Cost:
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
    return Cost(
        core_s=(int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK"),
        resident_bytes=pages * os.sysconf("SC_PAGE_SIZE"),
    )


def loop_until(day: Happening, voice: LiveVoice, true: Callable[[], bool], wait_s: float) -> bool:
    """The loop of a day as ``brew`` runs it, without a screen."""
    until_s = time.monotonic() + wait_s
    while not true() and time.monotonic() < until_s:
        for news in voice.news():
            day.told(news)
        day.pass_time()
        time.sleep(GLANCE_S)
    return true()


def percentile(values: Sequence[float], share: float) -> float:
    return sorted(values)[min(round(share * (len(values) - 1) + 0.49), len(values) - 1)]


def row(name: str, values_s: Sequence[float]) -> str:
    if not values_s:
        return f"  {name:14} -"
    return (
        f"  {name:14} p50 {statistics.median(values_s):.2f} s   "
        f"p95 {percentile(values_s, 0.95):.2f} s   most {max(values_s):.2f} s"
    )


def say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def measure(name: str, noise: Samples) -> None:
    devices = SoundRoom(FakeMicrophone())
    sys.modules["sounddevice"] = devices
    hardware = Hardware(devices, noise)
    with ExitStack() as stack:
        journal = stack.enter_context(
            Journal.open(Path(stack.enter_context(tempfile.TemporaryDirectory())))
        )
        session, effects = Session.begin(
            journal, load(rehearsed_sample()), "latency", at=0.0, wall_s=time.time()
        )
        clock = DayClock(0.0, 1.0)
        engine = open_engine(POCKETSPHINX)
        stack.callback(engine.close)
        timed, voice = Timed(engine), Voice()
        live = LiveVoice(at=clock.at, hearing=timed, prepare=engine.warm, voice=voice)
        stack.callback(live.close)
        day = Happening(session, clock, live)
        hardware.start()
        stack.callback(hardware.close)
        day.begin(effects)
        loop_until(day, live, lambda: not live.status.deaf, 10.0)
        turns = [_turn(day, live, timed, hardware, words) for words in SENTENCES * ROUNDS]
        told = [turn for turn in turns if turn.told_s is not None]
        verdicts = ", ".join(
            f"{sum(turn.verdict is verdict for turn in told)} {verdict.value}"
            for verdict in Verdict
        )
        say(f"{name}: {len(turns)} sentences, {len(told)} cut out: {verdicts}")
        legs: dict[str, Callable[[Turn], float | None]] = {
            "told": lambda turn: turn.told_s,
            "recognised": lambda turn: turn.recognised_s,
            "sample": lambda turn: turn.sample_s,
        }
        for leg, at_s in legs.items():
            times = [at - turn.ended_s for turn in told if (at := at_s(turn)) is not None]
            say(row(leg, times))
        say(row("engine's core", [turn.core_s for turn in told if turn.core_s is not None]))
        idle(
            day,
            live,
            hardware,
            {"program": os.getpid(), "engine": engine.pid, "voice": voice.worker_pid},
        )


def _turn(day: Happening, live: LiveVoice, timed: Timed, hardware: Hardware, words: str) -> Turn:
    def quiet() -> bool:
        return not live._announcer.busy and not live.status.muted

    loop_until(day, live, quiet, 60.0)
    loop_until(day, live, lambda: False, BEFORE_S)
    turn = Turn(ended_s=0.0)
    timed.turn = turn
    hardware.say(words, turn)
    loop_until(
        day, live, lambda: turn.sample_s is not None, LONGEST_WAIT_S + spoken(words).size / RATE_HZ
    )
    hardware.turn = None
    return turn


def idle(
    day: Happening, live: LiveVoice, hardware: Hardware, processes: dict[str, int | None]
) -> None:
    loop_until(day, live, lambda: not live._announcer.busy, 60.0)
    there = {name: pid for name, pid in processes.items() if pid is not None}
    before, own_s = {name: cost(pid) for name, pid in there.items()}, hardware.busy_s
    loop_until(day, live, lambda: False, IDLE_S)
    for name, pid in there.items():
        after = cost(pid)
        core_s = after.core_s - before[name].core_s
        core_s -= hardware.busy_s - own_s if name == "program" else 0.0
        say(
            f"  {name:14} idle {100 * core_s / IDLE_S:.1f} % of a core, "
            f"{after.resident_bytes / 1e6:.0f} MB"
        )


def main() -> None:
    for name, noise in NOISES.items():
        measure(name, noise(30.0))


if __name__ == "__main__":
    main()
