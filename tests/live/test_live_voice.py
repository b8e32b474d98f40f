"""A live day by voice: what is said reaches the loudspeaker, what is heard reaches the day, and
whatever fails, the day goes on."""

import sys
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from faults.audio import SoundRoom, plugged
from sound_devices import FakeMicrophone
from sound_rooms import (
    FAILED,
    LiveDay,
    ToldHearing,
    heard_as,
    room_sounds,
)

from assistant.advice.plan import Plan
from assistant.day.commands import Command
from assistant.day.effects import Say as SayEffect
from assistant.day.events import (
    CommandGiven,
    DayBegan,
    EarTroubled,
    HeardUnsurely,
    NoteTaken,
    TimerRequested,
    Trouble,
)
from assistant.day.listening import Listening
from assistant.day.state import new_day
from assistant.hearing.contract import Hearing
from assistant.hearing.ear.files import read_wav
from assistant.hearing.engine import Sound
from assistant.hearing.engine_process import EngineProcess, Patience
from assistant.hearing.grammar.tree import Grammar, Say
from assistant.hearing.recogniser import Heard
from assistant.kept_audio import KeptAudio
from assistant.recognising import UTTERANCES_WAITING
from assistant.schedule import Schedule
from assistant.sound_devices import SoundDevices
from assistant.speaking.figures import said

FIFTEEN, FIFTY = (
    TimerRequested(at=0.0, seconds=minutes * 60.0, name="timer") for minutes in (15, 50)
)
MakeDay = Callable[..., LiveDay]


@pytest.fixture
def room(monkeypatch: pytest.MonkeyPatch) -> SoundRoom:
    return plugged(monkeypatch, FakeMicrophone())


@pytest.fixture
def make_day(amber: Schedule, amber_plan: Plan) -> Iterator[MakeDay]:
    days: list[LiveDay] = []

    def make(room: SoundRoom, hearing: Hearing | None = None) -> LiveDay:
        day = LiveDay(room, new_day(amber, amber_plan), hearing)
        days.append(day)
        return day

    yield make
    for day in days:
        if isinstance(day.hearing, ToldHearing):
            day.hearing.hold.set()
        day.live.close()
    left = {thread.name for thread in threading.enumerate()}
    assert not left & {"attending", "recognising", "announcer", "ear"}


@pytest.fixture
def day(room: SoundRoom, make_day: MakeDay) -> LiveDay:
    """A day begun, with its first words spoken."""
    day = make_day(room, ToldHearing())
    day.happen(DayBegan(at=0.0))
    day.until_quiet()
    return day


def spoken_in_a_room(words: str) -> Sound:
    """Words with a quiet room before and after them."""
    parts = (room_sounds.room(2.0), room_sounds.spoken(words), room_sounds.room(1.5, seed=2))
    return np.concatenate(parts).astype(np.int16)


def close_window(day: LiveDay) -> None:
    """Long after any question."""
    day.until(lambda: not day.live._window._asking)
    day.live._window._open_until_s = float("-inf")


def troubles(day: LiveDay) -> list[Trouble]:
    return [event.trouble for event in day.events if isinstance(event, EarTroubled)]


def test_what_the_day_says_is_spoken(day: LiveDay) -> None:
    assert day.said
    assert len(day.voice.asked) >= len(set(day.said))


@pytest.mark.parametrize("command", [Command.DONE, Command.SKIP, Command.HELP])
def test_what_will_be_said_next_is_rendered_before_it_is_wanted(
    day: LiveDay, command: Command
) -> None:
    effects = day.happen(CommandGiven(at=0.0, command=command))
    answers = [said(effect.text) for effect in effects if isinstance(effect, SayEffect)]
    assert answers
    before = day.voice.asked[:]
    day.until_quiet()
    assert not set(answers) - {*day.voice.warmed, *before}


def test_words_after_the_wake_word_make_the_day_go_on(day: LiveDay) -> None:
    close_window(day)
    day.say("kettle note the tap drips")
    day.until(lambda: bool(day.events))
    assert [type(event) for event in day.events] == [NoteTaken]
    assert day.words == ["kettle note the tap drips"]


def test_the_same_words_without_it_are_nobodys_business(day: LiveDay) -> None:
    close_window(day)
    day.say("note the tap drips")
    day.say("kettle where are we")
    day.until(lambda: bool(day.events))
    assert [type(event) for event in day.events] == [CommandGiven]
    assert day.words == ["kettle where are we"]


def test_after_the_wake_word_alone_the_next_words_need_none(day: LiveDay) -> None:
    close_window(day)
    day.say("kettle")
    day.until(lambda: "kettle" in day.words)
    day.say("where are we")
    day.until(lambda: bool(day.events))
    assert isinstance(day.events[0], CommandGiven)


def test_the_answer_to_a_question_needs_no_wake_word(day: LiveDay) -> None:
    close_window(day)
    day.happen(HeardUnsurely(at=0.0, meanings=(FIFTEEN, FIFTY)))
    assert day.said[-1].endswith("Say one five, or five oh.")
    day.until(lambda: not day.live._window._asking)
    day.say("the second")
    day.until(lambda: bool(day.events))
    assert [timer.due_s for timer in day.state.timers if timer.name == "timer"] == [50 * 60.0]


def test_other_talk_after_a_question_is_asked_back_once(day: LiveDay) -> None:
    close_window(day)
    day.happen(HeardUnsurely(at=0.0, meanings=(FIFTEEN, FIFTY)))
    day.until(lambda: not day.live._window._asking)
    for talk in ("did you see the rain", "it came down", "all the morning", "kettle where are we"):
        day.say(talk)
    day.until(lambda: any(isinstance(event, CommandGiven) for event in day.events))
    assert troubles(day) == [Trouble.NOT_CAUGHT]
    assert "Sorry, say that again?" in day.said


def test_mumbling_after_the_wake_word_is_told_to_the_core(day: LiveDay) -> None:
    close_window(day)
    day.say("kettle mumble")
    day.until(lambda: bool(day.events))
    assert troubles(day) == [Trouble.NOT_CAUGHT]


def test_words_are_judged_by_what_could_be_said_when_they_began(day: LiveDay) -> None:
    before = day.live._contexts.now
    close_window(day)
    assert day.hearing is not None
    day.hearing.hold.clear()
    day.say("kettle done")
    day.until(lambda: day.hearing.asked == 1)
    day.happen(TimerRequested(at=0.0, seconds=300.0, name="tea"))
    assert day.live._contexts.now != before
    day.hearing.hold.set()
    day.until(lambda: bool(day.events))
    assert day.hearing.contexts == [before]


def test_the_ear_is_shut_while_the_day_speaks(day: LiveDay) -> None:
    day.happen(CommandGiven(at=0.0, command=Command.WHERE))
    day.until(lambda: day.live.status.muted)
    day.until_quiet()


def test_stop_silences_what_is_being_said(day: LiveDay) -> None:
    day.happen(CommandGiven(at=0.0, command=Command.HELP))
    day.until(lambda: day.live._announcer.busy)
    day.say("kettle stop")
    day.until(lambda: any(isinstance(event, CommandGiven) for event in day.events))
    day.until_quiet()


def test_an_alarm_is_stopped_by_voice_in_its_gaps(day: LiveDay) -> None:
    close_window(day)
    day.happen(TimerRequested(at=0.0, seconds=60.0, name="tea"))
    day.until_quiet()
    day.pass_time(61.0)
    [timer] = [timer for timer in day.state.timers if timer.name == "tea"]
    assert timer.repeat_at_s is not None
    day.until(lambda: day.live.status.muted)
    day.until(lambda: not day.live.status.muted)
    day.say("kettle stop")
    day.until(lambda: bool(day.events))
    [timer] = [timer for timer in day.state.timers if timer.name == "tea"]
    assert timer.repeat_at_s is None
    day.until_quiet()


def test_slower_is_spoken_slower(day: LiveDay) -> None:
    usual = day.voice.settings.rate_wpm
    day.happen(CommandGiven(at=0.0, command=Command.SLOWER))
    day.until(lambda: day.voice.settings.rate_wpm < usual)


def test_another_voice_is_one_of_those_there_are(day: LiveDay) -> None:
    day.happen(CommandGiven(at=0.0, command=Command.OTHER_VOICE))
    day.until(lambda: day.voice.settings.voice == "v1")


def test_an_engine_that_fails_is_told_and_the_next_words_are_heard(day: LiveDay) -> None:
    close_window(day)
    day.say(FAILED)
    day.until(lambda: bool(day.lines))
    assert day.lines == [str(FAILED)]
    assert troubles(day) == [Trouble.NOT_CAUGHT]
    day.say("kettle where are we")
    day.until(lambda: isinstance(day.events[-1], CommandGiven))


def test_a_recogniser_that_breaks_in_a_way_nobody_foresaw_is_one_line_too(day: LiveDay) -> None:
    day.say(ZeroDivisionError("frames"))
    day.until(lambda: bool(day.lines))
    assert "The recogniser failed" in day.lines[0]
    day.say("kettle where are we")
    day.until(lambda: any(isinstance(event, CommandGiven) for event in day.events))


def test_while_the_recogniser_hangs_the_day_speaks_and_the_oldest_words_are_dropped(
    day: LiveDay,
) -> None:
    close_window(day)
    assert day.hearing is not None
    day.hearing.hold.clear()
    day.say("kettle note number 0")
    day.until(lambda: day.hearing.asked == 1)
    for number in range(1, 10):
        day.say(f"kettle note number {number}")
    day.happen(CommandGiven(at=0.0, command=Command.WHERE))
    day.until(lambda: day.live.status.muted)
    day.until_quiet()
    day.until(lambda: day.live._ear._said.empty())
    day.hearing.hold.set()
    # The one in hand, and those that may wait.
    day.until(lambda: len(day.events) == UTTERANCES_WAITING + 1)
    day.until_quiet()
    assert len(day.events) == UTTERANCES_WAITING + 1


class Asking:
    """Has a true process look at each sound, and hears what stands in the list."""

    def __init__(self, engine: EngineProcess) -> None:
        self.engine = engine

    def recognise(
        self, sound: Sound, context: Listening, at: float = 0.0, *, suspect: bool = False
    ) -> Heard:
        self.engine.hear(sound, Grammar(Say(("kettle",))))
        return heard_as("kettle done", CommandGiven(at=at, command=Command.WHERE), woken=True)


@pytest.mark.parametrize("how", ["hangs", "aborts"])
def test_an_engine_whose_process_hangs_or_dies_is_told_and_works_again(
    how: str, room: SoundRoom, make_day: MakeDay, tmp_path: Path
) -> None:
    engine = EngineProcess(
        "misbehaving_engines:Failing",
        patience=Patience(answer_s=0.5, answer_per_s=0.0, failures=9),
        how=how,
        counts_in=tmp_path / "counted",
        times=2,
    )
    day = make_day(room, Asking(engine))
    day.happen(DayBegan(at=0.0))
    day.hear()
    day.until(lambda: bool(day.lines))
    assert "twice. Say it again, or type it." in day.lines[0]
    day.hear()
    day.until(lambda: any(isinstance(event, CommandGiven) for event in day.events))
    engine.close()


def test_a_recogniser_that_is_gone_is_told_once_in_words_and_told_when_it_is_back(
    day: LiveDay,
) -> None:
    close_window(day)
    day.hearing.gone = True
    day.say("kettle where are we")
    day.until(lambda: bool(troubles(day)))
    day.say("kettle help")
    day.until(lambda: len(day.lines) == 2)
    assert troubles(day) == [Trouble.RECOGNISER_GONE]
    assert "I can't make out words" in day.said[-1]
    assert day.lines == [str(FAILED)] * 2
    assert day.live.status.deaf
    day.hearing.gone = False
    day.until(lambda: Trouble.RECOGNISER_BACK in troubles(day))
    assert day.said[-1] == "The recogniser is back."
    assert not day.live.status.deaf


@pytest.mark.parametrize("how", ["hangs", "aborts"])
def test_an_engine_that_keeps_failing_is_gone_and_comes_back_by_itself(
    how: str, room: SoundRoom, make_day: MakeDay, tmp_path: Path
) -> None:
    engine = EngineProcess(
        "misbehaving_engines:Failing",
        patience=Patience(answer_s=0.5, answer_per_s=0.0, failures=3, rests_s=(0.2,)),
        how=how,
        counts_in=tmp_path / "counted",
        times=5,
    )
    day = make_day(room, Asking(engine))
    day.happen(DayBegan(at=0.0))
    day.hear()
    day.until(lambda: Trouble.RECOGNISER_BACK in troubles(day))
    assert troubles(day) == [Trouble.RECOGNISER_GONE, Trouble.RECOGNISER_BACK]
    day.hear()
    day.until(lambda: isinstance(day.events[-1], CommandGiven))
    engine.close()


@pytest.mark.parametrize("suspect", [False, True])
def test_the_recogniser_is_told_of_a_sound_that_has_lost_some_of_it(
    day: LiveDay, suspect: bool
) -> None:
    day.hearing.says.append("kettle where are we")
    day.hear(suspect=suspect)
    day.until(lambda: bool(day.hearing.suspected))
    assert day.hearing.suspected == [suspect]


def test_a_microphone_pulled_out_is_told_and_one_plugged_in_again_is_heard(
    day: LiveDay, room: SoundRoom
) -> None:
    [microphone] = room.inputs.microphones
    day.until(lambda: day.live._listened)
    microphone.plugged = False
    day.until(lambda: Trouble.MICROPHONE_GONE in troubles(day))
    assert any("The microphone is gone" in text for text in day.said)
    assert day.live.status.deaf
    microphone.plugged = True
    day.until(lambda: Trouble.MICROPHONE_BACK in troubles(day))
    assert not day.live.status.deaf


def test_looking_for_a_microphone_does_not_take_the_loudspeaker_away(
    day: LiveDay, room: SoundRoom
) -> None:
    [microphone] = room.inputs.microphones
    day.until(lambda: day.live._listened)
    microphone.plugged = False
    before = room.refreshed
    day.until(lambda: room.refreshed > before)
    day.happen(CommandGiven(at=0.0, command=Command.WHERE))
    day.until(lambda: day.live.status.muted)
    day.until_quiet()
    assert Trouble.VOICE_GONE not in troubles(day)


def test_a_sentence_is_not_interrupted_by_a_search_for_a_microphone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    room = plugged(monkeypatch)
    devices = SoundDevices(on_trouble=lambda trouble: None)
    devices.output.open()
    devices.is_quiet = lambda: False
    devices._refresh_for_microphone()
    assert (room.refreshed, len(room.streams)) == (0, 1)
    devices.is_quiet = lambda: True
    devices._refresh_for_microphone()
    devices.output.check()
    assert (room.refreshed, len(room.streams)) == (1, 2)
    assert [stream.active for stream in room.streams] == [False, True]
    devices.output.close()


def test_a_loudspeaker_pulled_out_is_told_and_sound_comes_back_with_it(
    day: LiveDay, room: SoundRoom
) -> None:
    room.pull_out()
    day.happen(CommandGiven(at=0.0, command=Command.WHERE))
    day.until(lambda: Trouble.VOICE_GONE in troubles(day))
    room.plug_in()
    day.until(lambda: Trouble.VOICE_BACK in troubles(day))
    day.happen(CommandGiven(at=0.0, command=Command.HELP))
    day.until(lambda: day.live.status.muted)
    day.until_quiet()


def test_looking_for_a_loudspeaker_does_not_lose_the_microphone(
    day: LiveDay, room: SoundRoom
) -> None:
    day.until(lambda: day.live._listened)
    room.pull_out()
    before = room.refreshed
    day.until(lambda: room.refreshed > before)
    room.plug_in()
    day.until(lambda: Trouble.VOICE_BACK in troubles(day))
    day.until(lambda: not day.live.status.deaf)
    assert Trouble.MICROPHONE_GONE not in troubles(day)


def test_with_no_device_at_all_there_is_a_line_for_each_and_the_day_goes_on(
    monkeypatch: pytest.MonkeyPatch, make_day: MakeDay
) -> None:
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    day = make_day(SoundRoom(), ToldHearing())
    day.happen(DayBegan(at=0.0))
    day.until(lambda: len(day.lines) == 2)
    assert all("sounddevice" in line for line in day.lines)
    assert not day.events
    day.happen(CommandGiven(at=0.0, command=Command.WHERE))
    assert day.said


def test_without_a_recogniser_the_day_speaks_and_the_microphone_stays_closed(
    room: SoundRoom, make_day: MakeDay
) -> None:
    day = make_day(room)
    day.happen(DayBegan(at=0.0))
    day.until(lambda: day.live.status.muted)
    day.until_quiet()
    assert not room.inputs.streams
    assert day.live.status.deaf


def test_what_is_said_is_kept_only_where_that_is_asked(day: LiveDay, tmp_path: Path) -> None:
    day.live._keep = KeptAudio(tmp_path / "kept")
    day.say("kettle note the tap drips")
    day.until(lambda: bool(day.events))
    [kept] = (tmp_path / "kept").iterdir()
    assert kept.name.endswith("act-kettle-note-the-tap-drips.wav")
    assert read_wav(kept).length_s == 1.0


def test_a_full_disk_ends_the_keeping_and_not_the_hearing(day: LiveDay, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    day.live._keep = KeptAudio(tmp_path / "file")
    day.say("kettle where are we")
    day.say("kettle help")
    day.until(lambda: len(day.events) == 2)
    assert len(day.lines) == 1
    assert "can't be kept" in day.lines[0]


@room_sounds.NEEDS_ESPEAK
def test_what_is_spoken_in_the_room_comes_to_the_day_as_one_utterance(
    day: LiveDay, room: SoundRoom
) -> None:
    pytest.importorskip("pocketsphinx")
    close_window(day)
    day.hearing.says.append("kettle where are we")
    room.sounding = spoken_in_a_room("kettle where are we")
    day.until(lambda: bool(day.events))
    assert isinstance(day.events[0], CommandGiven)
    assert day.hearing.asked == 1


@room_sounds.NEEDS_ESPEAK
def test_what_sounds_while_the_day_speaks_is_not_heard(day: LiveDay, room: SoundRoom) -> None:
    pytest.importorskip("pocketsphinx")
    close_window(day)
    day.live._mute(True)
    room.sounding = spoken_in_a_room("kettle where are we")
    day.until(lambda: not room.sounding.size)
    day.live._mute(False)
    day.hearing.says.append("kettle help")
    room.sounding = spoken_in_a_room("kettle help")
    day.until(lambda: bool(day.events))
    assert day.hearing.asked == 1
