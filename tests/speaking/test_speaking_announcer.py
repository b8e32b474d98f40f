"""What is heard at the loudspeaker, sample by sample, and when the ear is shut."""

import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from loudspeakers import Desk

from assistant.speaking import devices, rendering
from assistant.speaking.announcer import Announcer
from assistant.speaking.chimes import Chime, chime_sound
from assistant.speaking.figures import said
from assistant.speaking.output import Output
from assistant.speaking.voice import Voice
from assistant.speaking.voice_settings import VoiceSettings
from assistant.speaking.waiting import LISTENING_GAP_S, Urgency

RATE_HZ = 22_050
PART = 2_000
"""Samples by which a beginning is known."""

FADED = 400
"""Samples after which nothing is left of a sound that was cut."""

PROMPT = "Lift the bag, let it drain, squeeze gently. Say done."
OTHER = "Stir 3 minutes, no dry lumps."
ALARM = "Northern Brewer now: 24 grams."
NEXT_ALARM = "Kettle finings now: 3 grams."
QUESTION = "Kettle volume, and gravity?"
MakeVoice = Callable[..., Voice]
Ill = Callable[..., tuple[str, ...]]


class Room:
    """An announcer at a stand-in loudspeaker, and what was to be heard there."""

    def __init__(self, desk: Desk, voice: Voice, **options: float) -> None:
        self.desk, self.voice = desk, voice
        self.told: list[str] = []
        # The stand-in asks for sound only while a test runs it, so a slow machine looks like a
        # loudspeaker that hangs unless time at the device is counted by what it asked for.
        self.announcer = Announcer(voice, Output(clock=lambda: desk.at / RATE_HZ), **options)
        self.announcer.on_mute(desk.mute)
        self.announcer.on_trouble(lambda text: self.told.append(f"trouble: {text}"))
        self.announcer.on_recovery(lambda text: self.told.append(f"recovery: {text}"))

    def words(self, text: str) -> np.ndarray:
        return self.voice.render(said(text)).sound.astype(np.float32) / 32768

    def begins(self, text: str) -> list[int]:
        return self.desk.places(self.words(text)[:PART])

    def ends(self, text: str) -> list[int]:
        # A hiss is made of the same samples in every word, so an end is known by more of them.
        end = self.words(text)[-self.words(text).size // 2 :]
        return [place + len(end) for place in self.desk.places(end)]

    def chimes(self, kind: Chime) -> list[int]:
        # What a chime cuts short fades out under its first milliseconds.
        sound = chime_sound(kind).sound.astype(np.float32) / 32768
        return [place - FADED for place in self.desk.places(sound[FADED:])]

    def run_until_quiet(self) -> None:
        self.desk.run(lambda: not self.announcer.busy and not self.desk.muted)

    def run_into(self, text: str) -> None:
        """Until a text is being said."""
        beginning = self.words(text)[:PART]
        self.desk.run(lambda: bool(self.desk.places(beginning)))


@pytest.fixture
def desk(monkeypatch: pytest.MonkeyPatch) -> Desk:
    desk = Desk()
    monkeypatch.setitem(sys.modules, "sounddevice", desk)
    return desk


@pytest.fixture
def make_room(desk: Desk, make_voice: MakeVoice) -> Iterator[Callable[..., Room]]:
    rooms: list[Room] = []

    def make(voice: Voice | None = None, **options: float) -> Room:
        rooms.append(Room(desk, voice or make_voice(), **options))
        return rooms[-1]

    yield make
    for room in rooms:
        room.announcer.close()
        assert not desk.muted, "the ear was left shut"


@pytest.fixture
def room(make_room: Callable[..., Room]) -> Room:
    return make_room()


def test_what_is_said_is_heard_whole_and_with_its_figures_in_words(room: Room) -> None:
    room.announcer.say(ALARM, Urgency.PROMPT)
    room.run_until_quiet()
    assert said(ALARM) == "Northern Brewer now: twenty-four grams."
    assert len(room.desk.places(room.words(ALARM))) == 1


def test_the_ear_is_shut_from_before_the_first_sample_until_the_last_has_left(room: Room) -> None:
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_until_quiet()
    [begin], [end] = room.begins(PROMPT), room.ends(PROMPT)
    [(shut_at, shut), (open_at, still_shut)] = room.desk.mutes
    assert (shut, still_shut) == (True, False)
    assert shut_at <= begin
    assert open_at >= end + room.desk.streams[0].latency * RATE_HZ


def test_it_is_busy_from_the_word_given_to_the_last_word_said(room: Room) -> None:
    assert not room.announcer.busy
    room.announcer.say(QUESTION, Urgency.QUESTION)
    assert room.announcer.busy
    room.run_into(QUESTION)
    assert room.announcer.busy
    room.run_until_quiet()
    assert not room.announcer.busy
    assert room.announcer.finish(0.0)


def test_an_alarm_cuts_a_prompt_short_which_is_then_said_again_from_its_beginning(
    room: Room,
) -> None:
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_into(PROMPT)
    room.announcer.say(ALARM, Urgency.ALARM)
    room.run_until_quiet()
    room.desk.run(lambda: bool(room.ends(PROMPT)))
    [cut, again] = room.begins(PROMPT)
    [chime], [alarm] = room.chimes(Chime.DUE), room.begins(ALARM)
    assert cut < chime < alarm < again
    [end] = room.ends(PROMPT)
    assert end > again


def test_a_long_queue_of_prompts_does_not_delay_an_alarm(room: Room) -> None:
    for number in range(20):
        room.announcer.say(f"Prompt number {number}, which goes on and on.", Urgency.PROMPT)
    room.desk.run(lambda: room.desk.muted)
    room.announcer.say(ALARM, Urgency.ALARM)
    room.desk.run(lambda: bool(room.ends(ALARM)))
    assert len(room.chimes(Chime.DUE)) == 1
    assert sum(len(room.ends(f"Prompt number {n}, which goes on and on.")) for n in range(20)) <= 1


def test_what_matters_more_is_said_first_without_cutting_in(room: Room) -> None:
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_into(PROMPT)
    room.announcer.say(OTHER, Urgency.PROMPT)
    room.announcer.say("Water in.", Urgency.READBACK)
    room.desk.run(lambda: bool(room.ends(OTHER)))
    [prompt], [readback], [other] = (room.begins(text) for text in (PROMPT, "Water in.", OTHER))
    assert prompt < readback < other


@pytest.mark.parametrize("first", [Urgency.ALARM, Urgency.WARNING, Urgency.QUESTION])
def test_after_what_wants_an_answer_the_ear_has_its_turn(room: Room, first: Urgency) -> None:
    room.announcer.say(QUESTION, first)
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.desk.run(lambda: bool(room.begins(PROMPT)))
    [(_, shut), (open_at, opened), (shut_at, shut_again)] = room.desk.mutes
    assert (shut, opened, shut_again) == (True, False, True)
    assert shut_at - open_at >= 1.5 * RATE_HZ
    assert room.begins(PROMPT)[0] - room.ends(QUESTION)[-1] >= LISTENING_GAP_S * RATE_HZ


def test_two_alarms_leave_the_ear_a_turn_between_them(room: Room) -> None:
    room.announcer.say(ALARM, Urgency.ALARM)
    room.announcer.say(NEXT_ALARM, Urgency.ALARM)
    room.desk.run(lambda: bool(room.ends(NEXT_ALARM)))
    [_, (open_at, _), (shut_at, _)] = room.desk.mutes
    assert shut_at - open_at >= 1.5 * RATE_HZ
    assert room.ends(ALARM)[0] < open_at < shut_at <= room.chimes(Chime.DUE)[1]


def test_a_readback_proves_the_brewer_was_heard_and_comes_at_once(room: Room) -> None:
    room.announcer.say(QUESTION, Urgency.QUESTION)
    room.run_until_quiet()
    asked_at = room.desk.at
    room.announcer.say("Noted.", Urgency.READBACK)
    room.desk.run(lambda: bool(room.begins("Noted.")))
    assert room.begins("Noted.")[0] - asked_at < 1.5 * RATE_HZ


def test_once_the_brewer_was_heard_the_next_question_need_not_wait(room: Room) -> None:
    room.announcer.say(QUESTION, Urgency.QUESTION)
    room.run_until_quiet()
    asked_at = room.desk.at
    room.announcer.end_turn()
    room.announcer.say("15 or 50?", Urgency.QUESTION)
    room.desk.run(lambda: bool(room.begins("15 or 50?")))
    assert room.begins("15 or 50?")[0] - asked_at < 1.5 * RATE_HZ


def test_an_alarm_does_not_wait_for_the_turn_after_a_question(room: Room) -> None:
    room.announcer.say(QUESTION, Urgency.QUESTION)
    room.run_until_quiet()
    asked_at = room.desk.at
    room.announcer.say(ALARM, Urgency.ALARM)
    room.desk.run(lambda: bool(room.chimes(Chime.DUE)))
    assert room.chimes(Chime.DUE)[0] - asked_at < 1.5 * RATE_HZ


def test_a_hush_ends_what_is_said_and_what_waits(room: Room) -> None:
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.announcer.say(OTHER, Urgency.PROMPT)
    room.run_into(PROMPT)
    room.announcer.hush()
    room.run_until_quiet()
    room.desk.run_for(3.0)
    assert not room.ends(PROMPT)
    assert not room.begins(OTHER)


def test_a_hush_ends_the_alarm_that_sounds_and_leaves_the_one_not_heard_yet(room: Room) -> None:
    room.announcer.say(ALARM, Urgency.ALARM)
    room.announcer.say(NEXT_ALARM, Urgency.ALARM)
    room.desk.run(lambda: bool(room.begins(ALARM)))
    room.announcer.hush()
    room.desk.run(lambda: bool(room.ends(NEXT_ALARM)))
    assert not room.ends(ALARM)
    [_, (open_at, _), (shut_at, _)] = room.desk.mutes
    assert shut_at - open_at >= 1.5 * RATE_HZ


def test_a_prompt_cut_by_an_alarm_is_not_said_again_after_a_hush(room: Room) -> None:
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_into(PROMPT)
    room.announcer.say(ALARM, Urgency.ALARM)
    room.desk.run(lambda: bool(room.begins(ALARM)))
    room.announcer.hush()
    room.run_until_quiet()
    room.desk.run_for(3.0)
    assert len(room.begins(PROMPT)) == 1


def test_a_hush_in_silence_changes_nothing(room: Room) -> None:
    room.announcer.hush()
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_until_quiet()
    assert len(room.ends(PROMPT)) == 1


def test_what_is_being_said_or_waits_is_not_said_twice(room: Room) -> None:
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_into(PROMPT)
    for _ in range(2):
        room.announcer.say(PROMPT, Urgency.PROMPT)
        room.announcer.say(OTHER, Urgency.PROMPT)
    room.run_until_quiet()
    assert len(room.begins(PROMPT)) == len(room.begins(OTHER)) == 1


def test_what_was_said_can_be_said_again_later(room: Room) -> None:
    for _ in range(2):
        room.announcer.say(PROMPT, Urgency.PROMPT)
        room.run_until_quiet()
    assert len(room.ends(PROMPT)) == 2


@pytest.mark.parametrize(
    ("urgency", "lead", "heard"),
    [
        (Urgency.ALARM, None, Chime.DUE),
        (Urgency.ALARM, Chime.HEADS_UP, Chime.HEADS_UP),
        (Urgency.WARNING, None, Chime.WARNING),
    ],
)
def test_a_chime_leads_what_calls_the_brewer(
    room: Room, urgency: Urgency, lead: Chime | None, heard: Chime
) -> None:
    room.announcer.say(ALARM, urgency, lead=lead)
    room.run_until_quiet()
    [chime], [words] = room.chimes(heard), room.begins(ALARM)
    assert chime < words


@pytest.mark.parametrize("kind", Chime)
def test_every_chime_can_sound_by_itself(room: Room, kind: Chime) -> None:
    room.announcer.chime(kind)
    room.run_until_quiet()
    [place] = room.chimes(kind)
    assert room.desk.mutes[0] == (room.desk.mutes[0][0], True)
    assert room.desk.mutes[0][0] <= place


def test_an_answering_chime_sounds_on_top_of_the_words(room: Room) -> None:
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_into(PROMPT)
    room.announcer.chime(Chime.HEARD)
    room.run_until_quiet()
    [begin], [end] = room.begins(PROMPT), room.ends(PROMPT)
    words = room.words(PROMPT)
    assert end - begin == len(words)
    on_top = room.desk.heard[begin:end] - words
    sound = chime_sound(Chime.HEARD).sound / 32768
    place = np.flatnonzero(np.abs(on_top) > 1e-4)[0]
    around = [np.abs(on_top[at : at + len(sound)] - sound).max() for at in range(place - 3, place)]
    assert min(around) < 1e-3


def test_a_quiet_voice_leaves_the_calling_chimes_loud_enough(room: Room) -> None:
    room.announcer.set(VoiceSettings(volume=0.25))
    room.announcer.say(ALARM, Urgency.ALARM)
    room.run_until_quiet()
    [words] = room.begins(ALARM)
    peak = np.abs(chime_sound(Chime.DUE).sound).max() / 32768
    assert np.abs(room.desk.heard[:words]).max() == pytest.approx(peak / 2, abs=0.001)
    assert np.abs(room.desk.heard[words:]).max() == pytest.approx(0.7 / 4, abs=0.001)


def test_a_new_manner_holds_for_what_waits_too(room: Room) -> None:
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.announcer.say(OTHER, Urgency.PROMPT)
    room.run_into(PROMPT)
    usual = room.words(OTHER)
    room.announcer.set(VoiceSettings(rate_wpm=110))
    room.run_until_quiet()
    assert not room.desk.places(usual)
    assert len(room.desk.places(room.words(OTHER))) == 1


def test_no_text_and_nothing_after_the_end_is_no_item(room: Room) -> None:
    room.announcer.say("  ", Urgency.ALARM)
    assert not room.announcer.busy
    room.announcer.close()
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.announcer.chime(Chime.DUE)
    room.announcer.start()
    assert not room.announcer.busy


def test_closing_in_the_middle_of_a_word_opens_the_ear(room: Room) -> None:
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_into(PROMPT)
    room.announcer.close()
    assert not room.desk.muted
    assert room.desk.streams[-1].closed


def test_without_a_loudspeaker_the_day_goes_on_and_is_told_once(
    desk: Desk, make_room: Callable[..., Room]
) -> None:
    desk.pull_out()
    room = make_room(pauses_s=(0.02,))
    for text in (PROMPT, ALARM, QUESTION):
        room.announcer.say(text, Urgency.ALARM)
        assert room.announcer.finish(10.0)
    assert room.told == ["trouble: No sound: no loudspeaker is plugged in or switched on."]
    assert room.desk.mutes == []
    desk.plug_in()
    desk.run(lambda: len(room.told) > 1)
    assert room.told[1:] == ["recovery: Sound is back."]
    room.announcer.say(OTHER, Urgency.PROMPT)
    room.run_until_quiet()
    assert len(room.ends(OTHER)) == 1
    assert not room.begins(ALARM)


def test_without_portaudio_the_day_goes_on_in_silence(
    make_room: Callable[..., Room], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "sounddevice.py").write_text("raise OSError('PortAudio library not found')\n")
    monkeypatch.syspath_prepend(str(tmp_path))
    monkeypatch.delitem(sys.modules, "sounddevice")
    room = make_room()
    room.announcer.say(PROMPT, Urgency.PROMPT)
    assert room.announcer.finish(10.0)
    room.announcer.close()
    assert room.told == ["trouble: No sound: install the package libportaudio2."]


def test_a_loudspeaker_that_dies_in_mid_word_is_found_again_and_the_alarm_said_again(
    desk: Desk, make_room: Callable[..., Room]
) -> None:
    room = make_room(pauses_s=(0.02,))
    room.announcer.say(ALARM, Urgency.ALARM)
    desk.run(lambda: bool(room.begins(ALARM)))
    for stream in desk.streams:
        stream.active = False
    desk.run(lambda: bool(room.ends(ALARM)))
    assert room.told == [
        "trouble: No sound: the loudspeaker is gone. Plug it in or switch it on.",
        "recovery: Sound is back.",
    ]
    assert len(room.begins(ALARM)) == 2


def test_a_loudspeaker_pulled_out_opens_the_ear_and_comes_back(
    desk: Desk, make_room: Callable[..., Room]
) -> None:
    room = make_room(pauses_s=(0.02,))
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_into(PROMPT)
    desk.pull_out()
    desk.run(lambda: not desk.muted)
    desk.run(lambda: not room.announcer.busy)
    desk.plug_in()
    desk.run(lambda: len(room.told) == 2)
    room.announcer.say(OTHER, Urgency.PROMPT)
    room.run_until_quiet()
    assert len(room.ends(OTHER)) == 1
    assert not room.ends(PROMPT)


def test_an_idle_loudspeaker_that_dies_is_noticed(
    desk: Desk, make_room: Callable[..., Room]
) -> None:
    room = make_room(pauses_s=(0.02,))
    room.announcer.start()
    desk.run(lambda: bool(desk.streams))
    desk.pull_out()
    desk.run(lambda: bool(room.told))
    assert "the loudspeaker is gone" in room.told[0]


def test_a_device_of_another_rate_hears_the_same_words(
    desk: Desk, make_room: Callable[..., Room]
) -> None:
    desk.rates_hz = {48_000}
    room = make_room()
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_until_quiet()
    loud = np.flatnonzero(np.abs(desk.heard) > 0.01)
    length_s = (loud[-1] - loud[0]) / 48_000
    assert length_s == pytest.approx(len(room.words(PROMPT)) / RATE_HZ, abs=0.05)


def test_a_killed_voice_costs_no_word(room: Room) -> None:
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_until_quiet()
    os.kill(room.voice.worker_pid, signal.SIGKILL)
    room.announcer.say(OTHER, Urgency.PROMPT)
    room.run_until_quiet()
    assert len(room.ends(OTHER)) == 1
    assert room.told == []


def test_a_voice_that_hangs_holds_up_no_chime(
    make_room: Callable[..., Room], make_voice: MakeVoice, ill: Ill
) -> None:
    room = make_room(make_voice(worker=ill("hangs", always=True), saying_s=600.0))
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.announcer.say(ALARM, Urgency.ALARM)
    room.desk.run(lambda: bool(room.chimes(Chime.DUE)))
    room.desk.run(lambda: not room.desk.muted)
    assert room.announcer.busy


def test_without_a_voice_chimes_still_sound_and_the_package_is_told_once(
    make_room: Callable[..., Room], make_voice: MakeVoice, ill: Ill
) -> None:
    room = make_room(make_voice(worker=ill("without pyttsx3")))
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.announcer.say(ALARM, Urgency.ALARM)
    room.announcer.say(OTHER, Urgency.PROMPT)
    room.run_until_quiet()
    assert len(room.chimes(Chime.DUE)) == 1
    [told] = room.told
    assert "python -m pip install pyttsx3" in told


def test_a_voice_that_is_back_is_told(
    make_room: Callable[..., Room], make_voice: MakeVoice, ill: Ill, tmp_path: Path
) -> None:
    room = make_room(make_voice(worker=ill("dies until told"), pauses_s=(0.0,)))
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_until_quiet()
    (tmp_path / "was-ill").touch()
    room.announcer.say(OTHER, Urgency.PROMPT)
    room.run_until_quiet()
    assert [text.split(".")[0] for text in room.told] == [
        "trouble: No voice: the voice ended with exit status 1",
        "recovery: The voice is back",
    ]
    assert len(room.ends(OTHER)) == 1


def test_a_voice_that_was_given_up_is_tried_while_nobody_speaks(
    make_room: Callable[..., Room], make_voice: MakeVoice, ill: Ill, tmp_path: Path
) -> None:
    room = make_room(make_voice(worker=ill("dies until told"), pauses_s=(0.5,)))
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_until_quiet()
    assert room.announcer.fails
    (tmp_path / "was-ill").touch()
    room.desk.run(lambda: len(room.told) == 2)
    assert room.told[1] == "recovery: The voice is back."
    assert not room.announcer.fails


def test_words_that_are_kept_do_not_make_a_dead_voice_alive(
    make_room: Callable[..., Room], make_voice: MakeVoice, ill: Ill, tmp_path: Path
) -> None:
    marker = tmp_path / "was-ill"
    marker.touch()
    room = make_room(make_voice(worker=ill("dies until told"), pauses_s=(600.0,)))
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_until_quiet()
    marker.unlink()
    for text in (OTHER, PROMPT, QUESTION, PROMPT):
        room.announcer.say(text, Urgency.PROMPT)
        room.run_until_quiet()
    assert len(room.ends(PROMPT)) == 3
    [told] = room.told
    assert told.startswith("trouble: No voice: the voice ended with exit status 1")


def test_a_sentence_that_nobody_foresaw_costs_itself_only(
    room: Room, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(text: str) -> str:
        raise ZeroDivisionError(text)

    monkeypatch.setattr(rendering, "said", broken)
    room.announcer.say(OTHER, Urgency.PROMPT)
    room.run_until_quiet()
    monkeypatch.undo()
    room.announcer.say(PROMPT, Urgency.PROMPT)
    room.run_until_quiet()
    assert [text.split(" (")[0] for text in room.told] == [
        "trouble: No voice: it has failed",
        "recovery: The voice is back.",
    ]
    assert len(room.ends(PROMPT)) == 1


def test_a_loudspeaker_that_takes_no_sound_is_gone_once_and_not_back(
    desk: Desk, make_voice: MakeVoice
) -> None:
    desk.takes_nothing = True
    told: list[str] = []
    announcer = Announcer(make_voice(), Output(stalled_s=0.02), pauses_s=(0.01,))
    announcer.on_trouble(told.append)
    announcer.on_recovery(told.append)
    announcer.on_mute(desk.mute)
    announcer.start()
    desk.run(lambda: len(desk.streams) > 5)
    assert told == ["No sound: the loudspeaker is gone. Plug it in or switch it on."]
    announcer.say(ALARM, Urgency.ALARM)
    desk.run(lambda: not announcer.busy)
    assert desk.mutes == []
    desk.takes_nothing = False
    desk.run(lambda: len(told) > 1)
    assert told[1:] == ["Sound is back."]
    announcer.close()


def test_a_loudspeaker_that_fails_as_nobody_foresaw_is_told_and_found_again(
    desk: Desk, make_room: Callable[..., Room], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*anything: object, **more: object) -> None:
        raise ZeroDivisionError("samples")

    with monkeypatch.context() as patch:
        patch.setattr(desk, "query_devices", broken)
        room = make_room(pauses_s=(0.02,))
        room.announcer.start()
        desk.run(lambda: bool(room.told))
    desk.run(lambda: len(room.told) > 1)
    assert room.told == [
        "trouble: No sound: the loudspeaker has failed (ZeroDivisionError('samples')).",
        "recovery: Sound is back.",
    ]


def test_a_loudspeaker_that_hangs_is_left_alone_until_the_system_lets_it_go(
    desk: Desk, make_room: Callable[..., Room], monkeypatch: pytest.MonkeyPatch
) -> None:
    let_go = threading.Event()
    monkeypatch.setattr(devices, "CLOSING_S", 0.01)
    desk.hang = lambda: bool(let_go.wait(20)) and None
    room = make_room(pauses_s=(0.02,))
    room.announcer.start()
    desk.run(lambda: bool(desk.played))
    desk.pull_out()
    desk.run(lambda: bool(room.told))
    desk.plug_in()
    room.announcer.say(ALARM, Urgency.ALARM)
    until_s = time.monotonic() + 10 * 0.02
    desk.run(lambda: time.monotonic() > until_s and not room.announcer.busy)
    assert (len(desk.streams), len(room.told)) == (1, 1)
    let_go.set()
    desk.run(lambda: len(room.told) > 1)
    assert room.told[1] == "recovery: Sound is back."


def test_what_is_warm_is_warm_as_it_will_be_said(room: Room) -> None:
    room.announcer.warm([ALARM])
    room.announcer.start()
    room.desk.run(lambda: room.voice.is_warm(said(ALARM)))
