"""A day that begins with a kettle that past brews have taught."""

from dataclasses import replace

import pytest
from days import Driven, begun

from assistant.advice.learned import (
    CARD_FIELDS,
    Figure,
    LearnedKettle,
    Trait,
    card_figure,
    with_learned,
)
from assistant.advice.plan import make_plan
from assistant.day.effects import Say, Why
from assistant.day.events import DayBegan
from assistant.day.state import new_day
from assistant.day.teaching import learned_kettle
from assistant.schedule import Schedule

KNOWN = LearnedKettle(
    kettle="garage 35 L",
    brews=3,
    figures={Trait.BOIL_OFF: Figure(value=3.1, spread=0.2, card=2.6)},
)
TOLD = "From your last 3 brews: boil-off 3.1 litres an hour."


def begun_with(schedule: Schedule, learned: LearnedKettle | None) -> Driven:
    planned = with_learned(schedule, learned)
    day = Driven(new_day(planned, make_plan(planned)))
    return day.happen(DayBegan(at=0, learned=learned))


def said(day: Driven) -> list[str]:
    return [effect.text for effect in day.of(Say)]


def test_what_is_known_of_the_kettle_is_told_before_anything_is_asked_for(amber: Schedule) -> None:
    roomy = replace(amber, kettle=replace(amber.kettle, holds_l=50.0))
    first, *others = said(begun(roomy))
    assert said(begun_with(roomy, KNOWN)) == [TOLD, first, *others]


def test_warnings_come_before_what_is_known_of_the_kettle(amber: Schedule) -> None:
    # A boil-off of 3.1 litres an hour takes more water, for which this kettle has little room.
    told = begun_with(amber, KNOWN).of(Say)
    whys = [effect.why for effect in told]
    place = [effect.text for effect in told].index(TOLD)
    assert place > 0
    assert set(whys[:place]) == {Why.WARNING}
    assert Why.WARNING not in whys[place:]


def test_the_day_keeps_what_it_began_with(amber: Schedule) -> None:
    assert begun_with(amber, KNOWN).wait(600).state.learned == KNOWN
    assert begun(amber).state.learned is None


def test_a_day_has_begun_once_whatever_is_known_later(amber: Schedule) -> None:
    day = begun(amber).happen(DayBegan(at=5, learned=KNOWN))
    assert day.said() == ""
    assert day.state.learned is None


def test_a_first_day_teaches_one_brew_of_its_kettle(amber: Schedule) -> None:
    taught = learned_kettle(begun(amber).state)
    assert (taught.kettle, taught.brews) == ("garage 35 L", 1)
    assert set(taught.figures) >= {Trait.HEATER, *CARD_FIELDS}
    assert taught.figures[Trait.BOIL_OFF].card == amber.kettle.boil_off_l_h
    assert taught.figures[Trait.HEATER].card == amber.kettle.heater.efficiency


def test_a_day_teaches_one_brew_more_and_keeps_the_card_of_the_first(amber: Schedule) -> None:
    taught = learned_kettle(begun_with(amber, KNOWN).state)
    assert taught.brews == 4
    assert taught.figures[Trait.BOIL_OFF].card == 2.6


@pytest.mark.parametrize("trait", [Trait.HEATER, *CARD_FIELDS], ids=lambda trait: trait.value)
def test_what_a_day_taught_can_be_planned_with(amber: Schedule, trait: Trait) -> None:
    taught = learned_kettle(begun_with(amber, KNOWN).state)
    planned = with_learned(amber, taught)
    assert card_figure(planned.kettle, trait) == taught.figures[trait].value


def test_no_figure_is_taught_as_known_exactly(amber: Schedule) -> None:
    dry = replace(amber, kettle=replace(amber.kettle, left_behind_l=0.0))
    assert all(figure.spread > 0 for figure in learned_kettle(begun(dry).state).figures.values())
