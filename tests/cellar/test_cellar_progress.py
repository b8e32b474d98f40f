"""How far a fermentation has come: what readings of a beer of 1.050 come to."""

import pytest
from beers import Tended, beer, schedule_with, tended
from hypothesis import given
from hypothesis import strategies as st

from assistant.cellar.assessing import Progress
from assistant.day.commands import Command
from assistant.day.effects import Say, Why
from assistant.day.events import Source
from assistant.day.quantities import Quantity

END = 1.012
"""Where the yeast should take it: its ``final_gravity``."""

SUGAR = "  - {add: candy sugar, kind: sugar, weight: 500 g, at: day 3}\n"


def read_of(*readings: tuple[float, float], end: float = END) -> Tended:
    found = tended(of=beer(1.050, end))
    for day, gravity in readings:
        found.gravity(day, gravity)
        assert found.state.question is None, found.state.question
    return found


@pytest.mark.parametrize(
    ("readings", "progress"),
    [
        pytest.param([], Progress.UNREAD, id="never read"),
        # Lag: yeast takes from some hours to two days to show itself; common practice, no source.
        pytest.param([(0.5, 1.050)], Progress.WAKING, id="the first evening"),
        pytest.param([(1.9, 1.049)], Progress.WAKING, id="not two days"),
        pytest.param([(2.0, 1.049)], Progress.NOT_STARTED, id="two days, and nothing has fallen"),
        pytest.param([(1.0, 1.047)], Progress.FERMENTING, id="three points in a day"),
        pytest.param([(5.0, 1.030)], Progress.FERMENTING, id="half way"),
        pytest.param([(5.0, 1.025), (6.9, 1.025)], Progress.FERMENTING, id="still, not two days"),
        # Unchanged for two days far above its end; common practice, no source.
        pytest.param([(5.0, 1.025), (7.0, 1.025)], Progress.STUCK, id="still for two days"),
        pytest.param([(5.0, 1.016), (9.0, 1.016)], Progress.STUCK, id="four points above its end"),
        pytest.param([(8.0, 1.015)], Progress.SETTLING, id="three points above its end"),
        pytest.param([(8.0, 1.012), (10.9, 1.012)], Progress.SETTLING, id="not three days"),
        pytest.param(
            [(8.0, 1.014), (11.0, 1.012)], Progress.SETTLING, id="two points in three days"
        ),
        # Unchanged over three days near where it should end: common practice, no source.
        pytest.param([(8.0, 1.012), (11.0, 1.012)], Progress.FINISHED, id="steady for three days"),
        pytest.param([(8.0, 1.013), (11.0, 1.012)], Progress.FINISHED, id="within a mark"),
        pytest.param([(8.0, 1.015), (11.0, 1.015)], Progress.FINISHED, id="ended a little high"),
        pytest.param([(8.0, 1.004), (11.0, 1.004)], Progress.FINISHED, id="ended far lower"),
        pytest.param(
            [(8.0, 1.014), (9.0, 1.013), (10.0, 1.012), (11.0, 1.011)],
            Progress.SETTLING,
            id="a mark a day is no standing still",
        ),
    ],
)
def test_what_the_hydrometer_says(readings: list[tuple[float, float]], progress: Progress) -> None:
    assert read_of(*readings).assessed.progress is progress


def test_a_trial_that_ended_high_lets_a_beer_finish_there() -> None:
    high = read_of((5.0, 1.020), (8.0, 1.020))
    assert high.assessed.progress is Progress.STUCK
    high.visit(8.1, final_gravity=1.020)
    assert high.assessed.progress is Progress.FINISHED


def test_a_trial_that_ended_lower_shows_that_there_is_more_to_come() -> None:
    ended = read_of((8.0, 1.014), (11.0, 1.014))
    assert ended.assessed.progress is Progress.FINISHED
    ended.visit(11.1, final_gravity=1.010)
    assert ended.assessed.progress is Progress.STUCK


@given(
    st.lists(st.tuples(st.floats(0.2, 4.0), st.floats(4.0, 12.0)), min_size=1, max_size=6),
)
def test_a_refractometer_alone_never_calls_it_finished(steps: list[tuple[float, float]]) -> None:
    found, day = tended(of=beer(1.050, END)), 6.0
    for wait, brix in steps:
        day += wait
        found.brix(day, brix)
        if found.state.question is not None:
            found.say(Command.YES)
        assert found.assessed.progress is not Progress.FINISHED
        assert found.assessed.steady_s is None


def test_an_instrument_that_floats_in_the_beer_never_calls_it_finished() -> None:
    found = tended(of=beer(1.050, END))
    for hour in range(0, 20 * 24, 4):
        gravity = 1.050 - 0.038 * min(hour / 144, 1.0)
        found.read(Quantity.GRAVITY, gravity, "SG", day=0.2 + hour / 24, source=Source.STREAM)
        assert found.assessed.progress is not Progress.FINISHED
    assert found.assessed.progress is Progress.SETTLING
    # The hydrometer says so, three days apart.
    found.gravity(20.5, END).gravity(23.5, END)
    assert found.assessed.progress is Progress.FINISHED


@given(st.floats(1.004, 1.015), st.floats(3.0, 20.0))
def test_a_beer_that_the_hydrometer_shows_steady_near_its_end_has_finished(
    gravity: float, days: float
) -> None:
    assert read_of((6.0, gravity), (6.0 + days, gravity)).assessed.progress is Progress.FINISHED


@pytest.mark.parametrize(
    ("original", "gravity", "attenuation", "abv"),
    [
        # Balling by hand from the ASBC cubic: 12.387 and 2.561 °P, real extract 4.338 °P, 4.201 %
        # by weight; (12.387 - 2.561) / 12.387.
        pytest.param(1.050, 1.010, 0.793, 5.32, id="a pale ale"),
        pytest.param(1.050, 1.050, 0.0, 0.0, id="wort"),
        pytest.param(1.050, 1.030, 0.390, 2.66, id="half way down"),
    ],
)
def test_attenuation_and_alcohol(
    original: float, gravity: float, attenuation: float, abv: float
) -> None:
    found = tended(of=beer(original, 1.010)).gravity(4, gravity).assessed
    assert found.attenuation == pytest.approx(attenuation, abs=0.002)
    assert found.abv_percent == pytest.approx(abv, abs=0.015)


def test_a_gravity_above_the_wort_tells_no_alcohol() -> None:
    found = tended(of=beer(1.050, END)).gravity(0.2, 1.052).assessed
    assert (found.attenuation, found.abv_percent) == (None, None)
    assert found.progress is Progress.WAKING


def test_a_warm_sample_is_corrected_before_it_counts() -> None:
    # A hydrometer for 20 °C in a sample of 30 °C reads 0.0025 low, as water at 30 °C weighs
    # 995.65 g/L and at 20 °C 998.20 (CRC Handbook), the glass growing by 0.0003 of it.
    found = tended(of=beer(1.050, END))
    found.read(Quantity.GRAVITY, 1.0120, "SG", day=8.0, sample_c=30.0)
    assert found.assessed.gravity == pytest.approx(1.0143, abs=0.0004)


# Sugar in the fermenter: 500 g of sucrose in 20 L is 384 point-litres a kilogram (46 points a pound
# in a US gallon, common practice): 9.6 points, less the 0.31 L that it swells the beer by.


def sweetened() -> Tended:
    found = tended(schedule_with(additions=SUGAR), beer(1.050, END)).gravity(2.9, 1.030)
    return found.wait(3.0).say(Command.ADDED, "candy sugar")


def test_sugar_raises_the_original_gravity_counted_with() -> None:
    assert sweetened().assessed.original_gravity == pytest.approx(1.0588, abs=0.0006)


def test_sugar_that_is_left_out_or_taken_back_does_not() -> None:
    left = tended(schedule_with(additions=SUGAR), beer(1.050, END)).wait(3.0)
    left.say(Command.MISSED, "candy sugar")
    assert left.assessed.original_gravity == 1.050
    assert sweetened().say(Command.UNDO).assessed.original_gravity == 1.050


def test_sugar_is_neither_alcohol_nor_attenuation_until_it_ferments() -> None:
    fed = sweetened()
    before = tended(of=beer(1.050, END)).gravity(2.9, 1.030).assessed
    assert fed.assessed.gravity == 1.030
    assert fed.assessed.abv_percent == pytest.approx(before.abv_percent, rel=0.03)
    assert fed.assessed.attenuation is not None
    assert before.attenuation is not None
    assert fed.assessed.attenuation < before.attenuation


def test_sugar_lets_the_gravity_rise_and_no_more_than_it_brings() -> None:
    assert sweetened().gravity(3.1, 1.038).state.question is None
    assert sweetened().gravity(3.1, 1.045).state.question is not None
    # Once it was read again, the rise is over.
    again = sweetened().gravity(3.1, 1.038).gravity(4.0, 1.045)
    assert again.state.question is not None


def test_a_steady_gravity_before_the_sugar_is_no_end_after_it() -> None:
    schedule = schedule_with(additions=SUGAR.replace("day 3", "day 12"))
    found = tended(schedule, beer(1.050, END)).gravity(8, 1.012).gravity(11, 1.012)
    assert found.assessed.progress is Progress.FINISHED
    found.wait(12).say(Command.ADDED, "candy sugar")
    assert found.assessed.progress is Progress.FERMENTING
    assert found.assessed.steady_s is None


def test_the_refractometer_is_corrected_for_alcohol() -> None:
    # S. Terrill's cubic of 2011 by hand: 12.88 °Bx of wort, 6.4 of beer, wort correction 1.04.
    i, f = 12.387, 6.4 / 1.04
    by_hand = (
        1.0
        + (-0.0044993 * i + 0.00027581 * i**2 - 0.0000072800 * i**3)
        + (0.011774 * f - 0.0012717 * f**2 + 0.000063293 * f**3)
    )
    found = tended(of=beer(1.050, END)).brix(8, 6.4)
    assert found.assessed.gravity == pytest.approx(by_hand, abs=0.0003)
    assert "with its alcohol, noted." in found.said()


def test_a_refractometer_early_on_can_not_tell() -> None:
    # The correlation holds from 61 % of attenuation on.
    found = tended(of=beer(1.050, END)).brix(2, 10.5)
    assert found.assessed.gravity is None
    assert found.assessed.progress is Progress.UNREAD
    assert "use the hydrometer" in found.said()


def test_the_refractometer_counts_the_sugar_too() -> None:
    plain = tended(of=beer(1.050, END)).brix(8, 6.4).assessed.gravity
    fed = sweetened().brix(8, 6.4).assessed.gravity
    assert plain is not None
    assert fed is not None
    # More alcohol bends the light for less extract.
    assert fed < plain - 0.002


@pytest.mark.parametrize(
    ("progress", "readings", "words"),
    [
        (Progress.UNREAD, [], "No gravity of it has been read yet."),
        (Progress.WAKING, [(0.5, 1.050)], "Nothing has fallen yet"),
        (Progress.NOT_STARTED, [(2.5, 1.050)], "it has not started. Check its temperature first"),
        (Progress.FERMENTING, [(4.0, 1.030)], "at about 1.01"),
        (Progress.STUCK, [(5.0, 1.025), (8.0, 1.025)], "13 points above its end: stuck."),
        (Progress.SETTLING, [(8.0, 1.013)], "Near its end, 1.012. Read it again in about 3 days."),
        (Progress.SETTLING, [(8.0, 1.013), (8.01, 1.013)], "Read it again in about 3 days."),
        (
            Progress.SETTLING,
            [(8.0, 1.013), (9.0, 1.013)],
            "Near its end, 1.012. Steady for 1 day: read it again in about 2 days.",
        ),
        (Progress.FINISHED, [(8.0, 1.013), (11.0, 1.013)], "for 3 days: fermentation is over."),
    ],
)
def test_what_is_said_of_it(
    progress: Progress, readings: list[tuple[float, float]], words: str
) -> None:
    found = read_of(*readings).say(Command.WHERE)
    assert found.assessed.progress is progress
    assert words in found.said()


def test_a_refractometer_near_the_end_asks_for_the_hydrometer_twice() -> None:
    found = tended(of=beer(1.050, END)).brix(8, 6.4)
    assert found.assessed.progress is Progress.SETTLING
    assert "Read it with the hydrometer, and again in three days." in found.said()


def test_an_old_hydrometer_reading_half_way_does_not_make_the_end_steady() -> None:
    found = read_of((3.0, 1.030), (3.2, 1.030)).brix(9, 6.4)
    assert found.assessed.progress is Progress.SETTLING
    assert "Read it with the hydrometer, and again in three days." in found.said()
    assert found.days["steady gravity"] == pytest.approx(12.0, abs=0.01)


def test_never_is_bottling_a_stuck_beer_advised() -> None:
    said = read_of((5.0, 1.025), (8.0, 1.025)).said()
    assert "Don't bottle it." in said


def test_a_sensor_that_streams_is_told_of_only_where_it_changes_the_verdict() -> None:
    found, told = tended(of=beer(1.050, END)), []
    for hour in range(0, 240, 6):
        gravity = 1.050 - 0.038 * min(hour / 144, 1.0)
        day = 0.2 + hour / 24
        found.read(Quantity.GRAVITY, gravity, "SG", day=day, source=Source.SENSOR)
        told += [e.text for e in found.effects if isinstance(e, Say) and e.why is Why.ANSWER]
    assert found.assessed.progress is Progress.FINISHED
    assert 3 <= len(told) <= 6, told
