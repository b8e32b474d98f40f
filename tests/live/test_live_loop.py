"""The loop's side of a live voice: what was heard happens like what was typed."""

import io
import os
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from rich.console import Console

from assistant.day.commands import Command
from assistant.day.effects import Effect, Refused, Say
from assistant.day.events import (
    CommandGiven,
    Event,
    HeardUnsurely,
    NoteTaken,
    TimePassed,
    TimerRequested,
)
from assistant.day.listening import listening
from assistant.day.state import State
from assistant.day_clock import DayClock
from assistant.ear_words import ear_words, meter
from assistant.happening import LINE_STANDS_S, Happening
from assistant.native_noise import native_noise_dropped
from assistant.record.journal import Journal
from assistant.schedule import Schedule
from assistant.screen import draw
from assistant.session import Session
from assistant.talk import Talk
from assistant.voice_news import EarStatus, News

NOW_S = 100.0


class Following:
    """A voice that notes what it is to speak."""

    status = None

    def __init__(self) -> None:
        self.followed: list[tuple[Event | None, tuple[Effect, ...], bool]] = []
        self.started: list[Talk] = []

    def start(self, talk: Talk) -> None:
        self.started.append(talk)

    def follow(
        self, event: Event | None, effects: tuple[Effect, ...], talk: Talk, *, heard: bool
    ) -> None:
        self.followed.append((event, effects, heard))

    def news(self) -> list[News]:
        return []

    def finish(self, timeout_s: float) -> bool:
        return True


@pytest.fixture
def voice() -> Following:
    return Following()


@pytest.fixture
def day(amber: Schedule, tmp_path: Path, voice: Following) -> Iterator[Happening]:
    with Journal.open(tmp_path) as journal:
        session, effects = Session.begin(journal, amber, "amber.yaml", at=0.0, wall_s=0.0)
        session.happen(TimePassed(at=NOW_S), NOW_S)
        day = Happening(session, DayClock(NOW_S, 1.0), voice)
        day.begin(effects)
        yield day


def test_what_the_day_begins_with_is_spoken(day: Happening, voice: Following) -> None:
    assert [talk.context for talk in voice.started] == [listening(day.session.state)]
    [(_, effects, heard)] = voice.followed
    assert any(isinstance(effect, Say) for effect in effects)
    assert not heard


def test_words_heard_a_moment_ago_still_happen(day: Happening, voice: Following) -> None:
    note = NoteTaken(at=NOW_S - 2.0, text="the tap drips")
    effects = day.told(News(event=note, words="kettle note the tap drips"))
    assert not any(isinstance(effect, Refused) for effect in effects)
    assert [taken.text for taken in day.session.state.notes] == ["the tap drips"]
    assert day.heard == ["kettle note the tap drips"]
    assert voice.followed[-1][2]


def test_words_heard_go_on_record(day: Happening) -> None:
    day.told(News(event=NoteTaken(at=NOW_S, text="the tap drips"), words="note the tap drips"))
    kept = day.session.keeper.journal.events(day.session.day_id)
    assert any(isinstance(event, NoteTaken) for event in kept)


def test_what_is_typed_is_answered_aloud_too(day: Happening, voice: Following) -> None:
    day.typed("where are we")
    event, effects, heard = voice.followed[-1]
    assert isinstance(event, CommandGiven)
    assert event.command is Command.WHERE
    assert any(isinstance(effect, Say) for effect in effects)
    assert not heard


def test_the_same_trouble_is_one_line(day: Happening) -> None:
    for _ in range(3):
        day.told(News(line="There is no microphone."))
    assert day.lines == ["There is no microphone."]


def test_the_last_two_troubles_are_shown_until_they_are_no_news(
    day: Happening, monkeypatch: pytest.MonkeyPatch
) -> None:
    for line in ("one", "two", "three"):
        day.told(News(line=line))
    assert day.troubles() == ("two", "three")
    later_s = time.monotonic() + LINE_STANDS_S
    monkeypatch.setattr("assistant.happening.time.monotonic", lambda: later_s)
    assert day.troubles() == ()


@pytest.mark.parametrize(
    ("status", "told"),
    [
        ({"deaf": True}, "keys only"),
        ({"muted": True}, "speaking, not listening"),
        ({"speaking": True}, "hearing you"),
        ({"awaiting": True}, "listening for your answer"),
        ({}, 'say "kettle" first'),
    ],
)
def test_the_screen_tells_what_the_ear_does(status: dict[str, bool], told: str) -> None:
    fields = dict.fromkeys(("deaf", "muted", "awaiting", "speaking"), False) | status
    words = ear_words(EarStatus(**fields, level_db=-30.0, floor_db=-60.0), ["a trouble"])
    assert words[0].endswith(told)
    assert words[1:] == ("a trouble",)


@pytest.mark.parametrize(
    ("level_db", "floor_db", "bar"),
    [
        (-70.0, -70.0, "|..........."),
        (-10.0, -60.0, "##|#########"),
        (-40.0, -60.0, "##|###......"),
        (-95.0, -95.0, "|..........."),
        (0.0, 0.0, "###########|"),
    ],
)
def test_the_meter_shows_the_level_and_the_floor(
    level_db: float, floor_db: float, bar: str
) -> None:
    assert meter(level_db, floor_db) == bar


def shown(state: State, ear: tuple[str, ...] = ()) -> str:
    console = Console(width=100, height=40, record=True, file=io.StringIO())
    picture = draw(state, typed="", heard=(), said=(), clock="14:32", width=100, height=40, ear=ear)
    console.print(picture)
    return console.export_text()


def test_a_doubt_stands_on_the_screen_until_it_is_answered(day: Happening) -> None:
    timers = tuple(
        TimerRequested(at=NOW_S, seconds=minutes * 60.0, name="timer") for minutes in (15, 50)
    )
    day.told(News(event=HeardUnsurely(at=NOW_S, meanings=timers), words="a timer for fifteen"))
    doubt = day.session.state.open_doubt()
    assert doubt is not None
    assert doubt.text in shown(day.session.state)
    day.typed("the first")
    assert doubt.text not in shown(day.session.state)


def test_the_ear_has_a_place_on_the_screen_where_there_is_a_voice(day: Happening) -> None:
    assert " ear " not in shown(day.session.state)
    picture = shown(day.session.state, ("keys only", "There is no microphone."))
    assert " ear        keys only" in picture
    assert "There is no microphone." in picture


def test_what_libraries_print_is_dropped_and_what_comes_after_is_not(
    capfd: pytest.CaptureFixture[str],
) -> None:
    with native_noise_dropped():
        os.write(2, b"cannot find card 0\n")
    os.write(2, b"an error\n")
    assert capfd.readouterr().err == "an error\n"
