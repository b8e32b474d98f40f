"""What the board shows of a day at one moment, and when it has something new to show."""

import json
from dataclasses import replace

import pytest
from screen.screen_days import (
    BOILING,
    DAYS,
    FINISHED,
    GATHERING,
    HOPS_DUE,
    MANY_TIMERS,
    MASH_COLD,
    MASH_PAUSED,
    MASHING,
    TO_THE_BOIL,
    brewed,
    reading,
)

from assistant.board.chart import MOST_READINGS, MOST_TRACED, Trace, chart
from assistant.board.picture import Around, Moment, Picture, Words, picture
from assistant.day.events import DayBegan, Event, ReadingTaken, RecordTrouble, TimePassed
from assistant.day.listening import listening
from assistant.day.quantities import Quantity
from assistant.day.state import Ask, State
from assistant.hearing.words import understand
from assistant.schedule.model import Units

DOUBTFUL = (*MASHING, reading(300, Quantity.KETTLE_VOLUME, 2, "L"))


def pictured(events: tuple[Event, ...], units: Units = Units.METRIC) -> Picture:
    state, _ = brewed(events)
    return picture_of(replace(state, schedule=replace(state.schedule, units=units)))


def picture_of(state: State, **around: object) -> Picture:
    moment = Moment(at_s=state.now_s, wall_s=1_780_000_000.0, speed=1, offset_min=60)
    return picture(state, moment, Around(run="r", day=7, **around))  # type: ignore[arg-type]


@pytest.mark.parametrize("day", DAYS)
def test_every_moment_is_ready_for_a_browser(day: str) -> None:
    state, _ = brewed(DAYS[day])
    for shown in (picture_of(state), chart(state, Trace())):
        assert json.loads(json.dumps(shown, allow_nan=False)) == shown


@pytest.mark.parametrize(
    ("events", "headline"),
    [
        pytest.param(MASHING, {"due_at": 2500.0, "due": False, "left_s": None}, id="a rest"),
        pytest.param(MASH_PAUSED, {"due_at": None, "left_s": 1800.0}, id="a paused rest"),
        pytest.param(HOPS_DUE, {"due": True, "due_at": 1200.0}, id="hops are due"),
        pytest.param(GATHERING, {"about": True, "due_at": 900.0}, id="an estimate"),
        pytest.param(FINISHED, {"due_at": None, "left_s": None, "due": False}, id="the end"),
    ],
)
def test_the_countdown_is_told_by_its_end(
    events: tuple[Event, ...], headline: dict[str, object]
) -> None:
    assert headline.items() <= pictured(events)["headline"].items()


def test_nothing_changes_while_time_alone_passes() -> None:
    before, after = (pictured((*BOILING, TimePassed(at=at))) for at in (1000, 1010))
    assert {key for key in before if before[key] != after[key]} == {"at"}


def test_the_next_things_are_the_other_timers_and_then_the_stages_to_come() -> None:
    shown = pictured(MASHING)["next"]
    assert [each["what"] for each in shown] == [
        "Alpha rest at 70 degrees",
        "Mash-out at 77 degrees",
        "Lifting the bag",
    ]
    assert all(each["about"] for each in shown)
    many = pictured(MANY_TIMERS)["next"]
    assert [each["what"] for each in many] == ["Pot 0", "Pot 1", "Pot 2"]
    assert [each["at"] for each in many] == sorted(each["at"] for each in many)


def test_what_is_due_is_no_next_thing_as_well() -> None:
    shown = pictured(HOPS_DUE)
    assert not any(each["due"] for each in shown["next"])


@pytest.mark.parametrize(
    ("events", "target", "last"),
    [
        pytest.param(GATHERING, None, None, id="nothing is wanted yet"),
        pytest.param(MASH_COLD, "64 °C", "61 °C", id="a cold mash"),
        pytest.param(TO_THE_BOIL, "24.2 L", None, id="a volume is asked for"),
        pytest.param(
            (
                *TO_THE_BOIL,
                reading(500, Quantity.KETTLE_VOLUME, 24.2, "L"),
                reading(520, Quantity.GRAVITY, 1.044, "SG"),
                reading(540, Quantity.KETTLE_TEMPERATURE, 20.4, "degC"),
            ),
            "100 °C",
            "20.4 °C",
            id="nothing is asked for on the way to the boil",
        ),
    ],
)
def test_the_target_stands_beside_the_reading_that_tells_of_it(
    events: tuple[Event, ...], target: str | None, last: str | None
) -> None:
    shown = pictured(events)
    assert (shown["target"] and shown["target"]["wanted"]) == target
    assert (shown["last"] and shown["last"]["shown"]) == last


def test_american_brewers_see_their_units() -> None:
    shown = pictured(MASH_COLD, Units.US)
    assert shown["target"]["wanted"] == "147 °F"
    assert {"name": "kettle volume", "unit": "gal"} in shown["readings"]
    assert "gallons" in shown["planned"][1]


def test_a_choice_has_the_advised_option_first_and_says_so() -> None:
    advice = pictured(MASH_COLD)["advice"]
    assert advice["options"][0]["advised"]
    assert sum(option["advised"] for option in advice["options"]) == 1
    assert all(option["phrase"] for option in advice["options"])


def test_a_doubtful_reading_is_a_question_with_its_answers() -> None:
    shown = pictured(DOUBTFUL)["question"]
    assert "2 litres" in shown["text"]
    assert shown["answers"] == ["yes", "no"]


def test_a_rolling_boil_is_asked_about_with_yes_and_no() -> None:
    state, _ = brewed(TO_THE_BOIL)
    asked = Ask(id=99, quantity=Quantity.BOILING, unit="1", why="whether it boils")
    shown = picture_of(replace(state, asks=(*state.asks, asked)))
    assert shown["question"] == {"text": "Is it boiling?", "answers": ["yes", "no"]}
    assert [ask["name"] for ask in shown["asks"]] == ["kettle volume", "gravity"]


def test_every_button_can_be_said() -> None:

    for events in DAYS.values():
        state, _ = brewed(events)
        shown = picture_of(state)
        for words in shown["buttons"]:
            assert understand(words, listening(state), state.now_s)


def test_what_is_done_most_comes_first_and_a_pause_can_be_ended() -> None:
    running, paused = (pictured(events)["buttons"] for events in (MASHING, MASH_PAUSED))
    assert running[0] == "done"
    assert ("pause" in running, "carry on" in running) == (True, False)
    assert ("pause" in paused, "carry on" in paused) == (False, True)


def test_a_finished_day_offers_nothing_that_would_come_too_late() -> None:
    assert pictured(FINISHED)["buttons"] == []


def test_every_reading_that_can_be_sent_is_understood() -> None:

    for events in DAYS.values():
        state, _ = brewed(events)
        shown = picture_of(state)
        for field in (*shown["asks"], *shown["readings"]):
            figure = "1.048" if field["name"] == "gravity" else "12"
            event = understand(f"{field['name']} {figure}", listening(state), state.now_s)
            assert isinstance(event, ReadingTaken)


def test_a_day_driven_by_a_program_offers_no_buttons() -> None:
    state, _ = brewed(BOILING)
    assert picture_of(state, takes_words=False)["buttons"] == []


def test_a_record_that_is_not_written_is_told() -> None:
    state, _ = brewed(BOILING)
    assert picture_of(state)["record"] == ""
    told = picture_of(replace(state, record=RecordTrouble.FULL))["record"]
    assert "the disk is full" in told


def test_what_was_said_keeps_its_number_so_that_it_is_read_out_once() -> None:
    state, _ = brewed(BOILING)
    said = [Words(number=n, at_s=n, text=f"word {n}", why="prompt") for n in range(1, 31)]
    shown = picture_of(state, said=said)["said"]
    assert [each["id"] for each in shown] == [f"r-{n}" for n in range(19, 31)]


def test_the_trace_follows_the_kettle_and_stays_bounded() -> None:
    state, _ = brewed(MASHING)
    trace = Trace()
    for second in range(0, 20 * 3 * MOST_TRACED, 20):
        trace.add(replace(state, now_s=float(second)))
    assert len(trace.points) <= MOST_TRACED
    times = [at_s for at_s, _ in trace.points]
    assert times == sorted(times)
    assert times[0] == 0
    assert times[-1] >= 20 * 3 * MOST_TRACED - 200


def test_a_thermometer_that_reports_for_hours_leaves_a_chart_that_can_be_sent() -> None:
    events = [
        reading(200 + second, Quantity.MASH_TEMPERATURE, 64 + 0.01 * (second % 7), "degC")
        for second in range(0, 4 * MOST_READINGS, 2)
    ]
    state, _ = brewed((*MASHING, *events))
    shown = chart(state, Trace())
    assert len(shown["readings"]) <= MOST_READINGS
    assert shown["readings"][-1][0] == events[-1].at
    assert len(json.dumps(shown)) < 40_000


def test_the_chart_is_in_the_brewers_degrees() -> None:
    state, _ = brewed(MASH_COLD)
    american = replace(state, schedule=replace(state.schedule, units=Units.US))
    assert chart(state, Trace())["readings"] == [[300, 61.0]]
    assert chart(american, Trace())["readings"] == [[300, 141.8]]


def test_a_trace_keeps_no_more_points_than_a_chart_can_show() -> None:
    state, _ = brewed(MASHING)
    trace = Trace()
    for second in range(100):
        trace.add(replace(state, now_s=float(second)))
    assert [at_s for at_s, _ in trace.points] == [0, 20, 40, 60, 80]


def test_the_planned_line_begins_when_the_day_did() -> None:
    state, _ = brewed((DayBegan(at=500),))
    assert chart(state, Trace())["planned"][0][0] == 500


@pytest.mark.parametrize("day", DAYS)
def test_an_estimate_is_told_to_ten_seconds_so_that_its_trembling_is_no_news(day: str) -> None:
    state, _ = brewed(DAYS[day])
    shown = picture_of(state)
    told = [(each["about"], each["at"]) for each in shown["next"]]
    told.append((shown["headline"]["about"], shown["headline"]["due_at"]))
    assert all(at_s % 10 == 0 for about, at_s in told if about)
