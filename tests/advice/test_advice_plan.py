"""The plan against sums worked by hand, and what it says of a kettle too small."""

import json
from dataclasses import fields, replace

import pytest
from sample_files import SAMPLES

from assistant.advice.fit import most_mash_l
from assistant.advice.plan import Plan, make_plan
from assistant.advice.timeline import Stage, chill_target_c, cooling_minutes
from assistant.brewing.errors import NeverReaches
from assistant.brewing.gravity import plato_from_gravity
from assistant.plan_page import plan_json
from assistant.schedule import Schedule, load
from assistant.schedule.load import load_text
from assistant.schedule.model import (
    Addition,
    AdditionKind,
    ChillMethod,
    Glass,
    HopForm,
    Moment,
    YeastForm,
)

ONE_MALT = """
beer: Plain
volume: 19.5 L
kettle: {holds: 40 L, heater: {power: 3.2 kW}, boil_off: 4 L/h, left_behind: 1 L,
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
    assert chill_target_c(topped) > topped.chill.to_c


def kettle_of(plain: Schedule, **card: float) -> Schedule:
    return replace(plain, kettle=replace(plain.kettle, **card))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("card", "warning", "fits"),
    [
        ({"holds_l": 30.0}, "The mash does not fit: 31.4 litres of 30 litres.", False),
        ({"holds_l": 34.6}, "The mash nearly fills the kettle: 31.4 litres of 34.6 litres.", True),
        ({"holds_l": 27.0}, "The boil does not fit: 25.5 litres hot", False),
        ({"tap_water_c": 18.0}, "Tap water of 18 degrees hardly chills to 19 degrees.", True),
        (
            {"boil_off_l_h": 6.0},
            "This heater boils off 4.1 litres an hour at most, not the 6 litres of the card.",
            True,
        ),
        ({}, "", True),
    ],
    ids=[
        "mash too big",
        "mash just fits",
        "boil too big",
        "tap too warm",
        "weak heater",
        "all well",
    ],
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


@pytest.mark.parametrize(
    ("glass", "carbonation_vol", "primed", "warning"),
    [
        # Ordinary bottles 3.0 volumes, thick ones 4.5; common practice, no source.
        (Glass.ORDINARY, 2.4, True, ""),
        (Glass.ORDINARY, 2.9, True, "2.9 volumes is much for ordinary bottles: use sound ones."),
        (Glass.ORDINARY, 3.4, False, "3.4 volumes can burst ordinary bottles: no sugar is given."),
        (Glass.THICK, 3.4, True, ""),
        (Glass.THICK, 4.8, False, "4.8 volumes can burst thick bottles: no sugar is given."),
    ],
)
def test_no_sugar_is_given_past_what_bottles_are_good_for(
    plain: Schedule, glass: Glass, carbonation_vol: float, primed: bool, warning: str
) -> None:
    assert plain.package is not None
    bottled = replace(plain.package, carbonation_vol=carbonation_vol, glass=glass)
    plan = make_plan(replace(plain, package=bottled))
    assert (plan.priming_sugar_g is not None) is primed
    assert warning in " ".join(plan.warnings)
    assert all(len(text.split()) <= 20 for text in plan.warnings)


@pytest.mark.parametrize(
    ("form", "age_days", "warning"),
    [
        (YeastForm.LIQUID, 150.0, "Liquid yeast 150 days old: grow a starter, or buy fresh."),
        (YeastForm.LIQUID, 60.0, ""),
        (YeastForm.SLURRY, 30.0, "Slurry yeast 30 days old: grow a starter, or buy fresh."),
        (YeastForm.SLURRY, None, ""),
        (YeastForm.DRY, None, ""),
    ],
)
def test_old_yeast_is_warned_of(
    plain: Schedule, form: YeastForm, age_days: float | None, warning: str
) -> None:
    old = replace(plain, yeast=replace(plain.yeast, form=form, age_days=age_days))
    assert " ".join(make_plan(old).warnings) == warning


def test_more_bitterness_than_wort_can_hold_is_doubted(plain: Schedule) -> None:
    heavy = tuple(replace(addition, weight_g=100.0) for addition in plain.additions)
    plan = make_plan(replace(plain, additions=heavy))
    assert plan.ibu > 100
    assert f"{plan.ibu:.0f} IBU is more than wort can hold" in " ".join(plan.warnings)


def sweetened(plain: Schedule, **fields: object) -> Schedule:
    sugar = Addition(
        name="sugar",
        kind=AdditionKind.SUGAR,
        weight_g=1000.0,
        moment=Moment.BEFORE_END,
        minutes_before_end=10.0,
        extract=1.0,
    )
    return replace(plain, additions=(*plain.additions, replace(sugar, **fields)))  # type: ignore[arg-type]


def test_sugar_in_the_boil_takes_the_place_of_water(plain: Schedule) -> None:
    without, sweet = make_plan(plain), make_plan(sweetened(plain))
    # A kilogram of sucrose swells the wort by 0.616 L (sucrose tables, 5 to 20 °P).
    assert without.preboil_volume_l - sweet.preboil_volume_l == pytest.approx(0.616, abs=0.005)
    assert sweet.fermenter_volume_l == without.fermenter_volume_l


def test_a_syrup_brings_its_water_too(plain: Schedule) -> None:
    dry, syrup = (
        make_plan(sweetened(plain, weight_g=weight_g, extract=extract))
        for weight_g, extract in ((2400.0, 1.0), (3000.0, 0.8))
    )
    # The same 2.4 kg of extract, and 0.6 kg of water less to boil.
    assert dry.preboil_volume_l - syrup.preboil_volume_l == pytest.approx(0.60, abs=0.005)
    assert syrup.original_gravity == pytest.approx(dry.original_gravity, abs=1e-6)


def test_malt_extract_ferments_as_malt_does_and_sugar_right_out(plain: Schedule) -> None:
    sugar = make_plan(sweetened(plain))
    malt = make_plan(sweetened(plain, kind=AdditionKind.MALT_EXTRACT))
    assert malt.original_gravity == pytest.approx(sugar.original_gravity)
    assert malt.final_gravity > sugar.final_gravity + 0.003
    attenuated = 1 - plato_from_gravity(malt.final_gravity) / plato_from_gravity(
        malt.original_gravity
    )
    assert attenuated == pytest.approx(plain.yeast.attenuation, abs=1e-4)


def test_sugar_in_the_fermenter_makes_alcohol_but_no_original_gravity(plain: Schedule) -> None:
    later = sweetened(plain, moment=Moment.DAY, minutes_before_end=None, day=3)
    without, plan, boiled = make_plan(plain), make_plan(later), make_plan(sweetened(plain))
    assert plan.original_gravity == without.original_gravity
    # A kilogram makes what it would have made in the boil, and what the trub would have kept, but
    # it thins the 19.5 L by its 0.616.
    gained = (boiled.abv_percent - without.abv_percent) * 20.5 / 19.5
    thinned = (without.abv_percent + gained) * 19.5 / 20.116
    assert plan.abv_percent == pytest.approx(thinned, rel=0.005)


def test_wort_and_top_up_meet_at_the_temperature_wanted(plain: Schedule) -> None:
    topped = replace(plain, chill=replace(plain.chill, top_up_l=4.0))
    kettle_c = chill_target_c(topped)
    moved_l = plain.volume_l - 4.0
    # 4 litres out of a refrigerator at 4 °C.
    assert (moved_l * kettle_c + 4.0 * 4.0) / plain.volume_l == pytest.approx(plain.chill.to_c)


@pytest.mark.parametrize(
    ("chill", "tap_c", "warning"),
    [
        ({"top_up_l": 8.0}, 18.0, ""),
        (
            {"top_up_l": 4.0, "method": ChillMethod.TOP_UP},
            24.0,
            "Tap water of 24 degrees hardly chills to 23 degrees. Plan on ice.",
        ),
        (
            {"to_c": 4.0, "method": ChillMethod.ICE_BATH},
            12.0,
            "An ice bath hardly chills to 4 degrees. Allow for hours in a cold place.",
        ),
        ({"method": ChillMethod.ICE_BATH}, 24.0, ""),
    ],
    ids=["a coil helped by top-up", "a bath of tap water", "colder than ice", "ice"],
)
def test_cooling_water_too_warm_for_its_work_is_warned_of(
    plain: Schedule, chill: dict[str, object], tap_c: float, warning: str
) -> None:
    schedule = replace(
        plain,
        chill=replace(plain.chill, **chill),  # type: ignore[arg-type]
        kettle=replace(plain.kettle, tap_water_c=tap_c),
    )
    assert " ".join(make_plan(schedule).warnings) == warning


def test_a_small_pot_in_an_ice_bath_cools_by_its_wall(plain: Schedule) -> None:
    # Twice the size has four times the wall and eight times the wort: it takes twice as long.
    small, large = (
        cooling_minutes(
            plain.kettle, ChillMethod.ICE_BATH, capacity_j_k=capacity_j_k, from_c=90.0, to_c=20.0
        )
        for capacity_j_k in (20e3, 160e3)
    )
    assert large == pytest.approx(2 * small)


def test_a_mash_is_left_three_centimetres_to_be_stirred_in() -> None:
    # A pot as high as it is wide: 35 L are 35.4 cm, 11 L 24.1 cm.
    assert most_mash_l(35.0) / 35.0 == pytest.approx(1 - 3 / 35.4, abs=0.001)
    assert most_mash_l(11.0) / 11.0 == pytest.approx(1 - 3 / 24.1, abs=0.001)


@pytest.mark.parametrize(
    ("fields", "share"),
    [
        # Common practice, no source: cones 0.87 to 1 of pellets, first wort 1.0 to 1.1 of a boil.
        ({"form": HopForm.WHOLE}, 0.9),
        ({"moment": Moment.FIRST_WORT, "minutes_before_end": None}, 1.05),
        (
            {"form": HopForm.WHOLE, "moment": Moment.FIRST_WORT, "minutes_before_end": None},
            0.9 * 1.05,
        ),
    ],
    ids=["cones", "first wort", "cones in the first wort"],
)
def test_the_form_and_the_place_of_hops_tell_in_the_plan(
    plain: Schedule, fields: dict[str, object], share: float
) -> None:
    # The boil is an hour, and so is the addition's time.
    hops = replace(plain.additions[0], **fields)  # type: ignore[arg-type]
    changed = make_plan(replace(plain, additions=(hops,)))
    assert changed.ibu == pytest.approx(share * make_plan(plain).ibu)
