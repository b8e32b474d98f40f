"""What a day uses up, against sums by hand."""

from dataclasses import replace

import pytest

from assistant.advice.plan import Plan, make_plan
from assistant.advice.supplies import supplies, yeast_words
from assistant.schedule import Schedule
from assistant.schedule.model import ChillMethod, Units, YeastForm


def with_yeast(schedule: Schedule, form: YeastForm, **fields: float | None) -> Schedule:
    yeast = replace(schedule.yeast, form=form, **fields)  # type: ignore[arg-type]
    return replace(schedule, yeast=yeast)


def test_the_energy_of_a_day_by_hand(amber: Schedule, amber_plan: Plan) -> None:
    # Joules over 3.6 million, divided by the 0.91 of them that reach the wort; room 14 °C.
    water_j_k = 27.3 * 0.998 * 4186 + 3900
    mash_j_k = water_j_k + 4.76 * 1670
    wort_j_k = 24.2 * 1.044 * 0.998 * 3960 + 3900
    heating = water_j_k * (67.5 - 11) + mash_j_k * (77 - 64) + wort_j_k * (100 - 77)
    boiling = 2.6 * 65 / 60 * 0.998 * 2_256_500
    # Losses of 3.2 W/K: 105 minutes of heating near 45 and 85 K, 70 of rests near 55, 65 at 86.
    lost = 3.2 * 60 * (45 * 27 + 12 * 57 + 20 * 75 + 70 * 54 + 65 * 86)
    by_hand_kwh = (heating + boiling + lost) / 0.91 / 3.6e6
    assert supplies(amber, amber_plan).energy_kwh == pytest.approx(by_hand_kwh, rel=0.03)


def test_the_water_through_the_coil_by_hand(amber: Schedule, amber_plan: Plan) -> None:
    # 6 litres a minute for as long as the coil cools.
    minutes = sum(leg.minutes for leg in amber_plan.after_boil.legs if leg.chilled)
    used = supplies(amber, amber_plan)
    assert used.cooling_water_l == pytest.approx(6 * minutes, rel=1e-6)
    assert used.ice_kg is None


def test_the_ice_of_a_bath_by_hand(amber: Schedule) -> None:
    iced = replace(amber, chill=replace(amber.chill, method=ChillMethod.ICE_BATH))
    plan = make_plan(iced)
    used = supplies(iced, plan)
    # All that wort and kettle give off from the boil to 18 °C but what the room takes under the
    # lid: 88 kJ/K × 78 K over 333.6 kJ/kg of ice and its water warmed to 3 °C.
    assert used.ice_kg == pytest.approx(88_000 * 78 / (333_600 + 3 * 4186), rel=0.05)
    assert used.cooling_water_l is None


@pytest.mark.parametrize(
    ("form", "fields", "words"),
    [
        # 185 billion cells: 15.4 g of dry yeast at 12 billion a gram.
        (YeastForm.DRY, {}, "15 grams of ale yeast"),
        (YeastForm.LIQUID, {}, "2 packs of ale yeast"),
        # 0.79 of them live after 30 days (half-life of the usual storage rule).
        (YeastForm.LIQUID, {"age_days": 30.0}, "3 packs of ale yeast"),
        (YeastForm.LIQUID, {"pack_billion": 200.0}, "1 pack of ale yeast"),
        # A billion cells a millilitre.
        (YeastForm.SLURRY, {}, "190 millilitres of slurry of ale yeast"),
    ],
)
def test_the_yeast_to_pitch(
    amber: Schedule, form: YeastForm, fields: dict[str, float], words: str
) -> None:
    schedule = with_yeast(amber, form, **fields)
    assert yeast_words(schedule, make_plan(schedule)) == words


def test_slurry_in_us_measure(amber: Schedule) -> None:
    schedule = replace(with_yeast(amber, YeastForm.SLURRY), units=Units.US)
    assert yeast_words(schedule, make_plan(schedule)) == "6.3 fluid ounces of slurry of ale yeast"
