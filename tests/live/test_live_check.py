"""``kettleside check`` goes through all the parts, whatever is missing."""

import io
import subprocess
import sys
import threading
import time

import numpy as np
import pytest
from faults.audio import SoundRoom, plugged
from rich.console import Console
from sound_devices import FakeMicrophone
from sound_rooms import FAILED, Quick, ToldHearing

from assistant.check_page import SAYINGS, CheckTimes, check_devices

QUICK = CheckTimes(opening_s=5.0, meter_s=0.25, answer_s=0.0, speaking_s=20.0)


class Silent(Quick):
    """A voice whose program is not installed."""

    def render(self, text: str) -> None:  # type: ignore[override]
        from assistant.speaking.voice import VoiceFailed

        raise VoiceFailed("No voice: install the package espeak-ng.")


class Playing:
    """Lets a room's devices run beside a check."""

    def __init__(self, room: SoundRoom) -> None:
        self._room = room
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._run, name="room", daemon=True)

    def _run(self) -> None:
        while not self._over.is_set():
            self._room.ask()
            self._room.record()
            time.sleep(0.001)

    def __enter__(self) -> None:
        self._thread.start()

    def __exit__(self, *ignored: object) -> None:
        self._over.set()
        self._thread.join()


def checked(hearing: ToldHearing | None, voice: Quick, times: CheckTimes = QUICK) -> str:
    out = io.StringIO()
    console = Console(file=out, width=200)
    check_devices(console, hearing, times, voice)  # type: ignore[arg-type]
    return out.getvalue()


def test_with_everything_there_each_part_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    room = plugged(monkeypatch, FakeMicrophone())
    with Playing(room):
        told = checked(ToldHearing(), Quick())
    assert "voice        tones" in told
    assert "a chime and a sentence now, on the usual one of: desk loudspeaker" in told
    assert "Did you hear" in told
    assert "microphone   USB microphone. Its level" in told
    assert "noise floor" in told
    for saying in SAYINGS:
        assert f"Say: {saying}" in told
    assert np.abs(room.heard).max() > 0


def test_nobody_speaks_and_that_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    with Playing(plugged(monkeypatch, FakeMicrophone())):
        told = checked(ToldHearing(), Quick())
    assert told.count("I heard nobody speak") == len(SAYINGS)


def test_without_a_recogniser_nothing_is_to_be_said(monkeypatch: pytest.MonkeyPatch) -> None:
    with Playing(plugged(monkeypatch, FakeMicrophone())):
        told = checked(None, Quick())
    assert "noise floor" in told
    assert "Say:" not in told


def test_without_a_microphone_the_loudspeaker_is_tried_all_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with Playing(plugged(monkeypatch)):
        told = checked(ToldHearing(), Quick(), CheckTimes(opening_s=5.0, speaking_s=20.0))
    assert "Did you hear" in told
    assert "microphone   There is no microphone. Plug one in, or use the keyboard." in told


def test_a_loudspeaker_without_a_voice_gives_the_chime_and_the_line(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    room = plugged(monkeypatch)
    with Playing(room):
        told = checked(None, Silent())
    assert "voice        No voice: install the package espeak-ng." in told
    assert "Did you hear" not in told
    assert np.abs(room.heard).max() > 0


def test_with_nothing_there_every_part_is_a_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    told = checked(None, Silent()).splitlines()
    assert [line.split()[0] for line in told[:-1]] == ["voice", "loudspeaker", "microphone"]
    assert all("install" in line for line in told[:-1])
    assert "keyboard" in told[-1]


def test_the_command_ends_well_without_a_terminal() -> None:
    pytest.importorskip("pocketsphinx")
    done = subprocess.run(
        [sys.executable, "-m", "assistant", "check"],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("recogniser   ")
    assert "A whole day can be brewed by the keyboard too." in done.stdout


def test_an_engine_that_fails_at_a_saying_is_told_and_the_next_is_tried() -> None:
    from sound_rooms import utterance

    from assistant.check_page import _heard_words
    from assistant.hear_page import hearing_context

    hearing = ToldHearing()
    hearing.says = [FAILED, "kettle whats next"]
    context = hearing_context(None, None, None)
    first, second = (_heard_words(hearing, utterance(), context) for _ in range(2))
    assert first == str(FAILED)
    assert second.startswith('I heard "kettle whats next": what\'s next.')
