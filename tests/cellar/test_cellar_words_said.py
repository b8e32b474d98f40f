"""What a brewer's words mean at a fermenter, where nothing asked for them."""

import pytest
from pitched_day import PITCHED_S, told

from assistant.advice.plan import Plan
from assistant.cellar.advance import advance
from assistant.cellar.beer import beer_of
from assistant.cellar.events import Errand, VisitBegan
from assistant.cellar.listening import listening
from assistant.cellar.state import CellarState, new_beer
from assistant.day.advance import advance as brew_on
from assistant.day.effects import Refused, Say
from assistant.day.quantities import Quantity
from assistant.day.state import new_day
from assistant.hearing.words import understand
from assistant.schedule import Schedule


@pytest.fixture(scope="module")
def answered(amber: Schedule, amber_plan: Plan) -> CellarState:
    """A visit on the fifth day on which all that is asked for was told."""
    brewed = new_day(amber, amber_plan)
    for event in told():
        brewed, _ = brew_on(brewed, event)
    beer = beer_of(brewed)
    assert beer is not None
    began = VisitBegan(at=PITCHED_S + 4 * 86400, errand=Errand.TEND)
    state, _ = advance(new_beer(amber, beer), began)
    for words in ("gravity 1.020", "19"):
        state, _ = said(state, words)
    assert not state.asks
    return state


def said(state: CellarState, words: str) -> tuple[CellarState, list[str]]:
    event = understand(words, listening(state), state.now_s + 10)
    state, effects = advance(state, event)
    return state, [effect.text for effect in effects if isinstance(effect, Say | Refused)]


@pytest.mark.parametrize(
    ("words", "quantity", "value"),
    [
        ("18.5 degrees", Quantity.FERMENTER_TEMPERATURE, 18.5),
        ("temperature 18.5", Quantity.FERMENTER_TEMPERATURE, 18.5),
        ("kettle temperature 18.5", Quantity.FERMENTER_TEMPERATURE, 18.5),
        ("volume 19.8 litres", Quantity.FERMENTER_VOLUME, 19.8),
        ("kettle volume 19.8 litres", Quantity.FERMENTER_VOLUME, 19.8),
        ("19.8 litres", Quantity.FERMENTER_VOLUME, 19.8),
        ("room 18.5", Quantity.ROOM_TEMPERATURE, 18.5),
    ],
)
def test_a_reading_is_of_the_beer_whether_it_was_asked_for_or_not(
    answered: CellarState, words: str, quantity: Quantity, value: float
) -> None:
    state, _ = said(answered, words)
    assert (state.readings[-1].quantity, state.readings[-1].value) == (quantity, value)


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ("19", "19 of what? Say for example: gravity 1.012."),
        ("mash temperature 64", "Mash temperature is none of a beer in its fermenter."),
    ],
)
def test_what_is_none_of_the_beer_is_refused(
    answered: CellarState, words: str, answer: str
) -> None:
    state, words_said = said(answered, words)
    assert words_said == [answer]
    assert state.readings == answered.readings
