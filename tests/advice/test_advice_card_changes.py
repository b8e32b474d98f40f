"""A card that was edited: what was learned and what the card says, and which of them counts."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.advice.card_changes import ON_CARD, agrees, with_card
from assistant.advice.kettle_spreads import RANGE_SPREADS, fresh_spread, next_spread, start_of_day
from assistant.advice.learned import Figure, LearnedKettle, Trait, card_figure, with_traits
from assistant.schedule import Schedule
from assistant.schedule.model import HeaterKind

FIGURE = Figure(value=3.1, spread=0.1, card=2.6)


def known(**figures: Figure) -> LearnedKettle:
    by_trait = {Trait[name]: figure for name, figure in figures.items()}
    return LearnedKettle(kettle="garage 35 L", brews=3, figures=by_trait)


def test_a_card_that_stayed_as_it_was_changes_nothing(amber: Schedule) -> None:
    kettle = amber.kettle
    learned = known(
        **{
            trait.name: Figure(value=0.8, spread=0.1, card=card_figure(kettle, trait))
            for trait in ON_CARD
        },
        COAST=Figure(value=20.0, spread=2.0, card=0.0),
    )
    assert with_card(learned, kettle) == learned
    assert with_card(learned, kettle, kettle.heater) == learned


# 2.6 L/h is 0.687 gal/h: written to two places in the other unit it is 0.69 gal/h, 2.612 L/h.
@pytest.mark.parametrize("card_l_h", [2.6, 2.612, 2.59])
def test_rounding_between_units_is_no_change(amber: Schedule, card_l_h: float) -> None:
    card = with_traits(amber.kettle, {Trait.BOIL_OFF: card_l_h})
    assert with_card(known(BOIL_OFF=FIGURE), card) == known(BOIL_OFF=FIGURE)


@pytest.mark.parametrize(
    ("card_l_h", "stays"),
    [
        pytest.param(3.1, True, id="the learned figure"),
        pytest.param(3.0, True, id="rounded"),
        pytest.param(3.3, True, id="in its range"),
        pytest.param(3.4, False, id="above its range"),
        pytest.param(2.8, False, id="below its range"),
        pytest.param(2.0, False, id="the other way"),
    ],
)
def test_a_new_figure_counts_where_it_is_out_of_the_learned_range(
    amber: Schedule, card_l_h: float, stays: bool
) -> None:
    card = with_traits(amber.kettle, {Trait.BOIL_OFF: card_l_h})
    held = with_card(known(BOIL_OFF=FIGURE), card)
    if stays:
        assert held == known(BOIL_OFF=replace(FIGURE, card=card_l_h))
    else:
        assert held == replace(known(), from_card=(Trait.BOIL_OFF,))
        start = start_of_day(card, held, Trait.BOIL_OFF)
        assert start == (card_l_h, fresh_spread(Trait.BOIL_OFF, card_l_h))


def test_the_range_is_the_one_believed_in_for_the_next_brew() -> None:
    # A boil-off differs by a twentieth from brew to brew: 0.155 L/h beside the 0.1 of the figure.
    assert next_spread(Trait.BOIL_OFF, FIGURE) == pytest.approx((0.1**2 + 0.155**2) ** 0.5)
    edge = RANGE_SPREADS * next_spread(Trait.BOIL_OFF, FIGURE)
    assert agrees(Trait.BOIL_OFF, FIGURE, 3.1 + 0.99 * edge)
    assert not agrees(Trait.BOIL_OFF, FIGURE, 3.1 + 1.01 * edge)


@given(st.sampled_from(ON_CARD), st.floats(0.5, 2.0), st.floats(0.01, 0.3), st.floats(0.5, 2.0))
def test_copying_what_was_learned_keeps_it_and_makes_it_no_surer(
    amber: Schedule, trait: Trait, moved: float, share: float, step: float
) -> None:
    then = card_figure(amber.kettle, trait)
    figure = Figure(value=then * moved, spread=share * then, card=then)
    edge = RANGE_SPREADS * next_spread(trait, figure) * min(step - 1.0, 0.99)
    held = with_card(
        known(**{trait.name: figure}), with_traits(amber.kettle, {trait: figure.value})
    )
    assert (held.figures[trait].value, held.figures[trait].spread) == (figure.value, figure.spread)
    near = with_card(
        known(**{trait.name: figure}), with_traits(amber.kettle, {trait: figure.value + edge})
    )
    assert near.from_card == ()


@pytest.mark.parametrize(
    "change",
    [
        pytest.param({"power_w": 3500.0}, id="more power"),
        pytest.param({"kind": HeaterKind.INDUCTION}, id="another kind"),
    ],
)
def test_another_heater_is_not_known_though_its_efficiency_is_said_to_be_the_same(
    amber: Schedule, change: dict[str, object]
) -> None:
    share = Figure(value=0.85, spread=0.01, card=amber.kettle.heater.efficiency)
    coast = Figure(value=20.0, spread=2.0, card=0.0)
    learned = known(HEATER=share, COAST=coast, BOIL_OFF=FIGURE)
    kettle = replace(amber.kettle, heater=replace(amber.kettle.heater, **change))
    assert with_card(learned, kettle, amber.kettle.heater) == replace(
        known(BOIL_OFF=FIGURE), from_card=(Trait.HEATER,)
    )
