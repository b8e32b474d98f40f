"""What a day took of the machine is given back. ``python tests/bench/soak.py`` goes on for 24 h."""

import gc
import json
import re
import sys
import time
import tracemalloc
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest
from audio import plugged
from process_costs import live_threads, open_descriptors, resident_bytes
from recorded_day import RecordedDay, record_day
from room_sounds import NEEDS_ESPEAK
from sound_devices import FakeMicrophone
from sounding_days import sounding_days

from assistant.pipe import Pipe
from assistant.record.journal import Journal
from assistant.samples import rehearsed_sample
from assistant.schedule import Schedule

LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads /proc")
SPEED = 600.0
HOURS, LONGER_H = 0.6, 2.0
WARMING = "voice warming"
"""A thread that comes and goes: it is there while something is rendered that may be said soon."""

A_DAY_LEAVES_BYTES = 300_000


def ended_within(ended: Callable[[], bool], patience_s: float = 10.0) -> None:
    """A thread that waited for a process which has been ended takes a moment to see it."""
    until_s = time.monotonic() + patience_s
    while not ended():
        assert time.monotonic() < until_s, live_threads()
        time.sleep(0.01)


@LINUX
@NEEDS_ESPEAK
def test_a_day_that_is_over_leaves_no_descriptor_no_thread_and_no_process(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    threads, held = live_threads(), []
    for _ in range(3):
        devices = plugged(monkeypatch, FakeMicrophone())
        with sounding_days(devices, tmp_path, speed=SPEED, aloud=0.5, seed=1) as sounding:
            sounding.days.run(HOURS * 3600.0, HOURS * 3600.0)
            children = [sounding.engine.pid, sounding.voice.worker_pid]
            assert all(resident_bytes(pid) for pid in children)
            assert sounding.air.sounded_s > 0
            assert sounding.days.tally.typed + sounding.days.tally.said > 0
        assert [resident_bytes(pid) for pid in children] == [0, 0]
        ended_within(lambda: live_threads() == threads)
        held.append(sorted(open_descriptors().values()))
    assert held[2] == held[1] == held[0]


@LINUX
@NEEDS_ESPEAK
def test_while_a_day_goes_on_it_takes_no_more_descriptors_and_threads(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    descriptors, threads = [], []
    devices = plugged(monkeypatch, FakeMicrophone())
    with sounding_days(devices, tmp_path, speed=SPEED, aloud=0.3, seed=2) as sounding:

        def look(_: float) -> None:
            if sounding.engine.pid and sounding.voice.worker_pid and sounding.air.sounded_s:
                descriptors.append(len(open_descriptors()))
                names = (name for name in live_threads() if name != WARMING)
                # Those without a name of their own are told by a number that is used once.
                threads.append(Counter(re.sub(r"\d+", "", name) for name in names))

        sounding.days.run(LONGER_H * 3600.0, LONGER_H * 450.0, look)
    # The second look is a second and a half after all parts are there.
    assert len(descriptors) >= 4
    # What is there at one look only, as who closes a device is, is on its way out.
    assert min(descriptors[-2:]) <= descriptors[1]
    assert not (threads[-1] & threads[-2]) - threads[1]


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory) -> RecordedDay:
    return record_day(rehearsed_sample(), tmp_path_factory.mktemp("unbroken"), seed=3)


def brew(schedule: Schedule, day: RecordedDay, journal: Journal) -> None:
    pipe = Pipe(schedule, str(day.schedule_path), journal)
    for line in day.lines:
        pipe.answer(json.dumps(line).encode(), 0.0)


def test_a_day_that_is_over_leaves_hardly_any_memory(
    amber: Schedule, day: RecordedDay, tmp_path: Path
) -> None:
    held = []
    tracemalloc.start()
    try:
        with Journal.open(tmp_path) as journal:
            for _ in range(3):
                brew(amber, day, journal)
                gc.collect()
                held.append(tracemalloc.get_traced_memory()[0])
    finally:
        tracemalloc.stop()
    assert held[2] - held[1] < A_DAY_LEAVES_BYTES
