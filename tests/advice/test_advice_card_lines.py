"""The lines for a kettle's file: in its own keys and units, and read back as what was learned."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.advice.card_changes import ON_CARD, with_card
from assistant.advice.card_lines import card_lines
from assistant.advice.learned import Figure, LearnedKettle, Trait, card_figure
from assistant.schedule import Schedule
from assistant.schedule.load import load_text
from assistant.schedule.model import Kettle, Units

SCHEDULE = """
beer: Any
volume: 20 L
kettle: a.yaml
grist: [{malt: pale, weight: 4 kg}]
mash: [{at: 66 degC, for: 60 min}]
boil: {for: 60 min}
yeast: {name: ale}
"""


def learned(kettle: Kettle, **shares: float) -> LearnedKettle:
    """A kettle known to a hundredth, each figure so many times the card's."""
    figures = {
        Trait[name]: Figure(
            value=card_figure(kettle, Trait[name]) * share,
            spread=0.01 * card_figure(kettle, Trait[name]),
            card=card_figure(kettle, Trait[name]),
        )
        for name, share in shares.items()
    }
    return LearnedKettle(kettle=kettle.name, brews=4, figures=figures)


def read_back(lines: list[str]) -> Kettle:
    text = "\n".join(lines)
    if "heater:" not in text:
        text += "\nheater: {power: 2.8 kW}"
    return load_text(SCHEDULE, "beer.yaml", f"kettle: garage 35 L\nholds: 35 L\n{text}\n").kettle


@pytest.mark.parametrize(
    ("trait", "share", "metric", "us"),
    [
        (
            "HEATER",
            0.9,
            "heater: {kind: electric, power: 2.8 kW, efficiency: 82 %}",
            "heater: {kind: electric, power: 2.8 kW, efficiency: 82 %}",
        ),
        ("HEAT_LOSS", 1.5, "heat_loss: 4.8 W/K", "heat_loss: 2.67 W/degF"),
        ("HEAT_CAPACITY", 1.25, "heat_capacity: 4.88 kJ/K", "heat_capacity: 2.71 kJ/degF"),
        ("BOIL_OFF", 1.25, "boil_off: 3.25 L/h", "boil_off: 0.859 gal/h"),
        ("ABSORPTION", 1.25, "absorption: 0.812 L/kg", "absorption: 0.39 qt/lb"),
        ("LEFT_BEHIND", 1.5, "left_behind: 2.1 L", "left_behind: 0.555 gal"),
        ("EXTRACT", 1.1, "extract_efficiency: 80.3 %", "extract_efficiency: 80.3 %"),
    ],
)
def test_each_figure_has_its_line(
    amber: Schedule, trait: str, share: float, metric: str, us: str
) -> None:
    known = learned(amber.kettle, **{trait: share})
    for units, text in ((Units.METRIC, metric), (Units.US, us)):
        assert [line.text for line in card_lines(amber.kettle, known, units)] == [text]


@given(
    st.lists(st.floats(0.7, 1.3), min_size=len(ON_CARD), max_size=len(ON_CARD)),
    st.sampled_from(Units),
)
def test_what_is_pasted_is_read_as_what_was_learned_and_keeps_it(
    amber: Schedule, shares: list[float], units: Units
) -> None:
    names = [trait.name for trait in ON_CARD]
    known = learned(amber.kettle, **dict(zip(names, shares, strict=True)))
    lines = [line for line in card_lines(amber.kettle, known, units) if line.text is not None]
    pasted = read_back([line.text or "" for line in lines])
    for line in lines:
        figure = known.figures[line.trait]
        assert abs(card_figure(pasted, line.trait) - figure.value) <= 0.25 * figure.spread
    held = with_card(
        LearnedKettle(
            kettle=known.kettle,
            brews=known.brews,
            figures={line.trait: known.figures[line.trait] for line in lines},
        ),
        pasted,
    )
    assert held.from_card == ()
    assert {t: f.value for t, f in held.figures.items()} == {
        line.trait: known.figures[line.trait].value for line in lines
    }
    # The card as pasted is no longer away from what was learned.
    assert card_lines(pasted, held, units) == ()


@pytest.mark.parametrize(
    ("value", "spread"),
    [
        pytest.param(2.7, 0.01, id="sure, but too little to matter"),
        pytest.param(3.0, 0.5, id="much, but not sure"),
        pytest.param(2.6, 0.01, id="as the card"),
    ],
)
def test_what_is_not_clearly_away_from_the_card_needs_no_line(
    amber: Schedule, value: float, spread: float
) -> None:
    figures = {Trait.BOIL_OFF: Figure(value=value, spread=spread, card=2.6)}
    known = LearnedKettle(kettle="garage 35 L", brews=4, figures=figures)
    assert card_lines(amber.kettle, known, Units.METRIC) == ()


def test_what_no_card_tells_needs_no_line(amber: Schedule) -> None:
    figures = {
        Trait.COAST: Figure(value=60.0, spread=1.0, card=0.0),
        Trait.LANDING: Figure(value=-2.0, spread=0.1, card=0.0),
    }
    known = LearnedKettle(kettle="garage 35 L", brews=4, figures=figures)
    assert card_lines(amber.kettle, known, Units.METRIC) == ()


def test_a_figure_that_no_card_may_hold_has_no_line_but_its_limits(amber: Schedule) -> None:
    figures = {Trait.HEATER: Figure(value=1.06, spread=0.01, card=0.91)}
    known = LearnedKettle(kettle="garage 35 L", brews=4, figures=figures)
    (line,) = card_lines(amber.kettle, known, Units.METRIC)
    assert (line.text, line.card, line.lowest, line.highest) == (None, "91 %", "5 %", "100 %")
