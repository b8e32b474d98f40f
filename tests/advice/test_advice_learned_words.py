"""What was learned of a kettle, in a sentence for the ear and a line for the page."""

import itertools

import pytest

from assistant.advice.card_changes import ON_CARD
from assistant.advice.learned import Figure, LearnedKettle, Trait
from assistant.advice.learned_words import (
    CARD_NAMES,
    WORDS,
    card_sentence,
    learned_line,
    learned_sentence,
    moved_traits,
)
from assistant.schedule.model import Units


def learned(brews: int = 3, **moves: tuple[float, float]) -> LearnedKettle:
    """A kettle by what the card had and what was found, each under the trait's name."""
    figures = {
        Trait[name]: Figure(value=found, spread=0.1, card=card)
        for name, (card, found) in moves.items()
    }
    return LearnedKettle(kettle="garage", brews=brews, figures=figures)


METRIC_AND_US = [
    ("HEATER", 0.91, 0.82, "82 percent of the heater's power", "82 percent of the heater's power"),
    ("HEAT_LOSS", 4.0, 5.4, "heat loss 5.4 watts a degree", "heat loss 3 watts a degree"),
    (
        "HEAT_CAPACITY",
        3900.0,
        4500.0,
        "the kettle's metal 4.5 kilojoules a degree",
        "the kettle's metal 2.5 kilojoules a degree",
    ),
    ("BOIL_OFF", 2.4, 2.7, "boil-off 2.7 litres an hour", "boil-off 0.71 gallons an hour"),
    (
        "ABSORPTION",
        0.65,
        0.75,
        "grain holds 0.75 litres a kilo",
        "grain holds 0.36 quarts a pound",
    ),
    ("LEFT_BEHIND", 1.4, 2.0, "2 litres left behind", "2.1 quarts left behind"),
    ("EXTRACT", 0.73, 0.79, "79 percent of the extract", "79 percent of the extract"),
    ("COAST", 0.0, 40.0, "40 seconds of heat once it's off", "40 seconds of heat once it's off"),
    ("LANDING", 0.0, 1.0, "the mash lands 1 degree warm", "the mash lands 2 degrees warm"),
    ("LANDING", 0.0, -2.0, "the mash lands 2 degrees cool", "the mash lands 4 degrees cool"),
]


@pytest.mark.parametrize(("trait", "card", "found", "metric", "us"), METRIC_AND_US)
def test_each_figure_is_told_as_brewers_say_it(
    trait: str, card: float, found: float, metric: str, us: str
) -> None:
    known = learned(**{trait: (card, found)})
    assert learned_sentence(known, Units.METRIC) == f"From your last 3 brews: {metric}."
    assert learned_sentence(known, Units.US) == f"From your last 3 brews: {us}."


def test_every_trait_has_words() -> None:
    assert set(WORDS) == set(Trait)
    assert {Trait[row[0]] for row in METRIC_AND_US} == set(Trait)


def test_the_two_that_moved_most_are_told_the_most_first() -> None:
    known = learned(
        EXTRACT=(0.73, 0.78), BOIL_OFF=(2.4, 2.7), HEATER=(0.91, 0.90), LEFT_BEHIND=(1.0, 2.0)
    )
    assert learned_sentence(known, Units.METRIC) == (
        "From your last 3 brews: 2 litres left behind, boil-off 2.7 litres an hour."
    )


def test_one_brew_is_called_your_last() -> None:
    known = learned(1, BOIL_OFF=(2.4, 2.7))
    assert learned_sentence(known, Units.METRIC) == (
        "From your last brew: boil-off 2.7 litres an hour."
    )


@pytest.mark.parametrize(
    ("known", "sentence"),
    [
        pytest.param(learned(BOIL_OFF=(2.4, 2.5)), "Kettle known from 3 brews.", id="four percent"),
        pytest.param(learned(COAST=(0.0, 10.0)), "Kettle known from 3 brews.", id="ten seconds"),
        pytest.param(
            learned(LANDING=(0.0, 0.3)), "Kettle known from 3 brews.", id="a third of 1 K"
        ),
        pytest.param(
            learned(LEFT_BEHIND=(0.0, 0.06)), "Kettle known from 3 brews.", id="a spoonful of trub"
        ),
        pytest.param(
            learned(BOIL_OFF=(1.455, 1.545)), "Kettle known from 3 brews.", id="said the same"
        ),
        pytest.param(learned(), "Kettle known from 3 brews.", id="nothing"),
        pytest.param(learned(1), "Kettle known from your last brew.", id="nothing from one"),
    ],
)
def test_where_nothing_moved_far_only_the_brews_are_told(
    known: LearnedKettle, sentence: str
) -> None:
    assert learned_sentence(known, Units.METRIC) == sentence


def test_a_move_that_sounds_no_different_is_none() -> None:
    slow = learned(BOIL_OFF=(1.455, 1.545))
    assert moved_traits(slow, Units.METRIC) == []
    assert moved_traits(slow, Units.US) == [Trait.BOIL_OFF]


@pytest.mark.parametrize("units", Units)
def test_any_two_figures_are_within_twenty_words(units: Units) -> None:
    for first, second in itertools.combinations(METRIC_AND_US, 2):
        moves = {name: (card, found) for name, card, found, *_ in (first, second)}
        sentence = learned_sentence(learned(120, **moves), units)
        assert len(sentence.split()) <= 20, sentence


def test_the_page_tells_every_figure_that_differs_beside_the_cards() -> None:
    known = learned(
        BOIL_OFF=(2.4, 2.7), HEATER=(0.91, 0.82), EXTRACT=(0.73, 0.74), COAST=(0.0, 40.0)
    )
    assert learned_line(known, Units.METRIC) == (
        "Kettle figures from your last 3 brews: 40 seconds of heat once it's off, "
        "boil-off 2.7 litres an hour (card: 2.4 litres an hour), "
        "82 percent of the heater's power (card: 91 percent)."
    )


def test_the_page_says_so_where_the_card_was_right() -> None:
    assert learned_line(learned(1, BOIL_OFF=(2.4, 2.41)), Units.METRIC) == (
        "Kettle figures from your last brew, all near the card's."
    )


@pytest.mark.parametrize(
    ("traits", "sentence"),
    [
        pytest.param((), "", id="none"),
        pytest.param(
            (Trait.HEATER, Trait.BOIL_OFF),
            "Heater and boil-off from the card, which was changed.",
            id="two",
        ),
        pytest.param(ON_CARD, "7 kettle figures from the card, which was changed.", id="all"),
    ],
)
def test_what_counts_from_a_changed_card_is_named(traits: tuple[Trait, ...], sentence: str) -> None:
    known = LearnedKettle(kettle="garage", brews=2, figures={}, from_card=traits)
    assert card_sentence(known) == sentence


def test_a_changed_card_is_told_in_words_for_an_ear() -> None:
    for three in itertools.combinations(ON_CARD, 3):
        known = LearnedKettle(kettle="garage", brews=2, figures={}, from_card=three)
        assert len(card_sentence(known).split()) <= 20


def test_every_figure_of_the_card_has_a_name() -> None:
    assert set(CARD_NAMES) == set(ON_CARD)
