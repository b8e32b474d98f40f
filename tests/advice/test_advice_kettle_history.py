"""What each brew said of a figure by itself, and the trend over the brews."""

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.advice.kettle_history import (
    FEWEST_BREWS,
    MOST_BREWS,
    Brew,
    BrewedIn,
    History,
    Said,
    Trend,
    histories,
    history,
    said_alone,
    slope_of,
)
from assistant.advice.kettle_spreads import RANGE_SPREADS, daily_spread, fresh_spread, next_spread
from assistant.advice.learned import Figure, LearnedKettle, Trait, card_figure, with_learned
from assistant.schedule import Schedule

BOIL_OFF = Trait.BOIL_OFF
CARD_L_H = 2.6


def learned_in_turn(
    said_l_h: Sequence[float], spread: float = 0.08, *, afresh_at: int = 0
) -> tuple[Brew, ...]:
    """A boil-off learned by Bayes from what each brew said, as brew after brew goes on record."""
    brews = []
    figure = Figure(value=CARD_L_H, spread=fresh_spread(BOIL_OFF, CARD_L_H), card=CARD_L_H)
    for place, said in enumerate(said_l_h):
        afresh = place in (0, afresh_at)
        value = CARD_L_H if afresh else figure.value
        had = fresh_spread(BOIL_OFF, CARD_L_H) if afresh else next_spread(BOIL_OFF, figure)
        before = Figure(value=value, spread=had, card=CARD_L_H)
        has = had**-2 + spread**-2
        figure = Figure(
            value=(value * had**-2 + said * spread**-2) / has, spread=has**-0.5, card=CARD_L_H
        )
        brews.append(
            Brew(day=place + 1, figure=figure, said=said_alone(before, figure), afresh=afresh)
        )
    return tuple(brews)


def over(said_l_h: Sequence[float], spread: float = 0.08, *, afresh_at: int = 0) -> History:
    return history(BOIL_OFF, learned_in_turn(said_l_h, spread, afresh_at=afresh_at))


@given(st.floats(0.1, 10), st.floats(0.01, 1), st.floats(0.1, 10), st.floats(0.01, 1))
def test_what_a_brew_said_is_what_bayes_made_the_one_figure_of_the_other_with(
    value: float, had: float, said: float, spread: float
) -> None:
    has = had**-2 + spread**-2
    before = Figure(value=value, spread=had, card=1.0)
    middle = (value * had**-2 + said * spread**-2) / has
    found = said_alone(before, Figure(value=middle, spread=has**-0.5, card=1.0))
    if spread**-2 < 0.021 * had**-2:
        assert found is None or spread**-2 >= 0.019 * had**-2
    else:
        assert found is not None
        assert found.value == pytest.approx(said, abs=1e-6 * (1 + had**-2 / spread**-2))
        assert found.spread == pytest.approx(spread)


@pytest.mark.parametrize("spread", [0.2, 0.3], ids=["as sure as before", "less sure"])
def test_a_brew_that_made_nothing_surer_said_nothing(spread: float) -> None:
    before = Figure(value=2.6, spread=0.2, card=2.6)
    assert said_alone(before, Figure(value=2.7, spread=spread, card=2.6)) is None


def test_a_line_through_what_brews_said_has_its_slope() -> None:
    slope = slope_of(BOIL_OFF, learned_in_turn([2.6, 2.7, 2.8, 2.9, 3.0]))
    assert slope is not None
    assert slope.a_brew == pytest.approx(0.1)
    assert slope.change == pytest.approx(0.4)
    # A line over -2 to 2, each point off by 0.08 and, from day to day, by a twentieth of 2.8.
    assert slope.spread == pytest.approx(((0.08**2 + 0.14**2) / 10) ** 0.5)


def test_a_scatter_past_the_spreads_makes_the_slope_less_sure() -> None:
    wild, calm = (
        slope_of(BOIL_OFF, learned_in_turn(said))
        for said in ([2.6, 3.4, 2.0, 3.6, 2.2, 3.0], [2.6, 2.7, 2.6, 2.7, 2.6, 2.7])
    )
    assert wild is not None
    assert calm is not None
    assert wild.spread > 2 * calm.spread


@pytest.mark.parametrize(
    ("said_l_h", "trend"),
    [
        pytest.param([2.4, 2.55, 2.75, 2.9, 3.1, 3.25, 3.4], Trend.RISING, id="rises"),
        pytest.param([3.4, 3.25, 3.1, 2.9, 2.75, 2.55, 2.4], Trend.FALLING, id="falls"),
        pytest.param([2.6, 2.65, 2.55, 2.6, 2.62, 2.58] * 2, Trend.STEADY, id="stays"),
        pytest.param([2.4, 3.1, 2.3, 3.2, 2.5, 3.0], Trend.UNSURE, id="to and fro"),
        pytest.param([2.4, 2.4, 2.4, 2.4, 2.4, 3.4], Trend.UNSURE, id="one odd brew"),
        pytest.param([2.0, 3.0, 4.0], Trend.TOO_FEW, id="three brews"),
    ],
)
def test_a_trend_is_told_where_it_is_sure(said_l_h: list[float], trend: Trend) -> None:
    assert over(said_l_h).trend is trend


def test_a_figure_that_creeps_to_where_it_always_was_has_no_trend() -> None:
    # The card has 2.6: each figure learned is nearer to the 3.6 that every brew said.
    brews = learned_in_turn([3.6] * 8, spread=0.9)
    after = [brew.figure.value for brew in brews]
    assert after == sorted(after)
    assert after[-1] - after[0] > 0.4
    slope = slope_of(BOIL_OFF, brews)
    assert slope is not None
    assert slope.a_brew == pytest.approx(0.0, abs=1e-9)
    assert history(BOIL_OFF, brews).trend is Trend.UNSURE


def test_brews_that_said_nothing_count_for_no_trend_but_for_the_time_between() -> None:
    said = [2.4, 2.6, 2.8, 3.0, 3.2, 3.4, 3.6]
    brews = learned_in_turn(said)
    silent = [
        Brew(day=b.day, figure=b.figure, said=None if place in (1, 3) else b.said, afresh=b.afresh)
        for place, b in enumerate(brews)
    ]
    slope = slope_of(BOIL_OFF, silent)
    assert slope is not None
    assert slope.a_brew == pytest.approx(0.2)
    assert slope.brews == 7
    assert slope_of(BOIL_OFF, [b for b in silent if b.said][: FEWEST_BREWS - 1]) is None


def test_a_card_that_was_changed_begins_a_figure_anew() -> None:
    rising = [2.4, 2.55, 2.75, 2.9, 3.1, 3.25, 3.4]
    assert over([*rising, 2.6, 2.6, 2.6], afresh_at=7).trend is Trend.TOO_FEW
    assert over([2.6, 2.6, *rising], afresh_at=2).trend is Trend.RISING


def test_what_was_long_ago_is_no_trend_of_today() -> None:
    steady = [3.4, 3.45, 3.35] * (MOST_BREWS // 3)
    assert over([2.4, 2.6, 2.8, 3.0, 3.2, *steady]).trend is Trend.STEADY


def test_the_range_is_where_the_next_brew_lies_eight_times_of_ten() -> None:
    told = over([2.8, 2.9])
    apart = (
        RANGE_SPREADS * (told.now.spread**2 + daily_spread(BOIL_OFF, told.now.value) ** 2) ** 0.5
    )
    assert (told.low, told.high) == pytest.approx((told.now.value - apart, told.now.value + apart))


def kettle(brews: int, **values: tuple[float, float]) -> LearnedKettle:
    figures = {
        Trait[name]: Figure(value=value, spread=spread, card=CARD_L_H)
        for name, (value, spread) in values.items()
    }
    return LearnedKettle(kettle="garage 35 L", brews=brews, figures=figures)


def test_what_a_brew_said_is_reckoned_from_what_its_day_began_with(amber: Schedule) -> None:
    first, second = kettle(1, BOIL_OFF=(2.8, 0.2)), kettle(2, BOIL_OFF=(2.9, 0.1))
    brews = [
        BrewedIn(day=1, schedule=amber, known=True, before=None, after=first),
        BrewedIn(
            day=2, schedule=with_learned(amber, first), known=True, before=first, after=second
        ),
    ]
    (boil_off,) = histories(brews)
    assert [brew.afresh for brew in boil_off.brews] == [True, False]
    card = card_figure(amber.kettle, BOIL_OFF)
    fresh = Figure(value=card, spread=fresh_spread(BOIL_OFF, card), card=card)
    known = first.figures[BOIL_OFF]
    widened = Figure(value=2.8, spread=next_spread(BOIL_OFF, known), card=card)
    wanted = [said_alone(fresh, known), said_alone(widened, second.figures[BOIL_OFF])]
    for brew, said in zip(boil_off.brews, wanted, strict=True):
        assert said is not None
        assert brew.said == Said(value=pytest.approx(said.value), spread=pytest.approx(said.spread))


def test_a_day_whose_beginning_is_not_on_record_says_nothing_by_itself(amber: Schedule) -> None:
    brew = BrewedIn(
        day=1, schedule=amber, known=False, before=None, after=kettle(1, BOIL_OFF=(2.8, 0.2))
    )
    (boil_off,) = histories([brew])
    assert boil_off.now.value == 2.8
    assert [each.said for each in boil_off.brews] == [None]
    assert boil_off.trend is Trend.TOO_FEW
