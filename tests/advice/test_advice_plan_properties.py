"""What holds of the plan of every beer: nothing is lost on the way, and more of one thing is seen.

Mass, extract and heat are conserved. The directions are those any textbook of brewing gives
(Briggs et al., "Brewing: Science and Practice", 2004; Palmer, "How to Brew"); figures that stand
in a test are from the source named beside them.
"""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from test_advice_plan_units import any_beer_trees, loaded, named_figures

from assistant.advice.batch import fresh_batch
from assistant.advice.ending import outcome
from assistant.advice.happenings import lifted
from assistant.advice.mash_water import MashWater, mash_water
from assistant.advice.plan import Plan, make_plan
from assistant.advice.supplies import supplies
from assistant.advice.worts import sugars_in_boil, worts
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.brewing.gravity import extract_kg
from assistant.schedule import Schedule, load_text
from assistant.schedule.model import AdditionKind

# A kilogram of dissolved sugar takes 0.616 L (sucrose table of NBS Circular C440), and a litre of
# water at 20 °C weighs 0.9982 kg (Kell 1975).
SUGAR_L_KG = 0.616
WATER_KG_L = 0.9982


@st.composite
def beers(draw: st.DrawFn) -> Schedule:
    """An ordinary beer of 5 to 60 litres, boiled in full and chilled with a coil, in bottles."""

    def one(low: float, high: float) -> float:
        return round(draw(st.floats(low, high)), 3)

    volume_l = one(5, 60)
    sugar = draw(st.sampled_from(["sucrose", "glucose", "glucose monohydrate"]))
    text = f"""
beer: Any
volume: {volume_l} L
kettle:
  holds: {round(volume_l * 2, 3)} L
  heater: {{power: {round(volume_l * one(0.1, 0.2), 3)} kW}}
  heat_capacity: {round(volume_l * one(0.05, 0.3), 3)} kJ/K
  heat_loss: {max(round(volume_l * one(0.05, 0.15), 3), 0.1)} W/K
  boil_off: {one(1, 6)} L/h
  left_behind: {one(0.2, 3)} L
  absorption: {one(0.3, 1.1)} L/kg
  extract_efficiency: {one(60, 85)} %
  room: {one(5, 30)} degC
  tap_water: {one(4, 15)} degC
  altitude: {one(0, 2500)} m
grist:
  - {{malt: pale, weight: {round(volume_l * one(0.1, 0.25), 3)} kg, extract: {one(75, 82)} %,
     colour: {one(3, 20)} EBC}}
  - {{malt: dark, weight: {round(volume_l * one(0.005, 0.03), 3)} kg, extract: {one(60, 75)} %,
     colour: {one(50, 1300)} EBC}}
mash: [{{at: {one(60, 70)} degC, for: 60 min}}, {{at: {one(71, 78)} degC, for: 10 min}}]
boil: {{for: {draw(st.integers(50, 90))} min}}
additions:
  - {{add: bitter, weight: {one(5, 60)} g, alpha: {one(4, 15)} %, at: boil start}}
  - {{add: flavour, weight: {one(5, 60)} g, alpha: {one(4, 15)} %, at: {one(5, 40)} min}}
  - {{add: aroma, weight: {one(5, 60)} g, alpha: {one(4, 15)} %, at: whirlpool}}
  - {{add: syrup, kind: sugar, weight: {round(volume_l * one(0.5, 25), 3)} g,
     extract: {one(70, 100)} %, at: 10 min}}
whirlpool: {{at: {one(78, 88)} degC, steep: {one(5, 20)} min, settle: {one(5, 15)} min}}
chill: {{to: {one(18, 25)} degC}}
yeast: {{attenuation: {one(65, 82)} %, rate: {one(0.5, 1.2)}}}
ferment: {{at: {one(10, 30)} degC}}
package: {{carbonation: {one(1.9, 2.7)} vol, sugar: {sugar}}}
water: {{calcium: {one(0, 150)} mg/L, magnesium: {one(0, 30)} mg/L, alkalinity: {one(1, 300)} mg/L,
  gypsum: {one(0, 10)} g, baking_soda: {one(0, 5)} g, lactic_acid: {one(0, 10)} mL}}
"""
    return load_text(text, "any.yaml")


def kettle(beer: Schedule, **figures: Any) -> Schedule:
    return part(beer, "kettle", **figures)


def part(beer: Schedule, name: str, **figures: Any) -> Schedule:
    return replace(beer, **{name: replace(getattr(beer, name), **figures)})


def grist(beer: Schedule, **times: float) -> Schedule:
    """The beer with a figure of every malt so many times what it was."""
    malts = tuple(
        replace(malt, **{name: getattr(malt, name) * factor for name, factor in times.items()})
        for malt in beer.grist
    )
    return replace(beer, grist=malts)


def added(beer: Schedule, kind: AdditionKind, weight: float) -> Schedule:
    """The beer with every addition of a kind at so many times its weight."""
    additions = tuple(
        replace(addition, weight_g=addition.weight_g * weight)
        if addition.kind is kind
        else addition
        for addition in beer.additions
    )
    return replace(beer, additions=additions)


def put_in_earlier(beer: Schedule, minutes: float) -> Schedule:
    """The beer with its timed hops so much earlier in the same boil."""
    additions = tuple(
        replace(addition, minutes_before_end=addition.minutes_before_end + minutes)
        if addition.kind is AdditionKind.HOPS and addition.minutes_before_end is not None
        else addition
        for addition in beer.additions
    )
    return replace(beer, additions=additions)


@dataclass(frozen=True, kw_only=True)
class Change:
    """One thing changed in a beer, and the figures of its plan that must rise, fall or stay."""

    of: str
    made: Callable[[Schedule], Schedule]
    rises: tuple[str, ...] = ()
    falls: tuple[str, ...] = ()
    stays: tuple[str, ...] = ()


CHANGES = [
    Change(
        of="a tenth more grain",
        made=lambda beer: grist(beer, weight_kg=1.1),
        rises=(
            "original_gravity",
            "preboil_gravity",
            "final_gravity",
            "abv_percent",
            "colour_ebc",
            "strike_volume_l",
            "strike_temperature_c",
            "mash_volume_l",
            "yeast_cells_billion",
            "extract_kg",
        ),
        falls=("ibu",),
        stays=("preboil_volume_l", "priming_sugar_g"),
    ),
    Change(
        of="more boil-off, made up with water",
        made=lambda beer: kettle(beer, boil_off_l_h=beer.kettle.boil_off_l_h + 1),
        rises=("strike_volume_l", "preboil_volume_l"),
        falls=("preboil_gravity", "strike_temperature_c"),
        stays=("original_gravity", "postboil_volume_l", "colour_ebc", "abv_percent"),
    ),
    Change(
        of="a larger batch of the same grist and hops",
        made=lambda beer: replace(beer, volume_l=beer.volume_l * 1.1),
        rises=("strike_volume_l", "strike_heat_minutes", "priming_sugar_g"),
        falls=(
            "original_gravity",
            "preboil_gravity",
            "final_gravity",
            "abv_percent",
            "colour_ebc",
            "ibu",
            "strike_temperature_c",
        ),
    ),
    Change(
        of="more left behind with the trub",
        made=lambda beer: kettle(beer, left_behind_l=beer.kettle.left_behind_l + 1),
        rises=("strike_volume_l", "postboil_volume_l"),
        falls=("original_gravity", "strike_temperature_c"),
        stays=("extract_kg",),
    ),
    Change(
        of="a bag that drains less",
        made=lambda beer: kettle(beer, absorption_l_kg=beer.kettle.absorption_l_kg + 0.2),
        rises=("strike_volume_l", "mash_volume_l"),
        falls=("strike_temperature_c",),
        stays=("preboil_volume_l", "preboil_gravity", "original_gravity", "ibu"),
    ),
    Change(
        of="more of the extract won",
        made=lambda beer: kettle(beer, extract_efficiency=beer.kettle.extract_efficiency + 0.05),
        rises=("extract_kg", "preboil_gravity", "original_gravity", "abv_percent"),
        stays=("strike_volume_l", "colour_ebc"),
    ),
    Change(
        of="half as much again of each hop",
        made=lambda beer: added(beer, AdditionKind.HOPS, 1.5),
        rises=("ibu",),
        stays=("original_gravity", "strike_volume_l"),
    ),
    Change(
        of="more sugar in the boil",
        made=lambda beer: added(beer, AdditionKind.SUGAR, 1.5),
        rises=("original_gravity", "extract_kg", "abv_percent", "preboil_gravity"),
        falls=("final_gravity", "preboil_volume_l", "strike_volume_l"),
        stays=("postboil_volume_l", "colour_ebc"),
    ),
    Change(
        of="hops put in earlier",
        made=lambda beer: put_in_earlier(beer, 5),
        rises=("ibu",),
        stays=("original_gravity",),
    ),
    Change(
        of="a longer boil",
        made=lambda beer: replace(beer, boil_minutes=beer.boil_minutes + 15),
        rises=("ibu", "preboil_volume_l", "strike_volume_l"),
        falls=("preboil_gravity",),
        stays=("original_gravity", "postboil_volume_l"),
    ),
    Change(
        of="longer under the lid",
        made=lambda beer: part(
            beer, "whirlpool", settle_minutes=beer.whirlpool.settle_minutes + 10
        ),
        rises=("ibu",),
        stays=("original_gravity", "strike_volume_l"),
    ),
    Change(
        of="a hotter whirlpool",
        made=lambda beer: part(beer, "whirlpool", temperature_c=beer.whirlpool.temperature_c + 3),
        rises=("ibu",),
    ),
    Change(
        of="higher up the mountain",
        made=lambda beer: kettle(beer, altitude_m=beer.kettle.altitude_m + 500),
        rises=("priming_sugar_g",),
        falls=("ibu", "boiling_point_c"),
        stays=("original_gravity", "strike_temperature_c"),
    ),
    Change(
        of="a yeast that eats more",
        made=lambda beer: part(beer, "yeast", attenuation=beer.yeast.attenuation + 0.03),
        rises=("abv_percent",),
        falls=("final_gravity",),
        stays=("original_gravity", "yeast_cells_billion"),
    ),
    Change(
        of="a colder room, and grain",
        made=lambda beer: kettle(beer, room_c=beer.kettle.room_c - 5),
        rises=("strike_temperature_c", "strike_heat_minutes"),
        stays=("strike_volume_l",),
    ),
    Change(
        of="a heavier kettle",
        made=lambda beer: kettle(beer, heat_capacity_j_k=beer.kettle.heat_capacity_j_k + 2000),
        falls=("strike_temperature_c",),
    ),
    Change(
        of="colder tap water",
        made=lambda beer: kettle(beer, tap_water_c=beer.kettle.tap_water_c - 3),
        rises=("strike_heat_minutes",),
        stays=("strike_temperature_c",),
    ),
    Change(
        of="a stronger heater",
        made=lambda beer: kettle(
            beer, heater=replace(beer.kettle.heater, power_w=beer.kettle.heater.power_w * 1.1)
        ),
        falls=("strike_heat_minutes",),
        stays=("strike_temperature_c",),
    ),
    Change(
        of="a warmer first rest",
        made=lambda beer: replace(
            beer,
            mash=(
                replace(beer.mash[0], temperature_c=beer.mash[0].temperature_c + 1),
                beer.mash[1],
            ),
        ),
        rises=("strike_temperature_c", "strike_heat_minutes"),
        stays=("strike_volume_l", "mash_volume_l"),
    ),
    Change(
        of="more gas in the bottle",
        made=lambda beer: part(beer, "package", carbonation_vol=beer.package.carbonation_vol + 0.2),
        rises=("priming_sugar_g",),
    ),
    Change(
        of="a warmer fermentation",
        made=lambda beer: part(beer, "ferment", high_c=beer.ferment.high_c + 3),
        # Warm beer has kept less of its own gas.
        rises=("priming_sugar_g",),
    ),
    Change(
        of="darker malt",
        made=lambda beer: grist(beer, colour_ebc=1.5),
        rises=("colour_ebc",),
        stays=("original_gravity",),
    ),
    Change(
        of="more yeast to the wort",
        made=lambda beer: part(beer, "yeast", rate_million_ml_p=beer.yeast.rate_million_ml_p * 1.2),
        rises=("yeast_cells_billion", "yeast_dry_g"),
        stays=("final_gravity",),
    ),
]


def rose(before: float, after: float) -> bool:
    return after > before + 1e-9 * abs(before)


def moves_as_told(change: Change, before: object, after: object) -> None:
    moved = {
        name: (getattr(before, name), getattr(after, name))
        for name in (*change.rises, *change.falls, *change.stays)
    }
    assert {name for name, pair in moved.items() if rose(*pair)} == set(change.rises), moved
    assert {name for name, pair in moved.items() if rose(*pair[::-1])} == set(change.falls), moved


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.of)
@settings(max_examples=15)
@given(beer=beers())
def test_a_change_moves_the_plan_the_way_it_moves_the_beer(change: Change, beer: Schedule) -> None:
    moves_as_told(change, make_plan(beer), make_plan(change.made(beer)))


WATER_CHANGES = [
    Change(
        of="lactic acid",
        made=lambda beer: part(beer, "water", lactic_acid_ml=beer.water.lactic_acid_ml + 1),
        falls=("ph",),
        stays=("residual_alkalinity_mg_l",),
    ),
    Change(
        of="stronger lactic acid",
        made=lambda beer: part(
            beer, "water", lactic_acid_ml=beer.water.lactic_acid_ml + 1, lactic_strength=0.9
        ),
        falls=("ph",),
    ),
    Change(
        of="gypsum",
        made=lambda beer: part(beer, "water", gypsum_g=beer.water.gypsum_g + 2),
        falls=("ph", "residual_alkalinity_mg_l"),
    ),
    Change(
        of="calcium chloride",
        made=lambda beer: part(beer, "water", calcium_chloride_g=2.0),
        falls=("ph", "residual_alkalinity_mg_l"),
    ),
    Change(
        of="epsom salt",
        made=lambda beer: part(beer, "water", epsom_salt_g=2.0),
        falls=("ph", "residual_alkalinity_mg_l"),
    ),
    Change(
        of="baking soda",
        made=lambda beer: part(beer, "water", baking_soda_g=beer.water.baking_soda_g + 1),
        rises=("ph", "residual_alkalinity_mg_l"),
    ),
    Change(
        of="harder water by its bicarbonate",
        made=lambda beer: part(beer, "water", alkalinity_mg_l=beer.water.alkalinity_mg_l + 50),
        rises=("ph", "residual_alkalinity_mg_l"),
    ),
    Change(
        of="harder water by its calcium",
        made=lambda beer: part(beer, "water", calcium_mg_l=beer.water.calcium_mg_l + 50),
        falls=("ph", "residual_alkalinity_mg_l"),
    ),
    Change(
        of="sourer malt",
        made=lambda beer: replace(beer, grist=(*beer.grist[:1], replace(beer.grist[1], ph=4.0))),
        falls=("ph",),
        stays=("residual_alkalinity_mg_l",),
    ),
]


def water_of(beer: Schedule) -> MashWater:
    found = mash_water(beer, make_plan(beer).strike_volume_l)
    assert found is not None
    return found


@pytest.mark.parametrize("change", WATER_CHANGES, ids=lambda change: change.of)
@settings(max_examples=15)
@given(beer=beers())
def test_what_goes_into_the_water_moves_the_mash(change: Change, beer: Schedule) -> None:
    moves_as_told(change, water_of(beer), water_of(change.made(beer)))


TOP_UP_SHARES = st.sampled_from([0.0, 0.1, 0.3])


def topped_up(beer: Schedule, share: float) -> Schedule:
    return part(beer, "chill", top_up_l=share * beer.volume_l)


def syrup(beer: Schedule) -> tuple[float, float]:
    """Kilograms of sugar and of water in what sweetens the boil."""
    (found,) = (each for each in beer.additions if each.kind is AdditionKind.SUGAR)
    sugar_kg = found.weight_g / 1000 * (found.extract or 0)
    return sugar_kg, found.weight_g / 1000 - sugar_kg


def boiled_off_l(beer: Schedule) -> float:
    return beer.kettle.boil_off_l_h * beer.boil_minutes / 60


@settings(max_examples=40)
@given(beer=beers(), share=TOP_UP_SHARES)
def test_all_the_water_is_accounted_for(beer: Schedule, share: float) -> None:
    beer = topped_up(beer, share)
    plan, card = make_plan(beer), beer.kettle
    held_l = card.absorption_l_kg * beer.grain_kg
    sugar_kg, water_kg = syrup(beer)
    swell_l = SUGAR_L_KG * sugar_kg + water_kg / WATER_KG_L
    assert plan.total_water_l + swell_l == pytest.approx(
        plan.fermenter_volume_l + card.left_behind_l + boiled_off_l(beer) + held_l
    )
    assert plan.strike_volume_l - plan.preboil_volume_l == pytest.approx(held_l)
    assert plan.total_water_l - plan.strike_volume_l == pytest.approx(beer.chill.top_up_l)


def weight_kg(volume_l: float, gravity: float) -> float:
    return volume_l * gravity * WATER_KG_L


@settings(max_examples=40)
@given(beer=beers())
def test_the_boil_takes_away_steam_and_nothing_else(beer: Schedule) -> None:
    wort = worts(beer)
    before_kg = weight_kg(wort.preboil_l, wort.preboil_gravity) + sum(syrup(beer))
    after_kg = weight_kg(wort.postboil_l, wort.postboil_gravity)
    steam_kg = boiled_off_l(beer) * WATER_KG_L
    # Litres are not quite conserved where weights are: a thousandth of the wort.
    assert before_kg - after_kg == pytest.approx(steam_kg, abs=0.001 * before_kg)


@settings(max_examples=40)
@given(beer=beers(), share=TOP_UP_SHARES)
def test_all_the_extract_is_accounted_for(beer: Schedule, share: float) -> None:
    beer = topped_up(beer, share)
    plan, wort, card = make_plan(beer), worts(beer), beer.kettle
    won_kg = card.extract_efficiency * sum(malt.weight_kg * malt.extract for malt in beer.grist)
    whole_kg = won_kg + syrup(beer)[0]
    trub_kg = extract_kg(card.left_behind_l, wort.postboil_gravity)
    fermenter_kg = extract_kg(plan.fermenter_volume_l, plan.original_gravity)
    assert extract_kg(plan.preboil_volume_l, plan.preboil_gravity) == pytest.approx(won_kg)
    assert extract_kg(plan.postboil_volume_l, wort.postboil_gravity) == pytest.approx(whole_kg)
    assert trub_kg + fermenter_kg == pytest.approx(whole_kg)
    assert plan.extract_kg == pytest.approx(whole_kg)


def with_hops(beer: Schedule, kept: set[str]) -> Schedule:
    additions = tuple(
        replace(addition, weight_g=addition.weight_g if addition.name in kept else 0.0)
        for addition in beer.additions
    )
    return replace(beer, additions=additions)


@settings(max_examples=40)
@given(beer=beers())
def test_no_hops_take_bitterness_from_others(beer: Schedule) -> None:
    beer = added(beer, AdditionKind.SUGAR, 0)
    hops = [addition.name for addition in beer.additions]
    alone = [make_plan(with_hops(beer, {name})).ibu for name in hops]
    plan = make_plan(beer)
    assert plan.ibu == pytest.approx(sum(alone))
    assert [addition.ibu for addition in plan.additions] == pytest.approx(alone)
    assert make_plan(with_hops(beer, set())).ibu == 0


@settings(max_examples=40)
@given(beer=beers(), longer_min=st.floats(5, 30))
def test_time_under_the_lid_is_given_to_all_hops_in_the_kettle(
    beer: Schedule, longer_min: float
) -> None:
    settle_min = beer.whirlpool.settle_minutes + longer_min
    longer = part(beer, "whirlpool", settle_minutes=settle_min)
    for before, after in zip(make_plan(beer).additions, make_plan(longer).additions, strict=True):
        assert after.ibu > before.ibu or after.kind != "hops", after.add


def twice(beer: Schedule) -> Schedule:
    """Twice the beer, kettle and all."""
    card = beer.kettle
    bigger = kettle(
        beer,
        heat_capacity_j_k=2 * card.heat_capacity_j_k,
        boil_off_l_h=2 * card.boil_off_l_h,
        left_behind_l=2 * card.left_behind_l,
    )
    additions = tuple(replace(each, weight_g=2 * each.weight_g) for each in beer.additions)
    return replace(grist(bigger, weight_kg=2), volume_l=2 * beer.volume_l, additions=additions)


@settings(max_examples=40)
@given(beer=beers())
def test_twice_the_beer_is_the_same_beer_and_wants_twice_of_all(beer: Schedule) -> None:
    once, double = make_plan(beer), make_plan(twice(beer))
    for same in (
        "original_gravity",
        "final_gravity",
        "abv_percent",
        "colour_ebc",
        "strike_temperature_c",
        "boiling_point_c",
        "oxygen_ppm",
    ):
        assert getattr(double, same) == pytest.approx(getattr(once, same)), same
    for doubled in (
        "total_water_l",
        "mash_volume_l",
        "preboil_volume_l",
        "grain_kg",
        "extract_kg",
        "yeast_cells_billion",
        "yeast_dry_g",
        "priming_sugar_g",
    ):
        assert getattr(double, doubled) == pytest.approx(2 * getattr(once, doubled)), doubled


def with_dry_sugar(beer: Schedule) -> Schedule:
    additions = (replace(each, extract=each.extract and 1.0) for each in beer.additions)
    return replace(beer, additions=tuple(additions))


@settings(max_examples=40)
@given(beer=beers(), longer_min=st.floats(1, 30))
def test_wort_boiled_past_its_time_is_less_and_stronger(beer: Schedule, longer_min: float) -> None:
    beer = with_dry_sugar(beer)
    plan = make_plan(beer)
    batch = lifted(fresh_batch(beer, plan, 0.0), beer, 0.0)
    in_time, late = (
        outcome(
            batch,
            beer,
            at_s=0.0,
            boil_minutes_left=beer.boil_minutes + minutes,
            extracts_to_come=sugars_in_boil(beer),
            top_up_l=0.0,
        )
        for minutes in (0.0, longer_min)
    )
    assert in_time.original_gravity == pytest.approx(plan.original_gravity)
    assert in_time.fermenter_volume_l == pytest.approx(plan.fermenter_volume_l)
    assert late.original_gravity > in_time.original_gravity
    assert in_time.fermenter_volume_l - late.fermenter_volume_l == pytest.approx(
        beer.kettle.boil_off_l_h * longer_min / 60
    )


def said(plan: Plan, water: MashWater | None) -> list[str]:
    return [*plan.warnings, *(water.guidance if water else ())]


@settings(
    max_examples=80,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(tree=any_beer_trees())
def test_any_beer_has_a_plan_in_finite_figures_or_is_outside_the_sums(tree: Any) -> None:
    beer = loaded(tree)
    try:
        plan = make_plan(beer)
    except (OutOfRange, NeverReaches):
        return
    water = mash_water(beer, plan.strike_volume_l)
    for name, value in named_figures((plan, water, supplies(beer, plan))):
        assert not isinstance(value, float) or math.isfinite(value), name
    assert plan.preboil_volume_l <= plan.strike_volume_l <= plan.total_water_l
    assert 0.98 <= plan.original_gravity <= 1.15
    # Malt extract that goes into the fermenter may end above where the wort began.
    assert 0.98 <= plan.final_gravity <= plan.fermented_gravity <= 1.15
    assert plan.abv_percent >= 0
    assert all(stage.minutes >= 0 for stage in plan.stages)
    for text in said(plan, water):
        assert len(text.split()) <= 20
        assert not re.search(r"nan|inf\b|-0\b|\d\.\d{3}", text), text
