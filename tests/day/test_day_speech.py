"""How the program speaks and hears: louder, slower, silent, and its troubles with both."""

from dataclasses import replace

import pytest
from days import Driven, at_stage, begun
from hypothesis import given
from hypothesis import strategies as st

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day import speech, unrest
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.ear_troubles import Ear
from assistant.day.effects import Hushed, Refused, Say, TimerNews, VoiceChanged, Why
from assistant.day.events import (
    CommandGiven,
    DayBegan,
    DayResumed,
    EarTroubled,
    HeardUnsurely,
    NumberSaid,
    ReadingTaken,
    TimerRequested,
    Trouble,
)
from assistant.day.manner import (
    CHANGES,
    FASTEST,
    LOUDEST,
    QUIETEST,
    SLOWEST,
    VOICES,
    VoiceManner,
)
from assistant.day.quantities import Quantity
from assistant.day.state import Fate, Phase, new_day
from assistant.day.timers import next_due_s
from assistant.schedule import Schedule
from assistant.speaking.voice_settings import RATES_WPM, USUAL_RATE, USUAL_VOLUME, VOLUMES


@pytest.mark.parametrize(
    ("command", "manner", "words"),
    [
        (Command.SLOWER, VoiceManner(rate_step=-1), "Slower."),
        (Command.FASTER, VoiceManner(rate_step=1), "Faster."),
        (Command.QUIETER, VoiceManner(volume_step=-1), "Quieter."),
        (Command.OTHER_VOICE, VoiceManner(voice_index=1), "Another voice."),
    ],
    ids=lambda value: value.value if isinstance(value, Command) else "",
)
def test_the_answer_is_spoken_in_the_new_manner(
    amber: Schedule, command: Command, manner: VoiceManner, words: str
) -> None:
    day = begun(amber).command(command)
    assert day.effects == (VoiceChanged(manner=manner), Say(text=words, why=Why.READBACK))
    assert day.state.manner == manner


@pytest.mark.parametrize(
    ("command", "steps", "words"),
    [
        (Command.SLOWER, -SLOWEST, "I can't speak any slower."),
        (Command.FASTER, FASTEST, "I can't speak any faster."),
        (Command.LOUDER, LOUDEST, "I can't speak any louder. Turn up the loudspeaker."),
        (Command.QUIETER, -QUIETEST, "I can't speak any quieter."),
    ],
    ids=lambda value: value.value if isinstance(value, Command) else "",
)
def test_each_has_an_end(amber: Schedule, command: Command, steps: int, words: str) -> None:
    day = begun(amber)
    for _ in range(steps):
        assert day.command(command).of(VoiceChanged)
    before = day.state
    day.command(command)
    assert day.of(Refused)[0].text == words
    assert day.state == before


def test_louder_takes_back_quieter_step_by_step(amber: Schedule) -> None:
    day = begun(amber).command(Command.QUIETER).command(Command.QUIETER).command(Command.LOUDER)
    assert day.said() == "Louder."
    assert day.state.manner == VoiceManner(volume_step=-1)


def test_every_step_there_is_can_be_heard() -> None:
    assert (-USUAL_RATE, len(RATES_WPM) - 1 - USUAL_RATE) == (SLOWEST, FASTEST)
    assert (-USUAL_VOLUME, len(VOLUMES) - 1 - USUAL_VOLUME) == (QUIETEST, LOUDEST)


def test_the_voices_go_round(amber: Schedule) -> None:
    day = begun(amber)
    indices = [day.command(Command.OTHER_VOICE).state.manner.voice_index for _ in range(VOICES)]
    assert indices == [*range(1, VOICES), 0]
    assert all(VOICES % count == 0 for count in range(1, 7))


def test_a_change_of_voice_is_taken_back_like_anything_else(amber: Schedule) -> None:
    day = begun(amber).command(Command.SLOWER).command(Command.QUIETER).command(Command.UNDO)
    assert day.said() == "Taken back: quieter."
    assert day.of(VoiceChanged) == [VoiceChanged(manner=VoiceManner(rate_step=-1))]
    day.command(Command.UNDO)
    assert day.of(VoiceChanged) == [VoiceChanged(manner=VoiceManner())]


def test_taking_back_a_reading_leaves_the_voice_as_it_is(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).command(Command.SLOWER)
    day.read(Quantity.MASH_TEMPERATURE, 63, "degC").command(Command.UNDO)
    assert day.of(VoiceChanged) == []
    assert day.state.manner == VoiceManner(rate_step=-1)


def test_a_day_resumed_speaks_as_it_did(amber: Schedule) -> None:
    day = begun(amber).command(Command.SLOWER).wait(600).happen(DayResumed(at=600))
    assert day.of(VoiceChanged) == [VoiceChanged(manner=VoiceManner(rate_step=-1))]


def test_a_day_resumed_in_the_usual_manner_says_nothing_of_it(amber: Schedule) -> None:
    assert begun(amber).wait(60).happen(DayResumed(at=60)).of(VoiceChanged) == []


@pytest.mark.parametrize("command", [*CHANGES, Command.STOP], ids=lambda command: command.value)
def test_the_voice_can_be_changed_when_the_day_is_over(amber: Schedule, command: Command) -> None:
    day = at_stage(amber, Stage.FINISHED).command(Command.QUIETER)
    assert not day.command(command).of(Refused)


def test_stop_says_not_a_word(amber: Schedule) -> None:
    day = begun(amber)
    before = day.state
    assert day.command(Command.STOP).effects == (Hushed(),)
    assert day.state == before
    assert day.state.history == before.history


def test_stop_ends_the_repeats_and_leaves_the_hops_due(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL)
    day.until(lambda state: state.additions[0].fate is Fate.DUE).wait(10)
    day.command(Command.STOP)
    assert day.effects == (Hushed(),)
    day.wait(120)
    assert "Northern Brewer" not in day.said()
    timer = day.state.timer("Northern Brewer")
    assert timer is not None
    assert timer.phase is Phase.DUE
    assert day.command(Command.ADDED).said() == "Northern Brewer in, 2 minutes late."


def test_stop_leaves_what_is_still_to_come_to_be_announced(amber: Schedule) -> None:
    day = begun(amber)
    for seconds, name in ((60, "yeast"), (300, "oven")):
        day.happen(TimerRequested(at=0, seconds=seconds, name=name))
    day.wait(60).command(Command.STOP).wait(100)
    assert next_due_s(day.state) == 300
    day.wait(140)
    assert day.said() == "Oven: time is up."


def test_stop_is_no_step_of_its_own_to_take_back(amber: Schedule) -> None:
    day = begun(amber).happen(TimerRequested(at=0, seconds=60, name="yeast"))
    day.wait(60).command(Command.QUIETER).command(Command.STOP).command(Command.UNDO)
    assert day.said() == "Taken back: quieter."
    timer = day.state.timer("yeast")
    assert timer is not None
    assert timer.repeat_at_s is None


def test_what_was_stopped_is_told_as_late_to_who_resumes(amber: Schedule) -> None:
    day = begun(amber).happen(TimerRequested(at=0, seconds=60, name="yeast"))
    day.wait(60).command(Command.STOP).happen(DayResumed(at=100))
    assert [effect.state for effect in day.effects if hasattr(effect, "due")] == [TimerNews.LATE]


TROUBLES = [
    (Trouble.TOO_LOUD, "It is too loud to trust my ears. Use short phrases, or the keyboard."),
    (Trouble.QUIET_AGAIN, "I can hear you again."),
    (Trouble.MICROPHONE_GONE, "The microphone is gone: I can't hear you. Use the keyboard."),
    (Trouble.MICROPHONE_BACK, "The microphone is back."),
    (Trouble.VOICE_GONE, "My voice is gone: watch the screen."),
    (Trouble.VOICE_BACK, "My voice is back."),
    (
        Trouble.RECOGNISER_GONE,
        "The recogniser has failed: I can't make out words. Use the keyboard.",
    ),
    (Trouble.RECOGNISER_BACK, "The recogniser is back."),
]


@pytest.mark.parametrize(
    ("begins", "over"), list(zip(TROUBLES[::2], TROUBLES[1::2], strict=True)), ids=str
)
def test_a_trouble_is_told_once_when_it_begins_and_once_when_it_is_over(
    amber: Schedule, begins: tuple[Trouble, str], over: tuple[Trouble, str]
) -> None:
    day = begun(amber)
    assert day.trouble(over[0]).effects == ()
    assert day.trouble(begins[0]).said() == begins[1]
    assert day.trouble(begins[0]).effects == ()
    assert day.wait(60).trouble(over[0]).said() == over[1]
    assert day.trouble(over[0]).effects == ()
    assert day.trouble(begins[0]).said() == begins[1]


PAIRS = list(zip(TROUBLES[::2], TROUBLES[1::2], strict=True))
LOOSE = [
    (Trouble.MICROPHONE_GONE, Trouble.MICROPHONE_BACK),
    (Trouble.TOO_LOUD, Trouble.QUIET_AGAIN),
    (Trouble.VOICE_GONE, Trouble.VOICE_BACK),
    (Trouble.RECOGNISER_GONE, Trouble.RECOGNISER_BACK),
]


def flapping(day: Driven, pair: tuple[Trouble, Trouble], times: int, every_s: float) -> list[str]:
    """What is said while a trouble begins and is over so many times."""
    said = []
    for _ in range(times):
        for trouble in pair:
            said.append(day.wait(every_s).trouble(trouble).said())
    return [words for words in said if words]


@pytest.mark.parametrize(("begins", "over"), PAIRS, ids=str)
def test_a_trouble_that_comes_and_goes_is_told_as_that_once(
    amber: Schedule, begins: tuple[Trouble, str], over: tuple[Trouble, str]
) -> None:
    said = flapping(begun(amber), (begins[0], over[0]), times=500, every_s=2.0)
    assert said[:4] == [begins[1], over[1]] * 2
    assert len(said) == 5
    assert "go" in said[4]


@pytest.mark.parametrize("pair", LOOSE, ids=str)
def test_what_is_shown_of_a_trouble_that_comes_and_goes_stays_true(
    amber: Schedule, pair: tuple[Trouble, Trouble]
) -> None:
    day = begun(amber)
    flapping(day, pair, times=10, every_s=2.0)
    field = speech.TROUBLES[pair[0]].field
    assert not getattr(day.state.ear, field)
    assert getattr(day.trouble(pair[0]).state.ear, field)
    assert not getattr(day.trouble(pair[1]).state.ear, field)


@pytest.mark.parametrize(("rested_s", "words"), [(290.0, 0), (300.0, 1)])
def test_a_trouble_that_rested_is_told_again(amber: Schedule, rested_s: float, words: int) -> None:
    day = begun(amber)
    flapping(day, LOOSE[0], times=10, every_s=2.0)
    said = day.wait(rested_s).trouble(Trouble.MICROPHONE_GONE).said()
    assert said == (TROUBLES[2][1] if words else "")
    assert len(flapping(day, LOOSE[0][::-1], times=10, every_s=2.0)) == (4 if words else 0)


def test_a_trouble_that_comes_now_and_then_is_told_each_time(amber: Schedule) -> None:
    assert len(flapping(begun(amber), LOOSE[0], times=20, every_s=100.0)) == 40


def test_one_trouble_that_comes_and_goes_hides_no_other(amber: Schedule) -> None:
    day = begun(amber)
    flapping(day, LOOSE[0], times=10, every_s=2.0)
    assert day.trouble(Trouble.RECOGNISER_GONE).said() == TROUBLES[6][1]
    assert {unrest.field for unrest in day.state.ear.unrest} == {"no_microphone", "no_recogniser"}


@given(
    st.lists(
        st.tuples(
            st.floats(min_value=0, max_value=400),
            st.sampled_from([trouble for trouble, _ in TROUBLES]),
        ),
        max_size=40,
    )
)
def test_however_troubles_come_and_go_little_is_said_and_what_is_kept_is_little(
    amber: Schedule, changes: list[tuple[float, Trouble]]
) -> None:
    day = begun(amber)
    said_at: dict[str, list[float]] = {}
    for wait_s, trouble in changes:
        effects = day.wait(wait_s).trouble(trouble).effects
        spec = speech.TROUBLES[trouble]
        assert getattr(day.state.ear, spec.field) is spec.begins
        said_at.setdefault(spec.field, []).extend(
            day.state.now_s for effect in effects if isinstance(effect, Say)
        )
    for times in said_at.values():
        for at_s in times:
            within = [other for other in times if at_s <= other < at_s + unrest.RESTS_S]
            assert len(within) <= unrest.CHANGES_TOLD + 1
    assert all(len(each.at_s) <= unrest.CHANGES_TOLD + 1 for each in day.state.ear.unrest)
    assert len(day.state.ear.unrest) <= len(speech.COMES_AND_GOES)


def test_each_trouble_has_its_words_for_coming_and_going() -> None:
    assert {spec.field for spec in speech.TROUBLES.values()} == set(speech.COMES_AND_GOES)


def test_a_trouble_changes_nothing_of_the_day(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).read(Quantity.MASH_TEMPERATURE, 63, "degC")
    last, before = day.state.spoken, day.state
    for trouble, _ in TROUBLES:
        day.trouble(trouble)
    assert replace(day.state.ear, unrest=()) == before.ear
    assert replace(day.state, ear=before.ear) == before
    assert day.state.history == before.history
    assert day.command(Command.REPEAT).said() == last
    assert day.command(Command.UNDO).said() == "Taken back: mash temperature 63."


def test_what_was_told_of_a_trouble_stays_told_when_something_is_taken_back(
    amber: Schedule,
) -> None:
    day = at_stage(amber, Stage.MASH).read(Quantity.MASH_TEMPERATURE, 63, "degC")
    day.trouble(Trouble.TOO_LOUD).command(Command.UNDO)
    assert day.trouble(Trouble.TOO_LOUD).effects == ()


def test_who_resumes_is_told_anew(amber: Schedule) -> None:
    day = begun(amber).trouble(Trouble.MICROPHONE_GONE).happen(DayResumed(at=0))
    assert day.state.ear == Ear()
    assert day.trouble(Trouble.MICROPHONE_GONE).said() == TROUBLES[2][1]


def test_what_is_not_caught_is_asked_for_twice_and_then_no_more(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).wait(60)
    said = [day.wait(5).trouble(Trouble.NOT_CAUGHT).said() for _ in range(5)]
    assert said == [
        "Sorry, say that again?",
        "Sorry, say that again?",
        "Type it, or say it later.",
        "",
        "",
    ]


@pytest.mark.parametrize("caught", ["a number", "a command", "words that could be two things"])
def test_once_something_is_caught_it_counts_anew(amber: Schedule, caught: str) -> None:
    day = at_stage(amber, Stage.LIFT).wait(60)
    day.command(Command.BAG_OUT).wait(60)
    assert day.state.asks
    for _ in range(3):
        day.trouble(Trouble.NOT_CAUGHT)
    match caught:
        case "a number":
            day.number(1.044)
        case "a command":
            day.command(Command.HOW_LONG)
        case _:
            day.unsure(NumberSaid(at=0, value=1.04), NumberSaid(at=0, value=1.044))
    assert day.trouble(Trouble.NOT_CAUGHT).said() == "Sorry, say that again?"


def test_a_sensor_is_not_the_brewer(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).wait(60)
    for _ in range(3):
        day.trouble(Trouble.NOT_CAUGHT)
    day.read(Quantity.KETTLE_TEMPERATURE, 64, "degC")
    assert day.trouble(Trouble.NOT_CAUGHT).effects == ()


def test_what_is_not_caught_is_let_pass_where_nothing_was_asked(amber: Schedule) -> None:
    day = at_stage(amber, Stage.STRIKE)
    day.state = replace(day.state, asks=(), advice=None)
    assert day.trouble(Trouble.NOT_CAUGHT).effects == ()
    assert day.state.ear == Ear()


def test_not_caught_leaves_the_doubt_open(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).wait(60)
    reading = ReadingTaken(at=0, quantity=Quantity.MASH_TEMPERATURE, value=63, unit="degC")
    day.unsure(reading).trouble(Trouble.NOT_CAUGHT).command(Command.YES)
    assert [taken.value for taken in day.state.readings] == [63]


def test_a_day_of_doubts_and_troubles_is_the_fold_of_its_events(amber: Schedule) -> None:
    reading = ReadingTaken(at=0, quantity=Quantity.ROOM_TEMPERATURE, value=18, unit="degC")
    events = [
        DayBegan(at=0),
        CommandGiven(at=1, command=Command.SLOWER),
        EarTroubled(at=2, trouble=Trouble.TOO_LOUD),
        HeardUnsurely(at=3, meanings=(reading,)),
        CommandGiven(at=4, command=Command.YES),
        CommandGiven(at=5, command=Command.STOP),
        EarTroubled(at=6, trouble=Trouble.QUIET_AGAIN),
    ]
    states = []
    for _ in range(2):
        state = new_day(amber, make_plan(amber))
        for event in events:
            state, _ = advance(state, event)
        states.append(state)
    assert states[0] == states[1]
    assert [taken.value for taken in states[0].readings] == [18]
    assert states[0].manner == VoiceManner(rate_step=-1)


def test_help_stays_short(amber: Schedule) -> None:
    for stage in Stage:
        said = at_stage(amber, stage).command(Command.HELP).said()
        assert not {"louder", "stop", "the first"} & set(said.replace(".", "").split(", "))
