"""What a temperature of the fermenting beer means, and what the brewer is told to do.

The bounds are common practice, no source: within a degree nobody tastes it, four off they do; yeast
makes most of its flavour in the first four days; it dies towards 40 °C and sleeps near freezing.
"""

import pytest
from beers import schedule_with, tended

from assistant.cellar.warmth import Warmth, is_alarming, warmth
from assistant.day.effects import Say, Why
from assistant.day.events import Source
from assistant.day.quantities import Quantity

ALE = "ferment: {at: 18 degC to 20 degC}\n"
LAGER = "ferment: {at: 9 degC to 12 degC}\n"
KVEIK = "ferment: {at: 30 degC to 38 degC}\n"


@pytest.mark.parametrize(
    ("text", "temperature_c", "found"),
    [
        (ALE, 40.0, Warmth.DEADLY),
        (ALE, 38.0, Warmth.DEADLY),
        (ALE, 24.5, Warmth.MUCH_TOO_WARM),
        (ALE, 24.0, Warmth.TOO_WARM),
        (ALE, 21.5, Warmth.TOO_WARM),
        (ALE, 21.0, Warmth.RIGHT),
        (ALE, 19.0, Warmth.RIGHT),
        (ALE, 17.0, Warmth.RIGHT),
        (ALE, 16.5, Warmth.TOO_COLD),
        (ALE, 14.0, Warmth.TOO_COLD),
        (ALE, 13.0, Warmth.MUCH_TOO_COLD),
        (ALE, 4.0, Warmth.ASLEEP),
        (LAGER, 10.5, Warmth.RIGHT),
        (LAGER, 14.0, Warmth.TOO_WARM),
        (LAGER, 18.0, Warmth.MUCH_TOO_WARM),
        (LAGER, 6.0, Warmth.TOO_COLD),
        (LAGER, 3.0, Warmth.ASLEEP),
        # Farmhouse yeast of the far north likes it as warm as blood.
        (KVEIK, 37.0, Warmth.RIGHT),
        (KVEIK, 25.0, Warmth.MUCH_TOO_COLD),
    ],
)
def test_where_a_temperature_lies(text: str, temperature_c: float, found: Warmth) -> None:
    assert warmth(tended(schedule_with(text)).state, temperature_c) is found


@pytest.mark.parametrize(
    ("day", "temperature_c", "words", "why"),
    [
        (1.0, 39.0, "That kills yeast. Cool it to 18 to 20 degrees", Why.WARNING),
        (1.0, 26.0, "Far above 18 to 20 degrees: it will taste harsh", Why.WARNING),
        (1.0, 22.0, "it will taste fruitier", Why.ANSWER),
        (8.0, 26.0, "but late: little harm now", Why.ANSWER),
        (8.0, 22.0, "but late: little harm now", Why.ANSWER),
        (1.0, 15.0, "it will go slowly. Warm it by 2 degrees a day at most.", Why.ANSWER),
        (1.0, 10.0, "yeast may drop out early", Why.WARNING),
        (1.0, 3.0, "Yeast sleeps at that.", Why.WARNING),
    ],
)
def test_what_is_said_of_it(day: float, temperature_c: float, words: str, why: Why) -> None:
    found = tended(schedule_with(ALE)).warm(day, temperature_c)
    said = [effect for effect in found.effects if isinstance(effect, Say)]
    assert words in said[-1].text
    assert said[-1].why is why


def test_a_right_temperature_is_read_back_and_no_more() -> None:
    assert tended(schedule_with(ALE)).warm(1.0, 19.0).said() == "19, noted."


def test_degrees_are_the_brewers_own() -> None:
    found = tended(schedule_with("units: us\n" + ALE))
    found.read(Quantity.FERMENTER_TEMPERATURE, 59.0, "degF", day=1.0)
    assert "Below 64 to 68 degrees" in found.said()
    assert "by 4 degrees a day" in found.said()


def test_the_same_warmth_is_alarming_early_and_not_late() -> None:
    found = tended(schedule_with(ALE)).wait(2)
    assert is_alarming(found.state, 26.0)
    assert not is_alarming(found.wait(6).state, 26.0)


def test_a_sensor_that_streams_speaks_only_when_what_it_reads_means_something_else() -> None:
    found = tended(schedule_with(ALE))
    told = []
    for minute, temperature_c in enumerate([19.0, 19.2, 22.0, 22.1, 22.2, 19.5, 19.4]):
        found.read(
            Quantity.FERMENTER_TEMPERATURE,
            temperature_c,
            "degC",
            day=1.0 + minute / 1440,
            source=Source.SENSOR,
        )
        told.append(found.said())
    assert told[0] == "19, noted."
    assert told[1] == told[3] == told[4] == told[6] == ""
    assert "fruitier" in told[2]
