"""Timers of the brewer's own, however they are asked for."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from listening_contexts import BOIL

from assistant.day.events import TimerRequested
from assistant.hearing.numbers import spell
from assistant.hearing.spoken import spoken
from assistant.hearing.timers import FORM_WORDS, TIMER_FORMS, parse_duration
from assistant.hearing.words import NotUnderstood, understand


@pytest.mark.parametrize(
    ("said", "seconds"),
    [
        ("ninety seconds", 90),
        ("90 seconds", 90),
        ("10min", 600),
        ("10-minute", 600),
        ("ten minute", 600),
        ("ten minutes", 600),
        ("a minute", 60),
        ("an hour", 3600),
        ("hour", 3600),
        ("half an hour", 1800),
        ("a half hour", 1800),
        ("half a minute", 30),
        ("a quarter of an hour", 900),
        ("three quarters of an hour", 2700),
        ("an hour and a half", 5400),
        ("an hour and three quarters", 6300),
        ("two hours and a half", 9000),
        ("two and a half minutes", 150),
        ("a minute and a half", 90),
        ("one hour ten minutes", 4200),
        ("one hour and ten minutes", 4200),
        ("one hour two minutes and three seconds", 3723),
        ("an hour and two and a half minutes", 3750),
        ("0.5 hours", 1800),
    ],
)
def test_how_long(said: str, seconds: float) -> None:
    assert parse_duration(spoken(said)) == seconds


@pytest.mark.parametrize(
    "said",
    [
        "",
        "ten",
        "minutes",
        "ten blorbs",
        "blorb minutes",
        "ten minutes blorb",
        "ten minutes one hour",
        "ten minutes five minutes",
        "one hour ten",
        "half an hour and a half",
        "two and a half minutes and a half",
        "one hour and minus ten minutes",
        "half hours",
        "and a half",
        "minute a",
    ],
)
def test_what_is_no_length_of_time(said: str) -> None:
    assert parse_duration(spoken(said)) is None


@given(st.integers(1, 23), st.integers(1, 59), st.integers(1, 59))
def test_hours_minutes_and_seconds_add_up(hours: int, minutes: int, seconds: int) -> None:
    words = (*spell(hours), "hours", *spell(minutes), "minutes", *spell(seconds), "seconds")
    assert parse_duration(words) == hours * 3600 + minutes * 60 + seconds


@pytest.mark.parametrize(
    ("said", "seconds", "name"),
    [
        ("ten minute timer", 600, "timer"),
        ("10 minute timer", 600, "timer"),
        ("a ten minute timer", 600, "timer"),
        ("an hour and a half timer", 5400, "timer"),
        ("set a timer for an hour and a half", 5400, "timer"),
        ("set an hour timer", 3600, "timer"),
        ("start a two and a half minute timer", 150, "timer"),
        ("give me a ten minute timer", 600, "timer"),
        ("Set a ten-minute timer for the yeast.", 600, "yeast"),
        ("ten minute timer for my starter", 600, "starter"),
        ("timer for 90 seconds", 90, "timer"),
        ("timer for ten minutes for the yeast", 600, "yeast"),
        ("set the yeast timer for ten minutes", 600, "yeast"),
        ("twenty minutes for the chiller", 1200, "chiller"),
        ("one hour timer called sparge", 3600, "sparge"),
        ("one hour timer named second sparge", 3600, "second sparge"),
        ("one second timer", 1, "timer"),
        ("twenty four hour timer", 86400, "timer"),
        ("kettle, ten minute timer", 600, "timer"),
    ],
)
def test_a_timer_is_asked_for(said: str, seconds: float, name: str) -> None:
    assert understand(said, BOIL, 3.0) == TimerRequested(at=3.0, seconds=seconds, name=name)


def _filled_in(form: str) -> list[str]:
    full, short = [], []
    for part in form.split(" "):
        key = part.strip("[]")
        slots = {"DURATION": "ten minute", "NAME": "yeast", "LINK": "called"}
        word = slots.get(key) or FORM_WORDS.get(key, (key,))[0]
        full.append(word)
        if not part.startswith("["):
            short.append(word)
    return [" ".join(full), " ".join(short)]


@pytest.mark.parametrize("form", TIMER_FORMS)
def test_every_form_in_the_table_asks_for_a_timer(form: str) -> None:
    name = "yeast" if "NAME" in form else "timer"
    for said in _filled_in(form):
        assert understand(said, BOIL, 0.0) == TimerRequested(at=0.0, seconds=600.0, name=name)


@pytest.mark.parametrize(
    "said", ["zero second timer", "half a second timer", "25 hour timer", "9999 hours for the beer"]
)
def test_a_timer_outside_a_second_to_a_day_is_told_the_range(said: str) -> None:
    with pytest.raises(NotUnderstood, match=r"A timer runs from 1 second to 24 hours\.$"):
        understand(said, BOIL, 0.0)


@pytest.mark.parametrize(
    "said",
    [
        "timer",
        "ten timer",
        "minus ten minute timer",
        "blorb minute timer",
        "ten minute timer for",
        "ten minute timer for the",
        "ten minute timer called %",
        f"ten minute timer for {'hop ' * 11}",
        "cancel timer for ten minutes",
        "cancel ten minute timer blorb",
        "not a ten minute timer",
    ],
)
def test_near_a_timer_the_form_is_told(said: str) -> None:
    with pytest.raises(NotUnderstood, match='Say a timer as "ten minute timer" or'):
        understand(said, BOIL, 0.0)


@pytest.mark.parametrize("said", ["ten minutes", "twenty minutes for", "minutes for the chiller"])
def test_time_alone_is_no_timer(said: str) -> None:
    with pytest.raises(NotUnderstood):
        understand(said, BOIL, 0.0)
