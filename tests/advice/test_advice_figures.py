"""Figures are said as brewers say them."""

import pytest

from assistant.advice import figures
from assistant.schedule.model import Units

METRIC, US = Units.METRIC, Units.US

SAID = [
    (figures.temperature(66.497, METRIC), "66.5 degrees"),
    (figures.temperature(66.0, METRIC), "66 degrees"),
    (figures.temperature(66.667, US), "152 degrees"),
    (figures.temperature_read(66.4, METRIC), "66.4 degrees"),
    (figures.degrees(66.4, METRIC), "66.5"),
    (figures.degrees(66.667, US), "152"),
    (figures.degrees_read(66.4, METRIC), "66.4"),
    (figures.degrees_read(66.7, US), "152.1"),
    (figures.power(2548), "2.5 kilowatts"),
    (figures.power(999.6), "1 kilowatt"),
    (figures.power(847), "850 watts"),
    (figures.temperature_read(66.667, US), "152 degrees"),
    (figures.temperature_difference(-2.0, METRIC), "2 degrees"),
    (figures.temperature_difference(1.0, METRIC), "1 degree"),
    (figures.temperature_difference(5.0, US), "9 degrees"),
    (figures.volume(23.449, METRIC), "23.4 litres"),
    (figures.volume(1.0, METRIC), "1 litre"),
    (figures.volume(18.927, US), "5 gallons"),
    (figures.volume(1.892, US), "2 quarts"),
    (figures.weight(26.2, METRIC), "26 grams"),
    (figures.weight(2.5, METRIC), "2.5 grams"),
    (figures.weight(18.5, METRIC), "18.5 grams"),
    (figures.weight(18.4, METRIC), "18 grams"),
    (figures.weight(20.5, METRIC), "20 grams"),
    (figures.weight(4250, METRIC), "4.25 kilos"),
    (figures.weight(24.1, US), "0.85 ounces"),
    (figures.weight(4264, US), "9.4 pounds"),
    (figures.weight(35.437, US), "1.25 ounces"),
    (figures.weight(49.61, US), "1.75 ounces"),
    (figures.weight(138.1, US), "4.9 ounces"),
    (figures.weight(453.2, US), "1 pound"),
    (figures.weight(999.6, METRIC), "1 kilo"),
    (figures.about_weight(300, METRIC), "0.3 kilos"),
    (figures.about_volume(0.3, METRIC), "0.3 litres"),
    (figures.temperature(1.0, METRIC), "1 degree"),
    (figures.volume(3.78, US), "1 gallon"),
    (figures.cells(185.3), "185 billion cells"),
    (figures.cells(1016.0), "1020 billion cells"),
    (figures.about_weight(11424, METRIC), "11 kilos"),
    (figures.about_weight(11424, US), "25 pounds"),
    (figures.about_volume(87.3, METRIC), "90 litres"),
    (figures.about_volume(23.3, METRIC), "23 litres"),
    (figures.about_volume(98.4, US), "26 gallons"),
    (figures.small_volume(184.6, METRIC), "180 millilitres"),
    (figures.small_volume(3.25, METRIC), "3.2 millilitres"),
    (figures.small_volume(184.6, US), "6.2 fluid ounces"),
    (figures.packs(1.85), "2 packs"),
    (figures.packs(2.08), "2 packs"),
    (figures.packs(2.3), "3 packs"),
    (figures.packs(0.2), "1 pack"),
    (figures.pressure(84.6, METRIC), "85 kPa"),
    (figures.pressure(84.6, US), "12 psi"),
    (figures.sentence("pH 5.4"), "pH 5.4"),
    (figures.gravity(1.04837), "1.048"),
    (figures.points(-0.0051), "5 points"),
    (figures.points(0.0009), "1 point"),
    (figures.duration(38), "40 seconds"),
    (figures.duration(60), "1 minute"),
    (figures.duration(75), "75 seconds"),
    (figures.duration(14.2 * 60), "14 minutes"),
    (figures.duration(3600), "60 minutes"),
    (figures.duration(2 * 3600), "2 hours"),
    (figures.duration(130 * 60), "2 hours 10 minutes"),
    (figures.number(-0.01, 1), "0"),
    (figures.listed(["a", "b", "c"]), "a, b and c"),
    (figures.listed([]), ""),
    (figures.sentence("beta rest"), "Beta rest"),
]


@pytest.mark.parametrize(("shown", "wanted"), SAID, ids=[wanted or "nothing" for _, wanted in SAID])
def test_a_figure_is_said_as_a_brewer_says_it(shown: str, wanted: str) -> None:
    assert shown == wanted
