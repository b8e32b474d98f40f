"""What a part that is dead costs while nobody can mend it: prints, asserts nothing.

A live voice with the true recogniser, the true voice and the pauses of a real day runs beside
stand-ins for the microphone and the loudspeaker, one part after another dead from the start or from
a moment on. Each row is a minute (``--seconds``), from the moment on at which the part was dead:
``own`` are the seconds of processor time of the program itself, what the stand-ins take left out by
counting it apart; ``children`` those of the processes it started and saw end; ``looked`` is how
often it looked for a microphone and for a loudspeaker, ``started`` how many processes it started.
"""

import argparse
import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

sys.path.insert(0, str(Path(__file__).parent.parent))
sys.path.insert(0, str(Path(__file__).parent.parent / "hearing"))
sys.path.insert(0, str(Path(__file__).parent.parent / "live"))

from faults.audio import SoundRoom
from sound_devices import FakeMicrophone
from sound_rooms import utterance

from assistant.advice.plan import make_plan
from assistant.day.state import new_day
from assistant.engines import POCKETSPHINX
from assistant.hearing import engine_process
from assistant.hearing.engine_process import EngineProcess
from assistant.hearing.recogniser import Recogniser
from assistant.live_voice import LiveVoice
from assistant.samples import rehearsed_sample
from assistant.schedule import load
from assistant.speaking import voice_process
from assistant.speaking.voice import Voice
from assistant.speaking.waiting import Urgency
from assistant.talk import talk_of

SECONDS = 60.0
SETTLING_S = 8.0
"""So long the parts may take to start, or to be found dead, before it counts."""

BLOCK_S = 0.02
DYING = (sys.executable, "-c", "raise SystemExit(1)")


@dataclass(frozen=True, kw_only=True)
class Dead:
    """Which parts are dead."""

    name: str
    microphone: bool = False
    loudspeaker: bool = False
    voice: bool = False
    recogniser: bool = False


ROWS = (
    Dead(name="none"),
    Dead(name="microphone gone", microphone=True),
    Dead(name="loudspeaker gone", loudspeaker=True),
    Dead(name="voice dies at its start", voice=True),
    Dead(name="recogniser dies at its start", recogniser=True),
    Dead(name="all of them", microphone=True, loudspeaker=True, voice=True, recogniser=True),
)


class DiesLoading:
    """An engine that ends its process as it is made."""

    def __init__(self) -> None:
        os._exit(1)


@dataclass(kw_only=True)
class Count:
    """How often something was done."""

    times: int = 0

    def counting(self, call: Callable[..., object]) -> Callable[..., object]:
        """The call, counted."""

        def counted(*arguments: object, **options: object) -> object:
            self.times += 1
            return call(*arguments, **options)

        return counted


def cpu_s(who: int) -> float:
    usage = resource.getrusage(who)
    return usage.ru_utime + usage.ru_stime


def run(room: SoundRoom, seconds: float) -> float:
    """Let the stand-ins run in real time; the processor time they took themselves."""
    ends_s, took_s = time.monotonic() + seconds, 0.0
    next_s = time.monotonic()
    while time.monotonic() < ends_s:
        before_s = time.thread_time()
        room.ask(round(BLOCK_S * 22_050))
        room.played.clear()
        room.record()
        next_s += BLOCK_S
        took_s += time.thread_time() - before_s
        time.sleep(max(next_s - time.monotonic(), 0.0))
    return took_s


def measured(dead: Dead, seconds: float) -> tuple[float, float, int, int, int]:
    """Own and children's seconds of processor, looks for each device, and processes started."""
    room = SoundRoom(FakeMicrophone())
    sys.modules["sounddevice"] = room
    schedule = load(rehearsed_sample())
    state = new_day(schedule, make_plan(schedule))
    make = "dead_parts:DiesLoading" if dead.recogniser else POCKETSPHINX
    engine = EngineProcess(make)
    voice = Voice(worker=DYING) if dead.voice else Voice()
    started = Count()
    with (
        patch.object(engine_process, "Child", started.counting(engine_process.Child)),
        patch.object(subprocess, "Popen", started.counting(subprocess.Popen)),
    ):
        assert voice_process.subprocess is subprocess
        live = LiveVoice(
            at=time.monotonic, hearing=Recogniser(engine), prepare=engine.warm, voice=voice
        )
        live.start(talk_of(state))
        live._announcer.say("Everything is ready.", Urgency.PROMPT)
        run(room, SETTLING_S / 2)
        live._ear._hand_over(utterance())
        run(room, SETTLING_S / 2)
        if dead.microphone:
            room.inputs.microphones[0].plugged = False
        if dead.loudspeaker:
            room.pull_out()
        run(room, 1.0)
        began = (cpu_s(resource.RUSAGE_SELF), cpu_s(resource.RUSAGE_CHILDREN))
        room.looked_for.clear()
        started.times = 0
        stand_ins_s = run(room, seconds)
        own_s = cpu_s(resource.RUSAGE_SELF) - began[0] - stand_ins_s
        children_s = cpu_s(resource.RUSAGE_CHILDREN) - began[1]
        looked = (room.looked_for["input"], room.looked_for["output"])
        engine.close()
        live.close()
    return own_s, children_s, *looked, started.times


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--seconds", type=float, default=SECONDS, help="how long each row runs")
    seconds = parser.parse_args(arguments).seconds
    head = f"{'dead':<30}{'own s':>8}{'children s':>12}{'looked':>10}{'started':>9}"
    sys.stdout.write(f"{head}   per minute\n")
    for dead in ROWS:
        own_s, children_s, inputs, outputs, started = measured(dead, seconds)
        by = 60.0 / seconds
        looked = f"{inputs * by:.0f}/{outputs * by:.0f}"
        sys.stdout.write(
            f"{dead.name:<30}{own_s * by:>8.2f}{children_s * by:>12.2f}"
            f"{looked:>10}{started * by:>9.1f}\n"
        )
        sys.stdout.flush()


if __name__ == "__main__":
    main()
