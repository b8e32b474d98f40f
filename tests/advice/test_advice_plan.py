"""The plan against sums worked by hand, and what it says of a kettle too small."""

import json
from dataclasses import fields, replace

import pytest
from conftest import SAMPLES

from assistant.advice.plan import Plan, make_plan
from assistant.advice.timeline import Stage, chill_target_c
from assistant.brewing.errors import NeverReaches
from assistant.plan_page import plan_json
from assistant.schedule import Schedule, load
from assistant.schedule.load import load_text

ONE_MALT = """
beer: Plain
volume: 19.5 L
kettle: {holds: 40 L, heater: {power: 2.5 kW}, boil_off: 4 L/h, left_behind: 1 L,
         absorption: 0.6 L/kg, extract_efficiency: 73.92 %, room: 20 degC, tap_water: 15 degC,
         heat_capacity: 3.0 kJ/K}
grist: [{malt: pale malt, weight: 5 kg, extract: 76.8 %, colour: 5 EBC}]
mash: [{rest: single, at: 67 degC, for: 60 min}]
boil: {for: 60 min}
additions: [{add: Magnum, weight: 30 g, alpha: 10 %, at: 60 min}]
yeast: {attenuation: 78 %}
package: {into: bottles, carbonation: 2.4 vol}
"""

JSON_KEYS = {
    "total_water_l",
    "strike_volume_l",
    "strike_temperature_c",
    "strike_heat_minutes",
    "mash_volume_l",
    "fits_kettle",
    "preboil_volume_l",
    "preboil_gravity",
    "boil_minutes",
    "postboil_volume_l",
    "original_gravity",
    "fermenter_volume_l",
    "final_gravity",
    "abv_percent",
    "ibu",
    "colour_ebc",
    "grain_kg",
    "extract_kg",
    "yeast_cells_billion",
    "yeast_dry_g",
    "oxygen_ppm",
    "priming_sugar_g",
    "keg_pressure_kpa",
    "boiling_point_c",
    "stages",
    "additions",
}


@pytest.fixture(scope="module")
def plain() -> Schedule:
    return load_text(ONE_MALT, "plain.yaml")


BY_HAND = [
    # Volumes by subtraction: 19.5 + 1 left behind, + 4 boiled off, + 0.6 × 5 in the grain.
    ("postboil_volume_l", 20.5, 0.01),
    ("preboil_volume_l", 24.5, 0.01),
    ("strike_volume_l", 27.5, 0.01),
    ("total_water_l", 27.5, 0.01),
    # 5 kg × 0.768 × 0.7392 = 2.8385 kg of extract.
    ("extract_kg", 2.8385, 0.0005),
    # By the ASBC cubic: 2.8385 kg in 24.5 L are 11.11 °P, in 20.5 L 13.17 °P.
    ("preboil_gravity", 1.0446, 0.0001),
    ("original_gravity", 1.0533, 0.0001),
    # Balling: 13.168 °P attenuated by 78 % leaves 2.897 °P, and 5.6 % of alcohol by volume.
    ("final_gravity", 1.0113, 0.0001),
    ("abv_percent", 5.59, 0.03),
    # Tinseth: U(1.0490, 60 min) = 0.2328; 0.2328 × 0.10 × 30 000 mg / 20.5 L.
    ("ibu", 34.1, 0.1),
    # Heat balance: 27.45 kg × 4.19 + 3.0 kJ/K against 5 kg × 1.67 kJ/K × 47 K.
    ("strike_temperature_c", 70.3, 0.1),
    # 27.5 L × 998.2 / 979.5 of water and 5 kg × 0.67 L of grain.
    ("mash_volume_l", 31.4, 0.05),
    # Sea level in the standard atmosphere.
    ("boiling_point_c", 99.97, 0.05),
    # 0.75 million × 19 500 mL × 13.17 °P.
    ("yeast_cells_billion", 192.6, 0.5),
    # Residual 0.86 volumes at 20 °C: 19.5 × (2.4 - 0.86) × 1.977 / 0.5143.
    ("priming_sugar_g", 115.3, 1.0),
]


@pytest.mark.parametrize(("figure", "worked", "within"), BY_HAND, ids=[row[0] for row in BY_HAND])
def test_the_plan_is_what_a_pocket_calculator_gives(
    plain: Schedule, figure: str, worked: float, within: float
) -> None:
    assert getattr(make_plan(plain), figure) == pytest.approx(worked, abs=within)


def test_the_json_has_exactly_the_promised_keys(amber_plan: Plan) -> None:
    body = json.loads(plan_json(amber_plan))
    assert set(body) == JSON_KEYS
    assert {key for stage in body["stages"] for key in stage} == {"stage", "starts_min", "minutes"}
    assert {key for addition in body["additions"] for key in addition} == {
        "add",
        "kind",
        "grams",
        "at_min",
        "ibu",
    }
    assert body["keg_pressure_kpa"] is None


def test_the_stages_follow_one_another_without_a_gap(amber_plan: Plan) -> None:
    assert [stage.stage for stage in amber_plan.stages] == [stage.value for stage in Stage]
    for before, after in zip(amber_plan.stages, amber_plan.stages[1:], strict=False):
        assert after.starts_min == pytest.approx(before.starts_min + before.minutes)


def test_the_additions_bring_the_bitterness_between_them(amber_plan: Plan) -> None:
    assert sum(addition.ibu for addition in amber_plan.additions) == pytest.approx(amber_plan.ibu)


@pytest.mark.parametrize(
    "name", ["breakwater-amber", "saltgrass-pale", "galley-bitter", "harbour-light-stout"]
)
def test_a_plan_is_the_same_in_either_units(name: str) -> None:
    from assistant.schedule.model import Units

    schedule = load(SAMPLES / f"{name}.yaml")
    plans = [make_plan(replace(schedule, units=units)) for units in Units]
    for field in fields(Plan):
        if field.name != "warnings":
            assert getattr(plans[0], field.name) == getattr(plans[1], field.name)


def test_top_up_water_is_part_of_all_the_water_and_thins_the_wort(plain: Schedule) -> None:
    topped = replace(plain, chill=replace(plain.chill, top_up_l=3.0))
    full, plan = make_plan(plain), make_plan(topped)
    assert plan.total_water_l == pytest.approx(full.total_water_l)
    assert plan.strike_volume_l == pytest.approx(full.strike_volume_l - 3)
    assert plan.fermenter_volume_l == full.fermenter_volume_l
    assert chill_target_c(topped, plan.postboil_volume_l) > topped.chill.to_c


def kettle_of(plain: Schedule, **card: float) -> Schedule:
    return replace(plain, kettle=replace(plain.kettle, **card))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("card", "warning", "fits"),
    [
        ({"holds_l": 30.0}, "The mash does not fit: 31.4 litres of 30 litres.", False),
        ({"holds_l": 33.5}, "The mash nearly fills the kettle: 31.4 litres of 33.5 litres.", True),
        ({"holds_l": 27.0}, "The boil does not fit: 25.5 litres hot", False),
        ({"tap_water_c": 18.0}, "Tap water of 18 degrees hardly chills to 19 degrees.", True),
        ({}, "", True),
    ],
    ids=["mash too big", "mash just fits", "boil too big", "tap too warm", "all well"],
)
def test_what_does_not_fit_is_warned_of(
    plain: Schedule, card: dict[str, float], warning: str, fits: bool
) -> None:
    plan = make_plan(kettle_of(plain, **card))
    assert warning in " ".join(plan.warnings)
    assert plan.fits_kettle is fits
    assert all(len(text.split()) <= 20 for text in plan.warnings)
    if not warning:
        assert plan.warnings == ()


def test_a_heater_too_weak_to_boil_is_refused(plain: Schedule) -> None:
    weak = kettle_of(plain, heat_loss_w_k=60.0)
    with pytest.raises(NeverReaches):
        make_plan(weak)


def test_an_over_carbonated_bottle_is_warned_of(plain: Schedule) -> None:
    assert plain.package is not None
    fizzy = replace(plain, package=replace(plain.package, carbonation_vol=3.4))
    assert "3.4 volumes can burst ordinary bottles." in " ".join(make_plan(fizzy).warnings)
