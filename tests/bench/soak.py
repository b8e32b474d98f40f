"""Does a day's program hold out? `python tests/bench/soak.py --hours 24 --speed 48`.

Brew days follow one another in one process, with real timers on a clock that runs `--speed` times
as fast, the record on disk, the true synthesiser and the true recogniser, and a simulated brewer
who types most answers and says some to the microphone. Sound goes through a stand-in for the sound
library; the stand-in's loudspeaker plays several times as fast as a true one, or at such a speed
the program would speak all the time and never listen. Nothing is asserted: it prints what the
processes hold every 15 minutes of the day, and what has grown since the first day was over.

"worst lateness" is in real seconds, from a moment's being due until its effects have left the core
with their row on disk. The program itself brews one day in a process; several in one are harder on
it. `--trace` tells at the end which lines of the program hold what was added (and slows it down).
"""

import argparse
import gc
import os
import sys
import tempfile
import tracemalloc
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))
sys.path.insert(0, str(Path(__file__).parent.parent / "hearing"))
sys.path.insert(0, str(Path(__file__).parent.parent / "live"))
sys.path.insert(0, str(Path(__file__).parent.parent / "faults"))

from audio import SoundRoom
from process_costs import live_threads, open_descriptors, resident_bytes
from sound_devices import FakeMicrophone
from sounding_days import Sounding, sounding_days

from assistant.record.journal import Journal

EVERY_S = 900.0
MB = 1e6


@dataclass(frozen=True, kw_only=True)
class Held:
    """What the processes hold at ``at_s``; memory in bytes."""

    at_s: float
    program: int
    engine: int
    voice: int
    descriptors: dict[str, str]
    threads: int
    days: int


class Watch:
    """Prints what is held, and keeps it for the sum at the end."""

    def __init__(self, sounding: Sounding, record: Journal, *, trace: bool) -> None:
        self.days, self.record = sounding.days, record
        self.engine, self.voice = sounding.engine, sounding.voice
        self.seen: list[Held] = []
        self.trace = trace
        self.first: tracemalloc.Snapshot | None = None

    def tell(self, at_s: float) -> None:
        gc.collect()
        held = Held(
            at_s=at_s,
            program=resident_bytes(os.getpid()),
            engine=resident_bytes(self.engine.pid),
            voice=resident_bytes(self.voice.worker_pid),
            descriptors=open_descriptors(),
            threads=len(live_threads()),
            days=self.days.days,
        )
        self.seen.append(held)
        if self.trace and self.first is None and held.days > 1:
            self.first = tracemalloc.take_snapshot()
        tally = self.days.tally
        rows = sum(len(self.record.events(day.id)) for day in self.record.days())
        say(
            f"{at_s / 3600:5.2f} h  day {held.days} {self.days.state.stage.value:9}  program "
            f"{held.program / MB:6.1f} MB  engine {held.engine / MB:6.1f}  voice "
            f"{held.voice / MB:5.1f}  descriptors {len(held.descriptors):3}  threads "
            f"{held.threads:2}  rows {rows:5}  typed {tally.typed}, said "
            f"{tally.said}, heard {tally.acted_on}  late {max(tally.late_s, default=0):.3f} s"
        )

    def sum_up(self) -> None:
        warm = [held for held in self.seen if held.days > 1] or self.seen
        first, last = warm[0], warm[-1]
        tally = self.days.tally
        late = sorted(tally.late_s)
        say(f"days finished {tally.finished}, left {tally.left}; {len(late)} moments fell due")
        if late:
            say(f"lateness: p50 {late[len(late) // 2]:.3f} s, worst {late[-1]:.3f} s")
        for name in ("program", "engine", "voice"):
            grown = (getattr(last, name) - getattr(first, name)) / MB
            hours = f"from {first.at_s / 3600:.2f} h to {last.at_s / 3600:.2f} h"
            say(f"{name}: {grown:+.1f} MB {hours}")
        left = {n: what for n, what in last.descriptors.items() if n not in first.descriptors}
        say(f"descriptors: {len(last.descriptors) - len(first.descriptors):+} {left or ''}")
        say(f"threads: {last.threads - first.threads:+}")
        if self.first is not None:
            for line in tracemalloc.take_snapshot().compare_to(self.first, "lineno")[:25]:
                say(str(line))


def say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main(arguments: Sequence[str] | None = None) -> None:
    """Brew on and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--hours", type=float, default=24.0)
    parser.add_argument("--speed", type=float, default=48.0)
    parser.add_argument("--aloud", type=float, default=0.15, help="share of answers that are said")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--trace", action="store_true")
    asked = parser.parse_args(arguments)
    if asked.trace:
        tracemalloc.start(8)
    devices = SoundRoom(FakeMicrophone())
    sys.modules["sounddevice"] = devices
    with (
        tempfile.TemporaryDirectory() as folder,
        sounding_days(
            devices, Path(folder), speed=asked.speed, aloud=asked.aloud, seed=asked.seed
        ) as sounding,
        Journal.open(Path(folder), read_only=True) as looking_on,
    ):
        watch = Watch(sounding, looking_on, trace=asked.trace)
        sounding.days.run(asked.hours * 3600.0, EVERY_S, watch.tell)
        watch.sum_up()


if __name__ == "__main__":
    main()
