"""The voice with its real worker process: well, killed, hung, slow, ill and missing."""

import os
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from assistant.backing_off import PAUSES_S
from assistant.speaking import voice_worker
from assistant.speaking.voice import ATTEMPTS, PEAK, Voice, VoiceFailed
from assistant.speaking.voice_settings import VoiceSettings, english
from assistant.speaking.warming import MOST_WARM, Warming

LINUX = pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="espeak's library is looked for on Linux only"
)
MakeVoice = Callable[..., Voice]
Ill = Callable[..., tuple[str, ...]]
QUESTION = "Mash temperature?"


def wait_until(true: Callable[[], bool], within_s: float = 20.0) -> None:
    end = time.monotonic() + within_s
    while not true():
        assert time.monotonic() < end, "it never happened"
        time.sleep(0.005)


def test_a_text_becomes_sound_without_the_silence_around_it(make_voice: MakeVoice) -> None:
    spoken = make_voice().render(QUESTION)
    loud = np.abs(spoken.sound.astype(int))
    assert 0.5 < spoken.length_s < 2.0
    assert loud.max() == pytest.approx(PEAK * 32767, abs=2)
    edge = round(0.03 * spoken.rate_hz)
    assert loud[:edge].max() > 300
    assert loud[-edge:].max() > 300


def test_fifty_items_one_after_another_are_each_their_own(make_voice: MakeVoice) -> None:
    voice = make_voice()
    first = {n: voice.render("and " * n + "done") for n in range(1, 26)}
    lengths = [spoken.length_s for spoken in first.values()]
    assert lengths == sorted(lengths)
    again = make_voice()
    for n in (25, 13, 1):
        assert again.render("and " * n + "done").length_s == pytest.approx(lengths[n - 1], abs=0.05)


@pytest.mark.parametrize("text", ["", "  ", "...", "\n"])
def test_nothing_to_say_is_silence(make_voice: MakeVoice, text: str) -> None:
    assert len(make_voice().render(text).sound) == 0


@pytest.mark.parametrize(
    "text",
    ["Größe: fünf Liter.", "50 % \N{DEGREE SIGN}C \N{BEER MUG}", "[[h@'loU]] <b>&</b> \\", "a\nb"],
)
def test_any_text_can_be_said(make_voice: MakeVoice, text: str) -> None:
    assert make_voice().render(text).length_s > 0.05


def test_the_volume_scales_what_is_kept(make_voice: MakeVoice) -> None:
    voice = make_voice()
    loud = voice.render(QUESTION)
    voice.set(VoiceSettings(volume=0.25))
    assert voice.is_warm(QUESTION)
    quiet = voice.render(QUESTION)
    assert np.abs(quiet.sound * 4.0 - loud.sound).max() <= 4


def test_a_slower_voice_takes_longer_however_often_it_changes(make_voice: MakeVoice) -> None:
    voice = make_voice()
    lengths: dict[int, set[float]] = {}
    for rate_wpm in (155, 110, 230, 110, 155, 230):
        voice.set(VoiceSettings(rate_wpm=rate_wpm))
        text = f"{QUESTION} Kettle volume, and gravity?"
        lengths.setdefault(rate_wpm, set()).add(round(voice.render(text).length_s, 1))
    assert min(lengths[110]) > max(lengths[155]) > max(lengths[230])
    assert all(len(each) == 1 for each in lengths.values())


def test_another_voice_sounds_different(make_voice: MakeVoice) -> None:
    voice = make_voice()
    usual = voice.render(QUESTION)
    names = english(voice.voices())
    assert len(names) >= 2
    voice.set(VoiceSettings(voice=names[-1].id))
    other = voice.render(QUESTION)
    assert voice.settings.voice == names[-1].id
    assert other.sound.tobytes() != usual.sound.tobytes()


def test_a_voice_that_is_not_there_gives_way_to_the_usual_one(make_voice: MakeVoice) -> None:
    voice = make_voice(settings=VoiceSettings(voice="nobody/at-all"))
    assert voice.render(QUESTION).length_s > 0.5
    assert voice.settings == VoiceSettings()


def test_a_killed_worker_is_started_again_and_says_the_item(make_voice: MakeVoice) -> None:
    voice = make_voice()
    voice.render("one")
    killed = voice.worker_pid
    os.kill(killed, signal.SIGKILL)
    assert voice.render(QUESTION).length_s > 0.5
    assert voice.worker_pid != killed


@pytest.mark.parametrize(
    "how", ["hangs", "dies", "garbage", "nothing", "silence", "error", "nonsense"]
)
def test_a_worker_that_fell_ill_is_replaced_and_the_item_said(
    make_voice: MakeVoice, ill: Ill, tmp_path: Path, how: str
) -> None:
    voice = make_voice(worker=ill(how), saying_s=0.3)
    assert voice.render(QUESTION).length_s > 0.5
    assert (tmp_path / "was-ill").exists()


def test_a_slow_worker_is_waited_for(make_voice: MakeVoice, ill: Ill) -> None:
    voice = make_voice(worker=ill("slow", always=True))
    assert voice.render("one").length_s > 0.1


@pytest.mark.parametrize(
    ("how", "reason"),
    [
        ("hangs", "the voice did not answer"),
        ("dies", "the voice ended with exit status 1"),
        ("garbage", "neither WAV nor AIFF"),
        ("nothing", "there is no sound file"),
        ("silence", "the voice made no sound"),
        ("error", "RuntimeError: run loop already started"),
        ("nonsense", "the voice answered nonsense"),
    ],
)
@LINUX
def test_a_voice_that_stays_ill_is_given_up_with_the_package_to_install(
    make_voice: MakeVoice, ill: Ill, how: str, reason: str
) -> None:
    voice = make_voice(worker=ill(how, always=True), saying_s=0.1, attempts=2)
    with pytest.raises(VoiceFailed, match=reason) as failed:
        voice.render("one")
    assert "install it again: the package espeak-ng" in str(failed.value)
    assert "\n" not in str(failed.value)


@LINUX
@pytest.mark.parametrize(
    ("how", "wanted"),
    [
        (
            "without espeak",
            "No voice: espeak-ng is not installed. To install it: the package espeak-ng,"
            " or python -m pip install espeakng-loader.",
        ),
        ("without pyttsx3", "To install it: python -m pip install pyttsx3."),
    ],
)
def test_a_missing_library_is_named(make_voice: MakeVoice, ill: Ill, how: str, wanted: str) -> None:
    voice = make_voice(worker=ill(how))
    with pytest.raises(VoiceFailed) as failed:
        voice.render("one")
    assert wanted in str(failed.value)


def test_a_worker_that_can_not_be_started_is_a_failed_voice(make_voice: MakeVoice) -> None:
    voice = make_voice(worker=("/there/is/no/such/program",))
    with pytest.raises(VoiceFailed, match="the voice can't be started"):
        voice.render("one")


def test_a_voice_given_up_is_left_alone_for_a_while_and_then_tried_again(
    make_voice: MakeVoice, ill: Ill, tmp_path: Path
) -> None:
    now = [0.0]
    voice = make_voice(worker=ill("dies until told"), pauses_s=(10.0,), clock=lambda: now[0])
    for _ in range(2):
        with pytest.raises(VoiceFailed, match="exit status 1"):
            voice.render("one")
        now[0] += 4.5
    assert voice.worker_pid is None
    (tmp_path / "was-ill").touch()
    with pytest.raises(VoiceFailed, match="exit status 1"):
        voice.render("one")
    now[0] += 1
    assert voice.render("one").length_s > 0.1


@LINUX
@pytest.mark.parametrize("source", [voice_worker.SYSTEM, voice_worker.BUNDLED])
def test_espeak_of_the_system_and_of_the_python_package_both_speak(
    make_voice: MakeVoice, monkeypatch: pytest.MonkeyPatch, source: str
) -> None:
    monkeypatch.setenv(voice_worker.SWITCH, source)
    voice = make_voice(settings=VoiceSettings(voice="gmw/en-us"))
    try:
        spoken = voice.render(QUESTION)
    except VoiceFailed as error:
        pytest.skip(f"{source}: {error}")
    assert spoken.length_s > 0.5
    assert voice.engine.startswith("espeak-ng 1.")
    assert voice.settings.voice == "gmw/en-us"


@LINUX
def test_the_library_of_the_package_is_another_than_the_systems(
    make_voice: MakeVoice, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = pytest.importorskip("espeakng_loader")
    monkeypatch.setenv(voice_worker.SWITCH, voice_worker.BUNDLED)
    voice = make_voice()
    voice.render("one")
    maps = Path(f"/proc/{voice.worker_pid}/maps").read_text()
    loaded = {line.split()[-1] for line in maps.splitlines() if "libespeak" in line}
    assert loaded
    folder = str(Path(package.__file__).parent)
    assert all(path.startswith(folder) for path in loaded)


def test_what_is_warm_needs_no_worker(make_voice: MakeVoice) -> None:
    voice = make_voice()
    voice.warm([QUESTION, "Noted."])
    wait_until(lambda: voice.is_warm(QUESTION) and voice.is_warm("Noted."))
    os.kill(voice.worker_pid, signal.SIGKILL)
    killed = voice.worker_pid
    assert voice.render(QUESTION).length_s > 0.5
    assert voice.worker_pid == killed


def test_what_is_warmed_last_comes_first_and_the_oldest_is_let_go() -> None:
    rendered: list[str] = []
    go = threading.Event()

    def render(text: str) -> bool:
        go.wait()
        rendered.append(text)
        return True

    warming = Warming(render)
    old = [f"old {number}" for number in range(MOST_WARM)]
    warming.take(old)
    warming.take(["new"])
    go.set()
    wait_until(lambda: len(rendered) >= MOST_WARM and "new" in rendered)
    wait_until(lambda: rendered[-1] == old[-2])
    warming.stop()
    last_round = rendered[-MOST_WARM:]
    assert last_round == ["new", *old[:-1]]


def test_what_was_warm_is_warmed_again_in_a_new_manner(make_voice: MakeVoice) -> None:
    voice = make_voice()
    voice.warm([QUESTION])
    wait_until(lambda: voice.is_warm(QUESTION))
    voice.set(VoiceSettings(rate_wpm=200))
    wait_until(lambda: voice.is_warm(QUESTION))
    assert voice.settings.rate_wpm == 200


def test_the_sounds_kept_stay_within_their_bound(make_voice: MakeVoice) -> None:
    voice = make_voice(kept_bytes=100_000)
    texts = [f"{word}, and so on" for word in ("one", "two", "three", "four", "five")]
    sizes = [voice.render(text).sound.nbytes for text in texts]
    kept = [size for text, size in zip(texts, sizes, strict=True) if voice.is_warm(text)]
    assert sum(kept) <= 100_000 < sum(sizes)
    assert voice.is_warm(texts[-1])
    assert not voice.is_warm(texts[0])


def test_what_is_used_again_is_kept_longest(make_voice: MakeVoice) -> None:
    voice = make_voice()
    size = voice.render("one").sound.nbytes
    voice = make_voice(kept_bytes=round(size * 3.5))
    for text in ("one", "two", "one", "six", "one", "ten"):
        voice.render(text)
    assert voice.is_warm("one")


def test_closing_a_voice_that_hangs_does_not_wait_for_it(make_voice: MakeVoice, ill: Ill) -> None:
    voice = make_voice(worker=ill("hangs", always=True), saying_s=600.0)
    voice.warm(["one"])
    wait_until(lambda: voice.worker_pid is not None)
    voice.close()
    with pytest.raises(VoiceFailed, match="it is closed"):
        voice.render("one")


def test_a_worker_that_hangs_as_it_starts_can_be_closed_at_once(make_voice: MakeVoice) -> None:
    never = (sys.executable, "-c", "import time; time.sleep(600)")
    voice = make_voice(worker=never, starting_s=600.0)
    voice.warm(["one"])
    wait_until(lambda: voice.worker_pid is not None)
    voice.close()
    assert voice.worker_pid is None


def test_a_stopped_worker_is_replaced_and_the_item_said(make_voice: MakeVoice) -> None:
    voice = make_voice(saying_s=0.3)
    voice.render("one")
    stopped = voice.worker_pid
    os.kill(stopped, signal.SIGSTOP)
    assert voice.render(QUESTION).length_s > 0.5
    assert voice.worker_pid != stopped


def test_a_worker_that_dies_as_it_starts_is_started_ever_less_often(
    make_voice: MakeVoice, tmp_path: Path
) -> None:
    count = f"open({str(tmp_path / 'started')!r}, 'a').write('x')"
    now = [0.0]
    voice = make_voice(worker=(sys.executable, "-c", count), clock=lambda: now[0])
    with pytest.raises(VoiceFailed):
        voice.render("one")
    assert voice.gave_up
    for now[0] in range(600):
        with pytest.raises(VoiceFailed):
            voice.try_again()
    started = len((tmp_path / "started").read_text())
    assert started <= ATTEMPTS + len(PAUSES_S) + 600 / PAUSES_S[-1]


def test_a_folder_for_sounds_that_can_not_be_made_is_a_failed_voice(
    make_voice: MakeVoice, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "full"))
    with pytest.raises(VoiceFailed, match="no room for its sounds"):
        make_voice().render("one")


def test_no_sound_stays_on_disk(
    make_voice: MakeVoice, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    voice = make_voice()
    voice.render("one")
    assert [path.suffix for path in tmp_path.rglob("*.wav")] == []
    voice.close()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("how", ["well", "hangs"])
def test_no_sound_and_no_worker_stay_behind_a_program_that_was_killed(
    speaking_machine: None, ill: Ill, tmp_path: Path, how: str
) -> None:
    program = (
        "from assistant.speaking.voice import Voice; import time;"
        f"voice = Voice(worker={ill(how, always=True)!r}, saying_s=600.0); voice.warm(['one']);"
        "[time.sleep(0.01) for _ in iter(lambda: voice.worker_pid, 0) if not voice.worker_pid];"
    )
    program = program.rsplit("[", 1)[0] + (
        "\nwhile voice.worker_pid is None: time.sleep(0.01)\n"
        "print(voice.worker_pid, flush=True); input()"
    )
    folder = tmp_path / "temporary"
    folder.mkdir()
    with subprocess.Popen(
        [sys.executable, "-c", program],
        env={**os.environ, "TMPDIR": str(folder)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as running:
        worker = int(running.stdout.readline())
        assert list(folder.iterdir())
        running.kill()
    wait_until(lambda: not list(folder.iterdir()) and not is_running(worker))


def is_running(pid: int) -> bool:
    try:
        status = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0]
    except OSError:
        return False
    return status != "Z"


def test_nothing_heavy_is_imported_before_it_is_needed() -> None:
    program = (
        "import sys, assistant.speaking.announcer, assistant.speaking.voice_worker;"
        "print([name for name in ('pyttsx3', 'sounddevice', 'soxr', 'espeakng_loader')"
        " if name in sys.modules])"
    )
    shown = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert shown.stdout == "[]\n"
