"""The plan of one beer worked with a pocket calculator, step by step.

5 kg of one pale malt for 19.5 litres in a 40 litre kettle: mash at 67 °C, boil an hour, one hop,
bottles. Every step is a sum a reader can key in; the density of water, the extract tables and the
boiling point are looked up where it says so.
"""

import math

import pytest

from assistant.advice.plan import Plan, make_plan
from assistant.schedule.load import load_text

BEER = """
beer: Plain
volume: 19.5 L
kettle: {holds: 40 L, heater: {power: 2.5 kW, efficiency: 90 %}, boil_off: 4 L/h, left_behind: 1 L,
         absorption: 0.6 L/kg, extract_efficiency: 73.92 %, room: 20 degC, tap_water: 15 degC,
         heat_capacity: 3.0 kJ/K, heat_loss: 4 W/K, altitude: 0 m}
grist: [{malt: pale malt, weight: 5 kg, extract: 76.8 %, colour: 5 EBC}]
mash: [{rest: single, at: 67 degC, for: 60 min}]
boil: {for: 60 min}
additions: [{add: Magnum, weight: 30 g, alpha: 10 %, form: pellet, at: 60 min}]
whirlpool: {steep: 0 min, settle: 10 min}
chill: {to: 19 degC, method: coil}
yeast: {attenuation: 78 %, rate: 0.75, form: dry}
ferment: {at: 18 degC to 20 degC}
package: {into: bottles, carbonation: 2.4 vol, sugar: sucrose}
"""

# Volumes, litres at 20 °C, back from the fermenter.
POSTBOIL_L = 19.5 + 1.0
PREBOIL_L = POSTBOIL_L + 4.0
STRIKE_L = PREBOIL_L + 0.6 * 5.0

# Extract, kg: weight, share of it that is extract, share that reaches the kettle.
EXTRACT_KG = 5.0 * 0.768 * 0.7392

# Gravity: what Plato (g in 100 g) makes a litre weigh, from the ASBC table; a litre of water at
# 20 °C weighs 0.9982 kg. 1.0446 is 11.10 °P: 24.5 × 1.0446 × 0.9982 × 0.1110 = 2.836 kg.
PREBOIL_GRAVITY = 1.0446
# 1.0533 is 13.17 °P: 20.5 × 1.0533 × 0.9982 × 0.1317 = 2.839 kg.
ORIGINAL_GRAVITY = 1.0533

# Balling: 78 % off 13.17 °P leaves 2.90 °P on the hydrometer, which is 1.0113; alcohol bends that.
REAL_EXTRACT = 0.1808 * 13.17 + 0.8192 * 2.897
ALCOHOL_BY_WEIGHT = (13.17 - REAL_EXTRACT) / (2.0665 - 0.010665 * 13.17)
ABV_PERCENT = ALCOHOL_BY_WEIGHT * 1.0113 / 0.7907

# Heat: kJ/K of 27.5 litres and of the kettle against 5 kg of malt at room temperature.
HOT_KJ_K = 27.5 * 0.9982 * 4.186 + 3.0
STRIKE_C = 67 + 5 * 1.67 * (67 - 20) / HOT_KJ_K
# 2.5 kW at 90 %, less what 4 W/K loses at the middle of the way: 15 to 70.3 °C.
HEATING_MIN = HOT_KJ_K * (STRIKE_C - 15) / (2.25 - 0.004 * ((15 + STRIKE_C) / 2 - 20)) / 60

# Water of 20 °C weighs 998.2 kg/m3 and of 67 °C 979.5; malt takes 0.67 L/kg.
MASH_L = 27.5 * 998.2 / 979.5 + 0.67 * 5

# Tinseth. The wort stands 13 minutes under its lid after flameout (3 to stir, 10 to settle). It
# loses 4 W/K × 80 K from 88 kJ/K, 0.22 degrees a minute, so it is at 98.5 °C in the middle of it,
# where a minute is worth exp(-11858/371.65 + 11858/373.15) = 0.88 of one at 100 °C. On the coil it
# is below 90 °C within half a minute.
BOIL_GRAVITY = (PREBOIL_GRAVITY + ORIGINAL_GRAVITY) / 2
HOP_MINUTES = 60 + 13 * math.exp(11858 / 373.15 - 11858 / 371.65) + 0.5
UTILISATION = 1.65 * 0.000125 ** (BOIL_GRAVITY - 1) * (1 - math.exp(-0.04 * HOP_MINUTES)) / 4.15
IBU = UTILISATION * 0.10 * 30_000 / POSTBOIL_L

# Colour: 5 EBC is (5 + 1.2) / 2.65 °L; lb times °L a gallon; Morey; EBC is 1.97 times SRM.
MCU = 8.345 * 5 * (5 + 1.2) / 2.65 / 19.5
COLOUR_EBC = 1.97 * 1.4922 * MCU**0.6859

# Three quarters of a million cells a millilitre and °P, in billions.
CELLS_BILLION = 0.75e6 * 19_500 * 13.17 / 1e9
# A volume is 1.977 g of gas a litre. Beer of 20 °C (68 °F) holds 0.86 of them already.
RESIDUAL_VOL = 3.0378 - 0.050062 * 68 + 0.00026555 * 68**2
PRIMING_G = 19.5 * (2.4 - RESIDUAL_VOL) * 1.977 / 0.5143

WORKED = [
    ("postboil_volume_l", POSTBOIL_L, 0.01),
    ("preboil_volume_l", PREBOIL_L, 0.01),
    ("strike_volume_l", STRIKE_L, 0.01),
    ("total_water_l", STRIKE_L, 0.01),
    ("extract_kg", EXTRACT_KG, 0.0005),
    ("preboil_gravity", PREBOIL_GRAVITY, 0.0001),
    ("original_gravity", ORIGINAL_GRAVITY, 0.0001),
    ("final_gravity", 1.0113, 0.0001),
    ("abv_percent", ABV_PERCENT, 0.02),
    ("strike_temperature_c", STRIKE_C, 0.05),
    ("strike_heat_minutes", HEATING_MIN, 0.3),
    ("mash_volume_l", MASH_L, 0.03),
    ("ibu", IBU, 0.15),
    ("colour_ebc", COLOUR_EBC, 0.05),
    ("grain_kg", 5.0, 0.0),
    ("boil_minutes", 60.0, 0.0),
    ("fermenter_volume_l", 19.5, 0.0),
    # Sea level in the standard atmosphere; steam tables.
    ("boiling_point_c", 99.97, 0.01),
    ("yeast_cells_billion", CELLS_BILLION, 0.5),
    # At 12 billion cells a gram.
    ("yeast_dry_g", CELLS_BILLION / 12, 0.05),
    ("priming_sugar_g", PRIMING_G, 0.2),
]


@pytest.fixture(scope="module")
def plan() -> Plan:
    return make_plan(load_text(BEER, "plain.yaml"))


@pytest.mark.parametrize(("figure", "worked", "within"), WORKED, ids=[row[0] for row in WORKED])
def test_the_plan_is_what_a_pocket_calculator_gives(
    plan: Plan, figure: str, worked: float, within: float
) -> None:
    assert getattr(plan, figure) == pytest.approx(worked, abs=within)


def test_the_wort_fits_and_there_is_no_keg(plan: Plan) -> None:
    assert (POSTBOIL_L, PREBOIL_L, STRIKE_L) == (20.5, 24.5, 27.5)
    assert plan.fits_kettle
    assert plan.keg_pressure_kpa is None


def test_a_quarter_of_an_hour_under_the_lid_adds_one_ibu() -> None:
    # 60 minutes and not a second more: 0.2328 × 0.10 × 30 000 mg / 20.5 L.
    at_once = 1.65 * 0.000125 ** (BOIL_GRAVITY - 1) * (1 - math.exp(-2.4)) / 4.15
    assert at_once * 0.10 * 30_000 / POSTBOIL_L == pytest.approx(34.1, abs=0.05)
    assert pytest.approx(35.3, abs=0.1) == IBU
