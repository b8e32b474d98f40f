"""What a brewer reads off the screen at each moment of the day."""

import re
from dataclasses import replace

import pytest
from screen_days import (
    AMBER,
    BOIL_BEGAN_S,
    BOILING,
    FINISHED,
    GATHERING,
    HOPS_DUE,
    MANY_TIMERS,
    MASH_COLD,
    MASH_PAUSED,
    MASHING,
    TO_THE_BOIL,
    brewed,
    lines_of,
    named,
    reading,
    rendered,
)

from assistant.big_figures import big
from assistant.day.effects import Say, Why
from assistant.day.events import DayBegan, TimePassed
from assistant.day.glance import headline
from assistant.day.quantities import Quantity
from assistant.panes import countdown, headline_figures
from assistant.schedule import Units


def text_of(*args: object, **kwargs: object) -> str:
    return "\n".join(lines_of(*args, **kwargs))  # type: ignore[arg-type]


def row_with(lines: list[str], words: str) -> str:
    return next(line for line in lines if words in line)


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [
        pytest.param(0, "0:00", id="due"),
        pytest.param(-3, "0:00", id="never below nought"),
        pytest.param(0.2, "0:01", id="a begun second counts"),
        pytest.param(59.5, "1:00", id="a minute"),
        pytest.param(754, "12:34", id="minutes"),
        pytest.param(3600, "1:00:00", id="an hour"),
        pytest.param(86399, "23:59:59", id="the longest timer"),
    ],
)
def test_time_left_reads_as_on_a_kitchen_clock(seconds: float, shown: str) -> None:
    assert countdown(seconds) == shown


@pytest.mark.parametrize(
    ("width", "height"),
    [pytest.param(80, 24, id="80x24"), pytest.param(120, 40, id="120x40"), (50, 20)],
)
def test_the_time_to_the_first_hops_stands_in_figures_several_lines_tall(
    width: int, height: int
) -> None:
    # The bittering hops of this beer go in 60 minutes before the end of a boil of 65 minutes.
    lines = lines_of((*BOILING, TimePassed(at=BOIL_BEGAN_S + 183)), width, height)
    figures = big("1:57", width=width - (28 if width >= 74 else 1), height=height // 3)
    assert len(figures) >= 5
    top = next(i for i, line in enumerate(lines) if figures[0].rstrip() in line)
    shown = [line[1 : 1 + len(figures[0])].rstrip() for line in lines[top : top + len(figures)]]
    assert shown == [row.rstrip() for row in figures]
    # A choice is open: just before their heads-up they are weighed as if it were left.
    assert "Next: 25 grams of Northern Brewer" in "\n".join(lines)


def test_figures_are_larger_on_a_larger_screen() -> None:
    small = sum("█" in line for line in lines_of(BOILING, 80, 24))
    large = sum("█" in line for line in lines_of(BOILING, 120, 40))
    assert (small, large) == (5, 10)


@pytest.mark.parametrize(
    ("events", "figures", "label"),
    [
        pytest.param(MASHING, "40:00", "Beta rest: time left", id="a rest"),
        pytest.param(MASH_PAUSED, "30:00", "Beta rest: time left (paused)", id="a paused rest"),
        pytest.param(BOILING, "5:00", "Next: 24 grams of Northern Brewer", id="an addition"),
        pytest.param(HOPS_DUE, "NOW", "Northern Brewer now: 25 grams", id="a due addition"),
        pytest.param(GATHERING, "15:00", "Getting ready: about this long", id="no timer"),
        pytest.param(FINISHED, "", "The day is finished.", id="the end"),
    ],
)
def test_the_next_thing_is_what_the_brewer_waits_for(
    events: tuple[DayBegan, ...], figures: str, label: str
) -> None:
    state, _ = brewed(events)
    told = headline(state)
    assert (headline_figures(told, state.now_s), told.label) == (figures, label)


def test_a_stage_that_takes_longer_than_planned_says_how_long_it_has_been() -> None:
    state, _ = brewed((*GATHERING, TimePassed(at=1800)))
    told = headline(state)
    assert headline_figures(told, state.now_s) == ""
    assert told.label == "Getting ready: 15 minutes planned, 30 minutes so far"


def test_everything_that_is_due_is_named_beside_now() -> None:
    # Nutrient and the second hops of this beer both go in 10 minutes before the end.
    moments = [TimePassed(at=BOIL_BEGAN_S + 55 * 60 - before) for before in (120, 0)]
    label = headline(brewed((*BOILING, *moments))[0]).label
    assert "Yeast nutrient now: 2 grams" in label
    assert "First Gold now: 18 grams" in label


def test_beer_stage_rest_and_clock_stand_at_the_top() -> None:
    top = lines_of(MASHING)[0]
    assert "Breakwater Amber" in top
    assert "the mash, beta at 64 degrees" in top
    assert top.rstrip().endswith("14:32")


def test_a_us_brewer_reads_fahrenheit() -> None:
    american = replace(AMBER, units=Units.US)
    assert "beta at 147 degrees" in lines_of(MASHING, schedule=american)[0]


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40)])
def test_all_timers_show_with_their_time_left(width: int, height: int) -> None:
    lines = lines_of(BOILING, width, height)
    for name, left in [
        ("Northern Brewer ", "5:00"),
        ("kettle finings", "53:00"),
        ("yeast nutrient", "55:00"),
        ("First Gold at 10 minutes", "55:00"),
        ("boil ", "1:05:00"),
    ]:
        assert any(name in line and line.rstrip().endswith(left) for line in lines), name


def test_the_checks_the_brewer_did_not_ask_for_are_no_timers() -> None:
    assert "check" not in text_of(MASHING, 120, 40)


def test_a_due_timer_is_marked_without_colour_and_first() -> None:
    lines = lines_of(HOPS_DUE)
    row = row_with(lines, "! Northern Brewer")
    assert row.rstrip().endswith("DUE 0:20 ago")
    assert lines.index(row) < lines.index(row_with(lines, "chiller"))


def test_a_paused_timer_says_so() -> None:
    assert row_with(lines_of(MASH_PAUSED), "beta rest").rstrip().endswith("paused 30:00")


def test_timers_that_find_no_room_are_counted() -> None:
    # Northern Brewer, finings, nutrient, First Gold, the chiller and the boil make six, the
    # brewer's own make twelve.
    lines = lines_of(MANY_TIMERS, 80, 24)
    shown = [line for line in lines[1:] if re.search(r"[a-z0-9] +(\d+:)?\d+:\d\d$", line.rstrip())]
    assert f"+ {18 - len(shown)} more timers" in "\n".join(lines)


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40), (50, 20)])
def test_advice_shows_each_option_with_what_to_say_and_the_advised_one_first(
    width: int, height: int
) -> None:
    lines = lines_of(MASH_COLD, width, height)
    options = ['"heat"', '"boiling water"', '"leave it"']
    rows = [lines.index(row_with(lines, option)) for option in options]
    assert rows == sorted(rows)
    assert "3 degrees cold." in "\n".join(lines)
    assert "(advised)" in "".join(lines[rows[0] : rows[1]])
    assert "(advised)" not in "".join(lines[rows[1] :])


def test_a_roomy_screen_tells_where_each_option_leads() -> None:
    assert "-> back to 64 degrees, 2.5 litres more to boil off" in text_of(MASH_COLD, 120, 40)


def test_the_checklist_and_the_water_to_fill_show_while_gathering() -> None:
    shown = " ".join(text_of(GATHERING).split())
    assert "thermometer, hydrometer, chiller and clean fermenter, all here?" in shown
    assert "Fill 27.3 litres of water" in shown


def test_the_readings_that_are_wanted_show() -> None:
    assert "Kettle volume? Gravity?" in text_of(TO_THE_BOIL)


def test_an_unlikely_reading_shows_its_question_and_its_answers() -> None:
    doubted = (*MASHING, reading(300, Quantity.MASH_TEMPERATURE, 90, "degC"))
    shown = " ".join(text_of(doubted).split())
    assert "90 degrees? I expected about" in shown
    assert "yes / no" in shown


def test_readings_show_with_their_age() -> None:
    lines = lines_of((*BOILING, TimePassed(at=BOIL_BEGAN_S + 220)), 100, 50)
    assert "gravity 1.042, 10 minutes ago" in "\n".join(lines)
    assert "kettle volume 26.8 litres, 10 minutes ago" in "\n".join(lines)
    just = lines_of((*BOILING, reading(901, Quantity.GRAVITY, 1.042, "SG")), 80, 40)
    assert "gravity 1.042, just now" in "\n".join(just)


@pytest.mark.parametrize(
    ("quantity", "value", "unit", "shown"),
    [
        pytest.param(Quantity.MASH_PH, 5.4, "pH", "pH 5.4, just now", id="pH"),
        pytest.param(
            Quantity.ROOM_TEMPERATURE,
            17,
            "degC",
            "room temperature 17 degrees, just now",
            id="room",
        ),
    ],
)
def test_a_reading_is_named_once(quantity: Quantity, value: float, unit: str, shown: str) -> None:
    lines = lines_of((*MASHING, reading(300, quantity, value, unit)), 80, 40)
    row = row_with(lines, "readings")
    assert row.removeprefix(" readings").strip() == shown


def test_plan_and_forecast_stand_one_above_the_other() -> None:
    lines = lines_of(GATHERING)
    planned, likely = row_with(lines, " planned "), row_with(lines, " likely ")
    assert "1.050 / 20 litres / 37 IBU" in planned
    assert "1.050 (1.046 to 1.054) / 20 litres / 37 IBU / pitch in 5:" in likely
    assert lines.index(likely) == lines.index(planned) + 1


def test_the_last_words_said_stand_first_and_cautions_are_marked() -> None:
    lines = lines_of(TO_THE_BOIL, 80, 40)
    prompt = lines.index(row_with(lines, "Full power to the boil"))
    caution = lines.index(row_with(lines, "! Lid off"))
    assert prompt < caution


def test_an_utterance_too_long_for_its_share_is_left_out_whole() -> None:
    state, _ = brewed(MASHING)
    long = "Stir slowly from the rim to the middle and lift the grain off the bottom. " * 6
    words = (Say(text=long, why=Why.ANSWER), Say(text="Noted.", why=Why.READBACK))
    shown = "\n".join(rendered(state, words, 80, 24))
    assert "Noted." in shown
    assert "Stir slowly" not in shown


def test_what_can_be_said_stands_above_the_line_being_typed() -> None:
    lines = lines_of(MASHING, typed="mash temperature 6")
    assert lines[-1].rstrip() == " > mash temperature 6_"
    assert "mash temperature and its figure" in "\n".join(lines[-4:-1])


def test_a_long_line_keeps_its_end_in_sight() -> None:
    last = lines_of(MASHING, 50, 20, typed="note " + "a" * 60 + " end")[-1]
    assert last.endswith("a end_")
    assert len(last) <= 50


def test_the_words_taken_in_stand_newest_first() -> None:
    assert "done / grain is in" in text_of(MASHING, heard=("grain is in", "done"))


@pytest.mark.parametrize(
    "beer",
    [
        pytest.param("[bold red]Tide[/] [link=x]", id="marks of a markup"),
        pytest.param("Tide :beer: :hourglass:", id="names of pictures"),
    ],
)
def test_a_beer_is_called_what_its_schedule_calls_it(beer: str) -> None:
    assert beer in lines_of(MASHING, schedule=named(beer))[0]


def test_nothing_a_brewer_named_can_give_the_terminal_an_order() -> None:
    state, _ = brewed(MASHING, named("Tide\x1b[2J\x07\r\n\u202eale"))
    words = (Say(text="a\x1b[31mb\nc", why=Why.ANSWER),)
    lines = rendered(state, words, 80, 24, typed="\x1b[A", heard=("\x9b2J",))
    assert len(lines) == 24
    assert all(character.isprintable() for line in lines for character in line)


def test_what_is_wrong_with_the_board_stands_where_its_address_did() -> None:
    told = "There is no board: port 4716 can't be had."
    assert told not in text_of(MASHING, width=80, height=24, board="http://127.0.0.1:4716/")
    shown = text_of(
        MASHING, width=80, height=24, board="http://127.0.0.1:4716/", board_trouble=told
    )
    assert told in shown
    assert "http" not in shown


@pytest.mark.parametrize(("width", "height"), [(80, 24), (40, 10)])
def test_sensors_that_can_not_be_had_are_shown_on_any_screen(width: int, height: int) -> None:
    told = "can't reach a:1883: refused"
    shown = text_of(MASHING, width=width, height=height, sensors_trouble=told)
    assert told in shown
    assert "sensors" not in text_of(MASHING, width=width, height=height)
